use acoustics::material::Solid;
use acoustics::scene::POINT_SPACING_WAVELENGTHS;
use exam::paper::Paper;
use instrument::bench::{Instrument, Spot};
use instrument::pose::{Face, Pose, Side};
use specimen::flaw::{Extent, FlawKind};

pub fn paper(file: &str) -> Paper {
    let path = format!("{}/../scenarios/plates/{file}", env!("CARGO_MANIFEST_DIR"));
    Paper::parse(file, &std::fs::read(path).unwrap()).unwrap()
}

pub fn spacing_mm(paper: &Paper) -> f64 {
    POINT_SPACING_WAVELENGTHS * Solid::STEEL.shear_mm_per_us / paper.procedure.probe.frequency_mhz
}

/// Strongest echo that plots on the flaw (within 2 mm of its box) from one side, over the allowed offsets.
fn best(bench: &mut Instrument, paper: &Paper, extent: &Extent, side: Side) -> Option<(Spot, Pose)> {
    let [from, to] = paper.procedure.index_offset_mm;
    let y_mm = 0.5 * (extent.along_mm[0] + extent.along_mm[1]);
    let mut best: Option<(Spot, Pose)> = None;
    for step in 0..=((to - from) as u32) {
        let pose =
            Pose { face: Face::Upper, side, index_offset_mm: from + f64::from(step), y_mm, skew_deg: 0.0 };
        bench.scan(&pose, 0);
        for echo in bench.echoes(1.0, 60) {
            let near = |value: f64, [low, high]: [f64; 2]| value > low - 2.0 && value < high + 2.0;
            if near(echo.offset_mm, extent.across_mm)
                && near(echo.depth_mm, extent.depth_mm)
                && best.is_none_or(|(b, _)| echo.amplitude_percent > b.amplitude_percent)
            {
                best = Some((echo, pose));
            }
        }
    }
    best
}

/// Level of the better echo of a plate's lack of side-wall fusion from each side, relative to the reference, dB.
fn levels(file: &str) -> [f64; 2] {
    let mut paper = paper(file);
    paper.plate.flaws.retain(|flaw| flaw.kind == FlawKind::LackOfSideWallFusion);
    let extent = paper.plate.flaws[0].extent(&paper.plate);
    let mut bench = Instrument::new(paper.plate.scene(spacing_mm(&paper)), &paper.procedure).unwrap();
    bench.set_gain_db(paper.procedure.reference_gain_db - 12.0);
    [Side::A, Side::B].map(|side| {
        let (echo, pose) = best(&mut bench, &paper, &extent, side).unwrap();
        let db = 20.0 * (echo.amplitude_percent / 80.0).log10() + 12.0;
        println!(
            "{file} from {side:?}: {db:+.1} dB at {:.1} mm, leg {}, offset {:.0} mm",
            echo.sound_path_mm, echo.leg, pose.index_offset_mm
        );
        db
    })
}

/// Side A's second leg meets the bevel of side A square; the direct beam that would meet it square from side B would
/// have to stand on the cap. Common practice asks for 9 dB between the sides to call a flaw planar (no source).
#[test]
fn lack_of_side_wall_fusion_answers_from_the_side_that_meets_it_square() {
    let [square, other] = levels("th-07.toml");
    assert!(square > 0.0 && square - other >= 9.0, "{square:.1} dB against {other:.1} dB");
}

/// The lower bevel of a double V: side B meets it square in the direct leg; from side A the square beam would bounce
/// on the lower cap, so what comes back is weaker.
#[test]
fn lower_bevel_of_a_double_v_answers_best_in_the_direct_leg() {
    let [by_the_wall, direct] = levels("th-11.toml");
    assert!(direct > 0.0 && direct > by_the_wall + 3.0, "{direct:.1} dB against {by_the_wall:.1} dB");
}
