//! What lies between the waves and the receiver: strength of the beams, contact, a finger, a scratch in the wedge.

use acoustics::frame_maker::FrameMaker;
use acoustics::law::DelayLaw;
use acoustics::pulse::SAMPLING_MHZ;
use serde::{Deserialize, Serialize};

use crate::bench::decibel;
use crate::contact::LIFTED_LOSS_DB;
use crate::pose::{Face, Pose};
use crate::sensitivity::Sensitivity;
use crate::stand::Stand;
use crate::truth::{Scratch, Truth};

/// Where a wet finger presses.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub enum Finger {
    /// On a face of the plate.
    Plate {
        /// Which face.
        face: Face,
        /// Place across the weld, mm.
        offset_mm: f64,
        /// Place along the weld, mm.
        y_mm: f64,
    },
    /// On the wedge.
    Wedge,
}

/// How far a finger's pad reaches, mm, and what its middle takes of sound that meets the face there, dB. Common practice, no
/// source: a wet finger lowers an echo plainly but does not put it out.
const FINGER_REACH_MM: f64 = 9.0;
const FINGER_LOSS_DB: f64 = 9.0;
/// Sound path before a face at which its echo begins, mm.
const BEFORE_FACE_MM: f64 = 3.0;
/// Bounces looked at.
const BOUNCES: u32 = 3;
/// Beams over which a scratch is heard, and width of its echo, µs.
const SCRATCH_BEAMS: f64 = 5.0;
const SCRATCH_US: f64 = 0.13;

/// One beam as it really goes.
#[derive(Clone, Copy, Debug)]
pub(crate) struct RealBeam {
    pub(crate) sine: f64,
    pub(crate) cosine: f64,
    pub(crate) exit_forward_mm: f64,
    /// Sample at which its path is 0.
    pub(crate) zero: f64,
    /// Amplitude over the nominal one.
    pub(crate) gain: f32,
    /// Height of the scratch on it, raw.
    pub(crate) scratch: f64,
}

/// Factors on the frame.
#[derive(Debug)]
pub(crate) struct Shaping {
    pub(crate) beams: Vec<RealBeam>,
    pub(crate) nominal: bool,
    pub(crate) scratch: Option<Scratch>,
    pub(crate) path_step_mm: f64,
    pub(crate) thickness_mm: Option<f64>,
    /// What the contact takes, dB.
    pub(crate) contact_loss_db: f64,
    pub(crate) finger: Option<Finger>,
}

/// Height of a scratch on a beam relative to its strongest.
fn scratch_share(scratch: &Scratch, beam: usize, beams: usize) -> f64 {
    let off = (beam as f64 - scratch.beam * (beams as f64 - 1.0)) / SCRATCH_BEAMS;
    libm::exp(-0.5 * off * off)
}

impl Shaping {
    /// The shaping of a bench as it really is.
    pub(crate) fn new(
        truth: &Truth,
        engine: &FrameMaker,
        sensitivity: &Sensitivity,
        first_element_to_front_mm: f64,
        thickness_mm: Option<f64>,
    ) -> Self {
        let count = engine.laws().len();
        let real = |(beam, law): (usize, &DelayLaw)| {
            let scratch = truth.scratch.map_or(0.0, |scratch| {
                let height = sensitivity.curve(beam).height(scratch.path_mm) * decibel(scratch.level_db);
                height * scratch_share(&scratch, beam, count)
            });
            RealBeam {
                sine: libm::sin(law.angle),
                cosine: libm::cos(law.angle),
                exit_forward_mm: law.exit_mm - first_element_to_front_mm,
                zero: engine.first_path_sample(beam),
                gain: truth.beam_gain(beam as f64 / (count.max(2) - 1) as f64) as f32,
                scratch,
            }
        };
        Self {
            beams: engine.laws().iter().enumerate().map(real).collect(),
            nominal: truth.is_nominal(),
            scratch: truth.scratch,
            path_step_mm: engine.path_step_mm(),
            thickness_mm,
            contact_loss_db: 0.0,
            finger: None,
        }
    }

    /// Shapes a frame, `[beam][sample]`.
    pub(crate) fn apply(&self, stand: &Stand, samples: usize, re: &mut [f32], im: &mut [f32]) {
        if self.nominal && self.contact_loss_db == 0.0 && self.finger.is_none() {
            return;
        }
        let contact = libm::exp10(-self.contact_loss_db / 20.0) as f32;
        let rows = re.chunks_exact_mut(samples).zip(im.chunks_exact_mut(samples));
        for (beam, (re, im)) in self.beams.iter().zip(rows) {
            let factor = beam.gain * contact;
            re.iter_mut().chain(im.iter_mut()).for_each(|value| *value *= factor);
            self.press(beam, stand, re, im);
            // The scratch lies before the film: contact takes nothing of it.
            if self.finger != Some(Finger::Wedge) {
                self.scratch(beam, re);
            }
        }
    }

    fn scratch(&self, beam: &RealBeam, re: &mut [f32]) {
        let Some(scratch) = self.scratch else { return };
        let centre = beam.zero + scratch.path_mm / self.path_step_mm;
        let first = (centre - 8.0).max(0.0) as usize;
        for (sample, value) in re.iter_mut().enumerate().skip(first).take(17) {
            let off = (sample as f64 - centre) / (SCRATCH_US * SAMPLING_MHZ);
            *value += (beam.scratch * libm::exp(-0.5 * off * off)) as f32;
        }
    }

    /// A finger on the plate takes from all sound that has met the face under it.
    fn press(&self, beam: &RealBeam, stand: &Stand, re: &mut [f32], im: &mut [f32]) {
        let (Some(Finger::Plate { face, offset_mm, y_mm }), Some(thickness)) =
            (self.finger, self.thickness_mm)
        else {
            return;
        };
        for bounce in 1..=BOUNCES {
            // Odd bounces are at the far face.
            let far = bounce % 2 == 1;
            if (face == stand.pose().face) == far {
                continue;
            }
            let path = f64::from(bounce) * thickness / beam.cosine;
            let [x, y] = stand.plate_mm(beam.exit_forward_mm + path * beam.sine);
            let off = f64::sqrt((x - offset_mm) * (x - offset_mm) + (y - y_mm) * (y - y_mm));
            let weight = 1.0 - off / FINGER_REACH_MM;
            if weight <= 0.0 {
                continue;
            }
            let factor = libm::exp10(-FINGER_LOSS_DB * weight / 20.0) as f32;
            let from = (beam.zero + (path - BEFORE_FACE_MM) / self.path_step_mm).max(0.0) as usize;
            re.iter_mut().skip(from).for_each(|value| *value *= factor);
            im.iter_mut().skip(from).for_each(|value| *value *= factor);
        }
    }
}

impl crate::bench::Instrument {
    /// What the contact takes of the next frames, dB: 0 on a wet face, more the drier it is, [`LIFTED_LOSS_DB`] in the
    /// air.
    pub fn set_contact_loss_db(&mut self, loss_db: f64) {
        self.shaping.contact_loss_db = loss_db.clamp(0.0, LIFTED_LOSS_DB);
    }

    /// Where a wet finger presses while the next frames are made.
    pub fn set_finger(&mut self, finger: Option<Finger>) {
        self.shaping.finger = finger;
    }

    /// The pose of the frame at hand.
    pub fn pose(&self) -> &Pose {
        self.stand.pose()
    }
}
