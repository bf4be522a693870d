//! Whether a plate can be sat fairly: how high each flaw stands with the procedure, from each side.
//!
//! Each flaw is scanned by itself, over the poses that the procedure allows: what it echoes is its own, whatever cap and
//! root give beside it.

use acoustics::scene::POINT_SPACING_WAVELENGTHS;
use instrument::bench::{Instrument, SetUpError};
use instrument::pose::{Face, Pose, Side};
use instrument::sensitivity::REFERENCE_HEIGHT_PERCENT;
use serde::Serialize;
use specimen::plate::Plate;

use crate::matching::{length, middle};
use crate::paper::Paper;

/// Step of the index offset in the search, mm: about half the width of the sector's beams.
const OFFSET_STEP_MM: f64 = 3.0;

/// Places along a flaw that are tried, as shares of its length.
const PLACES: [f64; 3] = [0.25, 0.5, 0.75];

/// Gain below the reference gain, dB, at which no flaw runs off the screen.
const HEADROOM_DB: f64 = 30.0;

/// The highest echo of a flaw from one side, among poses that the procedure allows.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct BestEcho {
    /// Place of the flaw in the plate file, from 0.
    pub flaw: u32,
    /// Side the probe stands on.
    pub side: Side,
    /// Height relative to the reference, dB.
    pub amplitude_db: f64,
    /// Whether it reaches the recording level.
    pub recordable: bool,
    /// Index offset, mm.
    pub index_offset_mm: f64,
    /// Place along the weld, mm.
    pub y_mm: f64,
    /// Refracted angle of the beam, degrees.
    pub angle_deg: f64,
    /// Sound path, mm.
    pub sound_path_mm: f64,
}

/// The instrument over a plate, as the paper's procedure has it.
///
/// # Errors
/// A set-up that is impossible.
pub fn instrument(paper: &Paper, plate: &Plate) -> Result<Instrument, SetUpError> {
    Instrument::new(plate.scene(point_spacing_mm(paper)), &paper.procedure)
}

/// Distance of surface points that the procedure's probe needs, mm.
fn point_spacing_mm(paper: &Paper) -> f64 {
    POINT_SPACING_WAVELENGTHS * paper.plate.solid.shear_mm_per_us / paper.procedure.probe.frequency_mhz
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
    instrument.set_gain_db(paper.procedure.reference_gain_db - HEADROOM_DB);
    let scenes = paper.plate.flaw_scenes(point_spacing_mm(paper));
    let mut found = Vec::new();
    for ((index, flaw), scene) in (0..).zip(&paper.plate.flaws).zip(scenes) {
        if !flaws.contains(&index) {
            continue;
        }
        let along = flaw.extent(&paper.plate).along_mm;
        let own = instrument.replace_scene(scene);
        for &side in &paper.procedure.sides {
            found.push(best_echo(paper, instrument, index, along, side));
        }
        instrument.replace_scene(own);
    }
    found
}

fn best_echo(paper: &Paper, instrument: &mut Instrument, flaw: u32, along: [f64; 2], side: Side) -> BestEcho {
    let [near, far] = paper.procedure.index_offset_mm;
    let steps = libm::ceil((far - near) / OFFSET_STEP_MM) as u32;
    let mut best = (0.0_f32, 0, middle(along), near);
    for share in PLACES {
        let y_mm = along[0] + share * length(along);
        for step in 0..=steps {
            let index_offset_mm = (near + f64::from(step) * OFFSET_STEP_MM).min(far);
            instrument.scan(&Pose { face: Face::Upper, side, index_offset_mm, y_mm, skew_deg: 0.0 }, 0);
            let (percent, samples) = instrument.percent();
            let highest = percent.iter().enumerate().max_by(|a, b| a.1.total_cmp(b.1));
            if let Some((at, &height)) = highest.filter(|(_, height)| **height > best.0) {
                best = (height, at / samples.max(1), y_mm, index_offset_mm);
            }
        }
    }
    let (_, beam, y_mm, index_offset_mm) = best;
    // The echo between the samples, and its sound path.
    instrument.scan(&Pose { face: Face::Upper, side, index_offset_mm, y_mm, skew_deg: 0.0 }, 0);
    let trace = instrument.trace(beam);
    let heights = trace.percent.iter().map(|&height| f64::from(height)).enumerate();
    let (at, height) = heights.max_by(|a, b| a.1.total_cmp(&b.1)).unwrap_or((0, 0.0));
    // A flaw that answers nothing stands far below anything seen; a number all the same.
    let amplitude_db = 20.0 * libm::log10(height.max(1e-6) / REFERENCE_HEIGHT_PERCENT) + HEADROOM_DB;
    BestEcho {
        flaw,
        side,
        amplitude_db,
        recordable: amplitude_db >= paper.procedure.recording_level_db,
        index_offset_mm,
        y_mm,
        angle_deg: instrument.angles_deg().get(beam).copied().unwrap_or(f64::NAN),
        sound_path_mm: at as f64 * trace.step_mm,
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
