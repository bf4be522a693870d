//! The whole weld from both sides, row by row, and what in it does not come from cap and root.

use crate::hand::{Echo, Hand};

/// Step along the weld, mm: half of what the beams are wide.
pub const STEP_MM: f64 = 5.0;
/// Distance of the rows, mm.
const ROW_MM: f64 = 4.0;
/// So far below the recording level an echo is still looked at, dB.
const BELOW_DB: f64 = 4.0;
/// Echoes of one row closer than this across and in depth come from the same place, mm: the flank of a steady echo has a peak of
/// its own now and then.
const SAME_MM: f64 = 3.0;
/// Geometry keeps its height along the weld within this, dB: what stands higher is something else.
const STEADY_DB: f64 = 5.0;
/// The ripple of a cap is less steady; its echoes plot down to this depth, dB and mm.
const STEADY_CAP_DB: f64 = 10.0;
const CAP_MM: f64 = 3.0;

/// Every echo of every pose.
pub fn of_both_sides(hand: &mut Hand) -> Vec<Echo> {
    let mut found = Vec::new();
    for side in ['A', 'B'] {
        found.extend(rows(hand, side).into_iter().flatten());
    }
    found
}

/// The rows of a side, from near to far.
fn rows(hand: &mut Hand, side: char) -> Vec<Vec<Echo>> {
    let [near, far] = hand.offsets_mm();
    let above_db = hand.recording_level_db() - BELOW_DB;
    let places = (hand.length_mm() / STEP_MM) as u32;
    let count = ((far - near) / ROW_MM).ceil() as u32;
    let offset = |row: u32| (near + f64::from(row) * ROW_MM).min(far);
    (0..=count)
        .map(|row| {
            // To and fro, as a hand goes.
            let along = |step: u32| f64::from(if row % 2 == 0 { step } else { places - step }) * STEP_MM;
            (0..=places).flat_map(|step| hand.look(side, offset(row), along(step), above_db)).collect()
        })
        .collect()
}

/// Echoes that stand out of what the same row shows at the same place of the section elsewhere along the weld.
pub fn what_comes_and_goes(hand: &mut Hand) -> Vec<Echo> {
    let places = hand.length_mm() / STEP_MM;
    let mut kept = Vec::new();
    for side in ['A', 'B'] {
        for row in rows(hand, side) {
            kept.extend(row.iter().filter(|echo| {
                let steady = if echo.depth_mm < CAP_MM { STEADY_CAP_DB } else { STEADY_DB };
                echo.db > usual_db(&row, echo, places) + steady
            }));
        }
    }
    kept
}

/// The middle height along the weld of what plots at the place of an echo; nothing heard counts as very low.
fn usual_db(row: &[Echo], echo: &Echo, places: f64) -> f64 {
    let mut heights: Vec<(f64, f64)> = row
        .iter()
        .filter(|other| {
            (other.x_mm - echo.x_mm).abs() < SAME_MM && (other.depth_mm - echo.depth_mm).abs() < SAME_MM
        })
        .map(|other| (other.y_mm, other.db))
        .collect();
    // The highest of each place along the weld.
    heights.sort_by(|a, b| a.0.total_cmp(&b.0).then(b.1.total_cmp(&a.1)));
    heights.dedup_by(|next, first| next.0 == first.0);
    let mut heights: Vec<f64> = heights.into_iter().map(|(_, db)| db).collect();
    heights.sort_by(f64::total_cmp);
    let silent = places as usize - heights.len().min(places as usize);
    let middle = places as usize / 2;
    middle.checked_sub(silent).and_then(|at| heights.get(at).copied()).unwrap_or(-60.0)
}
