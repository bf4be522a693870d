//! Goals against the bench as it stands.

use instrument::bench::View;
use instrument::calibration::Calibration;
use instrument::gate::Reading;
use instrument::pose::{Face, Pose};
use instrument::shaping::Finger;
use serde::Serialize;

use super::goal::{Band, Calibrated, CallGoal, EchoPlace, Goal, Pressed, Towards};
use crate::sheet::{AnswerSheet, Call};

/// A finger's width, mm, roughly.
const FINGER_WIDTH_MM: f64 = 10.0;

/// The bench at one moment.
#[derive(Clone, Copy, Debug)]
pub struct Situation<'a> {
    /// Where the probe stands.
    pub pose: Pose,
    /// Gain, dB.
    pub gain_db: f64,
    /// Angle of the chosen beam, degrees.
    pub beam_deg: f64,
    /// What the gate reads.
    pub reading: Option<Reading>,
    /// How the sound is drawn.
    pub view: View,
    /// What the contact takes, dB.
    pub contact_loss_db: f64,
    /// Where a wet finger presses.
    pub finger: Option<Finger>,
    /// What the operator calibrated.
    pub calibration: Option<&'a Calibration>,
    /// The answer sheet.
    pub sheet: &'a AnswerSheet,
    /// Least part of what a side can show that was examined, percent; `None` while nobody asked.
    pub examined_percent: Option<f64>,
    /// Whether the part was passed, once handed in.
    pub passed: Option<bool>,
}

/// The highest that the echo of a step was seen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Highest {
    level_db: f64,
    y_mm: f64,
}

/// One thing that a goal asks for, as it is now.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Measure {
    /// What it is; the page has words for it.
    pub what: &'static str,
    /// Whether it is as wanted.
    pub met: bool,
    /// The value now.
    pub now: Option<f64>,
    /// The lowest that will do.
    pub low: Option<f64>,
    /// The highest that will do.
    pub high: Option<f64>,
    /// What is wanted, where it is no number.
    pub wanted: Option<String>,
}

fn within([low, high]: Band, value: f64) -> bool {
    low <= value && value <= high
}

fn number(what: &'static str, band: Option<Band>, now: Option<f64>) -> Option<Measure> {
    let [low, high] = band?;
    let met = now.is_some_and(|now| within([low, high], now));
    Some(Measure { what, met, now, low: Some(low), high: Some(high), wanted: None })
}

fn state(what: &'static str, met: bool, wanted: Option<String>) -> Measure {
    Measure { what, met, now: None, low: None, high: None, wanted }
}

impl EchoPlace {
    fn shows(&self, reading: &Reading) -> bool {
        within(self.depth_mm, reading.depth_mm)
            && within(self.offset_mm, reading.offset_mm)
            && self.y_mm.is_none_or(|band| within(band, reading.y_mm))
    }
}

impl Goal {
    /// Keeps the highest that the echo was seen, for `fallen_db`.
    pub(crate) fn watch(&self, now: &Situation<'_>, highest: &mut Option<Highest>) {
        let (Some(echo), Some(reading)) = (self.echo, now.reading) else { return };
        if echo.shows(&reading)
            && !reading.clipped
            && highest.is_none_or(|before| before.level_db < reading.amplitude_db)
        {
            *highest = Some(Highest { level_db: reading.amplitude_db, y_mm: now.pose.y_mm });
        }
    }

    /// Everything that the goal asks for, in the order in which one would go about it.
    pub(crate) fn measures(&self, now: &Situation<'_>, highest: Option<Highest>) -> Vec<Measure> {
        let reading = now.reading;
        let shown = reading.filter(|reading| self.echo.is_none_or(|echo| echo.shows(reading)));
        // An echo higher than the screen has no height that could be read.
        let whole = shown.filter(|reading| !reading.clipped);
        let mut found = Vec::new();
        found.extend(self.face.map(|face| state("face", now.pose.face == face, named(&face))));
        found.extend(self.side.map(|side| state("side", now.pose.side == side, named(&side))));
        found.extend(number("y_mm", self.y_mm, Some(now.pose.y_mm)));
        found.extend(number("index_offset_mm", self.index_offset_mm, Some(now.pose.index_offset_mm)));
        found.extend(number("turned_deg", self.turned_deg, Some(now.pose.skew_deg.abs())));
        found.extend(number("contact_loss_db", self.contact_loss_db, Some(now.contact_loss_db)));
        found.extend(self.finger.map(|wanted| state("finger", pressed(now, wanted), named(&wanted))));
        found.extend(self.view.map(|view| state("view", now.view == view, named(&view))));
        found.extend(number("gain_db", self.gain_db, Some(now.gain_db)));
        found.extend(number("beam_deg", self.beam_deg, Some(now.beam_deg)));
        found.extend(self.echo.map(|_| state("echo", shown.is_some(), None)));
        found.extend(
            self.leg
                .map(|leg| state("leg", shown.is_some_and(|shown| shown.leg == leg), Some(leg.to_string()))),
        );
        found.extend(number("height_percent", self.height_percent, whole.map(|echo| echo.amplitude_percent)));
        found.extend(number("level_db", self.level_db, whole.map(|echo| echo.amplitude_db)));
        found.extend(self.fallen(now, whole, highest));
        found.extend(self.calibrated.iter().map(|&step| calibrated(step, now.calibration)));
        found.extend(self.call.iter().flat_map(|call| call.measures(now.sheet)));
        found.extend(self.examined_percent.map(|least| {
            let [low, high] = [least, 100.0];
            let met = now.examined_percent.is_some_and(|percent| percent >= least);
            let [low, high] = [Some(low), Some(high)];
            Measure { what: "examined_percent", met, now: now.examined_percent, low, high, wanted: None }
        }));
        found.extend(self.passed.map(|_| state("passed", now.passed == Some(true), None)));
        found
    }

    fn fallen(
        &self,
        now: &Situation<'_>,
        echo: Option<Reading>,
        highest: Option<Highest>,
    ) -> Option<Measure> {
        let fallen = highest.zip(echo).map(|(highest, echo)| highest.level_db - echo.amplitude_db);
        let mut measure = number("fallen_db", self.fallen_db, fallen)?;
        if let Some(towards) = self.fallen_towards {
            measure.wanted = named_towards(towards);
            measure.met &= highest.is_some_and(|highest| match towards {
                Towards::Start => now.pose.y_mm < highest.y_mm,
                Towards::End => now.pose.y_mm > highest.y_mm,
            });
        }
        Some(measure)
    }
}

/// The name of a unit variant as the files and the page write it.
fn named<T: Serialize>(value: &T) -> Option<String> {
    serde_json::to_value(value).ok()?.as_str().map(str::to_owned)
}

/// A finger is on the cap where the probe points, if it is as near to it along the weld as a finger is wide.
fn pressed(now: &Situation<'_>, wanted: Pressed) -> bool {
    match (wanted, now.finger) {
        (Pressed::None, finger) => finger.is_none(),
        (Pressed::Cap, Some(Finger::Plate { face: Face::Upper, y_mm, .. })) => {
            (y_mm - now.pose.y_mm).abs() < FINGER_WIDTH_MM / 2.0
        }
        (Pressed::Cap, _) => false,
    }
}

fn named_towards(towards: Towards) -> Option<String> {
    let name = match towards {
        Towards::Start => "start",
        Towards::End => "end",
    };
    Some(name.to_owned())
}

fn calibrated(step: Calibrated, now: Option<&Calibration>) -> Measure {
    let (name, met) = match step {
        Calibrated::Speed => ("speed", now.is_some_and(|made| made.speed_mm_per_us.is_some())),
        Calibrated::Wedge => ("wedge", now.is_some_and(|made| !made.beams.is_empty())),
        Calibrated::Angles => ("angles", now.is_some_and(|made| !made.angles_deg.is_empty())),
        Calibrated::Sensitivity => ("sensitivity", now.is_some_and(|made| !made.sensitivity_db.is_empty())),
        Calibrated::PathGain => ("path-gain", now.is_some_and(|made| !made.path_gain.is_empty())),
        Calibrated::Encoder => ("encoder", now.is_some_and(|made| made.encoder_scale.is_some())),
    };
    state("calibrated", met, Some(name.to_owned()))
}

impl CallGoal {
    fn measures(&self, sheet: &AnswerSheet) -> Vec<Measure> {
        let blank = Call::default();
        let of = |call: &Call| self.measures_of(call);
        let calls = sheet.calls.iter().map(of);
        let most = calls.max_by_key(|measures| measures.iter().filter(|measure| measure.met).count());
        most.unwrap_or_else(|| of(&blank))
    }

    fn measures_of(&self, call: &Call) -> Vec<Measure> {
        let mut found = Vec::new();
        if !self.kind.is_empty() {
            found.push(state("call.kind", call.kind.is_some_and(|kind| self.kind.contains(&kind)), None));
        }
        // Where a flaw lies is for the operator to find: what is wanted is not told in figures.
        let place = |what, band: Option<Band>, now: Option<f64>| {
            number(what, band, now).map(|measure| Measure { low: None, high: None, ..measure })
        };
        found.extend(place("call.start_mm", self.start_mm, call.start_mm));
        found.extend(place("call.end_mm", self.end_mm, call.end_mm));
        found.extend(place("call.offset_mm", self.offset_mm, call.offset_mm));
        found.extend(place("call.depth_mm", self.depth_mm, call.depth_mm));
        found.extend(place("call.height_mm", self.height_mm, call.height_mm));
        found.extend(self.decision.map(|wanted| state("call.decision", call.decision == Some(wanted), None)));
        found
    }
}
