//! What of a weld a session has examined, from its log: slice by slice along the weld and cell by cell of the section,
//! from each side. By rays alone, as the scan plan does it.

use std::collections::BTreeMap;

use fixedbitset::FixedBitSet;
use instrument::pose::{Face, Pose, Side};
use instrument::scan_plan::{Cells, PlanBeam, Station, Zone};
use instrument::set_up::SetUp;
use serde::Serialize;
use specimen::flaw::Extent;

use crate::contact::{self, ContactOfLog};
use crate::event::Event;
use crate::log::Entry;
use crate::paper::Paper;
use crate::scan_plan;

/// Length of a slice along the weld, mm.
pub const SLICE_MM: f64 = 2.0;

/// Fastest slide that still counts as scanning, mm/s. European standards for weld testing allow no more (from memory).
pub const FASTEST_MM_PER_S: f64 = 150.0;

/// A probe turned further than this looks elsewhere than across the weld, degrees.
const MOST_SKEW_DEG: f64 = 10.0;

/// Contact that takes no more than this counts as good, dB. Common practice, no source: a transfer loss this small is not
/// made up for.
const GOOD_CONTACT_DB: f64 = 2.0;

/// Contact that takes more than this is none, dB. Common practice, no source.
pub const NO_CONTACT_DB: f64 = 20.0;

/// So much of what can be reached has to be dry before a place counts as dry, %.
const DRY_PERCENT: f64 = 5.0;

/// Gains closer than this are the same, dB.
const SAME_GAIN_DB: f64 = 0.05;

/// What was looked at from one side, slice by slice.
#[derive(Clone, Debug, PartialEq)]
struct Slices {
    /// What the procedure's own set-up reaches from here at its index offsets.
    possible: FixedBitSet,
    /// Cells on the way of a beam, with contact or without.
    aimed_at: Vec<FixedBitSet>,
    /// Cells a beam has met.
    met: Vec<FixedBitSet>,
    /// Cells a beam has met at scanning gain or above.
    at_level: Vec<FixedBitSet>,
}

/// How far a place was examined from a side.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Met {
    /// No beam met it.
    Never,
    /// The probe stood right for it, but dry or lifted off: without contact.
    Dry,
    /// Beams met it, but below scanning gain, or with so little contact that as much was missing.
    Quietly,
    /// Beams met it at scanning gain or above.
    AtLevel,
}

/// What of the weld was examined from one side.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SideExamined {
    /// The side.
    pub side: Side,
    /// Part of what the procedure can reach from here that beams have met, %.
    pub met_percent: f64,
    /// The same at scanning gain or above, %.
    pub at_level_percent: f64,
    /// The same slice by slice from the datum, %.
    pub along_percent: Vec<u8>,
}

/// A stretch of the weld, mm, and the side it was scanned from.
pub type Stretch = (Side, [f64; 2]);

/// What a session has examined so far. Events go in one after the other, as the log has them.
#[derive(Clone, Debug)]
pub struct Examined {
    paper: Box<Paper>,
    reach: Reach,
    half_width_mm: f64,
    gain_db: f64,
    before: Option<(u64, Pose)>,
    contact: ContactOfLog,
    sides: Vec<(Side, Slices)>,
    /// The same as it was when the calibration was last found good, and what a failed check has taken back since.
    good: Vec<(Side, Slices)>,
    taken_back: Vec<(Side, Slices)>,
}

/// What the beams in use reach of the section.
#[derive(Clone, Debug)]
struct Reach {
    zone: Zone,
    cells: Cells,
    beams: Vec<PlanBeam>,
    range_mm: f64,
    /// Cells by face, side and whole millimetre of index offset.
    known: BTreeMap<(bool, bool, i32), FixedBitSet>,
}

impl Reach {
    /// The cells reached from a pose, whatever its place along the weld.
    fn from(&mut self, pose: &Pose) -> &FixedBitSet {
        let offset = pose.index_offset_mm.round();
        let key = (pose.face == Face::Lower, pose.side == Side::B, offset as i32);
        self.known.entry(key).or_insert_with(|| {
            let station = Station { face: pose.face, side: pose.side, index_offset_mm: [offset, offset] };
            bits(&self.cells.reached(&self.zone, &self.beams, self.range_mm, &station))
        })
    }
}

impl Examined {
    /// Nothing yet. `None` for a block, which has no weld, and for a procedure that cannot be set up.
    pub fn new(paper: &Paper) -> Option<Self> {
        let procedure = &paper.procedure;
        let set_up = SetUp::of(procedure);
        let zone = scan_plan::zone(&paper.plate)?;
        let beams = scan_plan::beams(&paper.plate, &set_up).ok()?;
        let cells = Cells::new(&zone);
        let count = (paper.plate.length_mm / SLICE_MM).ceil().max(1.0) as usize;
        let sides = procedure.sides.iter().map(|&side| {
            let station = Station { face: Face::Upper, side, index_offset_mm: procedure.index_offset_mm };
            let possible = bits(&cells.reached(&zone, &beams, procedure.range_mm, &station));
            let empty = FixedBitSet::with_capacity(possible.len());
            (
                side,
                Slices {
                    possible,
                    aimed_at: vec![empty.clone(); count],
                    met: vec![empty.clone(); count],
                    at_level: vec![empty; count],
                },
            )
        });
        let sides: Vec<(Side, Slices)> = sides.collect();
        Some(Self {
            good: sides.clone(),
            taken_back: sides.clone(),
            sides,
            reach: Reach { zone, cells, beams, range_mm: procedure.range_mm, known: BTreeMap::new() },
            half_width_mm: procedure.probe.elevation_mm / 2.0,
            gain_db: procedure.scanning_level_db(),
            before: None,
            contact: ContactOfLog::new(paper),
            paper: Box::new(paper.clone()),
        })
    }

    /// What a whole log adds up to.
    pub fn of(paper: &Paper, entries: &[Entry]) -> Option<Self> {
        Some(Self::new(paper)?.follow(entries))
    }

    /// Works out what the procedure's own beams reach from every whole millimetre of index offset, for whoever follows many
    /// logs: a copy of this one need not.
    pub fn prepared(mut self) -> Self {
        let [near, far] = self.paper.procedure.index_offset_mm;
        let sides: Vec<Side> = self.sides.iter().map(|(side, _)| *side).collect();
        for side in sides {
            for offset in near.round() as i32..=far.round() as i32 {
                let offset = f64::from(offset);
                self.reach.from(&Pose {
                    face: Face::Upper,
                    side,
                    index_offset_mm: offset,
                    y_mm: 0.0,
                    skew_deg: 0.0,
                });
            }
        }
        self
    }

    /// Takes all entries of a log.
    pub fn follow(mut self, entries: &[Entry]) -> Self {
        for Entry(t_ms, event) in entries {
            self.take(*t_ms, event);
        }
        self
    }

    /// Takes the next event.
    pub fn take(&mut self, t_ms: u64, event: &Event) {
        // Poses go to it one by one, as the wedge comes there.
        if !matches!(event, Event::Pose(_)) {
            self.contact.take(event);
        }
        match event {
            Event::Gain { gain_db } => self.gain_db = *gain_db,
            Event::SetUp(set_up) => {
                self.reach.beams = scan_plan::beams(&self.paper.plate, set_up).unwrap_or_default();
                self.reach.range_mm = set_up.range_mm;
                self.reach.known.clear();
                self.half_width_mm = set_up.probe.elevation_mm / 2.0;
            }
            // A bench that comes calibrated cannot drift, whatever a log says.
            Event::Checked(check) if !self.paper.procedure.bench.calibrated => match check.is_good() {
                true => self.good.clone_from(&self.sides),
                false => self.take_back(),
            },
            Event::Pose(pose) => {
                for stand in self.slide(t_ms, pose) {
                    self.look(&stand);
                }
                self.before = Some((t_ms, *pose));
            }
            // It comes down where it hangs.
            Event::Lifted(false) => {
                if let Some((_, pose)) = self.before {
                    self.look(&pose);
                }
            }
            _ => {}
        }
    }

    /// A check was not good: nothing that was scanned since the last good one, or since the beginning, may stand.
    fn take_back(&mut self) {
        for ((_, gone), (_, now)) in self.taken_back.iter_mut().zip(&self.sides) {
            gone.met.iter_mut().zip(&now.met).for_each(|(gone, now)| gone.union_with(now));
        }
        self.sides.clone_from(&self.good);
    }

    /// Where the weld was scanned in vain and not again since.
    pub fn to_scan_again(&self) -> Vec<Stretch> {
        let mut found: Vec<Stretch> = Vec::new();
        for ((side, gone), (_, now)) in self.taken_back.iter().zip(&self.sides) {
            let open = |index: usize| !gone.met[index].is_subset(&now.met[index]);
            for index in (0..now.met.len()).filter(|&index| open(index)) {
                let [start, end] = [index as f64 * SLICE_MM, (index + 1) as f64 * SLICE_MM];
                match found.last_mut() {
                    Some((last, [_, to])) if last == side && *to >= start => *to = end,
                    _ => found.push((*side, [start, end])),
                }
            }
        }
        found
    }

    /// Where the probe stood on its way from the pose before: every millimetre of a slide, the new place alone after a jump.
    fn slide(&self, t_ms: u64, pose: &Pose) -> Vec<Pose> {
        let Some((before_ms, from)) = self.before else { return vec![*pose] };
        let way = (pose.y_mm - from.y_mm).abs().max((pose.index_offset_mm - from.index_offset_mm).abs());
        let fastest = FASTEST_MM_PER_S * (t_ms.saturating_sub(before_ms)) as f64 / 1000.0;
        if from.side != pose.side || from.face != pose.face || way > fastest {
            return vec![*pose];
        }
        contact::way(&from, pose)
    }

    fn look(&mut self, pose: &Pose) {
        // The film as it is when the wedge comes here, so that a slide may run dry on its way.
        self.contact.take(&Event::Pose(*pose));
        let lost_db = self.contact.loss_db_at(pose);
        if pose.skew_deg.abs() > MOST_SKEW_DEG {
            return;
        }
        let reached = self.reach.from(pose);
        let Some((_, slices)) = self.sides.iter_mut().find(|(side, _)| *side == pose.side) else { return };
        let procedure = &self.paper.procedure;
        let at_level = self.gain_db - (lost_db - GOOD_CONTACT_DB).max(0.0) + SAME_GAIN_DB
            >= procedure.scanning_level_db();
        let slice = |y_mm: f64| ((y_mm / SLICE_MM).floor().max(0.0) as usize).min(slices.met.len() - 1);
        for index in slice(pose.y_mm - self.half_width_mm)..=slice(pose.y_mm + self.half_width_mm) {
            slices.aimed_at[index].union_with(reached);
            if lost_db > NO_CONTACT_DB {
                continue;
            }
            slices.met[index].union_with(reached);
            if at_level {
                slices.at_level[index].union_with(reached);
            }
        }
    }

    /// What was examined from each side of the procedure.
    pub fn sides(&self) -> Vec<SideExamined> {
        let side = |(side, slices): &(Side, Slices)| {
            let all = slices.possible.count_ones(..).max(1);
            let share =
                |cells: &FixedBitSet| 100.0 * cells.intersection_count(&slices.possible) as f64 / all as f64;
            let mean = |slices: &[FixedBitSet]| slices.iter().map(share).sum::<f64>() / slices.len() as f64;
            SideExamined {
                side: *side,
                met_percent: mean(&slices.met),
                at_level_percent: mean(&slices.at_level),
                along_percent: slices.at_level.iter().map(|cells| share(cells) as u8).collect(),
            }
        };
        self.sides.iter().map(side).collect()
    }

    /// Stretches along the weld where the probe of a side stood right but without contact and nobody came back with contact, mm: more than
    /// [`DRY_PERCENT`] of what can be reached from there.
    pub fn dry_mm(&self, from: Side) -> Vec<[f64; 2]> {
        let Some((_, slices)) = self.sides.iter().find(|(side, _)| *side == from) else { return Vec::new() };
        let all = slices.possible.count_ones(..).max(1) as f64;
        let dry = |(aimed_at, met): (&FixedBitSet, &FixedBitSet)| {
            let mut only = aimed_at.clone();
            only.difference_with(met);
            100.0 * only.intersection_count(&slices.possible) as f64 / all > DRY_PERCENT
        };
        stretches(slices.aimed_at.iter().zip(&slices.met).map(dry), self.paper.plate.length_mm)
    }

    /// How far what fills a box was examined from a side: where it was met best.
    pub fn met(&self, extent: &Extent, from: Side) -> Met {
        let Some((_, slices)) = self.sides.iter().find(|(side, _)| *side == from) else { return Met::Never };
        let inside = |[from, to]: [f64; 2], value: f64| value >= from - 0.5 && value <= to + 0.5;
        let mut own = FixedBitSet::with_capacity(slices.possible.len());
        for (cell, [x, z]) in self.reach.cells.middles_mm().enumerate() {
            own.set(cell, inside(extent.across_mm, x) && inside(extent.depth_mm, z));
        }
        let any = |of: &[FixedBitSet]| {
            of.iter().enumerate().any(|(index, cells)| {
                let start = index as f64 * SLICE_MM;
                start <= extent.along_mm[1]
                    && start + SLICE_MM >= extent.along_mm[0]
                    && !cells.is_disjoint(&own)
            })
        };
        if any(&slices.at_level) {
            Met::AtLevel
        } else if any(&slices.met) {
            Met::Quietly
        } else if any(&slices.aimed_at) {
            Met::Dry
        } else {
            Met::Never
        }
    }
}

/// Where slice after slice something holds, from and to, mm from the datum.
pub fn stretches(slices: impl Iterator<Item = bool>, length_mm: f64) -> Vec<[f64; 2]> {
    let mut found: Vec<[f64; 2]> = Vec::new();
    for (index, _) in slices.enumerate().filter(|(_, holds)| *holds) {
        let (start, end) = (index as f64 * SLICE_MM, ((index + 1) as f64 * SLICE_MM).min(length_mm));
        match found.last_mut() {
            Some(last) if last[1] >= start => last[1] = end,
            _ => found.push([start, end]),
        }
    }
    found
}

fn bits(cells: &[bool]) -> FixedBitSet {
    let mut set = FixedBitSet::with_capacity(cells.len());
    for (cell, &on) in cells.iter().enumerate() {
        set.set(cell, on);
    }
    set
}

#[cfg(test)]
mod tests;
