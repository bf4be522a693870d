//! Whatever the flaws of a drawn plate echo: once it is made fair, nothing of it is refused.

use instrument::pose::Side;
use proptest::prelude::*;
use specimen::generator::Design;

use super::*;

/// Echoes of a flaw as they may come: in some legs from each side, in any height, with anything beside them.
fn rows(flaw: u32, level: f64) -> impl Strategy<Value = Vec<Row>> {
    let heights = || (-45.0..30.0_f64, -60.0..40.0_f64, -60.0..-14.0_f64);
    let row = move |side, leg, (amplitude_db, geometry_db, noise_db)| {
        let echo = BestEcho {
            flaw,
            side,
            leg,
            amplitude_db,
            recordable: amplitude_db >= level,
            index_offset_mm: 30.0,
            y_mm: 100.0,
            beam: 20,
            angle_deg: 60.0,
            sound_path_mm: 40.0,
            depth_mm: 20.0,
        };
        Row { standing: standing(&echo, geometry_db, noise_db), echo, geometry_db, noise_db }
    };
    let side = move |side| {
        prop::collection::vec(heights(), 1..=3).prop_map(move |legs| {
            (1..).zip(legs).map(|(leg, row_db)| row(side, leg, row_db)).collect::<Vec<_>>()
        })
    };
    (side(Side::A), side(Side::B)).prop_map(|(a, b)| [a, b].concat())
}

/// A drawn paper with a table as it may come out.
fn drawn() -> impl Strategy<Value = (Paper, Detectability)> {
    (prop::sample::select(Design::all()), 1_u8..=5, 0_u64..1 << 63).prop_flat_map(|(design, level, seed)| {
        let paper = Paper::generate(design, level, seed);
        let level_db = paper.procedure.recording_level_db;
        let flaws = (0..).zip(&paper.plate.flaws).map(|(index, _)| rows(index, level_db)).collect::<Vec<_>>();
        flaws.prop_map(move |rows| {
            let flaws = paper.plate.flaws.iter().zip(rows).zip(0..).map(|((flaw, rows), index)| FlawRows {
                flaw: index,
                kind: flaw.kind,
                extent: flaw.extent(&paper.plate),
                mandatory: flaw.mandatory,
                excused: false,
                rows,
            });
            let table = Detectability {
                plate_id: paper.plate.id.clone(),
                paper_digest: String::new(),
                recording_level_db: level_db,
                noise_db: Some(level_db - 0.1),
                flaws: flaws.collect(),
                unfair: Vec::new(),
            };
            (paper.clone(), table)
        })
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_drawn_plate_made_fair_is_never_refused((mut paper, mut table) in drawn()) {
        let as_drawn = unfair(&paper, &table);
        let nothing_counts = |flaw: &FlawRows| !flaw.rows.iter().any(|row| row.standing.counts());
        prop_assert_eq!(as_drawn.is_empty(), !table.flaws.iter().any(nothing_counts), "{:?}", as_drawn);
        excuse(&mut paper, &mut table);
        prop_assert_eq!(unfair(&paper, &table), Vec::<String>::new());
        prop_assert_eq!(paper.check(), []);
        // Nothing is excused that somebody can be held to.
        for (flaw, row) in paper.plate.flaws.iter().zip(&table.flaws) {
            prop_assert_eq!(flaw.mandatory, !nothing_counts(row));
            let heard = row.rows.iter().any(|row| row.echo.recordable);
            prop_assert_eq!(paper.scheme.below_recording_level.contains(&row.flaw), !heard);
        }
    }
}

#[test]
fn grain_at_the_recording_level_is_refused() {
    let paper = Paper::generate(Design::all()[0], 3, 7);
    let mut table = Detectability {
        plate_id: String::new(),
        paper_digest: String::new(),
        recording_level_db: paper.procedure.recording_level_db,
        noise_db: Some(paper.procedure.recording_level_db),
        flaws: Vec::new(),
        unfair: Vec::new(),
    };
    assert_eq!(unfair(&paper, &table).len(), 1);
    table.noise_db = Some(table.recording_level_db - 0.1);
    assert!(unfair(&paper, &table).is_empty());
}
