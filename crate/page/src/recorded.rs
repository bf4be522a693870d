//! A recorded scan, on the bench or by itself: taking lines, views, readings, files. Plain Rust, so that it can be tested
//! without a browser.

use exam::examined::NO_CONTACT_DB;
use exam::said::Said;
use exam::snapshot::Snapshot;
use instrument::bench::{PictureFrame, Trace, View};
use instrument::gate::{Gate, Reading};
use instrument::pose::{Face, Pose, Side};
use instrument::recording::{
    Colouring, Course, MOST_BYTES, MOST_PASSES, Place, PlateView, Projection, Recording, RecordingError,
    Sector, Selection, Setting,
};
use serde::{Deserialize, Serialize};

use crate::recorded_call::{Taken, gate_about};
use crate::session::{Session, SessionError};

/// Offsets that are shown unless the operator asks for others, on either side of the centreline, % of the plate's thickness.
const SHOWN_PERCENT: f64 = 150.0;
/// What a reading looks at on either side of the cursor, mm of sound path.
pub(crate) const READ_MM: f64 = 2.0;

/// Passes that are wanted.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Wish {
    /// The face the probe stands on.
    #[serde(default)]
    pub face: Face,
    /// Sides of the weld, one after the other.
    pub sides: Vec<Side>,
    /// Index offsets; a pass for each from each side, mm.
    pub index_offsets_mm: Vec<f64>,
    /// Turn of the probe, degrees.
    pub skew_deg: f64,
    /// First line along the weld, mm from the datum.
    pub from_mm: f64,
    /// Where lines end, mm from the datum.
    pub to_mm: f64,
    /// From one line to the next, mm.
    pub step_mm: f64,
}

/// A pass and what is missing of it.
#[derive(Serialize)]
struct PassNote<'a> {
    course: &'a Course,
    missing: Vec<u32>,
}

#[derive(Serialize)]
struct Note<'a> {
    setting: &'a Setting,
    passes: Vec<PassNote<'a>>,
    selection: &'a Selection,
    gain_db: f64,
    bytes: usize,
    colours: [[u8; 3]; 16],
}

/// Size and place of a painted view.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Painted {
    columns: u32,
    rows: u32,
    horizontal_mm: [f64; 2],
    vertical_mm: [f64; 2],
}

/// A recording and what is drawn of it.
pub struct RecordedScan {
    pub(crate) recording: Recording,
    /// The lines of this visit, in the order they were taken.
    pub(crate) taken: Vec<Taken>,
    selection: Selection,
    views: [Option<PlateView>; 3],
    sector: Option<Sector>,
    /// What was painted last, RGBA rows.
    pub pixels: Vec<u8>,
}

fn refused(error: impl core::fmt::Display) -> SessionError {
    SessionError::Recording(error.to_string())
}

/// Why passes cannot be begun.
fn unfit(error: RecordingError) -> Said {
    let megabytes = |bytes: u64| libm::round(bytes as f64 / 1e6).into();
    match error {
        RecordingError::TooLarge { bytes } => {
            let values = vec![("needed", megabytes(bytes)), ("most", megabytes(MOST_BYTES))];
            Said::new("said.record.large", values)
        }
        other => Said::new("said.record.refused", vec![("why", other.to_string().into())]),
    }
}

pub(crate) fn setting(session: &Session) -> Setting {
    let plate = &session.paper.plate;
    let procedure = session.set_up.in_place_of(&session.paper.procedure);
    Setting::new(&session.instrument, &procedure, &plate.id, plate.length_mm)
}

/// Where the probe is along the weld when the encoder counts a line, mm.
pub(crate) fn counted_mm(session: &Session, course: &Course, line: u32) -> f64 {
    let y_mm = course.start_mm + (course.y_mm(line) - course.start_mm) / session.counts_per_mm();
    // Divided by 1 the place may still lose its last bit.
    if (y_mm - course.y_mm(line)).abs() < 1e-6 { course.y_mm(line) } else { y_mm }
}

impl RecordedScan {
    /// An empty recording of the plate on the bench with the set-up in use.
    pub fn new(session: &Session) -> Self {
        Self::with(Recording::with(setting(session)))
    }

    pub(crate) fn with(recording: Recording) -> Self {
        let beside_mm = SHOWN_PERCENT / 100.0 * recording.setting().thickness_mm;
        let selection = Selection { offset_mm: Some([-beside_mm, beside_mm]), ..Selection::default() };
        let (taken, pixels) = (Vec::new(), Vec::new());
        Self { recording, taken, selection, views: [None, None, None], sector: None, pixels }
    }

    /// What it was made with, its passes, what is shown of it, as JSON.
    ///
    /// # Errors
    /// None in practice; the library's error type has to go on.
    pub fn about(&self) -> Result<String, SessionError> {
        let setting = self.recording.setting();
        let passes: Vec<PassNote> = self
            .recording
            .passes()
            .iter()
            .map(|pass| PassNote { course: pass.course(), missing: pass.missing() })
            .collect();
        let lines: usize = passes.iter().map(|note| note.course.lines as usize - note.missing.len()).sum();
        Ok(serde_json::to_string(&Note {
            setting,
            selection: &self.selection,
            gain_db: self.recording.gain_db(),
            bytes: lines * setting.frame_samples(),
            colours: instrument::bench::Instrument::colour_steps(),
            passes,
        })?)
    }

    /// Begins the passes that are wanted; gives the number of the first and how many lines each has.
    ///
    /// # Errors
    /// A wish off the plate, a set-up other than that of the passes before, or more than fits; nothing is begun then.
    pub fn begin(&mut self, session: &Session, wish: &Wish) -> Result<(usize, Vec<u32>), Said> {
        if *self.recording.setting() != setting(session) {
            return Err(Said::new("said.record.other", Vec::new()));
        }
        let courses = courses(session, wish)?;
        let first = self.recording.passes().len();
        if first + courses.len() > MOST_PASSES {
            return Err(Said::new("said.record.passes", vec![("most", (MOST_PASSES as f64).into())]));
        }
        // All or none.
        let mut longer = Recording::with(self.recording.setting().clone());
        for course in self.recording.passes().iter().map(|pass| *pass.course()).chain(courses.iter().copied())
        {
            longer.begin(course).map_err(unfit)?;
        }
        for course in &courses {
            self.recording.begin(*course).map_err(unfit)?;
        }
        self.views = [None, None, None];
        Ok((first, courses.iter().map(|course| course.lines).collect()))
    }

    /// Puts the probe where the encoder counts a line, scans once and keeps the frame. A line without contact is missing, and so
    /// is one that the encoder would count beyond the plate's end only.
    ///
    /// # Errors
    /// No such line, or another set-up.
    pub fn take(
        &mut self,
        session: &mut Session,
        t_ms: u64,
        pass: usize,
        line: u32,
    ) -> Result<(), SessionError> {
        let course = self
            .recording
            .passes()
            .get(pass)
            .map(|pass| *pass.course())
            .ok_or_else(|| refused("there is no such pass"))?;
        let y_mm = counted_mm(session, &course, line);
        if y_mm > session.paper.plate.length_mm {
            return Ok(());
        }
        session.face = course.face;
        let Course { face, side, index_offset_mm, skew_deg, .. } = course;
        session.stand(t_ms, Pose { face, side, index_offset_mm, y_mm, skew_deg })?;
        session.frame();
        if session.contact_loss_db > NO_CONTACT_DB {
            return Ok(());
        }
        self.recording.take_counted(pass, line, &session.instrument).map_err(refused)?;
        let Snapshot { t_ms, tick, contact_loss_db, .. } = session.snapshot();
        self.taken.push(Taken { pass, line, t_ms, tick, y_mm, contact_loss_db });
        for view in self.views.iter_mut().flatten() {
            view.add(&self.recording, pass as u32, line);
        }
        Ok(())
    }

    /// Lines of a pass that the encoder asks for on the way of a probe that stays on its course; none where it left it.
    pub fn passed(&self, session: &Session, pass: usize, from_mm: f64, most: usize) -> Vec<u32> {
        let Some(course) = self.recording.passes().get(pass).map(|pass| *pass.course()) else {
            return Vec::new();
        };
        let now = session.pose;
        let on_course = now.side == course.side
            && now.face == course.face
            && (now.index_offset_mm - course.index_offset_mm).abs() < 1e-6
            && (now.skew_deg - course.skew_deg).abs() < 1e-6;
        let counted_mm = |y_mm: f64| course.start_mm + (y_mm - course.start_mm) * session.counts_per_mm();
        if !on_course {
            return Vec::new();
        }
        course.lines_between(counted_mm(from_mm), counted_mm(now.y_mm), most)
    }

    /// Chooses what is shown.
    pub fn select(&mut self, selection: Selection) {
        self.selection = selection;
        self.views = [None, None, None];
    }

    fn view(&mut self, projection: Projection) -> Option<&PlateView> {
        let slot = &mut self.views[projection as usize];
        if slot.is_none() {
            *slot = PlateView::new(&self.recording, projection, self.selection).ok();
        }
        slot.as_ref()
    }

    /// Paints a view into [`RecordedScan::pixels`]; `None` where nothing lies in the selection.
    pub fn paint(
        &mut self,
        projection: Projection,
        colouring: Colouring,
        gain_db: f64,
        threshold_percent: f64,
    ) -> Option<Painted> {
        self.view(projection)?;
        let view = self.views[projection as usize].as_ref()?;
        let [columns, rows] = view.size_cells();
        self.pixels.clear();
        self.pixels.resize(columns as usize * rows as usize * 4, 0);
        view.paint(&self.recording, colouring, gain_db, threshold_percent, &mut self.pixels);
        Some(Painted { columns, rows, horizontal_mm: view.horizontal_mm(), vertical_mm: view.vertical_mm() })
    }

    /// What a view shows at a place of its drawing, mm.
    pub fn place(&mut self, projection: Projection, at_mm: [f64; 2]) -> Option<Place> {
        self.view(projection)?;
        let view = self.views[projection as usize].as_ref()?;
        let cell = |place_mm: f64, edges_mm: [f64; 2], cells: u32| {
            let share = (place_mm - edges_mm[0]) / (edges_mm[1] - edges_mm[0]);
            let cell = libm::floor(share * f64::from(cells));
            (cell >= 0.0 && cell < f64::from(cells)).then_some(cell as u32)
        };
        let [columns, rows] = view.size_cells();
        let column = cell(at_mm[0], view.horizontal_mm(), columns)?;
        let row = cell(at_mm[1], view.vertical_mm(), rows)?;
        view.place(&self.recording, column, row)
    }

    /// The highest sample of the selection.
    pub fn highest(&mut self) -> Option<Place> {
        self.view(Projection::Top)?;
        let view = self.views[Projection::Top as usize].as_ref()?;
        let [column, row] = view.highest()?;
        view.place(&self.recording, column, row)
    }

    /// Paints the sector image of a line into [`RecordedScan::pixels`]; `None` where the line is missing.
    pub fn paint_sector(
        &mut self,
        pass: usize,
        line: u32,
        gain_db: f64,
        leg: Option<u8>,
    ) -> Option<PictureFrame> {
        let frame = self.recording.frame(pass, line, gain_db)?;
        let sector = self.sector.get_or_insert_with(|| self.recording.sector(View::Folded));
        let place = sector.frame();
        self.pixels.clear();
        self.pixels.resize(place.width_px as usize * place.height_px as usize * 4, 0);
        sector.paint(&frame, leg, &mut self.pixels);
        Some(place)
    }

    /// Reads the highest echo near a sound path of a recorded beam.
    pub fn reading(
        &self,
        pass: usize,
        line: u32,
        beam: usize,
        path_mm: f64,
        gain_db: f64,
    ) -> Option<Reading> {
        self.recording.frame(pass, line, gain_db)?.reading(beam, &gate_about(path_mm))
    }

    /// Reads the highest echo in a gate on a recorded beam; `None` below the gate's threshold.
    pub fn gate_reading(
        &self,
        pass: usize,
        line: u32,
        beam: usize,
        gate: &Gate,
        gain_db: f64,
    ) -> Option<Reading> {
        self.recording.frame(pass, line, gain_db)?.reading(beam, gate)
    }

    /// The echo trace of a recorded beam.
    pub fn trace(&self, pass: usize, line: u32, beam: usize, gain_db: f64) -> Option<Trace> {
        let frame = self.recording.frame(pass, line, gain_db)?;
        (beam < self.recording.setting().beams.len()).then(|| frame.trace(beam))
    }
}

/// The passes of a wish.
fn courses(session: &Session, wish: &Wish) -> Result<Vec<Course>, Said> {
    let plate = &session.paper.plate;
    let half_mm = plate.width_mm / 2.0;
    let within = |what: &'static str, place_mm: f64, bounds_mm: [f64; 2]| {
        if (bounds_mm[0]..=bounds_mm[1]).contains(&place_mm) {
            return Ok(place_mm);
        }
        let values = [("value_mm", place_mm), ("low_mm", bounds_mm[0]), ("high_mm", bounds_mm[1])];
        let values = values.map(|(name, mm)| (name, mm.into()));
        let what = Said::new(what, Vec::new()).into();
        Err(Said::new("said.record.within", [("what", what)].into_iter().chain(values).collect()))
    };
    let start_mm = within("said.record.first", wish.from_mm, [0.0, plate.length_mm])?;
    let end_mm = within("said.record.last", wish.to_mm, [start_mm, plate.length_mm])?;
    let step_mm = within("said.record.step", wish.step_mm, [0.1, 100.0])?;
    for &offset in &wish.index_offsets_mm {
        within("said.record.offset", offset, [-half_mm, half_mm])?;
    }
    // A step that divides the length is not robbed of its last line by rounding.
    let lines = ((end_mm - start_mm) / step_mm + 1e-6) as u32 + 1;
    let course = |side, index_offset_mm| Course {
        face: wish.face,
        side,
        index_offset_mm,
        skew_deg: wish.skew_deg,
        start_mm,
        step_mm,
        lines,
    };
    let offsets = &wish.index_offsets_mm;
    Ok(wish.sides.iter().flat_map(|&side| offsets.iter().map(move |&mm| course(side, mm))).collect())
}
