//! What a session saw of each flaw: its poses near the flaw are scanned once more, with the flaw alone in the plate, so that
//! the echo is the flaw's own.

use std::collections::BTreeMap;

use acoustics::order::sort_by;
use instrument::bench::{Instrument, SetUpError};
use instrument::pose::{Face, Pose, Side};
use instrument::sensitivity::REFERENCE_HEIGHT_PERCENT;
use instrument::set_up::SetUp;
use serde::Serialize;
use specimen::flaw::Extent;

use crate::contact::ContactOfLog;
use crate::event::Event;
use crate::examined::NO_CONTACT_DB;
use crate::findable;
use crate::log::Entry;
use crate::paper::Paper;

/// How far beyond its ends a flaw can be heard, mm: about the width of the beams.
const BEYOND_MM: f64 = 6.0;

/// Poses of a session within these steps of index offset, place along the weld and skew are one.
const SAME_OFFSET_MM: f64 = 2.0;
const SAME_PLACE_MM: f64 = 3.0;
const SAME_SKEW_DEG: f64 = 5.0;

/// Most poses that are scanned again for a flaw.
const MOST_POSES: usize = 100;

/// Most set-ups that are looked at anew: the tables of each take a second. Those that were used most near the flaws are.
const MOST_SET_UPS: usize = 16;

/// Lowest echo that is told of, dB against the reference.
pub const LOWEST_DB: f64 = -40.0;

/// Gain below the reference gain at which no flaw runs off the screen, dB.
const HEADROOM_DB: f64 = 30.0;

/// The highest echo of a flaw that a session had before it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Sight {
    /// Place of the flaw in the plate file, from 0.
    pub flaw: u32,
    /// When, ms since the session began.
    pub t_ms: u64,
    /// Side the probe stood on.
    pub side: Side,
    /// Index offset, mm.
    pub index_offset_mm: f64,
    /// Place along the weld, mm.
    pub y_mm: f64,
    /// Refracted angle of the beam, degrees.
    pub angle_deg: f64,
    /// Leg, from 1.
    pub leg: u8,
    /// Height relative to the reference, dB.
    pub amplitude_db: f64,
    /// Height with the gain of that moment, % of full screen height; not cut off at the top.
    pub percent: f64,
}

/// A pose with what else was set then.
#[derive(Clone, Copy, Debug)]
struct Moment {
    t_ms: u64,
    pose: Pose,
    gain_db: f64,
    /// What the contact took, dB.
    lost_db: f64,
    set_up: usize,
}

/// The session's moments with contact, and the set-ups they point to; the procedure's own is the first.
fn moments(paper: &Paper, entries: &[Entry]) -> (Vec<Moment>, Vec<SetUp>) {
    let procedure = &paper.procedure;
    let mut set_ups = vec![SetUp::of(procedure)];
    let mut set_up = 0;
    let mut gain_db = procedure.scanning_level_db();
    let mut pose = None;
    let mut contact = ContactOfLog::new(paper);
    let mut found = Vec::new();
    for Entry(t_ms, event) in entries {
        contact.take(event);
        match event {
            Event::Pose(next) => pose = Some(*next),
            Event::Gain { gain_db: next } => gain_db = *next,
            Event::SetUp(next) => {
                set_up = set_ups.iter().position(|known| known == &**next).unwrap_or(set_ups.len());
                if set_up == set_ups.len() {
                    set_ups.push((**next).clone());
                }
            }
            Event::Couplant(_) | Event::Lifted(_) => {}
            _ => continue,
        }
        let moment = |pose| Moment { t_ms: *t_ms, pose, gain_db, lost_db: contact.loss_db_at(&pose), set_up };
        found.extend(pose.map(moment).filter(|moment| moment.lost_db <= NO_CONTACT_DB));
    }
    (found, set_ups)
}

/// The moments that could have shown a flaw, one for each place the probe stood at; of several the loudest.
fn near(moments: &[Moment], extent: &Extent) -> Vec<Moment> {
    let [start, end] = extent.along_mm;
    let mut places: BTreeMap<(usize, bool, bool, i32, i32, i32), Moment> = BTreeMap::new();
    for moment in moments {
        let Pose { face, side, index_offset_mm, y_mm, skew_deg } = moment.pose;
        if y_mm < start - BEYOND_MM || y_mm > end + BEYOND_MM {
            continue;
        }
        let step = |value: f64, step: f64| libm::round(value / step) as i32;
        let key = (
            moment.set_up,
            face == Face::Lower,
            side == Side::B,
            step(index_offset_mm, SAME_OFFSET_MM),
            step(y_mm, SAME_PLACE_MM),
            step(skew_deg, SAME_SKEW_DEG),
        );
        let kept = places.entry(key).or_insert(*moment);
        if moment.gain_db - moment.lost_db > kept.gain_db - kept.lost_db {
            *kept = *moment;
        }
    }
    let count = places.len();
    let every = count.div_ceil(MOST_POSES).max(1);
    places.into_values().step_by(every).collect()
}

/// What a session saw of the flaws.
#[derive(Clone, Debug)]
pub struct Sights {
    /// The best sight of each flaw of the plate; `None` where nothing of it was on the screen.
    pub of_flaws: Vec<Option<Sight>>,
    /// How many set-ups were used near flaws, and how many of them were looked at.
    pub set_ups: [usize; 2],
}

/// The set-ups that were used near flaws: those used most, of equals the earlier ones, in the order of the log; and how many there
/// were.
fn most_used(near: &[Vec<Moment>], set_ups: usize) -> (Vec<usize>, usize) {
    let mut uses = vec![0_usize; set_ups];
    for moment in near.iter().flatten() {
        uses[moment.set_up] += 1;
    }
    let mut used: Vec<usize> = (0..set_ups).filter(|&number| uses[number] > 0).collect();
    let count = used.len();
    sort_by(&mut used, |a, b| uses[*b].cmp(&uses[*a]).then(a.cmp(b)));
    used.truncate(MOST_SET_UPS);
    sort_by(&mut used, Ord::cmp);
    (used, count)
}

/// The best sight of each flaw of the plate, under the set-ups used most. The instrument is set up as the
/// procedure says and comes back on its own scene, its frame and gain are lost.
///
/// # Errors
/// A set-up of the log that is impossible.
pub fn sights(instrument: &mut Instrument, paper: &Paper, entries: &[Entry]) -> Result<Sights, SetUpError> {
    let (moments, set_ups) = moments(paper, entries);
    let extents: Vec<Extent> = paper.plate.flaws.iter().map(|flaw| flaw.extent(&paper.plate)).collect();
    let near: Vec<Vec<Moment>> = extents.iter().map(|extent| near(&moments, extent)).collect();
    let mut best: Vec<Option<Sight>> = vec![None; extents.len()];
    let (looked_at, used) = most_used(&near, set_ups.len());
    for &number in &looked_at {
        let set_up = &set_ups[number];
        let scenes = paper.plate.flaw_scenes(findable::point_spacing_mm(paper));
        let mut other = match number {
            0 => None,
            _ => Some(Instrument::with_set_up(
                paper.plate.scene(findable::point_spacing_mm(paper)),
                set_up,
                paper.procedure.reference_gain_db,
            )?),
        };
        let instrument = other.as_mut().unwrap_or(&mut *instrument);
        instrument.set_gain_db(paper.procedure.reference_gain_db - HEADROOM_DB);
        for (flaw, scene) in scenes.into_iter().enumerate() {
            let own = instrument.replace_scene(scene);
            for moment in near[flaw].iter().filter(|moment| moment.set_up == number) {
                let sight = look(instrument, paper, flaw, moment);
                if sight
                    .is_some_and(|sight| best[flaw].is_none_or(|best| sight.amplitude_db > best.amplitude_db))
                {
                    best[flaw] = sight;
                }
            }
            instrument.replace_scene(own);
        }
        instrument.set_contact_loss_db(0.0);
    }
    Ok(Sights { of_flaws: best, set_ups: [used, looked_at.len()] })
}

fn look(instrument: &mut Instrument, paper: &Paper, flaw: usize, moment: &Moment) -> Option<Sight> {
    let reference_gain_db = paper.procedure.reference_gain_db;
    let lowest = REFERENCE_HEIGHT_PERCENT * ratio(LOWEST_DB - HEADROOM_DB);
    instrument.set_contact_loss_db(moment.lost_db);
    instrument.scan(&moment.pose, 0);
    let echo = instrument.echoes(lowest, 1).into_iter().next()?;
    let amplitude_db = 20.0 * libm::log10(echo.amplitude_percent / REFERENCE_HEIGHT_PERCENT) + HEADROOM_DB;
    Some(Sight {
        flaw: flaw as u32,
        t_ms: moment.t_ms,
        side: moment.pose.side,
        index_offset_mm: moment.pose.index_offset_mm,
        y_mm: moment.pose.y_mm,
        angle_deg: instrument.angles_deg()[echo.beam],
        leg: echo.leg,
        amplitude_db,
        percent: REFERENCE_HEIGHT_PERCENT * ratio(amplitude_db + moment.gain_db - reference_gain_db),
    })
}

fn ratio(db: f64) -> f64 {
    libm::exp10(db / 20.0)
}

#[cfg(test)]
mod tests {
    use specimen::joint::Preparation;

    use super::*;

    fn entries(poses: &[(Side, f64, f64)], gain_db: f64) -> Vec<Entry> {
        let pose = |&(side, index_offset_mm, y_mm): &(Side, f64, f64)| {
            Event::Pose(Pose { face: Face::Upper, side, index_offset_mm, y_mm, skew_deg: 0.0 })
        };
        let gain = std::iter::once(Entry(0, Event::Gain { gain_db }));
        gain.chain(poses.iter().enumerate().map(|(k, place)| Entry(1000 * (k as u64 + 1), pose(place))))
            .collect()
    }

    /// At the pose that shows a flaw best the session sees what the search found, and elsewhere less or nothing.
    #[test]
    fn a_session_sees_what_stands_in_its_sound() {
        let paper = Paper::generate(Preparation::SingleV, 2, 4711);
        let plate = specimen::plate::Plate { flaws: Vec::new(), ..paper.plate.clone() };
        let mut instrument = findable::instrument(&paper, &plate).unwrap();
        let best = findable::best_echoes_with(&mut instrument, &paper, &[0, 1]);
        let highest = |flaw| {
            let of_flaw = best.iter().filter(|echo| echo.flaw == flaw);
            *of_flaw.max_by(|a, b| a.amplitude_db.total_cmp(&b.amplitude_db)).unwrap()
        };
        let echo = highest(0);
        let reference = paper.procedure.reference_gain_db;
        let there = [(echo.side, echo.index_offset_mm, echo.y_mm)];
        let seen = sights(&mut instrument, &paper, &entries(&there, reference - 12.0)).unwrap().of_flaws;
        let sight = seen[0].unwrap();
        assert!((sight.amplitude_db - echo.amplitude_db).abs() < 1.0, "{sight:?} {echo:?}");
        assert_eq!(sight.t_ms, 1000);
        let expected = REFERENCE_HEIGHT_PERCENT * ratio(sight.amplitude_db - 12.0);
        assert!((sight.percent - expected).abs() < 1e-9);
        let [start, end] = paper.plate.flaws[1].extent(&paper.plate).along_mm;
        if echo.y_mm < start - BEYOND_MM || echo.y_mm > end + BEYOND_MM {
            assert_eq!(seen[1], None, "the other flaw is elsewhere");
        }
    }

    /// Neither what hung over it nor what stood on a dry plate has seen anything.
    #[test]
    fn without_contact_nothing_is_seen() {
        let mut paper = Paper::generate(Preparation::SingleV, 2, 4711);
        let mut entries = entries(&[(Side::A, 20.0, 50.0), (Side::A, 20.0, 60.0)], 40.0);
        let count = |paper: &Paper, entries: &[Entry]| moments(paper, entries).0.len();
        assert_eq!(count(&paper, &entries), 2);
        entries.insert(2, Entry(1500, Event::Lifted(true)));
        assert_eq!(count(&paper, &entries), 1);
        // Set down at the last place it has seen that, too.
        entries.push(Entry(3000, Event::Lifted(false)));
        assert_eq!(count(&paper, &entries), 2);
        paper.procedure.bench.always_wet = false;
        assert_eq!(count(&paper, &entries), 0);
    }

    #[test]
    fn poses_close_together_are_scanned_once_and_the_loudest_counts() {
        let extent = Extent { along_mm: [50.0, 60.0], across_mm: [0.0, 1.0], depth_mm: [5.0, 6.0] };
        let moment = |t_ms, y_mm, gain_db| Moment {
            t_ms,
            pose: Pose { face: Face::Upper, side: Side::A, index_offset_mm: 20.0, y_mm, skew_deg: 0.0 },
            gain_db,
            lost_db: 0.0,
            set_up: 0,
        };
        let found = near(&[moment(1, 54.0, 40.0), moment(2, 54.2, 46.0), moment(3, 80.0, 46.0)], &extent);
        assert_eq!(found.iter().map(|moment| moment.t_ms).collect::<Vec<_>>(), [2]);
    }

    /// However many set-ups a log has, only so many are made anew, and it is told how many there were.
    #[test]
    fn of_many_set_ups_those_used_most_are_looked_at() {
        let moment = |set_up| Moment {
            t_ms: 0,
            pose: Pose { face: Face::Upper, side: Side::A, index_offset_mm: 0.0, y_mm: 0.0, skew_deg: 0.0 },
            gain_db: 40.0,
            lost_db: 0.0,
            set_up,
        };
        let mut near = vec![(0..40).map(moment).collect::<Vec<_>>(), vec![moment(31), moment(38)]];
        let (looked_at, used) = most_used(&near, 50);
        assert_eq!((looked_at.len(), used), (MOST_SET_UPS, 40));
        assert_eq!(looked_at[MOST_SET_UPS - 2..], [31, 38], "what was used twice is looked at");
        assert!(looked_at[..MOST_SET_UPS - 2].iter().copied().eq(0..MOST_SET_UPS - 2));
        near[0].truncate(3);
        assert_eq!(most_used(&near, 50), (vec![0, 1, 2, 31, 38], 5));
    }
}
