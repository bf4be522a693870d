//! Whether a plate can be sat fairly: how high each flaw stands with the procedure, from each side.
//!
//! Each flaw is scanned by itself, over the poses that the procedure allows: what it echoes is its own, whatever cap and
//! root give beside it.

use acoustics::engine::LEGS;
use acoustics::order::sort_by;
use acoustics::scene::{POINT_SPACING_WAVELENGTHS, Scene};
use instrument::bench::{Instrument, SetUpError, Spot};
use instrument::gate::Gate;
use instrument::pose::{Face, Pose, Side};
use instrument::sensitivity::REFERENCE_HEIGHT_PERCENT;
use instrument::set_up::SetUp;
use serde::Serialize;
use specimen::plate::Plate;

use crate::matching::{length, middle};
use crate::paper::Paper;

/// Step of the index offset in the search, mm: about half the width of the sector's beams.
const OFFSET_STEP_MM: f64 = 3.0;

/// Places along a flaw that are tried beside its middle, as shares of its length.
const OTHER_PLACES: [f64; 2] = [0.25, 0.75];

/// Echoes of a frame that are looked at, the highest first: more than one flaw gives above the lowest level.
const ECHOES: usize = 400;

/// Echoes below this are not looked for, dB against the reference: the receiver's own noise peaks there.
const LOWEST_DB: f64 = -40.0;

/// Length of the gate that reads an echo, mm.
const GATE_MM: f64 = 1.0;

/// Gain below the reference gain, dB, at which no flaw runs off the screen.
pub(crate) const HEADROOM_DB: f64 = 30.0;

/// The highest echo of a flaw from one side, or in one leg from there, among poses that the procedure allows.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct BestEcho {
    /// Place of the flaw in the plate file, from 0.
    pub flaw: u32,
    /// Side the probe stands on.
    pub side: Side,
    /// Leg the echo is read in, from 1.
    pub leg: u8,
    /// Height relative to the reference, dB.
    pub amplitude_db: f64,
    /// Whether it reaches the recording level.
    pub recordable: bool,
    /// Index offset, mm.
    pub index_offset_mm: f64,
    /// Place along the weld, mm.
    pub y_mm: f64,
    /// Beam, from 0.
    pub beam: u32,
    /// Refracted angle of the beam, degrees.
    pub angle_deg: f64,
    /// Sound path, mm.
    pub sound_path_mm: f64,
    /// Depth at which it is read, folded at the faces, mm.
    pub depth_mm: f64,
}

impl BestEcho {
    /// The pose it was found at.
    pub fn pose(&self) -> Pose {
        upright(self.side, self.index_offset_mm, self.y_mm)
    }
}

fn upright(side: Side, index_offset_mm: f64, y_mm: f64) -> Pose {
    Pose { face: Face::Upper, side, index_offset_mm, y_mm, skew_deg: 0.0 }
}

/// The instrument over a plate, as the paper's procedure has it.
///
/// # Errors
/// A set-up that is impossible.
pub fn instrument(paper: &Paper, plate: &Plate) -> Result<Instrument, SetUpError> {
    Instrument::new(plate.scene(point_spacing_mm(paper)), &paper.procedure)
}

/// Distance of surface points that the procedure's probe needs, mm.
pub(crate) fn point_spacing_mm(paper: &Paper) -> f64 {
    spacing_at_mm(paper, paper.procedure.probe.frequency_mhz)
}

/// Distance of surface points that a set-up needs, mm.
pub fn spacing_mm(paper: &Paper, set_up: &SetUp) -> f64 {
    spacing_at_mm(paper, set_up.probe.frequency_mhz)
}

fn spacing_at_mm(paper: &Paper, frequency_mhz: f64) -> f64 {
    POINT_SPACING_WAVELENGTHS * paper.plate.solid.shear_mm_per_us / frequency_mhz
}

/// The best echo of each flaw from each side of the procedure. Takes a tenth of a second a flaw and more.
///
/// # Errors
/// A set-up that is impossible.
pub fn best_echoes(paper: &Paper) -> Result<Vec<BestEcho>, SetUpError> {
    let all: Vec<u32> = (0..).zip(&paper.plate.flaws).map(|(index, _)| index).collect();
    best_echoes_of(paper, &all)
}

/// The same of some flaws only, given by their place in the plate file from 0.
///
/// # Errors
/// A set-up that is impossible.
pub fn best_echoes_of(paper: &Paper, flaws: &[u32]) -> Result<Vec<BestEcho>, SetUpError> {
    if flaws.is_empty() {
        return Ok(Vec::new());
    }
    let sound = Plate { flaws: Vec::new(), ..paper.plate.clone() };
    Ok(best_echoes_with(&mut instrument(paper, &sound)?, paper, flaws))
}

/// The same with an instrument that is there already; it comes back on its own scene, its frame and gain are lost.
pub fn best_echoes_with(instrument: &mut Instrument, paper: &Paper, flaws: &[u32]) -> Vec<BestEcho> {
    let mut best: Vec<BestEcho> = Vec::new();
    for echo in echoes_by_leg(instrument, paper, flaws) {
        match best.last_mut().filter(|last| last.flaw == echo.flaw && last.side == echo.side) {
            Some(last) if last.amplitude_db >= echo.amplitude_db => {}
            Some(last) => *last = echo,
            None => best.push(echo),
        }
    }
    best
}

/// The best echo of each flaw from each side in each leg, in this order. A leg that shows nothing is left out; from a
/// side that shows nothing one entry stands at the lowest level looked at. The instrument comes back on its own scene, its frame and gain are lost.
pub fn echoes_by_leg(instrument: &mut Instrument, paper: &Paper, flaws: &[u32]) -> Vec<BestEcho> {
    let scenes = paper.plate.flaw_scenes(point_spacing_mm(paper));
    let wanted = (0..).zip(scenes).filter(|(index, _)| flaws.contains(index));
    wanted.flat_map(|(index, scene)| echoes_of_one(instrument, paper, index, scene)).collect()
}

/// The same of one flaw, given the scene in which it is alone.
pub(crate) fn echoes_of_one(
    instrument: &mut Instrument,
    paper: &Paper,
    index: u32,
    scene: Scene,
) -> Vec<BestEcho> {
    let mut found = Vec::new();
    let own = instrument.replace_scene(scene);
    for &side in &paper.procedure.sides {
        found.extend(echoes_from_side(instrument, paper, index, side).legs);
    }
    instrument.replace_scene(own);
    found
}

/// What a flaw shows from one side.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FromSide {
    /// The side.
    pub side: Side,
    /// The best echo in each leg that shows one; at the lowest level looked at where none does.
    pub legs: Vec<BestEcho>,
    /// The highest echo of each beam, dB against the reference, at least the lowest level looked at. To the samples of the
    /// frames, so a little below the best echo, which is read between them.
    pub beams_db: Vec<f64>,
}

/// The same from one side, while the instrument is on the scene in which the flaw is alone. The frame and the gain are lost.
pub(crate) fn echoes_from_side(
    instrument: &mut Instrument,
    paper: &Paper,
    index: u32,
    side: Side,
) -> FromSide {
    instrument.set_gain_db(paper.procedure.reference_gain_db - HEADROOM_DB);
    let beams_db = vec![LOWEST_DB; instrument.angles_deg().len()];
    let mut shown = FromSide { side, legs: Vec::new(), beams_db };
    if let Some(flaw) = paper.plate.flaws.get(index as usize) {
        search(paper, instrument, index, flaw.extent(&paper.plate).along_mm, &mut shown);
    }
    shown
}

/// The highest echo of a leg so far.
#[derive(Clone, Copy)]
struct Candidate {
    percent: f64,
    pose: Pose,
    beam: usize,
    sound_path_mm: f64,
}

/// Scans the middle of the flaw over all index offsets, and its other places where the middle showed best.
fn search(
    paper: &Paper,
    instrument: &mut Instrument,
    flaw: u32,
    along: [f64; 2],
    FromSide { side, legs: found, beams_db }: &mut FromSide,
) {
    let side = *side;
    let [near, far] = paper.procedure.index_offset_mm;
    let steps = libm::ceil((far - near) / OFFSET_STEP_MM) as u32;
    let mut legs: [Option<Candidate>; LEGS] = [None; LEGS];
    for step in 0..=steps {
        let offset = (near + f64::from(step) * OFFSET_STEP_MM).min(far);
        look(instrument, upright(side, offset, middle(along)), &mut legs, beams_db);
    }
    let mut offsets: Vec<f64> = legs.iter().flatten().map(|best| best.pose.index_offset_mm).collect();
    sort_by(&mut offsets, f64::total_cmp);
    offsets.dedup();
    for share in OTHER_PLACES {
        for &offset in &offsets {
            let pose = upright(side, offset, along[0] + share * length(along));
            look(instrument, pose, &mut legs, beams_db);
        }
    }
    for (leg, best) in (1..).zip(legs).filter_map(|(leg, best)| Some((leg, best?))) {
        instrument.scan(&best.pose, 0);
        // The echo between the samples, and its sound path.
        let gate =
            Gate { start_mm: best.sound_path_mm - GATE_MM / 2.0, length_mm: GATE_MM, threshold_percent: 0.0 };
        let Some(reading) = instrument.reading(best.beam, &gate) else { continue };
        found.push(BestEcho {
            flaw,
            side,
            leg,
            amplitude_db: reading.amplitude_db,
            recordable: reading.amplitude_db >= paper.procedure.recording_level_db,
            index_offset_mm: best.pose.index_offset_mm,
            y_mm: best.pose.y_mm,
            beam: best.beam as u32,
            angle_deg: reading.angle_deg,
            sound_path_mm: reading.sound_path_mm,
            depth_mm: reading.depth_mm,
        });
    }
    if legs.iter().all(Option::is_none) {
        found.push(BestEcho {
            flaw,
            side,
            leg: 1,
            amplitude_db: LOWEST_DB,
            recordable: LOWEST_DB >= paper.procedure.recording_level_db,
            index_offset_mm: near,
            y_mm: middle(along),
            beam: 0,
            angle_deg: paper.procedure.sector.from_deg,
            sound_path_mm: 0.0,
            depth_mm: 0.0,
        });
    }
}

/// Height on the screen of the lowest echo looked for, %.
fn lowest_percent() -> f64 {
    REFERENCE_HEIGHT_PERCENT * libm::exp10((LOWEST_DB - HEADROOM_DB) / 20.0)
}

/// Scans a pose and keeps, of each leg and of each beam, the echo that is higher than what is known.
fn look(instrument: &mut Instrument, pose: Pose, legs: &mut [Option<Candidate>; LEGS], beams_db: &mut [f64]) {
    instrument.scan(&pose, 0);
    let (percent, samples) = instrument.percent();
    for (best, row) in beams_db.iter_mut().zip(percent.chunks(samples.max(1))) {
        let higher = |high: f32, &value: &f32| if value > high { value } else { high };
        let highest = f64::from(row.iter().fold(0.0, higher));
        *best = best.max(20.0 * libm::log10(highest / REFERENCE_HEIGHT_PERCENT) + HEADROOM_DB);
    }
    for echo in instrument.echoes(lowest_percent(), ECHOES) {
        let Some(best) = legs.get_mut(usize::from(echo.leg) - 1) else { continue };
        if best.is_none_or(|best| echo.amplitude_percent > best.percent) {
            let Spot { amplitude_percent: percent, beam, sound_path_mm, .. } = echo;
            *best = Some(Candidate { percent, pose, beam, sound_path_mm });
        }
    }
}

/// The flaws that were scanned and that no allowed pose brings up to the recording level, by their place in the plate
/// file.
pub fn out_of_reach(echoes: &[BestEcho]) -> Vec<u32> {
    let mut flaws: Vec<u32> = echoes.iter().map(|echo| echo.flaw).collect();
    flaws.sort_unstable();
    flaws.dedup();
    flaws.retain(|&flaw| !echoes.iter().any(|echo| echo.flaw == flaw && echo.recordable));
    flaws
}
