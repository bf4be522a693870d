//! By what a flaw could have been told, in a sentence with the numbers that this plate and procedure give. How kinds show is
//! common practice of the trade (no source); the numbers are computed.

use instrument::pose::Side;
use specimen::flaw::FlawKind;

use super::explain::{Explained, ExplainedSide};
use crate::findable::BestEcho;
use crate::marking::{FlawRow, Part};
use crate::matching::{length, middle};
use crate::paper::Paper;
use crate::words;

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
) -> Option<String> {
    let best = echoes.iter().max_by(|a, b| a.amplitude_db.total_cmp(&b.amplitude_db))?;
    let two = Two { best, other: echoes.iter().find(|echo| echo.side != best.side), explained };
    let (thickness, extent) = (words::mm(paper.plate.thickness_mm), &row.extent);
    let long = words::mm(length(extent.along_mm));
    let place = format!(
        "{}, {} deep",
        words::across_mm(middle(extent.across_mm)),
        words::mm(middle(extent.depth_mm))
    );
    let by = match kind {
        FlawKind::LackOfSideWallFusion if two.apart_db().is_none_or(|db| db >= ONE_SIDED_DB) => format!(
            "its two sides: {}. A face is heard from where it is met square; a rounded flaw differs little between the sides",
            two.words()
        ),
        FlawKind::LackOfSideWallFusion => {
            format!("its place: {place}, on the prepared edge, all along {long}; {}", two.words())
        }
        FlawKind::LackOfInterRunFusion => format!(
            "how little it gives for its {long}: {}. It lies flat, and {}",
            two.words(),
            two.off_square().unwrap_or_else(|| "no beam meets it square".to_owned())
        ),
        FlawKind::RootCrack | FlawKind::IncompletePenetration | FlawKind::LackOfRootFusion => {
            let only = if two.apart_db().is_none_or(|db| db >= ONE_SIDED_DB) {
                "one edge of the root alone"
            } else {
                "the root as a whole, and no bead, which plots beyond the face"
            };
            format!(
                "where its corner plots: {} deep by the {} beam in leg {}, with the lower face at {thickness}; {}: {only}",
                words::mm(best.depth_mm),
                words::degrees(best.angle_deg),
                best.leg,
                two.words()
            )
        }
        FlawKind::ToeCrack => format!(
            "where its corner plots: {} deep in leg {}, at the toe ({}); {}",
            words::mm(best.depth_mm),
            best.leg,
            words::across_mm(middle(extent.across_mm)),
            two.words()
        ),
        FlawKind::CentrelineCrack => format!(
            "its place in mid weld ({place}) and its two sides: {}. Upright, it is met {}: its edges answer, one above the other, \
             {} apart in depth",
            two.words(),
            two.off_square().unwrap_or_else(|| "square by no beam".to_owned()),
            words::mm(length(extent.depth_mm))
        ),
        FlawKind::TransverseCrack => format!(
            "turning the probe: across the weld it stands on edge to every beam that is square to the weld, which then hear {} of \
             it at most, over {long} along the tape",
            words::db(best.amplitude_db)
        ),
        FlawKind::SlagLine | FlawKind::SlagInclusion => {
            format!("its two sides: {}, over {long}. A face would be loud from one side only", two.words())
        }
        FlawKind::SinglePore => format!(
            "its two sides and its length: {}, over {long}, no longer than the beam is wide",
            two.words()
        ),
        FlawKind::PoreCluster | FlawKind::PoreLine => {
            format!("its two sides and its many tops: {}, rising and falling over {long}", two.words())
        }
    };
    Some(format!("You could have told it by {by}."))
}

/// The highest echo of a flaw, and that of the other side.
struct Two<'a> {
    best: &'a BestEcho,
    other: Option<&'a BestEcho>,
    explained: &'a Explained,
}

impl Two<'_> {
    /// How far the sides are apart; nothing where one of them is silent or not asked for.
    fn apart_db(&self) -> Option<f64> {
        self.other.map(|other| self.best.amplitude_db - other.amplitude_db)
    }

    /// Both heights.
    fn words(&self) -> String {
        let one = |echo: &BestEcho| {
            let (db, angle) = (words::db(echo.amplitude_db), words::degrees(echo.angle_deg));
            format!("{db} from side {:?} ({angle}, leg {})", echo.side, echo.leg)
        };
        match (self.other, self.explained.sides.len()) {
            (Some(other), _) => format!(
                "{} and {}, {} apart",
                one(self.best),
                one(other),
                words::db_amount(self.best.amplitude_db - other.amplitude_db)
            ),
            (None, 2..) => format!("{} and nothing from the other", one(self.best)),
            (None, _) => one(self.best),
        }
    }

    /// How far off square the nearest beams meet the face.
    fn off_square(&self) -> Option<String> {
        let one = |side: &ExplainedSide| {
            let off = side.view?.off_square_deg?;
            Some(format!("{} off square from side {:?}", words::degrees(off), side.side))
        };
        let found: Vec<String> = self.explained.sides.iter().filter_map(one).collect();
        (!found.is_empty()).then(|| words::list(&found))
    }
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

    fn said(kind: FlawKind, echoes: &[BestEcho]) -> Option<String> {
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
