use instrument::calibration::{Beam, Calibration, GainPoint};
use instrument::pose::{Face, Side};
use instrument::set_up::SetUp;
use specimen::joint::Preparation;

use super::*;
use crate::marking::{self, Marks};
use crate::sheet::AnswerSheet;

/// A session in the making.
struct Sitting {
    paper: Paper,
    t_ms: u64,
    entries: Vec<Entry>,
}

impl Sitting {
    fn new() -> Self {
        let mut paper = Paper::generate(Preparation::SingleV, 2, 4711);
        paper.procedure.bench.calibrated = false;
        Self { paper, t_ms: 0, entries: Vec::new() }
    }

    fn then(&mut self, event: Event) -> &mut Self {
        self.t_ms += 1000;
        self.entries.push(Entry(self.t_ms, event));
        self
    }

    /// All that a reading needs.
    fn calibrates(&mut self) -> &mut Self {
        let set_up = SetUp::of(&self.paper.procedure);
        let beams = set_up.angles_deg().len();
        let made = Calibration {
            speed_mm_per_us: Some(3.24),
            beams: vec![Beam { exit_forward_mm: -15.0, wedge_time_us: 7.0 }; beams],
            angles_deg: set_up.angles_deg(),
            sensitivity_db: vec![0.0; beams],
            path_gain: vec![vec![GainPoint { path_mm: 50.0, gain_db: 0.0 }]; beams],
            ..Calibration::begin(&set_up)
        };
        assert!(made.is_complete() && made.problem().is_none());
        self.then(Event::Calibrated(Box::new(made)))
    }

    /// The whole weld from a side, row by row.
    fn scans(&mut self, side: Side) -> &mut Self {
        let [near, far] = self.paper.procedure.index_offset_mm;
        let (rows, length) = (((far - near) / 3.0).ceil(), self.paper.plate.length_mm);
        for row in 0..=rows as u32 {
            let index_offset_mm = (near + 3.0 * f64::from(row)).min(far);
            for step in 0..=(length / 10.0) as u32 {
                let along = f64::from(step) * 10.0;
                let y_mm = if row % 2 == 0 { along } else { length - along };
                self.t_ms += 200;
                let pose = Pose { face: Face::Upper, side, index_offset_mm, y_mm, skew_deg: 0.0 };
                self.entries.push(Entry(self.t_ms, Event::Pose(pose)));
            }
        }
        self
    }

    fn checks(&mut self, sensitivity_db: f64) -> &mut Self {
        self.then(Event::Checked(Check { sensitivity_db, range_mm: 0.2, range_percent: 0.3 }))
    }

    fn marks(&self) -> Marks {
        let sheet = AnswerSheet::default();
        let mut marks = marking::mark(&self.paper, &sheet);
        marking::add_application(&self.paper, &self.entries, &sheet, &mut marks);
        marks
    }
}

fn apparatus(marks: &Marks) -> [f64; 3] {
    assert_eq!(marks.practical.unwrap().apparatus[1], 10.0);
    [0, 1, 2].map(|row| marks.apparatus[row].points)
}

#[test]
fn who_calibrates_scans_and_checks_has_all_points() {
    let mut sitting = Sitting::new();
    let marks = sitting.calibrates().scans(Side::A).scans(Side::B).checks(-1.2).marks();
    assert_eq!(apparatus(&marks), [5.0, 3.0, 2.0], "{:?}", marks.apparatus);
    assert_eq!(marks.not_marked.key(), "said.not_marked.apparatus");
    assert!(marks.reasons.iter().any(|reason| reason.starts_with("Knowledge of the apparatus: 10 of 10")));
}

#[test]
fn who_scans_first_and_never_checks_has_none_for_either() {
    let mut sitting = Sitting::new();
    sitting.then(Event::Gain { gain_db: sitting.paper.procedure.reference_gain_db });
    let marks = sitting.scans(Side::A).scans(Side::B).calibrates().marks();
    assert_eq!(apparatus(&marks), [0.0; 3]);
    assert!(marks.apparatus[1].reason.contains("never checked"));
    assert_eq!(apparatus(&Sitting::new().marks()), [0.0; 3]);
}

#[test]
fn a_check_in_the_middle_counts_up_to_there() {
    let mut sitting = Sitting::new();
    let marks = sitting.calibrates().scans(Side::A).checks(0.5).scans(Side::B).marks();
    let [calibrated, checked, _] = apparatus(&marks);
    assert_eq!(calibrated, 5.0);
    assert!((1.3..1.8).contains(&checked), "{checked}");
    assert!(marks.apparatus[1].reason.contains("were scanned without another"));
}

#[test]
fn a_check_beyond_the_limits_takes_back_what_was_scanned_since_the_last_good_one() {
    let mut sitting = Sitting::new();
    sitting.calibrates().scans(Side::A).checks(-1.0).scans(Side::B);
    let examined = |sitting: &Sitting| sitting.marks().application[0].points;
    assert_eq!(examined(&sitting), 12.0);
    let marks = sitting.checks(-6.3).marks();
    assert_eq!(apparatus(&marks)[1], 0.0);
    let reason = &marks.apparatus[1].reason;
    assert!(reason.contains("had to be scanned again") && reason.contains("from side B"), "{reason}");
    assert!(!reason.contains("side A"), "{reason}");
    assert!(examined(&sitting) < 6.0, "side A alone");
    // Calibrated and scanned once more it stands again.
    let marks = sitting.calibrates().scans(Side::B).checks(0.1).marks();
    assert_eq!(examined(&sitting), 12.0);
    assert_eq!(apparatus(&marks), [5.0, 3.0, 2.0], "{:?}", marks.apparatus);
}

#[test]
fn a_bench_that_comes_calibrated_is_not_asked() {
    let mut sitting = Sitting::new();
    sitting.paper.procedure.bench.calibrated = true;
    let marks = sitting.scans(Side::A).checks(-9.0).marks();
    assert!(marks.apparatus.is_empty());
    assert_eq!(marks.practical.unwrap().apparatus, [0.0; 2]);
    assert_eq!(marks.not_marked.key(), "said.not_marked.log");
    assert!(marks.application[0].points > 0.0, "no check can take anything back here");
}
