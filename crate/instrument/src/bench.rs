//! The instrument in use: a set-up over a plate, one frame at a time.

use std::sync::Arc;

use acoustics::engine::GrainDose;
use acoustics::frame_maker::FrameMaker;
use acoustics::grain::GrainField;
use acoustics::receiver_noise::ReceiverNoise;
use acoustics::scene::Scene;
use acoustics::shares::Shares;
use sha2::{Digest, Sha256};

use crate::beam_grid::BeamGrid;
use crate::correction::ideal_correction;
use crate::limits::{Limit, REFERENCE_GAIN_DB};
use crate::picture::{self, Layout, Picture};
pub use crate::picture::{PictureFrame, View};
use crate::pose::{Face, Pose, Side};
use crate::procedure::Procedure;
use crate::receiver::Receiver;
use crate::reckoning::Reckoning;
use crate::sensitivity::Sensitivity;
use crate::set_up::SetUp;
pub use crate::set_up::SetUpError;
use crate::shaping::Shaping;
pub use crate::spots::Spot;
use crate::stand::Stand;
use crate::table_order::table_order;
use crate::truth::Truth;
use acoustics::fine_trace::{FINE, FineTrace};

/// The receiver shows no more than this, % of full screen height.
pub const CLIP_PERCENT: f32 = 200.0;
/// Electronic noise relative to the reference reflector at 50 mm of sound path, dB.
const RECEIVER_NOISE_DB: f64 = -52.0;
/// Sound path at which electronic noise is set against the reference, mm.
const NOISE_PATH_MM: f64 = 50.0;

/// The echo trace of one beam over sound path from 0, as the receiver shows it.
#[derive(Clone, Debug)]
pub struct Trace {
    /// Sound path from one sample to the next, mm.
    pub step_mm: f64,
    /// % of full screen height up to 200 (the receiver clips); unrectified also below 0.
    pub percent: Vec<f32>,
}

/// Probe, wedge, laws and receiver over one plate.
#[derive(Debug)]
pub struct Instrument {
    pub(crate) engine: FrameMaker,
    pub(crate) scene: Scene,
    pub(crate) layout: Layout,
    /// From below the (first) aperture's centre to the wedge front as it really is, mm.
    to_front_mm: f64,
    /// What readings and pictures are reckoned with: by the data sheets, and now.
    pub(crate) nominal: Reckoning,
    pub(crate) reckoning: Reckoning,
    pub(crate) shaping: Shaping,
    pub(crate) sensitivity: Sensitivity,
    pub(crate) reference_gain_db: f64,
    pub(crate) angles_deg: Vec<f64>,
    /// Whether every beam has an aperture of its own.
    pub(crate) linear: bool,
    /// Factor from raw height to % at reference gain, `[beam][sample]`; 0 outside the range.
    pub(crate) correction: Vec<f32>,
    pub(crate) grain: Option<(GrainField, f32)>,
    noise: Arc<ReceiverNoise>,
    noise_rms: f32,
    receiver: Receiver,
    pub(crate) fine: FineTrace,
    pub(crate) pictures: [Option<Picture>; 2],
    colours: Box<[[u8; 3]; 256]>,
    pub(crate) stand: Stand,
    pub(crate) gain_db: f64,
    /// Heights at reference gain, unclipped, `[beam][sample]`.
    pub(crate) heights: Vec<f32>,
    /// Heights at the gain set, clipped, `[beam][sample]`.
    pub(crate) percent: Vec<f32>,
}

/// Where the probe stands for the first frame.
const FIRST_POSE: Pose =
    Pose { face: Face::Upper, side: Side::A, index_offset_mm: 0.0, y_mm: 0.0, skew_deg: 0.0 };

impl Instrument {
    /// Prepares tables and sensitivity for a scene and a procedure (about half a second), and measures the frame at a
    /// first pose.
    ///
    /// # Errors
    /// When the set-up is impossible.
    pub fn new(scene: Scene, procedure: &Procedure) -> Result<Self, SetUpError> {
        Self::with_set_up(scene, &SetUp::of(procedure), procedure.reference_gain_db)
    }

    /// The same for a set-up of the operator's; the reference hole stands at 80 % at this gain.
    ///
    /// # Errors
    /// When the set-up is impossible.
    pub fn with_set_up(scene: Scene, set_up: &SetUp, reference_gain_db: f64) -> Result<Self, SetUpError> {
        Self::on_bench(scene, set_up, reference_gain_db, &Truth::nominal())
    }

    /// The same on a bench that may differ from its data sheets: frames come from the truth, readings from the data sheets
    /// until [`Instrument::calibrate`]. A nominal bench comes calibrated.
    ///
    /// # Errors
    /// When the set-up is impossible.
    pub fn on_bench(
        scene: Scene,
        set_up: &SetUp,
        reference_gain_db: f64,
        truth: &Truth,
    ) -> Result<Self, SetUpError> {
        let field = scene.grain.map(|grain| GrainField::new(grain.seed));
        let noise = Arc::new(ReceiverNoise::new(scene.grain.map_or(0, |grain| grain.seed)));
        let order = table_order(set_up, &scene.solid, truth)?;
        let engine = FrameMaker::from_shares(Shares::new(order));
        let mut instrument = Self::with(scene, (field, noise, engine), set_up, reference_gain_db, truth)?;
        instrument.scan(&FIRST_POSE, 0);
        Ok(instrument)
    }

    /// Makes this instrument anew for another set-up or bench over the same plate: its scene as it is, or the same at another
    /// spacing of its points. What the set-up has no part in is kept, and so is what was made of its tables beforehand. There is no
    /// frame until the next scan.
    ///
    /// # Errors
    /// When the set-up is impossible; the instrument stays as it was then.
    pub fn change(
        &mut self,
        scene: Option<Scene>,
        set_up: &SetUp,
        reference_gain_db: f64,
        truth: &Truth,
        made: Option<Shares>,
    ) -> Result<(), SetUpError> {
        within_limits(reference_gain_db)?;
        let order = table_order(set_up, &self.scene.solid, truth)?;
        let made = made.filter(|made| *made.order() == order).unwrap_or_else(|| Shares::new(order));
        let scene = scene.unwrap_or_else(|| self.take_scene());
        let field = self.grain.take().map(|(field, _)| field);
        self.engine.clear();
        let engine = FrameMaker::following(Some(&mut self.engine), made);
        let noise = Arc::clone(&self.noise);
        *self = Self::with(scene, (field, noise, engine), set_up, reference_gain_db, truth)?;
        Ok(())
    }

    /// With what the seed of the plate makes, and an engine that has the set-up's tables.
    fn with(
        scene: Scene,
        (field, noise, mut engine): (Option<GrainField>, Arc<ReceiverNoise>, FrameMaker),
        set_up: &SetUp,
        reference_gain_db: f64,
        truth: &Truth,
    ) -> Result<Self, SetUpError> {
        within_limits(reference_gain_db)?;
        let (front_mm, range_mm) = (set_up.probe.first_element_to_front_mm, set_up.range_mm);
        let drawn = set_up.aperture();
        let nominal = Reckoning::of(&set_up.laws(&scene.solid)?, front_mm, scene.solid.shear_mm_per_us);
        let (aperture, solid) = (truth.set_up(set_up).aperture(), truth.solid(&scene.solid));
        let measured_mm = if truth.is_nominal() { range_mm } else { range_mm.max(60.0) };
        let centre_mm = aperture.centre_mm();
        let sensitivity = Sensitivity::measure(&mut engine, &solid, centre_mm, measured_mm);
        let correction = ideal_correction(&engine, &sensitivity, range_mm);
        let shaping = Shaping::new(truth, &engine, &sensitivity, front_mm, scene.thickness_mm);
        let middle = engine.laws().len() / 2;
        let noise_rms = sensitivity.curve(middle).height(NOISE_PATH_MM) * decibel(RECEIVER_NOISE_DB);
        let layout = Layout {
            thickness_mm: scene.thickness_mm.unwrap_or(range_mm),
            range_mm,
            to_front_mm: front_mm - drawn.centre_mm()[0],
            height_mm: drawn.centre_mm()[1],
            speeds: [drawn.near_speed(&scene.solid), scene.solid.shear_mm_per_us],
        };
        let to_front_mm = front_mm - centre_mm[0];
        let mut instrument = Self {
            to_front_mm,
            reckoning: nominal.clone(),
            nominal,
            shaping,
            sensitivity,
            reference_gain_db,
            angles_deg: set_up.angles_deg(),
            linear: set_up.sector.is_linear(),
            grain: field.map(|field| (field, 1.0)),
            noise,
            noise_rms: noise_rms as f32,
            receiver: set_up.receiver,
            fine: FineTrace::default(),
            pictures: [None, None],
            colours: Box::new(picture::cividis()),
            stand: Stand::new(FIRST_POSE, to_front_mm, layout.thickness_mm),
            gain_db: reference_gain_db,
            heights: vec![0.0; correction.len()],
            percent: vec![0.0; correction.len()],
            engine,
            scene,
            layout,
            correction,
        };
        instrument.engine.prepare(&instrument.scene);
        instrument.level_grain();
        if !truth.is_nominal() {
            instrument.calibrate(None);
        }
        Ok(instrument)
    }

    /// Refracted angles of the beams, degrees.
    pub fn angles_deg(&self) -> &[f64] {
        &self.angles_deg
    }

    /// Forward distance of a beam's exit point from the wedge front (negative: behind it), mm.
    pub fn exit_forward_mm(&self, beam: usize) -> f64 {
        self.reckoning.exits_forward_mm[beam]
    }

    /// Number of the sample at which a beam's sound path is 0, as assumed.
    pub(crate) fn first_path_sample(&self, beam: usize) -> f64 {
        self.reckoning.zero_sample(beam) + self.engine.sample_of(0.0)
    }

    /// Sound path from one sample to the next, mm, as assumed.
    pub(crate) fn path_step_mm(&self) -> f64 {
        self.reckoning.path_step_mm()
    }

    /// Takes the scene out, for another set-up over it, and leaves bare metal.
    pub fn take_scene(&mut self) -> Scene {
        let bare = bare(&self.scene);
        core::mem::replace(&mut self.scene, bare)
    }

    /// Puts the instrument on another scene of the same metal and thickness and gives the old one back. The frame at hand
    /// stays until the next scan. A scene with grain keeps the speckle that the instrument was made with.
    pub fn replace_scene(&mut self, scene: Scene) -> Scene {
        self.engine.prepare(&scene);
        core::mem::replace(&mut self.scene, scene)
    }

    /// Computes the frame at a pose. `tick` numbers the frame: electronic noise differs between ticks and repeats
    /// with them.
    pub fn scan(&mut self, pose: &Pose, tick: u32) {
        self.stand = Stand::new(*pose, self.to_front_mm, self.layout.thickness_mm);
        let grain = self.grain.as_ref().filter(|_| self.scene.grain.is_some());
        let dose = grain.map(|(field, scale)| GrainDose { field, scale: *scale });
        let samples = self.engine.samples();
        let (re, im) = self.engine.frame(&self.scene, &self.stand.placement(), dose);
        self.shaping.apply(&self.stand, samples, re, im);
        let rms = self.noise_rms / (self.receiver.averages as f32).sqrt();
        self.noise.add(tick, rms, samples, re, im);
        for (height, ((re, im), factor)) in
            self.heights.iter_mut().zip(re.iter().zip(im.iter()).zip(&self.correction))
        {
            *height = (re * re + im * im).sqrt() * factor;
        }
        self.receive();
    }

    /// Sets the receiver's gain, dB; takes effect on the frame at hand too.
    pub fn set_gain_db(&mut self, gain_db: f64) {
        self.gain_db = gain_db;
        self.receive();
    }

    /// Sets rectification, smoothing and averaging; averaging takes effect with the next frame.
    pub fn set_receiver(&mut self, receiver: Receiver) {
        self.receiver = receiver;
    }

    pub(crate) fn amplification(&self) -> f32 {
        decibel(self.gain_db - self.reference_gain_db) as f32
    }

    fn receive(&mut self) {
        let factor = self.amplification();
        for (percent, height) in self.percent.iter_mut().zip(&self.heights) {
            let value = height * factor;
            *percent = if value < CLIP_PERCENT { value } else { CLIP_PERCENT };
        }
    }

    /// Heights of the frame, % of full screen height up to 200, `[beam][sample]`, and the samples of a beam.
    pub fn percent(&self) -> (&[f32], usize) {
        (&self.percent, self.engine.samples())
    }

    /// Unclipped trace of one beam over sound path as the receiver shows it, % of full screen height.
    pub(crate) fn unclipped(&self, beam: usize) -> Trace {
        let (re, im) = self.engine.baseband();
        let samples = self.engine.samples();
        let row = beam * samples..(beam + 1) * samples;
        let (re, im, correction) = (&re[row.clone()], &im[row.clone()], &self.correction[row]);
        let start = self.first_path_sample(beam) * FINE as f64;
        let step_mm = self.path_step_mm() / FINE as f64;
        let count = (self.layout.range_mm / step_mm) as usize + 1;
        let factor = self.amplification();
        let (carrier_mhz, start_us) = (self.engine.carrier_mhz(), self.engine.start_us());
        let fine_per_us = acoustics::pulse::SAMPLING_MHZ * FINE as f64;
        let percent = (0..count)
            .map(|k| {
                // The nearest fine sample: a quarter of 0.1 µs is 0.04 mm of path.
                let index = libm::round(start + k as f64) as usize;
                let sample = (index / FINE).min(samples - 1);
                let height = if self.receiver.shows_envelope() {
                    self.fine.magnitude(re, im, index)
                } else {
                    let cycles = carrier_mhz * (start_us + index as f64 / fine_per_us);
                    self.receiver.shown(self.fine.wave(re, im, index, cycles))
                };
                height * correction[sample] * factor
            })
            .collect();
        Trace { step_mm, percent }
    }

    /// Path error of taking the nearest fine sample, mm: added to readings.
    pub(crate) fn rounding_mm(&self, beam: usize) -> f64 {
        let start = self.first_path_sample(beam) * FINE as f64;
        (libm::round(start) - start) * self.path_step_mm() / FINE as f64
    }

    /// The echo trace of one beam.
    pub fn trace(&self, beam: usize) -> Trace {
        let mut trace = self.unclipped(beam);
        for value in &mut trace.percent {
            *value = value.clamp(-CLIP_PERCENT, CLIP_PERCENT);
        }
        trace
    }

    fn picture(&mut self, view: View) -> &mut Picture {
        let slot = &mut self.pictures[usize::from(view == View::Unfolded)];
        // Calibrated one by one, or sent from apertures of their own: no one ray speaks for all beams.
        let by_path = !self.shaping.nominal || self.linear;
        let grid = || BeamGrid::of(&self.reckoning, &self.engine, by_path);
        slot.get_or_insert_with(|| Picture::new(view, &self.layout, &grid()))
    }

    /// Size and place of the picture for a view.
    pub fn picture_frame(&mut self, view: View) -> PictureFrame {
        self.picture(view).frame
    }

    /// Paints the picture as RGBA rows (length width_px × height_px × 4); transparent where no beam reaches.
    /// Where legs overlap the stronger wins, or `leg` (from 1) is shown alone.
    pub fn paint(&mut self, view: View, leg: Option<u8>, rgba: &mut [u8]) {
        self.picture(view);
        if let Some(picture) = &mut self.pictures[usize::from(view == View::Unfolded)] {
            picture.paint(&self.percent, leg, &self.colours, rgba);
        }
    }

    /// Colours of the picture from 0 to 100 % of full screen height in 256 steps, RGB.
    pub fn colours() -> [[u8; 3]; 256] {
        picture::cividis()
    }

    /// Sixteen of them, evenly spread, the first and the last among them: for a scale beside the picture.
    pub fn colour_steps() -> [[u8; 3]; 16] {
        let colours = picture::cividis();
        core::array::from_fn(|step| colours[17 * step])
    }

    /// Digest of the present frame: SHA-256 over the heights at reference gain (little-endian f32, `[beam][sample]`),
    /// first 16 bytes in hexadecimal, and the number of values.
    pub fn digest(&self) -> String {
        let mut hash = Sha256::new();
        for height in &self.heights {
            hash.update(height.to_le_bytes());
        }
        let hex: String = hash.finalize().iter().take(16).map(|byte| format!("{byte:02x}")).collect();
        format!("{hex}:{}", self.heights.len())
    }
}

fn within_limits(reference_gain_db: f64) -> Result<(), SetUpError> {
    crate::set_up::within(&Limit::new("reference_gain_db", reference_gain_db, REFERENCE_GAIN_DB, " dB"))
}

/// A half space of the same metal.
pub(crate) fn bare(scene: &Scene) -> Scene {
    Scene {
        solid: scene.solid,
        thickness_mm: None,
        surface: acoustics::scene::Surface::default(),
        upper_not_flat: Vec::new(),
        lower_not_flat: Vec::new(),
        grain: None,
        longitudinal: false,
    }
}

/// Amplitude ratio of a level in dB.
pub(crate) fn decibel(db: f64) -> f64 {
    libm::exp10(db / 20.0)
}
