//! The film of couplant as the log tells it: strokes laid and ways slid. The same log gives the same film.

use instrument::contact::Film;
use instrument::pose::Pose;
use instrument::procedure::Probe;
use specimen::plate::Plate;

use crate::event::Event;
use crate::log::{Entry, Log};

/// The film of a session, followed along its log.
#[derive(Clone, Debug)]
pub struct FilmOfLog {
    bare: (Film, Probe),
    film: Film,
    probe: Probe,
    last: Option<Pose>,
    followed: usize,
}

impl FilmOfLog {
    /// A dry plate under the procedure's probe.
    pub fn new(plate: &Plate, probe: &Probe) -> Self {
        let film = Film::dry(plate.width_mm, plate.length_mm);
        Self { bare: (film.clone(), probe.clone()), film, probe: probe.clone(), last: None, followed: 0 }
    }

    /// Takes the next event.
    pub(crate) fn take(&mut self, event: &Event) {
        match event {
            Event::Pose(pose) => {
                if let Some(last) = self.last {
                    self.film.slide(&self.probe, &last, pose);
                }
                self.last = Some(*pose);
            }
            Event::Couplant(stroke) => self.film.lay(stroke),
            Event::SetUp(set_up) => self.probe = set_up.probe.clone(),
            _ => {}
        }
    }

    /// What the contact takes at a pose, dB.
    pub(crate) fn loss_db_at(&self, pose: &Pose) -> f64 {
        self.film.loss_db(&self.probe, pose)
    }

    /// Follows the log to its end and gives the film there, and what the contact takes at its last pose, dB. The last pose
    /// of a log may still be moved on: it is looked at, but not kept, so that following in one go or in many is the same.
    pub fn at_end(&mut self, log: &Log) -> (Film, f64) {
        let entries = log.entries();
        let settled = match entries.last() {
            Some(Entry(_, Event::Pose(_))) => entries.len() - 1,
            _ => entries.len(),
        };
        // A log thinned out is followed anew.
        if self.followed > settled {
            let (film, probe) = self.bare.clone();
            *self = Self { bare: self.bare.clone(), film, probe, last: None, followed: 0 };
        }
        for Entry(_, event) in &entries[self.followed..settled] {
            self.take(event);
        }
        self.followed = settled;
        let mut now = self.clone();
        entries[settled..].iter().for_each(|Entry(_, event)| now.take(event));
        let loss_db = now.last.map_or(0.0, |pose| now.film.loss_db(&now.probe, &pose));
        (now.film, loss_db)
    }
}

#[cfg(test)]
mod tests {
    use instrument::contact::Stroke;
    use instrument::pose::{Face, Side};
    use specimen::joint::Preparation;

    use super::*;
    use crate::paper::Paper;

    #[test]
    fn following_in_steps_is_following_at_once() {
        let mut paper = Paper::generate(Preparation::SingleV, 1, 1);
        paper.procedure.bench.always_wet = false;
        let mut log = Log::new(&paper.plate.id, &paper.digest());
        let mut stepwise = FilmOfLog::new(&paper.plate, &paper.procedure.probe);
        let stroke =
            Stroke { face: Face::Upper, from_mm: [-40.0, 0.0], to_mm: [-40.0, 200.0], reach_mm: 40.0 };
        log.push(10, Event::Couplant(stroke)).unwrap();
        let mut last = 0.0;
        for step in 0..400_u32 {
            let y_mm = f64::from(step % 200);
            let pose = Pose { face: Face::Upper, side: Side::A, index_offset_mm: 20.0, y_mm, skew_deg: 0.0 };
            log.push(u64::from(20 + 30 * step), Event::Pose(pose)).unwrap();
            last = stepwise.at_end(&log).1;
        }
        let (film, loss_db) = FilmOfLog::new(&paper.plate, &paper.procedure.probe).at_end(&log);
        assert!(film == stepwise.at_end(&log).0);
        assert_eq!(loss_db.to_bits(), last.to_bits());
        let read = Log::parse(&log.to_text().unwrap()).unwrap();
        assert!(FilmOfLog::new(&paper.plate, &paper.procedure.probe).at_end(&read).0 == film);
    }
}
