//! What a step wants to be reached.

use instrument::bench::View;
use instrument::pose::{Face, Side};
use serde::Deserialize;
use specimen::flaw::FlawKind;

use crate::sheet::Decision;

/// Lowest and highest value that will do.
pub type Band = [f64; 2];

/// Everything that is named here has to hold at the same time.
#[derive(Clone, Debug, Default, PartialEq, Deserialize)]
#[serde(deny_unknown_fields, default)]
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
    /// The leg that is shown alone.
    pub shown_leg: Option<u8>,
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
    /// A wet finger presses: on the plate or on the wedge.
    pub finger: Option<FingerOn>,
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
#[derive(Clone, Copy, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct EchoPlace {
    /// Depth, mm.
    pub depth_mm: Band,
    /// Place across the weld, mm.
    pub offset_mm: Band,
    /// Place along the weld, mm; absent where it does not matter.
    #[serde(default)]
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

/// Where a finger presses.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum FingerOn {
    /// On a face of the plate.
    Plate,
    /// On the wedge.
    Wedge,
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
#[derive(Clone, Debug, Default, PartialEq, Deserialize)]
#[serde(deny_unknown_fields, default)]
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
    /// What is wrong with it, in words.
    pub(crate) fn problems(&self) -> Vec<String> {
        let mut found = Vec::new();
        if *self == Self::default() {
            found.push("nothing is asked for: expected at least one thing to measure".to_owned());
        }
        let (echo, call) = (self.echo, self.call.clone().unwrap_or_default());
        let bands = [
            ("y_mm", self.y_mm),
            ("index_offset_mm", self.index_offset_mm),
            ("turned_deg", self.turned_deg),
            ("gain_db", self.gain_db),
            ("beam_deg", self.beam_deg),
            ("height_percent", self.height_percent),
            ("level_db", self.level_db),
            ("fallen_db", self.fallen_db),
            ("contact_loss_db", self.contact_loss_db),
            ("echo.depth_mm", echo.map(|echo| echo.depth_mm)),
            ("echo.offset_mm", echo.map(|echo| echo.offset_mm)),
            ("echo.y_mm", echo.and_then(|echo| echo.y_mm)),
            ("call.start_mm", call.start_mm),
            ("call.end_mm", call.end_mm),
            ("call.offset_mm", call.offset_mm),
            ("call.depth_mm", call.depth_mm),
            ("call.height_mm", call.height_mm),
        ];
        for (name, band) in bands {
            if let Some([low, high]) = band
                && !(low <= high)
            {
                found.push(format!("{name} is {low} to {high}, expected the lower value first"));
            }
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
