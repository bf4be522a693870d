use instrument::contact::Stroke;
use specimen::joint::Preparation;

use super::*;

fn paper() -> Paper {
    Paper::generate(Preparation::SingleV, 2, 4711)
}

fn pose(side: Side, index_offset_mm: f64, y_mm: f64) -> Event {
    Event::Pose(Pose { face: Face::Upper, side, index_offset_mm, y_mm, skew_deg: 0.0 })
}

/// Slides along the whole weld at an index offset, 50 mm a second.
fn slide(examined: &mut Examined, side: Side, index_offset_mm: f64, t_ms: &mut u64) {
    let length = examined.paper.plate.length_mm;
    let mut y = 0.0;
    while y <= length {
        examined.take(*t_ms, &pose(side, index_offset_mm, y));
        *t_ms += 200;
        y += 10.0;
    }
}

fn of(examined: &Examined, side: Side) -> SideExamined {
    examined.sides().into_iter().find(|one| one.side == side).unwrap()
}

#[test]
fn rows_near_and_far_add_up_and_the_other_side_stays_dark() {
    let paper = paper();
    let [near, far] = paper.procedure.index_offset_mm;
    let mut examined = Examined::new(&paper).unwrap();
    let mut t_ms = 0;
    slide(&mut examined, Side::A, near, &mut t_ms);
    let one_row = of(&examined, Side::A).met_percent;
    assert!(one_row > 20.0 && one_row < 90.0, "{one_row}");
    let mut offset = near;
    while offset <= far {
        t_ms += 1000;
        slide(&mut examined, Side::A, offset, &mut t_ms);
        offset += 4.0;
    }
    t_ms += 1000;
    slide(&mut examined, Side::A, far, &mut t_ms);
    let a = of(&examined, Side::A);
    assert!(a.met_percent > 97.0, "{}", a.met_percent);
    assert_eq!(a.met_percent, a.at_level_percent, "a session begins at scanning gain");
    assert!(a.along_percent.iter().all(|&percent| percent > 95));
    assert_eq!(of(&examined, Side::B).met_percent, 0.0);
}

#[test]
fn below_scanning_gain_is_met_quietly_only() {
    let paper = paper();
    let mut examined = Examined::new(&paper).unwrap();
    examined.take(0, &Event::Gain { gain_db: paper.procedure.reference_gain_db });
    let mut t_ms = 0;
    slide(&mut examined, Side::A, paper.procedure.index_offset_mm[0], &mut t_ms);
    let a = of(&examined, Side::A);
    assert!(a.met_percent > 20.0);
    assert_eq!(a.at_level_percent, 0.0);
}

#[test]
fn a_jump_and_a_rush_leave_out_what_lies_between() {
    let paper = paper();
    let offset = paper.procedure.index_offset_mm[0];
    let share = |t_ms: u64| {
        let mut examined = Examined::new(&paper).unwrap();
        examined.take(0, &pose(Side::A, offset, 20.0));
        examined.take(t_ms, &pose(Side::A, offset, 120.0));
        of(&examined, Side::A).met_percent
    };
    // 100 mm in two seconds is a slide, in a tenth of a second none.
    assert!(share(2000) > 4.0 * share(100), "{} {}", share(2000), share(100));
}

#[test]
fn what_lies_in_the_sound_was_met_and_what_lies_elsewhere_was_not() {
    let paper = paper();
    let thickness = paper.plate.thickness_mm;
    let mut examined = Examined::new(&paper).unwrap();
    // The root in the first leg: 60 degrees, under the front of the wedge.
    let offset = paper.procedure.index_offset_mm[0];
    examined.take(0, &pose(Side::A, offset, 60.0));
    let root = |along: [f64; 2]| Extent {
        along_mm: along,
        across_mm: [-1.0, 1.0],
        depth_mm: [thickness - 2.0, thickness],
    };
    assert_eq!(examined.met(&root([55.0, 70.0]), Side::A), Met::AtLevel);
    assert_eq!(examined.met(&root([90.0, 110.0]), Side::A), Met::Never);
    assert_eq!(examined.met(&root([55.0, 70.0]), Side::B), Met::Never);
}

#[test]
fn a_turned_probe_looks_elsewhere() {
    let paper = paper();
    let mut examined = Examined::new(&paper).unwrap();
    let turned = Pose {
        face: Face::Upper,
        side: Side::A,
        index_offset_mm: paper.procedure.index_offset_mm[0],
        y_mm: 60.0,
        skew_deg: 20.0,
    };
    examined.take(0, &Event::Pose(turned));
    assert_eq!(of(&examined, Side::A).met_percent, 0.0);
}

#[test]
fn what_is_scanned_lifted_is_not_examined_and_counts_from_where_it_is_set_down() {
    let paper = paper();
    let [offset, thickness] = [paper.procedure.index_offset_mm[0], paper.plate.thickness_mm];
    let at = |along_mm: [f64; 2]| Extent {
        along_mm,
        across_mm: [-1.0, 1.0],
        depth_mm: [thickness - 2.0, thickness],
    };
    let mut examined = Examined::new(&paper).unwrap();
    examined.take(0, &pose(Side::A, offset, 0.0));
    examined.take(100, &Event::Lifted(true));
    let length_mm = paper.plate.length_mm;
    for step in 1..=20_u32 {
        let y_mm = length_mm * f64::from(step) / 20.0;
        examined.take(u64::from(1000 * step), &pose(Side::A, offset, y_mm));
    }
    assert_eq!(examined.met(&at([55.0, 70.0]), Side::A), Met::Dry);
    let few = of(&examined, Side::A).met_percent;
    // It stood on the plate at the datum only.
    assert!(few > 0.0 && few < 3.0, "{few}");
    let [from, to] = examined.dry_mm(Side::A)[0];
    assert!(from < 10.0 && to > length_mm - 1.0, "{from} {to}");
    // Set down at the far end: there it has contact, and from there on.
    examined.take(30_000, &Event::Lifted(false));
    assert_eq!(examined.met(&at([length_mm - 2.0, length_mm]), Side::A), Met::AtLevel);
    examined.take(35_000, &pose(Side::A, offset, length_mm - 60.0));
    assert_eq!(examined.met(&at([length_mm - 50.0, length_mm - 40.0]), Side::A), Met::AtLevel);
    assert_eq!(examined.met(&at([55.0, 70.0]), Side::A), Met::Dry);
}

#[test]
fn a_dry_plate_is_not_examined_and_a_wet_one_is() {
    let mut paper = paper();
    paper.procedure.bench.always_wet = false;
    let offset = paper.procedure.index_offset_mm[0];
    let (length_mm, thickness) = (paper.plate.length_mm, paper.plate.thickness_mm);
    let root =
        Extent { along_mm: [55.0, 70.0], across_mm: [-1.0, 1.0], depth_mm: [thickness - 2.0, thickness] };
    let mut examined = Examined::new(&paper).unwrap();
    slide(&mut examined, Side::A, offset, &mut 0);
    assert_eq!(of(&examined, Side::A).met_percent, 0.0);
    assert_eq!(examined.met(&root, Side::A), Met::Dry);
    assert_eq!(examined.met(&root, Side::B), Met::Never);

    let wet = Stroke {
        face: Face::Upper,
        from_mm: [-offset - 25.0, 0.0],
        to_mm: [-offset - 25.0, length_mm / 2.0],
        reach_mm: 40.0,
    };
    examined.take(60_000, &Event::Couplant(wet));
    slide(&mut examined, Side::A, offset, &mut 70_000);
    assert_eq!(examined.met(&root, Side::A), Met::AtLevel);
    let half = of(&examined, Side::A);
    // As much as on a plate that is always wet, but only where it was wetted: half of the plate and the brush's round end.
    paper.procedure.bench.always_wet = true;
    let mut all = Examined::new(&paper).unwrap();
    slide(&mut all, Side::A, offset, &mut 0);
    let share = half.at_level_percent / of(&all, Side::A).at_level_percent;
    let wetted = 0.5 + 40.0 / length_mm;
    assert!(share > 0.5 && share < wetted, "{share}");
}

/// The frame at the bench and what counts as examined come from one film.
#[test]
fn what_was_examined_and_the_bench_see_one_film() {
    let mut paper = paper();
    paper.procedure.bench.always_wet = false;
    let mut log = crate::log::Log::new(&paper.plate.id, &paper.digest());
    let stroke = Stroke { face: Face::Upper, from_mm: [-45.0, 0.0], to_mm: [-45.0, 250.0], reach_mm: 40.0 };
    log.push(0, Event::Couplant(stroke)).unwrap();
    // Slides slow and fast, along and across, a jump, and over to the other side and back.
    let mut stream = acoustics::seed::Stream::new(5, "ways");
    let mut t_ms = 100;
    for step in 0..300_u32 {
        let mut within = |most: f64| most * f64::from(stream.below(10_001)) / 10_000.0;
        let (y_mm, index_offset_mm) = (within(240.0), 20.0 + within(25.0));
        t_ms += 20 + within(4000.0) as u64;
        let side = if step % 50 == 49 { Side::B } else { Side::A };
        log.push(t_ms, pose(side, index_offset_mm, y_mm)).unwrap();
        if step % 37 == 0 {
            log.push(t_ms, Event::Couplant(stroke)).unwrap();
        }
    }
    let examined = Examined::of(&paper, log.entries()).unwrap();
    let contact = ContactOfLog::new(&paper).at_end(log.entries());
    assert!(examined.contact.film().is_some());
    assert!(examined.contact.film() == contact.film());
}
