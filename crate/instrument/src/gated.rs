//! What a gate reads on a beam of the frame.

use crate::bench::{CLIP_PERCENT, Instrument};
use crate::gate::{Gate, GatePoint, Reading};
use crate::sensitivity::REFERENCE_HEIGHT_PERCENT;

impl Instrument {
    /// Reads the highest echo in a gate on one beam; `None` below the gate's threshold, or where the gate
    /// lies beyond the trace.
    pub fn reading(&self, beam: usize, gate: &Gate) -> Option<Reading> {
        self.reading_at(beam, gate, GatePoint::Peak)
    }

    /// The same, with the sound path read at the peak or at the flank; the amplitude is the peak's either way.
    pub fn reading_at(&self, beam: usize, gate: &Gate, point: GatePoint) -> Option<Reading> {
        if beam >= self.angles_deg.len() {
            return None;
        }
        let mut trace = self.unclipped(beam);
        // An unrectified wave is read by its height either way.
        trace.percent.iter_mut().for_each(|value| *value = value.abs());
        let end_mm = trace.step_mm * trace.percent.len() as f64;
        if gate.start_mm >= end_mm || gate.start_mm + gate.length_mm <= 0.0 {
            return None;
        }
        let index =
            |path: f64| ((path / trace.step_mm).max(1.0) as usize).min(trace.percent.len().max(3) - 2);
        let range = index(gate.start_mm)..=index(gate.start_mm + gate.length_mm);
        let peak = range.max_by(|&a, &b| trace.percent[a].total_cmp(&trace.percent[b]))?;
        let (before, top, after) = (trace.percent[peak - 1], trace.percent[peak], trace.percent[peak + 1]);
        let bend = before - 2.0 * top + after;
        let shift =
            if bend < 0.0 && top >= before && top >= after { 0.5 * (before - after) / bend } else { 0.0 };
        let height = f64::from(top - 0.25 * (before - after) * shift);
        let shown = height.min(f64::from(CLIP_PERCENT));
        if shown < gate.threshold_percent {
            return None;
        }
        let place = match point {
            GatePoint::Peak => peak as f64 + f64::from(shift),
            GatePoint::Flank => flank(&trace.percent, index(gate.start_mm), peak, gate.threshold_percent),
        };
        let path = place * trace.step_mm + self.rounding_mm(beam);
        let spot = self.spot(beam, path, shown);
        let angle = self.reckoning.angles[beam];
        let forward = self.exit_forward_mm(beam) + path * libm::sin(angle);
        Some(Reading {
            beam,
            angle_deg: self.angles_deg[beam],
            amplitude_percent: shown,
            amplitude_db: 20.0 * libm::log10(shown / REFERENCE_HEIGHT_PERCENT)
                - (self.gain_db - self.reference_gain_db),
            clipped: height > f64::from(CLIP_PERCENT),
            sound_path_mm: path,
            depth_mm: spot.depth_mm,
            leg: spot.leg,
            surface_distance_mm: forward,
            offset_mm: spot.offset_mm,
            y_mm: self.stand.plate_mm(forward)[1],
        })
    }
}

/// Where a trace first rises through a height between two of its values; the first of them where it is that high already.
fn flank(percent: &[f32], from: usize, to: usize, height: f64) -> f64 {
    let Some(above) = (from..=to).find(|&at| f64::from(percent[at]) >= height) else { return to as f64 };
    if above == from {
        return from as f64;
    }
    let (before, after) = (f64::from(percent[above - 1]), f64::from(percent[above]));
    above as f64 - (after - height) / (after - before)
}
