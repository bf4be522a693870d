//! What the page may know of an open plate before hand-in. The flaws are not part of it.

use exam::paper::Paper;
use exam::said::Said;
use exam::seal::Terms;
use instrument::bench::Instrument;
use instrument::procedure::Procedure;
use instrument::receiver::Receiver;
use instrument::set_up::SetUp;
use serde::Serialize;
use specimen::flaw::FlawKind;

/// A beam of the set-up.
#[derive(Serialize)]
struct Beam {
    angle_deg: f64,
    exit_forward_mm: f64,
}

/// A kind of flaw that can be called.
#[derive(Serialize)]
struct Kind {
    value: FlawKind,
    words: &'static str,
    iso_6520_number: u16,
    planar: bool,
}

/// The drawing's text, the procedure, the beams and the words of the answer sheet.
#[derive(Serialize)]
pub struct About<'a> {
    id: &'a str,
    title: &'a str,
    note: &'a str,
    preparation: &'static str,
    /// How a sealed plate is sat; absent for any other.
    exam: Option<&'a Terms>,
    /// A recorded exam: nothing can be scanned.
    recorded: bool,
    /// A reference block: no weld, nothing to call.
    block: bool,
    thickness_mm: f64,
    length_mm: f64,
    width_mm: f64,
    /// The procedure with the set-up in use in place of its own.
    procedure: Procedure,
    /// The procedure as it was written.
    prescribed: &'a Procedure,
    /// The rule for accept and reject; absent where it is not in the file, or there is nothing to call.
    acceptance: Option<Said>,
    beams: Vec<Beam>,
    receiver: Receiver,
    kinds: Vec<Kind>,
    /// Colours of the picture from 0 to 100 % of full screen height, RGB, in 16 steps.
    colours: [[u8; 3]; 16],
}

impl<'a> About<'a> {
    /// Gathers it; of an exam its terms, and whether it is a recorded one.
    pub fn of(
        paper: &'a Paper,
        exam: Option<(&'a Terms, bool)>,
        set_up: &SetUp,
        instrument: &Instrument,
    ) -> Self {
        let plate = &paper.plate;
        let kind = |value: FlawKind| Kind {
            value,
            words: value.words(),
            iso_6520_number: value.iso_6520_number(),
            planar: value.is_planar(),
        };
        let beam = |(index, &angle_deg): (usize, &f64)| Beam {
            angle_deg,
            exit_forward_mm: instrument.exit_forward_mm(index),
        };
        let recorded = exam.is_some_and(|(_, recorded)| recorded);
        let block = plate.block.is_some();
        Self {
            id: &plate.id,
            title: &plate.title,
            note: &plate.note,
            preparation: plate.joint.preparation.words(),
            exam: exam.map(|(terms, _)| terms),
            recorded,
            block,
            thickness_mm: plate.thickness_mm,
            length_mm: plate.length_mm,
            width_mm: plate.width_mm,
            procedure: set_up.in_place_of(&paper.procedure),
            prescribed: &paper.procedure,
            acceptance: (!recorded && !block).then(|| paper.scheme.acceptance.words()),
            beams: instrument.angles_deg().iter().enumerate().map(beam).collect(),
            receiver: set_up.receiver,
            kinds: FlawKind::ALL.map(kind).into(),
            colours: Instrument::colour_steps(),
        }
    }
}
