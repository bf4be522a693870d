//! One pass of the probe along the weld, driven by the encoder.

use serde::{Deserialize, Serialize};

use crate::pose::{Face, Pose, Side};

/// How a pass runs: where the probe stands while it slides along the weld, and at which places a frame is taken.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Course {
    /// The face the probe stands on.
    #[serde(default)]
    pub face: Face,
    /// The side of the weld it stands on.
    pub side: Side,
    /// Distance from the weld centreline to the front of the wedge, mm; positive away from the weld.
    pub index_offset_mm: f64,
    /// Turn of the probe, degrees; positive turns the beam towards larger y.
    #[serde(default)]
    pub skew_deg: f64,
    /// Place of the first line along the weld, mm from the datum.
    pub start_mm: f64,
    /// From one line to the next, mm.
    pub step_mm: f64,
    /// Number of lines.
    pub lines: u32,
}

impl Course {
    /// Place of a line along the weld, mm from the datum.
    pub fn y_mm(&self, line: u32) -> f64 {
        self.start_mm + f64::from(line) * self.step_mm
    }

    /// Where the probe stands for a line.
    pub fn pose(&self, line: u32) -> Pose {
        Pose {
            face: self.face,
            side: self.side,
            index_offset_mm: self.index_offset_mm,
            y_mm: self.y_mm(line),
            skew_deg: self.skew_deg,
        }
    }

    /// Lines that the encoder asks for when the probe slides from one place to another, mm, in the order it meets them:
    /// those it passes over and those it comes to rest on; the one it leaves had its turn. When it passes over more than the
    /// `most` that can be taken in the time it needed, some are lost, evenly; the one nearest to where it is now is not.
    pub fn lines_between(&self, from_mm: f64, to_mm: f64, most: usize) -> Vec<u32> {
        let place = |y_mm: f64| (y_mm - self.start_mm) / self.step_mm;
        let (from, to) = (place(from_mm), place(to_mm));
        if !(from.is_finite() && to.is_finite()) || most == 0 {
            return Vec::new();
        }
        // A place that was set as a sum of steps counts as on the line.
        const HAIR: f64 = 1e-6;
        let bound = |place: f64| place.clamp(-1.0, f64::from(self.lines)) as i64;
        let met: Vec<i64> = if to >= from {
            (bound(libm::floor(from + HAIR)) + 1..=bound(libm::floor(to + HAIR))).collect()
        } else {
            (bound(libm::ceil(to - HAIR))..bound(libm::ceil(from - HAIR))).rev().collect()
        };
        let met: Vec<u32> = met
            .into_iter()
            .filter_map(|line| u32::try_from(line).ok())
            .filter(|&line| line < self.lines)
            .collect();
        let count = met.len().min(most);
        (1..=count).map(|k| met[k * met.len() / count - 1]).collect()
    }
}

/// A pass and what it recorded.
#[derive(Clone, Debug)]
pub struct Pass {
    pub(super) course: Course,
    /// Codes of each line, `[beam][sample]`; none where no frame was taken.
    pub(super) lines: Vec<Option<Box<[u8]>>>,
}

impl Pass {
    pub(super) fn new(course: Course) -> Self {
        Self { course, lines: vec![None; course.lines as usize] }
    }

    /// How it ran.
    pub fn course(&self) -> &Course {
        &self.course
    }

    /// Codes of a line, `[beam][sample]`; `None` when it is missing.
    pub fn codes(&self, line: u32) -> Option<&[u8]> {
        self.lines.get(line as usize)?.as_deref()
    }

    /// Lines without a frame.
    pub fn missing(&self) -> Vec<u32> {
        (0..).zip(&self.lines).filter(|(_, codes)| codes.is_none()).map(|(line, _)| line).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const COURSE: Course = Course {
        face: Face::Upper,
        side: Side::A,
        index_offset_mm: 10.0,
        skew_deg: 0.0,
        start_mm: 20.0,
        step_mm: 1.0,
        lines: 11,
    };

    #[test]
    fn a_slow_slide_meets_every_line_once_both_ways() {
        let slide = |from: i32, to: i32| -> Vec<u32> {
            let steps = (to - from).abs() * 4;
            let place = |k: i32| f64::from(from) + f64::from(k) * f64::from(to - from) / f64::from(steps);
            (0..steps).flat_map(|k| COURSE.lines_between(place(k), place(k + 1), 3)).collect()
        };
        assert_eq!(slide(15, 35), (0..11).collect::<Vec<_>>());
        assert_eq!(slide(35, 15), (0..11).rev().collect::<Vec<_>>());
    }

    #[test]
    fn a_fast_slide_loses_lines() {
        assert_eq!(COURSE.lines_between(19.5, 40.0, 100).len(), 11);
        assert_eq!(COURSE.lines_between(21.5, 25.2, 1), [5]);
        assert_eq!(COURSE.lines_between(19.5, 27.5, 4), [1, 3, 5, 7]);
        assert_eq!(COURSE.lines_between(29.5, 21.5, 2), [6, 2]);
        assert!(COURSE.lines_between(19.5, 27.5, 0).is_empty());
        assert!(COURSE.lines_between(f64::NAN, 27.5, 4).is_empty());
        assert!(COURSE.lines_between(-1e300, 1e300, 4).len() == 4);
    }

    #[test]
    fn sums_of_steps_count_as_on_the_line() {
        let course = Course { start_mm: 0.0, step_mm: 0.1, ..COURSE };
        let y = 0.1 + 0.1 + 0.1;
        assert_eq!(course.lines_between(0.15, y, 9), [2, 3]);
        assert_eq!(course.lines_between(y, 0.45, 9), [4]);
    }
}
