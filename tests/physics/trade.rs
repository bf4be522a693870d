//! Facts of the trade about welds and flaws. Common practice, no source.

use exam::findable::{self, BestEcho};
use exam::paper::Paper;
use exam::standard;
use instrument::bench::{Instrument, Spot};
use instrument::pose::{Face, Pose, Side};
use specimen::flaw::{Flaw, FlawKind, Place};
use specimen::joint::{Bevel, WeldSide};

use crate::lack_of_fusion::{paper, spacing_mm};

fn flaw(kind: FlawKind, length_mm: f64, height_mm: f64, seed: u64, place: Place) -> Flaw {
    Flaw {
        kind,
        start_mm: 120.0,
        length_mm,
        height_mm,
        width_mm: None,
        tilt_deg: 0.0,
        branches: 0,
        roughness_ratio: Flaw::USUAL_ROUGHNESS,
        seed,
        mandatory: true,
        place,
    }
}

/// A plate like one of the yard's, with other flaws, under the standard procedure.
fn with(file: &str, groove_angle_deg: f64, flaws: Vec<Flaw>) -> Paper {
    let mut paper = paper(file);
    (paper.plate.joint.groove_angle_deg, paper.plate.flaws) = (groove_angle_deg, flaws);
    paper.procedure = standard::procedure(&paper.plate);
    assert_eq!(paper.check(), []);
    paper
}

fn bench(paper: &Paper) -> Instrument {
    Instrument::new(paper.plate.scene(spacing_mm(paper)), &paper.procedure).unwrap()
}

fn pose(side: Side, index_offset_mm: f64, y_mm: f64) -> Pose {
    Pose { face: Face::Upper, side, index_offset_mm, y_mm, skew_deg: 0.0 }
}

/// The probe slides along a clean weld at one index offset: in the beam in which the echo of a face mostly stands
/// highest, its place on the sound path stays within 1 mm.
fn keeps_its_place(paper: &Paper, offset: f64, leg: u8, [low, high]: [f64; 2]) {
    let mut bench = bench(paper);
    bench.set_gain_db(paper.procedure.reference_gain_db);
    let mut slide = |look: &mut dyn FnMut(&Instrument)| {
        for step in 0..120 {
            bench.scan(&pose(Side::A, offset, 60.0 + 1.5 * f64::from(step)), 0);
            look(&bench);
        }
    };
    let mut highest: Vec<(usize, f64)> = Vec::new();
    slide(&mut |bench| {
        // Within 3 mm of the face at the end of the leg, before it or past it; highest first.
        let at_face = |echo: &&Spot| {
            let down = echo.sound_path_mm * bench.angles_deg()[echo.beam].to_radians().cos();
            (down - f64::from(leg) * paper.plate.thickness_mm).abs() < 3.0
                && (low..high).contains(&echo.offset_mm)
        };
        let echoes = bench.echoes(0.1, 400);
        let echo = echoes.iter().find(at_face).expect("an echo of the face");
        highest.push((echo.beam, echo.sound_path_mm));
    });
    highest.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
    let (beam, path_mm) = highest[highest.len() / 2];
    let mut paths = Vec::new();
    slide(&mut |bench| {
        let trace = bench.trace(beam);
        let near = |at: usize| (at as f64 * trace.step_mm - path_mm).abs() < 3.0;
        let heights = trace.percent.iter().enumerate().filter(|(at, _)| near(*at));
        let (at, _) = heights.max_by(|a, b| a.1.total_cmp(b.1)).unwrap();
        paths.push(at as f64 * trace.step_mm);
    });
    let moved = paths.iter().filter(|path| (*path - path_mm).abs() > 1.0).count();
    assert_eq!(moved, 0, "leg {leg} beam {beam}: {moved} of 120 off {path_mm:.1} mm: {paths:.1?}");
}

#[test]
fn cap_and_root_echoes_keep_their_place_over_a_clean_weld() {
    let paper = with("th-07.toml", 60.0, vec![]);
    let thickness = paper.plate.thickness_mm;
    let root = paper.plate.joint.root_bead.unwrap().width_mm / 2.0;
    keeps_its_place(&paper, 16.0, 1, [-root, root + 2.0]);
    let toe = paper.plate.joint.upper_toe_mm(thickness);
    keeps_its_place(&paper, 40.0, 2, [toe - 3.0, toe + 3.0]);
}

fn best(echoes: &[BestEcho], side: Side) -> BestEcho {
    *echoes.iter().find(|echo| echo.side == side).unwrap()
}

/// Leg of a best echo, from 1.
fn leg(paper: &Paper, echo: &BestEcho) -> u32 {
    (echo.sound_path_mm * echo.angle_deg.to_radians().cos() / paper.plate.thickness_mm) as u32 + 1
}

/// From the other side the first leg meets the bevel far off square. Its second leg may meet it square as well, where the
/// procedure lets the probe stand that far back and the lower cap is not in the way.
#[test]
fn lack_of_fusion_on_the_lower_bevel_is_found_in_the_first_leg_by_the_beam_square_to_it() {
    for (groove_angle_deg, square_deg) in [(60.0, 60.0), (40.0, 70.0)] {
        for (side, near, far) in [(WeldSide::A, Side::A, Side::B), (WeldSide::B, Side::B, Side::A)] {
            let place = Place::Bevel { side, bevel: Bevel::Lower, depth_mm: 19.0 };
            let flaws = vec![flaw(FlawKind::LackOfSideWallFusion, 25.0, 4.0, 7, place)];
            let mut paper = with("th-11.toml", groove_angle_deg, flaws);
            let echoes = findable::best_echoes(&paper).unwrap();
            let (direct, by_the_wall) = (best(&echoes, near), best(&echoes, far));
            assert_eq!(leg(&paper, &direct), 1, "{direct:?}");
            assert!((direct.angle_deg - square_deg).abs() <= 3.0, "{direct:?}");
            assert!(direct.amplitude_db > 0.0, "{direct:?}");
            // The lower cap of the wider groove is in the way of the other side's square beam.
            let wide = groove_angle_deg > 50.0;
            assert!(
                !wide || direct.amplitude_db - by_the_wall.amplitude_db >= 3.0,
                "{direct:?} {by_the_wall:?}"
            );
            // Offsets from which only the first leg of the other side reaches the flaw.
            paper.procedure.index_offset_mm[1] = paper.procedure.index_offset_mm[0] + 8.0;
            let other = best(&findable::best_echoes(&paper).unwrap(), far);
            assert!(direct.amplitude_db - other.amplitude_db >= 9.0, "{direct:?} {other:?}");
        }
    }
}

/// Heights of the flaw's echo, dB, while the probe slides along it at one pose.
fn slide(paper: &Paper, echo: &BestEcho) -> Vec<f64> {
    let mut bench =
        Instrument::new(paper.plate.flaw_scenes(spacing_mm(paper)).remove(0), &paper.procedure).unwrap();
    bench.set_gain_db(paper.procedure.reference_gain_db - 20.0);
    let along = paper.plate.flaws[0].extent(&paper.plate).along_mm;
    let steps = (2.0 * (along[1] - along[0] - 4.0)) as u32;
    (0..=steps)
        .map(|step| {
            bench.scan(&pose(echo.side, echo.index_offset_mm, along[0] + 2.0 + 0.5 * f64::from(step)), 0);
            let trace = bench.trace(beam(&bench, echo.angle_deg));
            let near = |at: usize| (at as f64 * trace.step_mm - echo.sound_path_mm).abs() < 5.0;
            let high = trace
                .percent
                .iter()
                .enumerate()
                .filter(|(at, _)| near(*at))
                .map(|(_, h)| *h)
                .fold(0.0, f32::max);
            20.0 * f64::from(high).max(1e-3).log10()
        })
        .collect()
}

fn beam(bench: &Instrument, angle_deg: f64) -> usize {
    bench.angles_deg().iter().position(|angle| (angle - angle_deg).abs() < 1e-6).unwrap()
}

/// Peaks that stand a number of dB above the dips on both their sides.
fn peaks(heights: &[f64], above_db: f64) -> usize {
    let (mut count, mut rising, mut extreme) = (0, true, f64::NEG_INFINITY);
    for &height in heights {
        if rising {
            extreme = extreme.max(height);
            if height < extreme - above_db {
                (count, rising, extreme) = (count + 1, false, height);
            }
        } else {
            extreme = extreme.min(height);
            if height > extreme + above_db {
                (rising, extreme) = (true, height);
            }
        }
    }
    count + usize::from(rising)
}

#[test]
fn slag_against_a_bevel_is_a_clean_face_from_one_side_and_ragged_from_the_other() {
    for seed in 0..6 {
        let place = Place::Bevel { side: WeldSide::B, bevel: Bevel::Upper, depth_mm: 11.0 };
        let mut slag = flaw(FlawKind::SlagLine, 34.0, 3.0, seed, place);
        slag.width_mm = Some(2.0);
        let paper = with("th-07.toml", 60.0, vec![slag]);
        let echoes = findable::best_echoes(&paper).unwrap();
        // The flat lay on the plate of side B: the second leg of side B meets it.
        let (flat, rough) = (best(&echoes, Side::B), best(&echoes, Side::A));
        let (clean, ragged) = (slide(&paper, &flat), slide(&paper, &rough));
        let words = format!("seed {seed}: {clean:.1?} {ragged:.1?}");
        assert_eq!(peaks(&clean, 2.0), 1, "{words}");
        assert!(peaks(&ragged, 2.0) >= 3, "{words}");
    }
}

#[test]
fn upright_centreline_flaws_answer_alike_from_both_sides() {
    let mut gaps = Vec::new();
    for seed in 0..8 {
        let place = Place::Weld { depth_mm: 12.5, offset_mm: 0.0 };
        let paper = with("th-11.toml", 60.0, vec![flaw(FlawKind::CentrelineCrack, 25.0, 3.0, seed, place)]);
        let echoes = findable::best_echoes(&paper).unwrap();
        gaps.push(best(&echoes, Side::A).amplitude_db - best(&echoes, Side::B).amplitude_db);
    }
    // A crack's facets make single ones differ; on the whole neither side is preferred.
    assert!(gaps.iter().all(|gap: &f64| gap.abs() <= 3.0), "{gaps:.1?}");
    let mean = gaps.iter().sum::<f64>() / gaps.len() as f64;
    assert!(mean.abs() <= 1.0, "{gaps:.1?}");
}

/// How loud the best echo of the one flaw is from its louder side, dB to the reference, over seeds of the flaw.
fn loudest(make: impl Fn(u64) -> Flaw) -> f64 {
    let level = |seed: u64| {
        let paper = with("th-07.toml", 60.0, vec![make(seed)]);
        let echoes = findable::best_echoes(&paper).unwrap();
        echoes.iter().map(|echo| echo.amplitude_db).fold(f64::NEG_INFINITY, f64::max)
    };
    let levels = [1, 2, 3, 4, 5].map(level);
    println!("{levels:.1?}");
    levels.iter().sum::<f64>() / 5.0
}

/// The beams meet an upright crack within the plate far off square. The straight tips of a smooth one answer together all along,
/// those of a usual one stray and do not; of a very rough one some facets face the probe.
#[test]
fn a_very_rough_upright_crack_is_heard_by_its_facets() {
    let place = Place::Weld { depth_mm: 10.0, offset_mm: 0.0 };
    let crack = |roughness_ratio: f64| {
        loudest(|seed| Flaw { roughness_ratio, ..flaw(FlawKind::CentrelineCrack, 20.0, 5.0, seed, place) })
    };
    let [smooth, usual, rough] = [0.0, 1.0, 3.0].map(crack);
    println!("smooth {smooth:.1}, usual {usual:.1}, rough {rough:.1} dB");
    assert!(smooth > usual + 2.0 && rough > usual + 3.0);
}

/// A bevel met square throws less back the more it strays.
#[test]
fn a_rough_bevel_met_square_is_weaker_than_a_smooth_one() {
    let place = Place::Bevel { side: WeldSide::A, bevel: Bevel::Upper, depth_mm: 8.0 };
    let sheet = |roughness_ratio: f64| {
        loudest(|seed| Flaw {
            roughness_ratio,
            ..flaw(FlawKind::LackOfSideWallFusion, 25.0, 4.0, seed, place)
        })
    };
    let [smooth, usual, rough] = [0.0, 1.0, 3.0].map(sheet);
    println!("smooth {smooth:.1}, usual {usual:.1}, rough {rough:.1} dB");
    assert!(smooth > usual && usual > rough + 0.5);
}
