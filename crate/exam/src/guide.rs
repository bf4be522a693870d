//! How the probe was led: along a guide rail or by hand, from the session's log.

use instrument::pose::Pose;

use crate::event::Event;
use crate::log::Entry;
use crate::said::{Said, said};

/// Rails nearer to each other than this are one, mm.
const SAME_MM: f64 = 0.05;

/// Way along the weld, and what of it a guide rail led.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Guide {
    /// Index offsets at which a rail led the probe, in the order they were first used, mm.
    pub rails_mm: Vec<f64>,
    /// Way along the weld on a rail, mm.
    pub led_mm: f64,
    /// All way along the weld, mm.
    pub way_mm: f64,
}

impl Guide {
    /// What a log tells.
    pub fn of(entries: &[Entry]) -> Self {
        let mut guide = Self::default();
        let (mut rail, mut before) = (None, None::<Pose>);
        for Entry(_, event) in entries {
            match event {
                Event::Rail { index_offset_mm } => rail = *index_offset_mm,
                Event::Pose(pose) => {
                    let same = before.filter(|last| last.side == pose.side && last.face == pose.face);
                    let way_mm = same.map_or(0.0, |last| (pose.y_mm - last.y_mm).abs());
                    guide.take(way_mm, rail);
                    before = Some(*pose);
                }
                _ => {}
            }
        }
        guide
    }

    fn take(&mut self, way_mm: f64, rail: Option<f64>) {
        self.way_mm += way_mm;
        let Some(rail_mm) = rail.filter(|_| way_mm > 0.0) else { return };
        self.led_mm += way_mm;
        if !self.rails_mm.iter().any(|known| (known - rail_mm).abs() < SAME_MM) {
            self.rails_mm.push(rail_mm);
        }
    }

    /// In a sentence, for reports and marks; `None` for a session without a rail.
    pub fn words(&self) -> Option<Said> {
        let first = self.rails_mm.first()?;
        let led_mark = libm::floor(100.0 * self.led_mm / self.way_mm);
        Some(match self.rails_mm.len() {
            1 => said!("said.led.one", led_mark = led_mark, offset_mm = *first),
            count => {
                let low = self.rails_mm.iter().copied().fold(f64::INFINITY, f64::min);
                let high = self.rails_mm.iter().copied().fold(f64::NEG_INFINITY, f64::max);
                said!(
                    "said.led.more",
                    led_mark = led_mark,
                    number = count as u32,
                    low_mm = low,
                    high_mm = high
                )
            }
        })
    }
}

#[cfg(test)]
mod tests {
    use instrument::pose::{Face, Side};

    use super::*;

    fn pose(index_offset_mm: f64, y_mm: f64) -> Event {
        Event::Pose(Pose { face: Face::Upper, side: Side::A, index_offset_mm, y_mm, skew_deg: 0.0 })
    }

    fn rail(index_offset_mm: Option<f64>) -> Event {
        Event::Rail { index_offset_mm }
    }

    fn guide(events: Vec<Event>) -> Guide {
        Guide::of(&(0..).zip(events).map(|(t_ms, event)| Entry(t_ms, event)).collect::<Vec<_>>())
    }

    #[test]
    fn way_on_a_rail_counts_and_way_by_hand_does_not() {
        let found = guide(vec![
            pose(30.0, 0.0),
            pose(30.0, 100.0),
            rail(Some(36.0)),
            pose(36.0, 100.0),
            pose(36.0, 0.0),
            rail(Some(28.0)),
            pose(28.0, 0.0),
            pose(28.0, 200.0),
            rail(None),
            pose(20.0, 100.0),
        ]);
        assert_eq!(found, Guide { rails_mm: vec![36.0, 28.0], led_mm: 300.0, way_mm: 500.0 });
        let words = found.words().unwrap();
        assert!(words.starts_with("60 %") && words.contains("28.0 mm to 36.0 mm"), "{words}");
    }

    #[test]
    fn without_a_rail_nothing_is_said() {
        assert_eq!(guide(vec![pose(30.0, 0.0), pose(30.0, 100.0)]).words(), None);
        // One that was laid and never followed led nothing.
        assert_eq!(guide(vec![pose(30.0, 0.0), rail(Some(30.0))]).words(), None);
    }
}
