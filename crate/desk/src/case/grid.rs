//! The clock of a computation on a grid. Waves on a grid run a little faster than waves in metal, more so the coarser
//! the grid, so a full-wave answer is early. What is early by can be told from the scheme alone.
//!
//! The scheme is the usual one for elastic waves: velocities and stresses staggered, fourth order in space, second in
//! time, with the largest time step at which it is stable, 6/7 of the spacing over the longitudinal speed and the root
//! of the dimensions (Levander, "Fourth-order finite-difference P-SV seismograms", Geophysics 53, 1988; from memory).
//! Case files state the spacing and not the step: that the largest was taken is an assumption, which the holes bear out.
//! To leading order its group speed is off by (ω Δt)²/8 from the steps in time and by -3 (k Δx)⁴/128 from those in space.

use super::file::Meta;

/// Weights of the fourth-order difference add up to 9/8 + 1/24 = 7/6, which bounds the stable step.
const STABLE: f64 = 6.0 / 7.0;

/// When a computation on a grid sees an echo that comes after a time in metal. No spacing: no grid.
///
/// Spacing in mm, times in µs. The echo is taken to be shear all the way, at the middle of the pulse's spectrum.
pub fn seen_us(time_us: f64, spacing_mm: Option<f64>, dimensions: f64, meta: &Meta) -> f64 {
    let Some(spacing_mm) = spacing_mm else { return time_us };
    let omega = std::f64::consts::TAU * meta.pulse.frequency_mhz;
    let step = omega * STABLE * spacing_mm / (meta.material.longitudinal_mm_per_us * dimensions.sqrt());
    let spacing = omega * spacing_mm / meta.material.shear_mm_per_us;
    let faster = step * step / 8.0 - 3.0 * (spacing * spacing) * (spacing * spacing) / 128.0;
    time_us / (1.0 + faster)
}

#[cfg(test)]
mod tests {
    use super::super::file::{ApertureShape, Material, PulseShape};
    use super::*;

    fn meta() -> Meta {
        Meta {
            material: Material { longitudinal_mm_per_us: 5.9, shear_mm_per_us: 3.23 },
            pulse: PulseShape { frequency_mhz: 5.0, bandwidth_fraction: 0.6 },
            aperture: ApertureShape { length_mm: 9.6 },
        }
    }

    #[allow(clippy::disallowed_methods, reason = "a check to four digits")]
    /// Group speed over shear speed from the scheme's own dispersion relation along an axis of the grid, by differences.
    fn group_speed(spacing_mm: f64, dimensions: f64) -> f64 {
        let meta = meta();
        let (shear, step_us) = (
            meta.material.shear_mm_per_us,
            STABLE * spacing_mm / (meta.material.longitudinal_mm_per_us * dimensions.sqrt()),
        );
        let omega = |k: f64| {
            let half = 0.5 * k * spacing_mm;
            let derivative = 2.0 / spacing_mm * (9.0 / 8.0 * half.sin() - (3.0 * half).sin() / 24.0);
            2.0 / step_us * (0.5 * step_us * shear * derivative).asin()
        };
        // The wave number that has the pulse's frequency on this grid.
        let wanted = std::f64::consts::TAU * meta.pulse.frequency_mhz;
        let (mut low, mut high) = (0.5 * wanted / shear, 2.0 * wanted / shear);
        for _ in 0..60 {
            let middle = 0.5 * (low + high);
            if omega(middle) < wanted { low = middle } else { high = middle }
        }
        (omega(low + 1e-4) - omega(low - 1e-4)) / 2e-4 / shear
    }

    #[test]
    fn the_leading_order_is_what_the_scheme_does() {
        for (spacing_mm, dimensions) in [(0.033_333, 2.0), (0.02, 2.0), (0.057_143, 3.0)] {
            let by_formula = 100.0 / seen_us(100.0, Some(spacing_mm), dimensions, &meta());
            let exactly = group_speed(spacing_mm, dimensions);
            let (formula, exact) = (by_formula - 1.0, exactly - 1.0);
            // 7e-5 are 2 ns on the latest echo of the cases.
            assert!((formula - exact).abs() < 7e-5 && exact > 4e-4, "{spacing_mm}: {formula} {exact}");
        }
        assert_eq!(seen_us(30.0, None, 2.0, &meta()), 30.0);
    }
}
