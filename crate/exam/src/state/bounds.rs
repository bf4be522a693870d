//! Between what values the events of a log may lie, and how much of them there may be: a log comes from outside, and whoever marks
//! it replays it.

use instrument::gate::Gate;
use instrument::pose::Pose;
use instrument::set_up::SetUp;
use instrument::shaping::Finger;

use crate::lessons::{Varied, VariedFlaw};
use crate::sheet::Call;

/// No plate is larger, mm: a probe farther off stands nowhere.
const FARTHEST_MM: f64 = 100_000.0;
/// Gains that a receiver may have, dB; the page's go from 0 to 80.
const GAIN_DB: [f64; 2] = [-200.0, 200.0];
/// Heights of a gate, % of full screen height.
const THRESHOLD_PERCENT: [f64; 2] = [0.0, 1000.0];
/// What contact may take, dB; a lifted probe takes 200.
const CONTACT_DB: [f64; 2] = [0.0, 1000.0];

/// Most changes of the set-up in a session: the tables of each are made again when it is looked back on.
pub(super) const MOST_SET_UPS: u32 = 2_000;

fn within(what: &str, value: f64, [low, high]: [f64; 2], unit: &str) -> Result<(), String> {
    match (low..=high).contains(&value) {
        true => Ok(()),
        false => Err(format!("{what} is {value:e}{unit}, expected {low} to {high}{unit}")),
    }
}

/// Whether the probe stands on this earth.
pub(super) fn pose(pose: &Pose) -> Result<(), String> {
    for (what, value) in [
        ("from the centreline", pose.index_offset_mm),
        ("along the weld", pose.y_mm),
        ("turned", pose.skew_deg),
    ] {
        if !(-FARTHEST_MM..=FARTHEST_MM).contains(&value) {
            return Err(format!("the probe stands {value:e} {what}, expected at most {FARTHEST_MM:e}"));
        }
    }
    Ok(())
}

pub(super) fn gain(gain_db: f64) -> Result<(), String> {
    within("the gain", gain_db, GAIN_DB, " dB")
}

pub(super) fn gate(gate: &Gate) -> Result<(), String> {
    within("the gate’s start", gate.start_mm, [-FARTHEST_MM, FARTHEST_MM], " mm")?;
    within("the gate’s length", gate.length_mm, [0.0, FARTHEST_MM], " mm")?;
    within("the gate’s threshold", gate.threshold_percent, THRESHOLD_PERCENT, " %")
}

pub(super) fn rail(index_offset_mm: f64) -> Result<(), String> {
    within("the guide rail’s index offset", index_offset_mm, [-FARTHEST_MM, FARTHEST_MM], " mm")
}

pub(super) fn finger(finger: &Finger) -> Result<(), String> {
    let Finger::Plate { offset_mm, y_mm, .. } = finger else { return Ok(()) };
    within("the finger’s place across the weld", *offset_mm, [-FARTHEST_MM, FARTHEST_MM], " mm")?;
    within("the finger’s place along the weld", *y_mm, [-FARTHEST_MM, FARTHEST_MM], " mm")
}

/// Numbers only: whether the beams come out of the wedge is found where their tables are made.
pub(super) fn set_up(set_up: &SetUp) -> Result<(), String> {
    set_up.check().map_err(|error| format!("no set-up: {error}"))
}

/// Between what a lesson may vary a flaw is for the lesson's file to say; the surfaces of one within these can be made.
pub(super) fn varied(varied: &VariedFlaw) -> Result<(), String> {
    match varied.what {
        Varied::TiltDeg => within("the varied flaw’s lean", varied.value, [-45.0, 45.0], "°"),
        Varied::LengthMm => within("the varied flaw’s length", varied.value, [0.5, 500.0], " mm"),
    }
}

/// What a call was made from. The answers themselves may be anything; marking takes them as they are.
pub(super) fn call(call: &Call) -> Result<(), String> {
    let Some(snapshot) = &call.snapshot else { return Ok(()) };
    pose(&snapshot.pose)?;
    gain(snapshot.gain_db)?;
    gate(&snapshot.gate)?;
    within("what the contact took", snapshot.contact_loss_db, CONTACT_DB, " dB")
}

#[cfg(test)]
mod tests;
