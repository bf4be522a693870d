//! Calibration on reference blocks: what the operator measures by moving the probe over known reflectors, the correction
//! that follows, and what is left after it.
//!
//! A [`Sweep`] watches the frames of one step. The steps build on each other: speed from the two radii, then time in the
//! wedge and exit point of every beam from a radius, then the beams' angles from holes at known depths, then gain, from one
//! hole at all angles and from holes at several depths. Beams are taken one by one; no model of the wedge is fitted.

use serde::{Deserialize, Serialize};

use crate::procedure::{Probe, Sector};
use crate::reckoning::Reckoning;
use crate::sensitivity::REFERENCE_HEIGHT_PERCENT;
use crate::set_up::{self, SetUp};

mod check;
mod result;
mod sweep;

pub use check::{Check, MOST_DB, MOST_RANGE_MM, MOST_RANGE_PERCENT};
pub use result::{Outcome, Residual, Step};
pub use sweep::{Sweep, Target, Top};

/// What one beam was found to do.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Beam {
    /// Exit point, forward from the wedge front, mm.
    pub exit_forward_mm: f64,
    /// Time in the wedge, one way, µs.
    pub wedge_time_us: f64,
}

/// Gain at a sound path.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct GainPoint {
    /// Sound path, mm.
    pub path_mm: f64,
    /// Gain there, dB.
    pub gain_db: f64,
}

/// All that was calibrated; what was not is as the data sheets say.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Calibration {
    /// Probe it was made with: beams and gain hold for no other.
    pub probe: Probe,
    /// Beams it was made with.
    pub sector: Sector,
    /// Speed in the metal, mm/µs.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub speed_mm_per_us: Option<f64>,
    /// Time and exit point of every beam; empty until measured.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub beams: Vec<Beam>,
    /// Refracted angles of the beams, degrees; empty until measured.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub angles_deg: Vec<f64>,
    /// Gain of every beam, dB; empty until measured.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub sensitivity_db: Vec<f64>,
    /// Gain over sound path on top, for every beam, by rising path; empty until measured.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub path_gain: Vec<Vec<GainPoint>>,
    /// Way for one millimetre that the encoder counts, mm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub encoder_scale: Option<f64>,
}

/// Bounds of what a log may bring.
const SPEED_MM_PER_US: [f64; 2] = [1.0, 7.0];
const MOST_GAIN_DB: f64 = 120.0;

impl Calibration {
    /// Nothing calibrated yet.
    pub fn begin(set_up: &SetUp) -> Self {
        Self {
            probe: set_up.probe.clone(),
            sector: set_up.sector.clone(),
            speed_mm_per_us: None,
            beams: Vec::new(),
            angles_deg: Vec::new(),
            sensitivity_db: Vec::new(),
            path_gain: Vec::new(),
            encoder_scale: None,
        }
    }

    /// What of it still holds for another set-up: speed and encoder for any, beams and gain for the same probe and beams.
    #[must_use]
    pub fn carried_to(&self, set_up: &SetUp) -> Self {
        if self.probe == set_up.probe && self.sector == set_up.sector {
            return self.clone();
        }
        Self {
            speed_mm_per_us: self.speed_mm_per_us,
            encoder_scale: self.encoder_scale,
            ..Self::begin(set_up)
        }
    }

    /// Sets the encoder's scale from a way and what was counted for it.
    pub fn set_encoder(&mut self, way_mm: f64, counted_mm: f64) {
        if counted_mm > 0.0 && way_mm > 0.0 {
            self.encoder_scale = Some(libm::round(way_mm / counted_mm * 1e5) / 1e5);
        }
    }

    /// Way that the encoder shows for what it counted, mm.
    pub fn encoder_mm(&self, counted_mm: f64) -> f64 {
        counted_mm * self.encoder_scale.unwrap_or(1.0)
    }

    /// Whether everything that a reading needs was calibrated.
    pub fn is_complete(&self) -> bool {
        self.speed_mm_per_us.is_some()
            && [self.beams.len(), self.angles_deg.len(), self.sensitivity_db.len(), self.path_gain.len()]
                .iter()
                .all(|&count| count > 0)
    }

    /// Why it cannot be used, in words: a log comes from outside.
    pub fn problem(&self) -> Option<String> {
        if let Err(error) = set_up::check_probe_and_sector(&self.probe, &self.sector) {
            return Some(error.to_string());
        }
        let beams = set_up::beam_count(&self.sector) as usize;
        let lists = [
            ("beams", self.beams.len()),
            ("angles_deg", self.angles_deg.len()),
            ("sensitivity_db", self.sensitivity_db.len()),
            ("path_gain", self.path_gain.len()),
        ];
        if let Some((name, count)) = lists.into_iter().find(|&(_, count)| count != 0 && count != beams) {
            return Some(format!("{name} has {count} entries, expected none or {beams}"));
        }
        let speed = self.speed_mm_per_us.is_none_or(|speed| inside(speed, SPEED_MM_PER_US));
        let scale = self.encoder_scale.is_none_or(|scale| inside(scale, [0.5, 2.0]));
        let angles = self.angles_deg.iter().all(|&angle| inside(angle, [1.0, 88.0]))
            && self.angles_deg.windows(2).all(|pair| pair[0] < pair[1]);
        let times = self.beams.iter().all(|beam| {
            inside(beam.wedge_time_us, [0.0, 100.0]) && inside(beam.exit_forward_mm, [-300.0, 300.0])
        });
        let gain = |gain: f64| inside(gain, [-MOST_GAIN_DB, MOST_GAIN_DB]);
        let gains = self.sensitivity_db.iter().all(|&db| gain(db))
            && self.path_gain.iter().all(|curve| {
                curve.iter().all(|point| gain(point.gain_db) && point.path_mm.is_finite())
                    && curve.windows(2).all(|pair| pair[0].path_mm < pair[1].path_mm)
            });
        [
            (speed, "speed_mm_per_us"),
            (scale, "encoder_scale"),
            (angles, "angles_deg"),
            (times, "beams"),
            (gains, "sensitivity_db or path_gain"),
        ]
        .into_iter()
        .find(|(sound, _)| !sound)
        .map(|(_, name)| format!("{name} is out of its range"))
    }

    /// The beams as calibrated; what was not is nominal. Angles are kept rising.
    pub fn reckoning(&self, nominal: &Reckoning) -> Reckoning {
        let mut made = nominal.clone();
        if let Some(speed) = self.speed_mm_per_us {
            made.speed_mm_per_us = speed;
        }
        for (beam, found) in self.beams.iter().enumerate().take(made.angles.len()) {
            made.exits_forward_mm[beam] = found.exit_forward_mm;
            made.wedge_times_us[beam] = found.wedge_time_us;
        }
        for (beam, angle_deg) in self.angles_deg.iter().enumerate().take(made.angles.len()) {
            made.angles[beam] = angle_deg.to_radians();
        }
        made
    }

    /// Gain of a beam at a sound path, dB: linear between the points measured, flat beyond.
    pub fn gain_db(&self, beam: usize, path_mm: f64) -> f64 {
        let even = self.sensitivity_db.get(beam).copied().unwrap_or(0.0);
        even + self.path_gain.get(beam).map_or(0.0, |curve| along(curve, path_mm))
    }
}

fn inside(value: f64, [low, high]: [f64; 2]) -> bool {
    value >= low && value <= high
}

fn along(curve: &[GainPoint], path_mm: f64) -> f64 {
    let next = curve.partition_point(|point| point.path_mm <= path_mm);
    match (next.checked_sub(1).and_then(|at| curve.get(at)), curve.get(next)) {
        (Some(a), Some(b)) => {
            a.gain_db + (b.gain_db - a.gain_db) * (path_mm - a.path_mm) / (b.path_mm - a.path_mm)
        }
        (Some(point), None) | (None, Some(point)) => point.gain_db,
        (None, None) => 0.0,
    }
}

#[cfg(test)]
mod tests;

/// The height every hole shall have, dB over 1 %.
pub(crate) fn wanted_db() -> f64 {
    20.0 * libm::log10(REFERENCE_HEIGHT_PERCENT)
}
