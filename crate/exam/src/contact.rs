//! Contact as the log tells it: strokes of couplant laid, ways slid, the probe lifted off. The same log gives the same film.

use instrument::contact::{Film, LIFTED_LOSS_DB};
use instrument::pose::Pose;
use instrument::procedure::Probe;

use crate::event::Event;
use crate::log::Entry;
use crate::paper::Paper;

/// Steps in which a slide is followed, mm: shorter than a cell of the film, so that nothing is leapt over.
const STEP_MM: f64 = 1.0;
/// A way longer than any plate is no slide, mm.
const MOST_MM: f64 = 2000.0;

/// How far the probe slides from one pose to another, mm; 0 where it is set down anew.
pub(crate) fn slid_mm(from: &Pose, to: &Pose) -> f64 {
    let far = (to.y_mm - from.y_mm).abs().max((to.index_offset_mm - from.index_offset_mm).abs());
    if from.side != to.side || from.face != to.face || far.is_nan() || far > MOST_MM { 0.0 } else { far }
}

/// Where the probe stands on its way from one pose to another, step by step; the last is the other itself. Whoever follows a
/// film has to go these steps, for what a slide uses up hangs on them.
pub(crate) fn way(from: &Pose, to: &Pose) -> Vec<Pose> {
    let far = slid_mm(from, to);
    if far == 0.0 {
        return vec![*to];
    }
    // What is taken off forgives the last bits: a step is not divided again.
    let steps = libm::ceil(far / STEP_MM - 1e-9).max(1.0);
    let between = |a: f64, b: f64, step: u32| a + (b - a) * f64::from(step) / steps;
    let before = (1..steps as u32).map(|step| Pose {
        index_offset_mm: between(from.index_offset_mm, to.index_offset_mm, step),
        y_mm: between(from.y_mm, to.y_mm, step),
        ..*to
    });
    before.chain([*to]).collect()
}

/// The contact of a session, followed along its log.
#[derive(Clone, Debug)]
pub struct ContactOfLog {
    bare: (Option<Film>, Probe),
    /// Absent where the procedure keeps the plate always wet.
    film: Option<Film>,
    probe: Probe,
    lifted: bool,
    last: Option<Pose>,
    followed: usize,
}

impl ContactOfLog {
    /// A plate as a session begins with it, dry where it is not always wet, under the procedure's probe.
    pub fn new(paper: &Paper) -> Self {
        let (plate, procedure) = (&paper.plate, &paper.procedure);
        let film = (!procedure.bench.always_wet).then(|| Film::dry(plate.width_mm, plate.length_mm));
        Self::begin((film, procedure.probe.clone()))
    }

    fn begin(bare: (Option<Film>, Probe)) -> Self {
        let (film, probe) = bare.clone();
        Self { bare, film, probe, lifted: false, last: None, followed: 0 }
    }

    /// Takes the next event.
    pub(crate) fn take(&mut self, event: &Event) {
        match event {
            Event::Pose(pose) => {
                for stand in self.last.map_or_else(|| vec![*pose], |last| way(&last, pose)) {
                    if let (Some(film), Some(last), false) = (&mut self.film, self.last, self.lifted) {
                        film.slide(&self.probe, &last, &stand);
                    }
                    self.last = Some(stand);
                }
            }
            Event::Couplant(stroke) => {
                if let Some(film) = &mut self.film {
                    film.lay(stroke);
                }
            }
            Event::Lifted(lifted) => self.lifted = *lifted,
            Event::SetUp(set_up) => self.probe = set_up.probe.clone(),
            _ => {}
        }
    }

    /// What the contact takes at a pose, dB.
    pub(crate) fn loss_db_at(&self, pose: &Pose) -> f64 {
        match self.lifted {
            true => LIFTED_LOSS_DB,
            false => self.film.as_ref().map_or(0.0, |film| film.loss_db(&self.probe, pose)),
        }
    }

    /// Follows a log, or its beginning, to the end: the contact there, for [`Self::film`] and [`Self::loss_db`]. The last pose
    /// of a log may still be moved on: it is looked at, but not kept, so that following in one go or in many is the same.
    pub fn at_end(&mut self, entries: &[Entry]) -> Self {
        let settled = match entries.last() {
            Some(Entry(_, Event::Pose(_))) => entries.len() - 1,
            _ => entries.len(),
        };
        // A log thinned out is followed anew.
        if self.followed > settled {
            *self = Self::begin(self.bare.clone());
        }
        for Entry(_, event) in &entries[self.followed..settled] {
            self.take(event);
        }
        self.followed = settled;
        let mut now = self.clone();
        entries[settled..].iter().for_each(|Entry(_, event)| now.take(event));
        now
    }

    /// The film; `None` where the plate is always wet.
    pub fn film(&self) -> Option<&Film> {
        self.film.as_ref()
    }

    /// What the contact takes where the probe is now, dB.
    pub fn loss_db(&self) -> f64 {
        let in_the_air = if self.lifted { LIFTED_LOSS_DB } else { 0.0 };
        self.last.map_or(in_the_air, |pose| self.loss_db_at(&pose))
    }

    /// The same with the probe lifted off or set down, whatever the log says: after the hand-in it is moved off the record.
    pub fn held(mut self, lifted: bool) -> Self {
        self.lifted = lifted;
        self
    }
}

#[cfg(test)]
mod tests {
    use instrument::contact::Stroke;
    use instrument::pose::{Face, Side};
    use specimen::joint::Preparation;

    use super::*;
    use crate::log::Log;

    #[test]
    fn following_in_steps_is_following_at_once() {
        let mut paper = Paper::generate(Preparation::SingleV, 1, 1);
        paper.procedure.bench.always_wet = false;
        let mut log = Log::new(&paper.plate.id, &paper.digest());
        let mut stepwise = ContactOfLog::new(&paper);
        let stroke =
            Stroke { face: Face::Upper, from_mm: [-40.0, 0.0], to_mm: [-40.0, 200.0], reach_mm: 40.0 };
        log.push(10, Event::Couplant(stroke)).unwrap();
        let mut last = 0.0;
        for step in 0..400_u32 {
            let y_mm = f64::from(step % 200);
            let pose = Pose { face: Face::Upper, side: Side::A, index_offset_mm: 20.0, y_mm, skew_deg: 0.0 };
            log.push(u64::from(20 + 30 * step), Event::Pose(pose)).unwrap();
            if [100, 120].contains(&step) {
                log.push(u64::from(20 + 30 * step), Event::Lifted(step == 100)).unwrap();
            }
            last = stepwise.at_end(log.entries()).loss_db();
        }
        let now = ContactOfLog::new(&paper).at_end(log.entries());
        assert!(now.film() == stepwise.at_end(log.entries()).film());
        assert_eq!(now.loss_db().to_bits(), last.to_bits());
        let read = Log::parse(&log.to_text().unwrap()).unwrap();
        assert!(ContactOfLog::new(&paper).at_end(read.entries()).film() == now.film());
    }

    /// Lifted off there is no contact and no film is used; set down again it is as it was.
    #[test]
    fn a_lifted_probe_has_no_contact_and_leaves_the_film_alone() {
        let mut paper = Paper::generate(Preparation::SingleV, 1, 1);
        paper.procedure.bench.always_wet = false;
        let stroke =
            Stroke { face: Face::Upper, from_mm: [-40.0, 0.0], to_mm: [-40.0, 300.0], reach_mm: 60.0 };
        let pose = |y_mm| {
            Event::Pose(Pose { face: Face::Upper, side: Side::A, index_offset_mm: 20.0, y_mm, skew_deg: 0.0 })
        };
        let mut contact = ContactOfLog::new(&paper);
        contact.take(&Event::Couplant(stroke));
        contact.take(&pose(50.0));
        assert_eq!(contact.loss_db(), 0.0);
        let (before, wet_db) = (contact.clone(), contact.loss_db());
        contact.take(&Event::Lifted(true));
        (0..4000).for_each(|step| contact.take(&pose(if step % 2 == 0 { 150.0 } else { 50.0 })));
        assert_eq!(contact.loss_db(), LIFTED_LOSS_DB);
        assert!(contact.film() == before.film());
        contact.take(&Event::Lifted(false));
        assert_eq!(contact.loss_db(), wet_db);
        // The same way on the plate wears the film off.
        (0..4000).for_each(|step| contact.take(&pose(if step % 2 == 0 { 150.0 } else { 50.0 })));
        assert!(contact.loss_db() > 10.0);
        // A plate that is always wet does not help a probe that is in the air.
        paper.procedure.bench.always_wet = true;
        let mut always = ContactOfLog::new(&paper);
        [pose(50.0), Event::Lifted(true)].iter().for_each(|event| always.take(event));
        assert_eq!((always.loss_db(), always.clone().held(false).loss_db()), (LIFTED_LOSS_DB, 0.0));
    }
}
