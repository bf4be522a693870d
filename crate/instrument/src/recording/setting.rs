//! What a recording was made with: all that is needed to place its samples in the plate.

use serde::{Deserialize, Serialize};

use super::scale::Scale;
use crate::beam_grid::BeamGrid;
use crate::bench::Instrument;
use crate::picture::Layout;
use crate::procedure::{Probe, Procedure, Sector};

/// Plate, probe and receiver of a recording. Holds nothing of what is in the plate.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Setting {
    /// Name of the plate.
    pub plate_id: String,
    /// Thickness of the plate, mm.
    pub thickness_mm: f64,
    /// Length of the plate along the weld, mm.
    pub length_mm: f64,
    /// Probe and wedge.
    pub probe: Probe,
    /// Beams.
    pub sector: Sector,
    /// Longest sound path, mm.
    pub range_mm: f64,
    /// Gain at which the reference reflector stands at 80 % of full screen height, dB.
    pub reference_gain_db: f64,
    /// Gain above it that the procedure scans with, dB: how the recording is shown unless another is set.
    pub scanning_gain_db: f64,
    /// Echoes at or above this level, relative to the reference, are to be recorded on the sheet, dB.
    pub recording_level_db: f64,
    /// Distance from below the (first) aperture's centre to the wedge front, mm.
    pub aperture_to_front_mm: f64,
    /// Height of the (first) aperture's centre above the wedge's foot, mm.
    pub aperture_height_mm: f64,
    /// Longitudinal speed in the wedge, mm/µs.
    pub wedge_speed_mm_per_us: f64,
    /// Shear speed in the plate, mm/µs.
    pub plate_speed_mm_per_us: f64,
    /// Samples in a microsecond of two-way time, MHz.
    pub sampling_mhz: f64,
    /// Sound path from one sample to the next, mm.
    pub path_step_mm: f64,
    /// Samples of a beam.
    pub samples: u32,
    /// The beams, by rising angle, in a linear scan by rising exit point.
    #[serde(skip)]
    pub beams: Vec<Beam>,
}

/// A beam, and where its samples begin.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Beam {
    /// Refracted angle, degrees.
    pub angle_deg: f64,
    /// Where it leaves the wedge, forward from the wedge front (negative: behind it), mm.
    pub exit_forward_mm: f64,
    /// Number of its first sample on a clock that starts at firing.
    pub first_sample: u32,
    /// Sound path of that sample, mm; from 0 to less than a step.
    pub first_path_mm: f64,
}

impl Setting {
    /// The setting of an instrument that follows a procedure.
    pub fn new(instrument: &Instrument, procedure: &Procedure, plate_id: &str, length_mm: f64) -> Self {
        let (engine, layout) = (&instrument.engine, &instrument.layout);
        let step = instrument.path_step_mm();
        let begin = -engine.sample_of(0.0);
        let beams = (0..)
            .zip(instrument.angles_deg())
            .map(|(beam, &angle_deg)| {
                let zero = instrument.first_path_sample(beam);
                let first = libm::ceil(zero).max(0.0);
                Beam {
                    angle_deg,
                    exit_forward_mm: instrument.exit_forward_mm(beam),
                    first_sample: (begin + first) as u32,
                    first_path_mm: (first - zero) * step,
                }
            })
            .collect();
        Self {
            plate_id: plate_id.to_owned(),
            thickness_mm: layout.thickness_mm,
            length_mm,
            probe: procedure.probe.clone(),
            sector: procedure.sector.clone(),
            range_mm: layout.range_mm,
            reference_gain_db: procedure.reference_gain_db,
            scanning_gain_db: procedure.scanning_gain_db,
            recording_level_db: procedure.recording_level_db,
            aperture_to_front_mm: layout.to_front_mm,
            aperture_height_mm: layout.height_mm,
            wedge_speed_mm_per_us: layout.speeds[0],
            plate_speed_mm_per_us: instrument.reckoning.speed_mm_per_us,
            sampling_mhz: acoustics::pulse::SAMPLING_MHZ,
            path_step_mm: step,
            samples: (layout.range_mm / step) as u32 + 1,
            beams,
        }
    }

    /// Samples of a frame, and so its bytes.
    pub fn frame_samples(&self) -> usize {
        self.beams.len() * self.samples as usize
    }

    /// The codes of the frame that an instrument with this setting has at hand, `[beam][sample]`.
    pub fn codes(&self, scale: &Scale, instrument: &Instrument) -> Box<[u8]> {
        let (begin, row) = (-instrument.engine.sample_of(0.0) as usize, instrument.engine.samples());
        let samples = self.samples as usize;
        let mut codes = vec![0; self.frame_samples()];
        for ((beam, codes), heights) in
            self.beams.iter().zip(codes.chunks_exact_mut(samples)).zip(instrument.heights.chunks_exact(row))
        {
            let first = (beam.first_sample as usize).saturating_sub(begin);
            for (code, &height) in codes.iter_mut().zip(heights.iter().skip(first)) {
                *code = scale.code(height);
            }
        }
        codes.into_boxed_slice()
    }

    /// As the sector image wants it.
    pub(super) fn layout(&self) -> Layout {
        Layout {
            thickness_mm: self.thickness_mm,
            range_mm: self.range_mm,
            to_front_mm: self.aperture_to_front_mm,
            height_mm: self.aperture_height_mm,
            speeds: [self.wedge_speed_mm_per_us, self.plate_speed_mm_per_us],
        }
    }

    /// Beams and clock of a frame in which all beams begin at one time: a sample before the earliest is kept, so that the
    /// sound's way in can be drawn.
    pub(super) fn grid(&self) -> BeamGrid {
        let first = self.frame_begin();
        let last = self.beams.iter().map(|beam| beam.first_sample).max().unwrap_or(0);
        BeamGrid {
            angles: self.beams.iter().map(|beam| beam.angle_deg.to_radians()).collect(),
            exit_forward_mm: self.beams.iter().map(|beam| beam.exit_forward_mm).collect(),
            samples: (last - first + self.samples) as usize,
            sampling_mhz: self.sampling_mhz,
            first_sample: f64::from(first),
            by_path: self.sector.is_linear().then(|| (self.zeros(), self.path_step_mm)),
        }
    }

    /// Samples of [`Setting::grid`] at which the sound path of each beam is 0.
    fn zeros(&self) -> Vec<f64> {
        let begin = f64::from(self.frame_begin());
        let zero =
            |beam: &Beam| f64::from(beam.first_sample) - beam.first_path_mm / self.path_step_mm - begin;
        self.beams.iter().map(zero).collect()
    }

    /// Number of the first sample of [`Setting::grid`] on the clock that starts at firing.
    pub(super) fn frame_begin(&self) -> u32 {
        self.beams.iter().map(|beam| beam.first_sample).min().unwrap_or(0).saturating_sub(1)
    }

    /// Sound path of a sample of a beam, mm.
    pub fn path_mm(&self, beam: usize, sample: f64) -> f64 {
        self.beams[beam].first_path_mm + sample * self.path_step_mm
    }
}
