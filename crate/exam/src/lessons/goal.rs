//! What a step wants to be reached.

use instrument::bench::View;
use instrument::pose::{Face, Side};
use serde::{Deserialize, Serialize};
use specimen::flaw::FlawKind;

use super::table::Reader;
use crate::sheet::Decision;

/// Lowest and highest value that will do.
pub type Band = [f64; 2];

/// Everything that is named here has to hold at the same time.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Goal {
    /// The probe stands on this face.
    pub face: Option<Face>,
    /// The probe stands on this side.
    pub side: Option<Side>,
    /// Place along the weld, mm.
    pub y_mm: Option<Band>,
    /// Wedge front from the centreline, mm.
    pub index_offset_mm: Option<Band>,
    /// Turn of the probe to either side, degrees.
    pub turned_deg: Option<Band>,
    /// Gain, dB.
    pub gain_db: Option<Band>,
    /// Angle of the chosen beam, degrees.
    pub beam_deg: Option<Band>,
    /// How the sound is drawn.
    pub view: Option<View>,
    /// The gate reads the echo of this place.
    pub echo: Option<EchoPlace>,
    /// Leg of the echo in the gate.
    pub leg: Option<u8>,
    /// Height of the echo in the gate, % of full screen height; one higher than the screen has no height.
    pub height_percent: Option<Band>,
    /// The echo in the gate against the reference, dB.
    pub level_db: Option<Band>,
    /// The echo of `echo` has fallen by so much from its highest in this step, dB.
    pub fallen_db: Option<Band>,
    /// While it had fallen the probe stood at a smaller (`-1`) or a larger (`1`) place along than at the highest.
    pub fallen_towards: Option<Towards>,
    /// What the contact takes, dB.
    pub contact_loss_db: Option<Band>,
    /// Where a wet finger presses.
    pub finger: Option<Pressed>,
    /// These steps of the calibration are done.
    pub calibrated: Vec<Calibrated>,
    /// A call on the sheet.
    pub call: Option<CallGoal>,
    /// How much of what each side can show was examined, at least, percent.
    pub examined_percent: Option<f64>,
    /// The sheet was handed in and the part passed.
    pub passed: Option<bool>,
}

/// Where an echo plots.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EchoPlace {
    /// Depth, mm.
    pub depth_mm: Band,
    /// Place across the weld, mm.
    pub offset_mm: Band,
    /// Place along the weld, mm; absent where it does not matter.
    pub y_mm: Option<Band>,
}

/// Which way along the weld.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Towards {
    /// Towards the datum.
    Start,
    /// Away from it.
    End,
}

/// Where a wet finger presses.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Pressed {
    /// Nowhere.
    None,
    /// On the cap, at the place along the weld where the probe stands.
    Cap,
}

/// A step of the calibration.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Calibrated {
    /// Speed in the metal.
    Speed,
    /// Delay of the wedge.
    Wedge,
    /// Angles.
    Angles,
    /// Equal height over the beams.
    Sensitivity,
    /// Equal height over the path.
    PathGain,
    /// Encoder.
    Encoder,
}

/// A call on the sheet that has all of this; the one that has most of it is told of.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct CallGoal {
    /// One of these kinds.
    pub kind: Vec<FlawKind>,
    /// Start along the weld, mm.
    pub start_mm: Option<Band>,
    /// End along the weld, mm.
    pub end_mm: Option<Band>,
    /// Place across the weld, mm.
    pub offset_mm: Option<Band>,
    /// Depth, mm.
    pub depth_mm: Option<Band>,
    /// Height, mm.
    pub height_mm: Option<Band>,
    /// Accept or reject.
    pub decision: Option<Decision>,
}

impl Goal {
    pub(super) fn read(reader: &mut Reader) -> Self {
        Self {
            face: reader.name("face"),
            side: reader.name("side"),
            y_mm: reader.band("y_mm"),
            index_offset_mm: reader.band("index_offset_mm"),
            turned_deg: reader.band("turned_deg"),
            gain_db: reader.band("gain_db"),
            beam_deg: reader.band("beam_deg"),
            view: reader.name("view"),
            echo: reader.inside("echo", EchoPlace::read),
            leg: reader.number("leg").map(|leg| leg as u8),
            height_percent: reader.band("height_percent"),
            level_db: reader.band("level_db"),
            fallen_db: reader.band("fallen_db"),
            fallen_towards: reader.name("fallen_towards"),
            contact_loss_db: reader.band("contact_loss_db"),
            finger: reader.name("finger"),
            calibrated: reader.names("calibrated"),
            call: reader.inside("call", CallGoal::read),
            examined_percent: reader.number("examined_percent"),
            passed: reader.truth("passed"),
        }
    }

    /// What is wrong with it, in words.
    pub(super) fn problems(&self) -> Vec<String> {
        let mut found = Vec::new();
        if *self == Self::default() {
            found.push("nothing is asked for: expected at least one thing to measure".to_owned());
        }
        if self.fallen_db.is_some() && self.echo.is_none() {
            found.push("fallen_db needs the echo that falls: expected echo beside it".to_owned());
        }
        if self.fallen_towards.is_some() && self.fallen_db.is_none() {
            found.push("fallen_towards without fallen_db: expected both".to_owned());
        }
        found
    }
}

impl EchoPlace {
    fn read(reader: &mut Reader) -> Self {
        // Anywhere, where a band is left out.
        let mut band = |key| reader.band(key).unwrap_or([-1.0e6, 1.0e6]);
        Self { depth_mm: band("depth_mm"), offset_mm: band("offset_mm"), y_mm: reader.band("y_mm") }
    }
}

impl CallGoal {
    fn read(reader: &mut Reader) -> Self {
        Self {
            kind: reader.names("kind"),
            start_mm: reader.band("start_mm"),
            end_mm: reader.band("end_mm"),
            offset_mm: reader.band("offset_mm"),
            depth_mm: reader.band("depth_mm"),
            height_mm: reader.band("height_mm"),
            decision: reader.name("decision"),
        }
    }
}
