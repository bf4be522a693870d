//! A plate under the hand of whoever draws it: its file checked and changed, frames of it, and the echoes of its flaws.

use exam::debrief::{Explained, explained};
use exam::detectability::{Detectability, Standing};
use exam::findable::FromSide;
use exam::paper::Paper;
use exam::preview::{Preview, Shown};
use instrument::bench::{Instrument, PictureFrame, View};
use instrument::pose::{Face, Pose, Side};
use instrument::procedure::Procedure;
use serde::Serialize;
use specimen::file::edit::{self, Edit};
use specimen::file::{FileError, Problem};
use specimen::flaw::Extent;
use specimen::generator::Design;
use specimen::plate::Plate;
use specimen::section::Outline;
use wasm_bindgen::JsError;
use wasm_bindgen::prelude::wasm_bindgen;

use crate::session::{finite, value};

/// What the drawing board shows of a file.
#[derive(Serialize)]
struct Laid<'a> {
    plate: &'a Plate,
    procedure: &'a Procedure,
    /// Whether the file says how to scan, or leaves it to the yard.
    own_procedure: bool,
    outline: Outline,
    beams: Vec<Beam>,
    /// Colours of the picture from 0 to 100 % of full screen height, RGB, in 16 steps.
    colours: [[u8; 3]; 16],
    flaws: Vec<LaidFlaw>,
}

#[derive(Serialize)]
struct Beam {
    angle_deg: f64,
    exit_forward_mm: f64,
}

/// A flaw as it lies in the plate, and what rays say of it.
#[derive(Serialize)]
struct LaidFlaw {
    words: &'static str,
    iso_6520_number: u16,
    planar: bool,
    extent: Extent,
    #[serde(flatten)]
    explained: Explained,
}

/// The table and its words.
#[derive(Serialize)]
struct Table<'a> {
    table: &'a Detectability,
    standings: Vec<Vec<&'static str>>,
}

/// A plate on the drawing board.
#[wasm_bindgen]
pub struct DrawingBoard {
    preview: Option<Preview>,
    picture: Vec<u8>,
    place: Option<PictureFrame>,
    trace: Vec<f32>,
    trace_step_mm: f64,
}

fn laid(preview: &mut Preview, own_procedure: bool) -> Result<String, JsError> {
    let instrument = preview.instrument();
    let beam = |(index, &angle_deg): (usize, &f64)| Beam {
        angle_deg,
        exit_forward_mm: instrument.exit_forward_mm(index),
    };
    let beams = instrument.angles_deg().iter().enumerate().map(beam).collect();
    let paper = preview.paper();
    let plate = &paper.plate;
    let flaw = |flaw: &specimen::flaw::Flaw| {
        let extent = flaw.extent(plate);
        LaidFlaw {
            words: flaw.kind.words(),
            iso_6520_number: flaw.kind.iso_6520_number(),
            planar: flaw.kind.is_planar(),
            extent,
            explained: explained(paper, flaw, &extent),
        }
    };
    Ok(serde_json::to_string(&Laid {
        plate,
        procedure: &paper.procedure,
        own_procedure,
        outline: plate.outline(),
        beams,
        colours: Instrument::colour_steps(),
        flaws: plate.flaws.iter().map(flaw).collect(),
    })?)
}

/// What is wrong with a file, as JSON.
fn problems(problems: &[Problem]) -> Result<String, JsError> {
    Ok(serde_json::to_string(&serde_json::json!({ "problems": problems }))?)
}

#[wasm_bindgen]
impl DrawingBoard {
    /// An empty board.
    #[wasm_bindgen(constructor)]
    pub fn new() -> Self {
        Self { preview: None, picture: Vec::new(), place: None, trace: Vec::new(), trace_step_mm: 1.0 }
    }

    /// Lays a plate file on the board; gives what to draw, or the file's problems, after which the board is as before.
    pub fn lay(&mut self, name: &str, text: &str) -> Result<String, JsError> {
        let (paper, own_procedure) = match Paper::read(name, text.as_bytes()) {
            Ok(read) => read,
            Err(FileError { problems: found, .. }) => return problems(&found),
        };
        let changed = match &mut self.preview {
            Some(preview) => preview.change(paper),
            empty => Preview::new(paper).map(|preview| *empty = Some(preview)),
        };
        if let Err(error) = changed {
            return problems(&[Problem {
                line: None,
                column: None,
                path: "procedure".to_owned(),
                message: error.to_string(),
            }]);
        }
        self.preview.as_mut().map_or_else(|| problems(&[]), |preview| laid(preview, own_procedure))
    }

    /// Scans at an upright pose, the whole plate or one flaw alone, and paints picture (folded) and trace of a beam.
    pub fn scan(
        &mut self,
        alone: Option<u32>,
        side: &str,
        index_offset_mm: f64,
        y_mm: f64,
        gain_db: f64,
        beam: u32,
    ) -> Result<(), JsError> {
        finite("pose or gain", &[index_offset_mm, y_mm, gain_db])?;
        let side = match side {
            "A" => Side::A,
            "B" => Side::B,
            _ => return Err(value("side of the weld", side, "A or B").into()),
        };
        let Some(preview) = &mut self.preview else { return Ok(()) };
        let pose = Pose { face: Face::Upper, side, index_offset_mm, y_mm, skew_deg: 0.0 };
        preview.scan(alone.map_or(Shown::Whole, Shown::Alone), &pose, gain_db);
        let instrument = preview.instrument();
        let place = instrument.picture_frame(View::Folded);
        let bytes = u64::from(place.width_px) * u64::from(place.height_px) * 4;
        self.picture.resize(usize::try_from(bytes).unwrap_or(0), 0);
        instrument.paint(View::Folded, None, &mut self.picture);
        self.place = Some(place);
        let last = instrument.angles_deg().len().saturating_sub(1);
        let trace = instrument.trace((beam as usize).min(last));
        self.trace_step_mm = trace.step_mm;
        self.trace = trace.percent;
        Ok(())
    }

    /// Size and place of the picture.
    pub fn picture_frame(&self) -> Result<String, JsError> {
        Ok(serde_json::to_string(&self.place)?)
    }

    /// Where the picture lies in memory: RGBA rows.
    pub fn picture_pointer(&self) -> *const u8 {
        self.picture.as_ptr()
    }

    /// Its length, bytes.
    pub fn picture_length(&self) -> usize {
        self.picture.len()
    }

    /// Where the trace lies in memory: % of full screen height, 32-bit floats.
    pub fn trace_pointer(&self) -> *const f32 {
        self.trace.as_ptr()
    }

    /// Its length, values.
    pub fn trace_length(&self) -> usize {
        self.trace.len()
    }

    /// Sound path from one value to the next, mm.
    pub fn trace_step_mm(&self) -> f64 {
        self.trace_step_mm
    }

    /// Looks for the echoes of one flaw from one side, of this flaw first; false when all are known.
    pub fn step(&mut self, first: u32) -> bool {
        self.preview.as_mut().is_some_and(|preview| preview.step(first))
    }

    /// What is known of each flaw from each side (null: not yet), as JSON.
    pub fn echoes(&self) -> Result<String, JsError> {
        let known: &[Vec<Option<FromSide>>] = self.preview.as_ref().map_or(&[], Preview::known);
        Ok(serde_json::to_string(known)?)
    }

    /// The table of detectability, with its words, as JSON; looks for what is missing.
    pub fn table(&mut self) -> Result<String, JsError> {
        let Some(preview) = &mut self.preview else { return Ok("null".to_owned()) };
        let table = preview.table();
        let standings = (table.flaws.iter())
            .map(|flaw| flaw.rows.iter().map(|row| Standing::words(row.standing)).collect())
            .collect();
        Ok(serde_json::to_string(&Table { table: &table, standings })?)
    }

    /// The whole plate file on the board, written out.
    pub fn file(&self) -> Result<String, JsError> {
        match &self.preview {
            Some(preview) => Ok(preview.paper().to_toml()?),
            None => Ok(String::new()),
        }
    }
}

impl Default for DrawingBoard {
    fn default() -> Self {
        Self::new()
    }
}

/// A plate file after changes, given as JSON: comments and order stay.
#[wasm_bindgen]
pub fn edited_plate(text: &str, edits: &str) -> Result<String, JsError> {
    let edits: Vec<Edit> = exam::json::read(edits.as_bytes())?;
    Ok(edit::edited(text, &edits)?)
}

/// A plate to begin with: a joint that plates are drawn with, without flaws, as a file.
#[wasm_bindgen]
pub fn clean_plate(joint: &str, seed: u32) -> Result<String, JsError> {
    let design = Design::named(joint).ok_or_else(|| {
        JsError::from(value("joint", joint, "the name of a joint that plates are drawn with"))
    })?;
    let mut paper = Paper::generate(design, 3, u64::from(seed));
    paper.plate.flaws.clear();
    paper.scheme.below_recording_level.clear();
    paper.plate.id = "my-plate".to_owned();
    paper.plate.title = "A plate of my own".to_owned();
    Ok(paper.to_toml()?)
}
