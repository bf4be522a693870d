//! What can happen in a session.

use instrument::calibration::{Calibration, Check};
use instrument::contact::Stroke;
use instrument::gate::{Gate, GatePoint};
use instrument::pose::Pose;
use instrument::set_up::SetUp;
use instrument::shaping::Finger;
use serde::{Deserialize, Serialize};

use crate::lessons::VariedFlaw;
use crate::sheet::Call;

/// Something that happened.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub enum Event {
    /// The session began; always the first entry.
    Start {
        /// Version of the log's form.
        version: u32,
        /// Id of the plate.
        plate_id: String,
        /// Digest of the paper, see [`crate::paper::Paper::digest`].
        paper_digest: String,
    },
    /// The probe stands somewhere.
    Pose(Pose),
    /// The gain was set.
    Gain {
        /// Gain, dB.
        gain_db: f64,
    },
    /// Another beam was selected.
    Beam {
        /// Index of the beam.
        beam: u32,
    },
    /// The gate was set.
    Gate(Gate),
    /// The second gate was set, or taken away.
    SecondGate(Option<Gate>),
    /// Where the two gates read was set.
    GatePoints([GatePoint; 2]),
    /// A guide rail was laid that holds the probe at an index offset, or was taken away.
    Rail {
        /// Index offset, mm; `None` without a rail.
        index_offset_mm: Option<f64>,
    },
    /// Probe, beams, range or receiver were set.
    SetUp(Box<SetUp>),
    /// A step of the calibration was accepted: all that is calibrated now.
    Calibrated(Box<Calibration>),
    /// The calibration was checked on the block: what it told.
    Checked(Check),
    /// Couplant was laid.
    Couplant(Stroke),
    /// The probe was lifted off the plate (`true`) or set down again. Poses meanwhile are where it hangs.
    Lifted(bool),
    /// A wet finger was pressed somewhere, or lifted.
    Finger(Option<Finger>),
    /// A flaw was varied in a lesson, or lies again as in the plate's file.
    Varied(Option<VariedFlaw>),
    /// A call was added at the end of the sheet.
    CallAdded(Call),
    /// A call was changed.
    CallEdited {
        /// Its place on the sheet, from 0.
        index: u32,
        /// What it is now.
        call: Call,
    },
    /// A call was removed; those after it move up.
    CallRemoved {
        /// Its place on the sheet, from 0.
        index: u32,
    },
    /// The statement "no recordable indication" was set or taken back.
    NoRecordableIndication {
        /// Whether it stands now.
        stated: bool,
    },
    /// The sheet was handed in; nothing may follow.
    HandIn,
}
