//! What stands where flaws answer, without them: geometry and noise.

use instrument::bench::Instrument;
use instrument::gate::Gate;
use instrument::pose::{Face, Pose, Side};
use specimen::plate::Plate;

use crate::findable::{self, BestEcho};
use crate::paper::Paper;

/// Sound path on either side of an echo within which something else is beside it, mm: about two pulse lengths.
const BESIDE_MM: f64 = 4.0;
/// Beams on either side of an echo's beam that are looked at.
const BESIDE_BEAMS: usize = 3;

/// Heights that stand for nothing heard.
const NOTHING_DB: f64 = -60.0;

/// What stands where flaws answer, without them.
pub(super) struct Beside {
    /// Geometry and noise at each echo, dB.
    pub(super) heights_db: Vec<[f64; 2]>,
    /// Highest noise within the weld in any frame looked at, dB.
    pub(super) noise_db: Option<f64>,
}

impl Beside {
    /// Looks at the poses of the echoes, each once, first with cap and root but no grain, then with grain but no cap and root.
    pub(super) fn of(instrument: &mut Instrument, paper: &Paper, echoes: &[BestEcho]) -> Self {
        // An instrument new to the plate and one that has scanned its flaws would differ in the last bit.
        instrument.set_gain_db(paper.procedure.reference_gain_db - findable::HEADROOM_DB);
        let mut heights_db = vec![[NOTHING_DB; 2]; echoes.len()];
        let mut noise_db = None;
        let sound = Plate { flaws: Vec::new(), ..paper.plate.clone() };
        let mut silent = sound.scene(findable::point_spacing_mm(paper));
        let mut bare = silent.clone();
        silent.grain = None;
        bare.surface = acoustics::scene::Surface::default();
        let mut poses: Vec<Pose> = Vec::new();
        for echo in echoes {
            let pose = echo.pose();
            if !poses.contains(&pose) {
                poses.push(pose);
            }
        }
        if poses.is_empty() {
            poses = middles(paper);
        }
        for (what, scene) in [silent, bare].into_iter().enumerate() {
            let own = instrument.replace_scene(scene);
            for pose in &poses {
                instrument.scan(pose, 0);
                for (echo, heights) in echoes.iter().zip(&mut heights_db) {
                    if echo.pose() == *pose {
                        heights[what] = highest_beside(instrument, echo);
                    }
                }
                if what == 1 {
                    let highest = highest_in_weld(instrument, paper, pose);
                    noise_db = Some(noise_db.map_or(highest, |so_far: f64| so_far.max(highest)));
                }
            }
            instrument.replace_scene(own);
        }
        Self { heights_db, noise_db }
    }
}

/// Poses over the middle of a plate without flaws, one a side.
fn middles(paper: &Paper) -> Vec<Pose> {
    let pose = |&side: &Side| Pose {
        face: Face::Upper,
        side,
        index_offset_mm: paper.procedure.index_offset_mm[0],
        y_mm: paper.plate.length_mm / 2.0,
        skew_deg: 0.0,
    };
    paper.procedure.sides.iter().map(pose).collect()
}

/// Highest echo within a few millimetres and beams of a flaw's, dB.
fn highest_beside(instrument: &Instrument, echo: &BestEcho) -> f64 {
    let gate = Gate {
        start_mm: (echo.sound_path_mm - BESIDE_MM).max(0.0),
        length_mm: 2.0 * BESIDE_MM,
        threshold_percent: 0.0,
    };
    let beam = echo.beam as usize;
    (beam.saturating_sub(BESIDE_BEAMS)..=beam + BESIDE_BEAMS)
        .filter_map(|beam| instrument.reading(beam, &gate))
        .map(|reading| reading.amplitude_db)
        .fold(NOTHING_DB, f64::max)
}

/// Highest echo of the frame that plots within the weld's width, dB.
fn highest_in_weld(instrument: &Instrument, paper: &Paper, pose: &Pose) -> f64 {
    let plate = &paper.plate;
    let toe = plate.joint.upper_toe_mm(plate.thickness_mm);
    let angles = instrument.angles_deg().iter().enumerate();
    angles
        .filter_map(|(beam, angle)| {
            let sine = libm::sin(angle.to_radians());
            let exit = instrument.exit_forward_mm(beam);
            let path = |forward: f64| ((forward - exit) / sine).max(0.0);
            let start_mm = path(pose.index_offset_mm - toe);
            let end_mm = path(pose.index_offset_mm + toe).min(paper.procedure.range_mm);
            let gate = Gate { start_mm, length_mm: end_mm - start_mm, threshold_percent: 0.0 };
            if end_mm > start_mm { instrument.reading(beam, &gate) } else { None }
        })
        .map(|reading| reading.amplitude_db)
        .fold(NOTHING_DB, f64::max)
}
