//! Numbers of standards that the examiner holds.

use exam::acceptance::{AcceptanceLevel, Levels, levels};
use exam::practical::{self, LEVEL_2, passes};
use exam::scheme::Scheme;

/// C38: ISO 11666, acceptance level 2, 8 mm up to 15 mm: -4 dB up to a length of t, -10 dB above; evaluation -14 dB;
/// recording 4 dB below acceptance. Looked up in a public one-page summary of the table.
#[test]
fn c38_acceptance_level_2_of_thin_plates() {
    let level_2 = |thickness_mm: f64, length_mm: f64| levels(AcceptanceLevel::Two, thickness_mm, length_mm);
    let short = Levels { acceptance_db: -4.0, recording_db: -8.0, evaluation_db: -14.0 };
    let long = Levels { acceptance_db: -10.0, recording_db: -14.0, evaluation_db: -14.0 };
    assert_eq!(level_2(12.0, 12.0), Some(short));
    assert_eq!(level_2(12.0, 12.1), Some(long));
    assert_eq!(level_2(8.0, 3.0), Some(short));
    assert_eq!(level_2(14.99, 40.0), Some(long));
    // Nothing was read for these.
    assert_eq!(level_2(7.9, 3.0), None);
    assert_eq!(level_2(15.0, 3.0), None);
    assert_eq!(level_2(f64::NAN, 3.0), None);
}

/// C39: ISO 9712 Level 2 practical: apparatus 10, application 20, detection and report 55, instruction 15; 70 % of each
/// specimen (59.5 of 85) and of the instruction (10.5). Looked up: a certification body's memo that quotes Table D.1 of 2012.
#[test]
fn c39_practical_examination() {
    let parts = [
        LEVEL_2.apparatus_points,
        LEVEL_2.application_points,
        LEVEL_2.detection_points,
        LEVEL_2.instruction_points,
    ];
    assert_eq!(parts, [10.0, 20.0, 55.0, 15.0]);
    assert_eq!(LEVEL_2.specimen_points(), 85.0);
    assert!(passes(59.5, LEVEL_2.specimen_points()) && !passes(59.49, LEVEL_2.specimen_points()));
    assert!(passes(10.5, LEVEL_2.instruction_points) && !passes(10.49, LEVEL_2.instruction_points));
    assert_eq!(practical::PASS_PERCENT, 70.0);
    assert_eq!(Scheme::default().pass_percent, 70.0);
}
