//! A recording laid on the plate: from above, from the side, from the end. Every cell holds the highest sample that lies
//! there, as its code, so gain and threshold are a matter of painting; and which sample it was, so a cell leads back to
//! its frame.

use serde::{Deserialize, Serialize};

use super::axis::{Axis, HAIR};
use super::section_map::{SectionMap, Spot};
use super::selection::{Selection, spots};
use super::{Course, Recording, Setting};

/// Cells across the weld and through the thickness, mm.
const ACROSS_MM: f64 = 0.5;
const DEEP_MM: f64 = 0.25;
/// Most cells of a view.
const MOST_CELLS: f64 = 16e6;

/// From where the plate is looked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Projection {
    /// From above: along the weld to the right, offset downwards from negative to positive.
    Top,
    /// From the side: along the weld to the right, depth downwards.
    Side,
    /// From the datum end: offset to the right, depth downwards.
    End,
}

/// Why a view cannot be made.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum ViewError {
    /// Nothing of the recording lies in the selection.
    #[error("nothing of the recording lies in the selection; expected spans that overlap what was scanned")]
    Nothing,
    /// More cells than are drawn.
    #[error(
        "the view would have {cells:.0} cells, at most {MOST_CELLS:.0} are drawn; select a shorter piece of the weld"
    )]
    TooLarge {
        /// Cells it would have.
        cells: f64,
    },
}

/// Where a cell's highest sample came from, and what it reads.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Place {
    /// Pass, from 0.
    pub pass: u32,
    /// Line, from 0.
    pub line: u32,
    /// Beam, from 0.
    pub beam: u32,
    /// Sound path in the metal, mm.
    pub sound_path_mm: f64,
    /// Leg, from 1.
    pub leg: u8,
    /// Along the weld, mm from the datum.
    pub y_mm: f64,
    /// Offset from the centreline, mm.
    pub offset_mm: f64,
    /// Depth, mm.
    pub depth_mm: f64,
    /// Amplitude relative to the reference reflector, dB; `None` below the scale.
    pub amplitude_db: Option<f64>,
}

/// A sample that a view shows.
#[derive(Clone, Copy, Debug)]
struct Target {
    /// In a frame's `[beam][sample]`.
    sample: u32,
    /// Row in its column, or for the view from the end the cell.
    cell: u32,
    beside_mm: f32,
}

/// Which sample a cell shows.
#[derive(Clone, Copy, Debug, Default)]
struct Source {
    pass: u32,
    line: u32,
    sample: u32,
}

/// A recording seen from one direction.
#[derive(Clone, Debug)]
pub struct PlateView {
    projection: Projection,
    selection: Selection,
    horizontal: Axis,
    vertical: Axis,
    targets: Vec<Vec<Target>>,
    /// Code of the highest sample plus 1, 0 where none lies, `[column][row]`.
    levels: Vec<u16>,
    sources: Vec<Source>,
}

impl PlateView {
    /// The view of everything recorded so far; lines taken later are added by [`PlateView::add`].
    ///
    /// # Errors
    /// Nothing to be seen, or too much.
    pub fn new(
        recording: &Recording,
        projection: Projection,
        selection: Selection,
    ) -> Result<Self, ViewError> {
        let mut view = Self::empty(recording, projection, selection)?;
        for (pass, about) in (0..).zip(&recording.passes) {
            for line in 0..about.course.lines {
                view.add(recording, pass, line);
            }
        }
        Ok(view)
    }

    /// The view before anything is recorded: its cells cover all lines of the passes begun, taken or not.
    ///
    /// # Errors
    /// Nothing can be seen, or too much.
    pub fn empty(
        recording: &Recording,
        projection: Projection,
        selection: Selection,
    ) -> Result<Self, ViewError> {
        let setting = &recording.setting;
        let shown = |pass: usize| selection.pass.is_none_or(|only| only as usize == pass);
        let courses: Vec<&Course> = recording.passes.iter().map(|pass| &pass.course).collect();
        let spots: Vec<Vec<(u32, Spot)>> = courses
            .iter()
            .enumerate()
            .map(|(pass, course)| if shown(pass) { spots(setting, course, &selection) } else { Vec::new() })
            .collect();
        if spots.iter().all(Vec::is_empty) {
            return Err(ViewError::Nothing);
        }
        let cell_mm = courses.iter().map(|course| course.step_mm).fold(f64::INFINITY, f64::min);
        let mut along = [f64::INFINITY, f64::NEG_INFINITY];
        let mut offset = along;
        for (course, spots) in courses.iter().zip(&spots) {
            for (_, spot) in spots {
                widen(&mut offset, spot.offset_mm);
                widen(&mut along, course.y_mm(0) + spot.beside_mm);
                widen(&mut along, course.y_mm(course.lines - 1) + spot.beside_mm);
            }
        }
        let along = narrowed(along, selection.along_mm);
        let offset = narrowed(offset, selection.offset_mm).map(|mm| mm / ACROSS_MM);
        let offset = [libm::floor(offset[0] + HAIR) * ACROSS_MM, libm::ceil(offset[1] - HAIR) * ACROSS_MM];
        let depth = narrowed([0.0, setting.thickness_mm], selection.depth_mm);
        if !(along[0] <= along[1] && offset[0] <= offset[1] && depth[0] <= depth[1]) {
            return Err(ViewError::Nothing);
        }
        // Lines stand in the middle of their columns.
        let half = cell_mm / 2.0;
        let spans = [[along[0] - half, along[1] + half], offset, depth];
        let cells = [cell_mm, ACROSS_MM, DEEP_MM];
        let (h, v) = match projection {
            Projection::Top => (0, 1),
            Projection::Side => (0, 2),
            Projection::End => (1, 2),
        };
        let expected = ((spans[h][1] - spans[h][0]) / cells[h]) * ((spans[v][1] - spans[v][0]) / cells[v]);
        if expected > MOST_CELLS {
            return Err(ViewError::TooLarge { cells: expected });
        }
        let (horizontal, vertical) = (Axis::over(spans[h], cells[h]), Axis::over(spans[v], cells[v]));
        let mut view = Self {
            projection,
            selection,
            horizontal,
            vertical,
            targets: Vec::new(),
            levels: vec![0; (horizontal.cells * vertical.cells) as usize],
            sources: vec![Source::default(); (horizontal.cells * vertical.cells) as usize],
        };
        view.targets = courses
            .iter()
            .zip(&spots)
            .map(|(course, spots)| {
                let mut targets: Vec<Target> =
                    spots.iter().filter_map(|(sample, spot)| view.target(*sample, spot)).collect();
                if projection == Projection::End && !targets.is_empty() {
                    view.fill(setting, course, &mut targets);
                }
                targets
            })
            .collect();
        Ok(view)
    }

    fn target(&self, sample: u32, spot: &Spot) -> Option<Target> {
        let cell = match self.projection {
            Projection::Top => self.vertical.cell(spot.offset_mm)?,
            Projection::Side => self.vertical.cell(spot.depth_mm)?,
            Projection::End => {
                self.horizontal.cell(spot.offset_mm)? * self.vertical.cells
                    + self.vertical.cell(spot.depth_mm)?
            }
        };
        Some(Target { sample, cell, beside_mm: spot.beside_mm as f32 })
    }

    /// From the end the beams leave gaps far from the probe: their cells show the nearer beam's sample.
    fn fill(&self, setting: &Setting, course: &Course, targets: &mut Vec<Target>) {
        let mut hit = vec![false; self.levels.len()];
        for target in targets.iter() {
            hit[target.cell as usize] = true;
        }
        let map = SectionMap::new(setting, course);
        let samples = setting.samples as usize;
        for number in 0..setting.frame_samples() {
            let (beam, sample) = (number / samples, number % samples);
            let Some(next) = map.neighbour(beam, sample) else { continue };
            let path = setting.path_mm(beam, sample as f64);
            for (share, spot) in map.between(beam, sample, 0.8 * DEEP_MM) {
                let nearer = if share < 0.5 { number } else { next };
                let target = self.target(nearer as u32, &spot).filter(|target| !hit[target.cell as usize]);
                let wanted = |beam: usize| self.selection.holds(beam, path, &spot);
                if let Some(target) = target.filter(|_| wanted(beam) && wanted(beam + 1)) {
                    targets.push(target);
                }
            }
        }
    }

    /// Adds a line, or a line taken anew where it is higher than before. A missing line changes nothing.
    pub fn add(&mut self, recording: &Recording, pass: u32, line: u32) {
        let Some(about) = recording.passes.get(pass as usize) else { return };
        let (Some(codes), Some(targets)) = (about.codes(line), self.targets.get(pass as usize)) else {
            return;
        };
        let y_mm = about.course.y_mm(line);
        let rows = self.vertical.cells;
        let mut show = |cell: u32, target: &Target| {
            let level = u16::from(codes[target.sample as usize]) + 1;
            let cell = cell as usize;
            if level > self.levels[cell] {
                self.levels[cell] = level;
                self.sources[cell] = Source { pass, line, sample: target.sample };
            }
        };
        if self.projection == Projection::End {
            let [from, to] = self.selection.along_mm.unwrap_or([f64::NEG_INFINITY, f64::INFINITY]);
            let on = |beside: f32| (from..=to).contains(&(y_mm + f64::from(beside)));
            targets.iter().filter(|target| on(target.beside_mm)).for_each(|target| show(target.cell, target));
            return;
        }
        let straight = about.course.skew_deg == 0.0;
        let (axis, half_mm) = (&self.horizontal, about.course.step_mm / 2.0);
        let columns = |y_mm: f64| axis.cells_between(y_mm - half_mm, y_mm + half_mm);
        if straight {
            for column in columns(y_mm) {
                targets.iter().for_each(|target| show(column * rows + target.cell, target));
            }
        } else {
            for target in targets {
                for column in columns(y_mm + f64::from(target.beside_mm)) {
                    show(column * rows + target.cell, target);
                }
            }
        }
    }

    /// From where it is seen.
    pub fn projection(&self) -> Projection {
        self.projection
    }

    /// Columns and rows.
    pub fn size_cells(&self) -> [u32; 2] {
        [self.horizontal.cells, self.vertical.cells]
    }

    /// Left and right edge, mm: along the weld, from the end the offset.
    pub fn horizontal_mm(&self) -> [f64; 2] {
        self.horizontal.edges_mm()
    }

    /// Upper and lower edge, mm: depth, from above the offset.
    pub fn vertical_mm(&self) -> [f64; 2] {
        self.vertical.edges_mm()
    }

    /// Code of a cell's highest sample; `None` where nothing was recorded.
    pub fn code(&self, column: u32, row: u32) -> Option<u8> {
        let level = *self.levels.get(self.index(column, row)?)?;
        u8::try_from(level.checked_sub(1)?).ok()
    }

    /// Column and row of the highest cell; `None` when nothing was recorded.
    pub fn highest(&self) -> Option<[u32; 2]> {
        let highest = self.levels.iter().copied().max().filter(|&level| level > 0)?;
        let cell = self.levels.iter().position(|&level| level == highest)? as u32;
        Some([cell / self.vertical.cells, cell % self.vertical.cells])
    }

    /// The sample that a cell shows; `None` where nothing was recorded.
    pub fn place(&self, recording: &Recording, column: u32, row: u32) -> Option<Place> {
        let code = self.code(column, row)?;
        let source = self.sources[self.index(column, row)?];
        let setting = &recording.setting;
        let course = &recording.passes.get(source.pass as usize)?.course;
        let (beam, sample) = (source.sample / setting.samples, source.sample % setting.samples);
        let spot = SectionMap::new(setting, course).spot(beam as usize, sample as usize)?;
        Some(Place {
            pass: source.pass,
            line: source.line,
            beam,
            sound_path_mm: setting.path_mm(beam as usize, f64::from(sample)),
            leg: spot.leg,
            y_mm: course.y_mm(source.line) + spot.beside_mm,
            offset_mm: spot.offset_mm,
            depth_mm: spot.depth_mm,
            amplitude_db: super::scale::level_db(code),
        })
    }

    fn index(&self, column: u32, row: u32) -> Option<usize> {
        (column < self.horizontal.cells && row < self.vertical.cells)
            .then(|| (column * self.vertical.cells + row) as usize)
    }

    /// Pass and number in the frame of what a cell shows.
    pub(super) fn source(&self, column: u32, row: u32) -> Option<(usize, u32)> {
        self.code(column, row)?;
        let source = self.sources[self.index(column, row)?];
        Some((source.pass as usize, source.sample))
    }
}

fn widen(span: &mut [f64; 2], mm: f64) {
    *span = [span[0].min(mm), span[1].max(mm)];
}

fn narrowed(span: [f64; 2], by: Option<[f64; 2]>) -> [f64; 2] {
    by.map_or(span, |by| [span[0].max(by[0]), span[1].min(by[1])])
}
