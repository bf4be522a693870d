//! Between what values a probe and a sector may lie: the tables of a set-up are made for these.

use acoustics::pulse::SAMPLING_MHZ;

use crate::procedure::{Probe, Sector};

/// Largest number of beams.
const MOST_BEAMS: u32 = 181;
/// Largest number of beams of a linear scan: each has tables of its own, about 2 MB.
const MOST_LINEAR_BEAMS: u32 = 64;
/// Refracted angles that can be sent, degrees.
pub const ANGLES_DEG: [f64; 2] = [35.0, 80.0];
/// Sound paths that can be shown, mm.
pub const RANGE_MM: [f64; 2] = [20.0, 300.0];
/// Gains at the reference level, dB.
pub const REFERENCE_GAIN_DB: [f64; 2] = [0.0, 80.0];
/// Fewest elements that make a beam.
pub const FEWEST_ELEMENTS: f64 = 4.0;
/// Fewest beams of a linear scan: fewer draw no picture that could be read.
pub const FEWEST_LINEAR_BEAMS: u32 = 4;
/// Width of a pulse at most, % of the width of the baseband.
const MOST_OF_BASEBAND_PERCENT: f64 = 38.0;

/// A number and between what it must lie.
#[derive(Clone, Debug, PartialEq)]
pub struct Limit {
    /// Name of the number as in the plate file, from the procedure on.
    pub key: &'static str,
    /// The number.
    pub value: f64,
    /// Least.
    pub low: f64,
    /// Most.
    pub high: f64,
    /// What is written behind a value, with the space before it.
    pub unit: &'static str,
}

impl Limit {
    pub(crate) const fn new(
        key: &'static str,
        value: f64,
        [low, high]: [f64; 2],
        unit: &'static str,
    ) -> Self {
        Self { key, value, low, high, unit }
    }

    /// Whether the number lies within; what is not a number does not.
    pub fn is_kept(&self) -> bool {
        (self.low..=self.high).contains(&self.value)
    }

    /// Between what, in words.
    pub fn expected(&self) -> String {
        format!("{} to {}{}", self.low, self.high, self.unit)
    }
}

/// Most beams that a scan of this kind may have.
pub fn most_beams(sector: &Sector) -> u32 {
    if sector.is_linear() { MOST_LINEAR_BEAMS } else { MOST_BEAMS }
}

/// The limits of a probe's numbers.
pub fn of_probe(probe: &Probe) -> [Limit; 9] {
    let frequency = Limit::new("probe.frequency_mhz", probe.frequency_mhz, [1.0, 7.5], " MHz");
    // The baseband holds a pulse of this width and no wider. A frequency out of its limits is said by itself.
    let widest = MOST_OF_BASEBAND_PERCENT * SAMPLING_MHZ / probe.frequency_mhz;
    let most_percent = if frequency.is_kept() { libm::floor(widest).min(120.0) } else { 120.0 };
    [
        Limit::new("probe.elements", f64::from(probe.elements), [FEWEST_ELEMENTS, 256.0], ""),
        Limit::new("probe.pitch_mm", probe.pitch_mm, [0.1, 3.0], " mm"),
        Limit::new("probe.element_width_mm", probe.element_width_mm, [0.05, probe.pitch_mm], " mm"),
        Limit::new("probe.elevation_mm", probe.elevation_mm, [2.0, 25.0], " mm"),
        frequency,
        Limit::new("probe.bandwidth_percent", probe.bandwidth_percent, [20.0, most_percent], " %"),
        Limit::new("probe.wedge_angle_deg", probe.wedge_angle_deg, [0.0, 60.0], "°"),
        Limit::new("probe.first_element_height_mm", probe.first_element_height_mm, [1.0, 60.0], " mm"),
        Limit::new("probe.first_element_to_front_mm", probe.first_element_to_front_mm, [1.0, 150.0], " mm"),
    ]
}

/// The limits of a wedge's numbers.
pub fn of_wedge(probe: &Probe) -> [Limit; 6] {
    let material = &probe.wedge_material;
    let speed = |key, value, limits| Limit::new(key, value, limits, " mm/µs");
    [
        Limit::new("probe.wedge_width_mm", probe.wedge_width_mm, [5.0, 100.0], " mm"),
        Limit::new("probe.wedge_length_mm", probe.wedge_length_mm, [5.0, 200.0], " mm"),
        speed("probe.wedge_material.longitudinal_mm_per_us", material.longitudinal_mm_per_us, [1.0, 4.0]),
        speed("probe.wedge_material.shear_mm_per_us", material.shear_mm_per_us, [0.3, 2.5]),
        Limit::new(
            "probe.wedge_material.density_g_per_cm3",
            material.density_g_per_cm3,
            [0.5, 3.0],
            " g/cm³",
        ),
        Limit::new("probe.wedge_material.loss_db_per_mm", material.loss_db_per_mm, [0.0, 3.0], " dB/mm"),
    ]
}

/// The limits of a sector's numbers, on a probe.
pub fn of_sector(probe: &Probe, sector: &Sector) -> Vec<Limit> {
    let elements = f64::from(probe.elements);
    let first = f64::from(sector.first_element);
    let active = [FEWEST_ELEMENTS, elements - first + 1.0];
    let active_elements = f64::from(sector.active_elements);
    let last_deg = if sector.is_linear() { sector.from_deg } else { ANGLES_DEG[1] };
    let mut limits = vec![
        Limit::new("sector.first_element", first, [1.0, elements], ""),
        Limit::new("sector.active_elements", active_elements, active, ""),
        Limit::new("sector.from_deg", sector.from_deg, ANGLES_DEG, "°"),
        Limit::new("sector.to_deg", sector.to_deg, [sector.from_deg, last_deg], "°"),
        Limit::new("sector.step_deg", sector.step_deg, [0.1, 10.0], "°"),
    ];
    if let Some(linear) = &sector.linear {
        let (step, last) = (f64::from(linear.step_elements), f64::from(linear.last_element));
        // So that the way along the array has room for the fewest beams.
        let room = libm::floor((last - first + 1.0 - active_elements) / f64::from(FEWEST_LINEAR_BEAMS - 1));
        limits.push(Limit::new("sector.linear.last_element", last, [first, elements], ""));
        limits.push(Limit::new("sector.linear.step_elements", step, [1.0, room.max(1.0)], ""));
        if room < 1.0 && active_elements <= active[1] {
            let most = (last - first + 2.0 - f64::from(FEWEST_LINEAR_BEAMS)).max(FEWEST_ELEMENTS);
            limits[1] = Limit::new("sector.active_elements", active_elements, [FEWEST_ELEMENTS, most], "");
        }
    }
    let path = sector.focus_path_mm.map(|mm| Limit::new("sector.focus_path_mm", mm, [5.0, 500.0], " mm"));
    let depth = sector.focus_depth_mm.map(|mm| Limit::new("sector.focus_depth_mm", mm, [2.0, 500.0], " mm"));
    limits.extend(path.into_iter().chain(depth));
    limits
}
