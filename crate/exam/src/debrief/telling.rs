//! By what a flaw could have been told, in a sentence with the numbers that this plate and procedure give. How kinds show is
//! common practice of the trade (no source); the numbers are computed.

use instrument::pose::Side;
use specimen::flaw::FlawKind;

use super::explain::{Explained, ExplainedSide};
use crate::findable::BestEcho;
use crate::marking::{FlawRow, Part, place_across};
use crate::matching::{length, middle};
use crate::paper::Paper;
use crate::said::{Said, said};

/// From here on two sides differ as a face does that is square to one of them only, dB. Common practice, no source.
const ONE_SIDED_DB: f64 = 6.0;

/// Whether there is something to learn: the flaw was missed, or its kind not called rightly.
pub(super) fn is_wanted(row: &FlawRow) -> bool {
    let kind = row.parts.iter().find(|part| part.part == Part::Kind);
    row.call.is_none() || kind.is_some_and(|part| part.points < part.possible)
}

/// The highest echo of each side of the procedure among those of one flaw, in the procedure's order.
pub(super) fn by_side(paper: &Paper, flaw: u32, echoes: &[BestEcho]) -> Vec<BestEcho> {
    let of_side = |&side: &Side| {
        let heard = |echo: &&BestEcho| echo.flaw == flaw && echo.side == side && echo.sound_path_mm > 0.0;
        echoes.iter().filter(heard).max_by(|a, b| a.amplitude_db.total_cmp(&b.amplitude_db)).copied()
    };
    paper.procedure.sides.iter().filter_map(of_side).collect()
}

/// The sentence. `echoes` are the highest of each side; `None` where no side hears it.
pub(super) fn sentence(
    paper: &Paper,
    row: &FlawRow,
    kind: FlawKind,
    echoes: &[BestEcho],
    explained: &Explained,
) -> Option<Said> {
    let best = echoes.iter().max_by(|a, b| a.amplitude_db.total_cmp(&b.amplitude_db))?;
    let other = echoes.iter().find(|echo| echo.side != best.side);
    let apart_db = other.map(|other| best.amplitude_db - other.amplitude_db);
    let one_sided = apart_db.is_none_or(|db| db >= ONE_SIDED_DB);
    let extent = &row.extent;
    let (deep_mm, leg, angle_deg) = (best.depth_mm, u32::from(best.leg), best.angle_deg);
    let (thickness_mm, long_mm) = (paper.plate.thickness_mm, length(extent.along_mm));
    let two = two(best, other, explained.sides.len());
    let across = place_across(middle(extent.across_mm));
    let place = || said!("said.told.place", across = across.clone(), depth_mm = middle(extent.depth_mm));
    let by = match kind {
        FlawKind::LackOfSideWallFusion if one_sided => said!("said.told.side_wall", two = two),
        FlawKind::LackOfSideWallFusion => {
            said!("said.told.side_wall_place", place = place(), long_mm = long_mm, two = two)
        }
        FlawKind::LackOfInterRunFusion => {
            let off = off_square(explained);
            let square = match off.is_empty() {
                true => said!("said.told.never_lying"),
                false => said!("said.told.lying", off = off),
            };
            said!("said.told.inter_run", long_mm = long_mm, two = two, square = square)
        }
        FlawKind::RootCrack | FlawKind::IncompletePenetration | FlawKind::LackOfRootFusion => {
            said!(
                if one_sided { "said.told.root_edge" } else { "said.told.root_whole" },
                deep_mm = deep_mm,
                angle_deg = angle_deg,
                leg = leg,
                thickness_mm = thickness_mm,
                two = two
            )
        }
        FlawKind::ToeCrack => {
            said!("said.told.toe", deep_mm = deep_mm, leg = leg, across = across, two = two)
        }
        FlawKind::CentrelineCrack => {
            let mut square = off_square(explained);
            if square.is_empty() {
                square.push(said!("said.told.never_upright"));
            }
            said!(
                "said.told.centreline",
                place = place(),
                two = two,
                square = square,
                apart_mm = length(extent.depth_mm)
            )
        }
        FlawKind::TransverseCrack => {
            said!("said.told.transverse", level_db = best.amplitude_db, long_mm = long_mm)
        }
        FlawKind::SlagLine | FlawKind::SlagInclusion => {
            said!("said.told.slag", two = two, long_mm = long_mm)
        }
        FlawKind::SinglePore => said!("said.told.pore", two = two, long_mm = long_mm),
        FlawKind::PoreCluster | FlawKind::PoreLine => said!("said.told.pores", two = two, long_mm = long_mm),
    };
    Some(said!("said.told", by = by))
}

/// The highest echo of a flaw, and that of the other side, if it hears it and the procedure asks for it.
fn two(best: &BestEcho, other: Option<&BestEcho>, sides: usize) -> Said {
    let one = |echo: &BestEcho| {
        said!(
            "said.told.one",
            level_db = echo.amplitude_db,
            side = echo.side,
            angle_deg = echo.angle_deg,
            leg = u32::from(echo.leg)
        )
    };
    match (other, sides) {
        (Some(other), _) => {
            let apart_db = best.amplitude_db - other.amplitude_db;
            said!("said.told.two", best = one(best), other = one(other), apart_decibels = apart_db)
        }
        (None, 2..) => said!("said.told.silent", best = one(best)),
        (None, _) => one(best),
    }
}

/// How far off square the nearest beams meet the face.
fn off_square(explained: &Explained) -> Vec<Said> {
    let one = |side: &ExplainedSide| {
        let off = side.view?.off_square_deg?;
        Some(said!("said.told.off", off_deg = off, side = side.side))
    };
    explained.sides.iter().filter_map(one).collect()
}

#[cfg(test)]
mod tests {
    use specimen::joint::Preparation;

    use super::*;
    use crate::debrief::explained;
    use crate::marking;
    use crate::sheet::{AnswerSheet, Call};

    fn echo(side: Side, amplitude_db: f64) -> BestEcho {
        BestEcho {
            flaw: 0,
            side,
            leg: 2,
            amplitude_db,
            recordable: true,
            index_offset_mm: 30.0,
            y_mm: 60.0,
            beam: 20,
            angle_deg: 60.0,
            sound_path_mm: 50.0,
            depth_mm: 19.6,
        }
    }

    fn said(kind: FlawKind, echoes: &[BestEcho]) -> Option<Said> {
        let mut paper = Paper::generate(Preparation::SingleV, 2, 4711);
        paper.plate.flaws[0].kind = kind;
        let marks = marking::mark(&paper, &AnswerSheet::default());
        let row = marks.flaws.iter().find(|row| row.index == 0).unwrap();
        let explained = explained(&paper, &paper.plate.flaws[0], &row.extent);
        sentence(&paper, row, kind, echoes, &explained)
    }

    #[test]
    fn every_kind_is_told_with_numbers_of_its_own() {
        let echoes = [echo(Side::A, -3.0), echo(Side::B, -15.0)];
        for kind in FlawKind::ALL {
            let told = said(kind, &echoes).unwrap();
            assert!(told.starts_with("You could have told it by ") && told.ends_with('.'), "{told}");
            assert!(told.contains("−3.0 dB"), "{kind:?}: {told}");
            assert!(!told.contains("NaN") && !told.contains(".."), "{told}");
            assert_eq!(said(kind, &[]), None);
        }
    }

    #[test]
    fn the_difference_of_the_sides_tells_a_face_from_what_is_round() {
        let far = said(FlawKind::LackOfSideWallFusion, &[echo(Side::A, -3.0), echo(Side::B, -15.0)]).unwrap();
        assert!(
            far.contains(
                "−3.0 dB from side A (60°, leg 2) and −15.0 dB from side B (60°, leg 2), 12.0 dB apart"
            ),
            "{far}"
        );
        assert!(far.contains("met square"), "{far}");
        let near = said(FlawKind::LackOfSideWallFusion, &[echo(Side::A, -3.0), echo(Side::B, -4.0)]).unwrap();
        assert!(near.contains("its place") && near.contains("1.0 dB apart"), "{near}");
        let deaf = said(FlawKind::LackOfSideWallFusion, &[echo(Side::B, -3.0)]).unwrap();
        assert!(deaf.contains("and nothing from the other"), "{deaf}");
    }

    #[test]
    fn only_a_miss_or_a_wrong_kind_is_told_of() {
        let paper = Paper::generate(Preparation::SingleV, 2, 4711);
        let flaw = &paper.plate.flaws[0];
        let extent = flaw.extent(&paper.plate);
        let wanted = |kind: Option<FlawKind>| {
            let call = Call {
                kind,
                start_mm: Some(extent.along_mm[0]),
                end_mm: Some(extent.along_mm[1]),
                ..Call::default()
            };
            let sheet = AnswerSheet { calls: vec![call], ..AnswerSheet::default() };
            is_wanted(marking::mark(&paper, &sheet).flaws.iter().find(|row| row.index == 0).unwrap())
        };
        assert!(!wanted(Some(flaw.kind)) && wanted(None));
        assert!(wanted(FlawKind::ALL.into_iter().find(|&other| other != flaw.kind)));
        assert!(is_wanted(&marking::mark(&paper, &AnswerSheet::default()).flaws[0]));
    }
}
