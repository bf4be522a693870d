//! What a procedure must be to be used on a plate.

use instrument::limits::{self, Limit, RANGE_MM, REFERENCE_GAIN_DB};
use instrument::procedure::Procedure;
use instrument::set_up;
use specimen::check::Complaint;
use specimen::plate::Plate;

use crate::beams;
use crate::words;

/// A cap at least this high holds the wedge front off the weld, mm.
const CAP_IN_THE_WAY_MM: f64 = 0.2;

struct Findings(Vec<Complaint>);

impl Findings {
    fn say(&mut self, key: &str, message: String) {
        self.0.push(Complaint { path: format!("procedure.{key}"), message });
    }

    fn limit(&mut self, limit: &Limit) {
        self.within(limit.key, limit.value, limit.low, limit.high, limit.unit);
    }

    fn within(&mut self, key: &str, value: f64, low: f64, high: f64, unit: &str) {
        if !(low..=high).contains(&value) {
            self.say(key, format!("is {value}, expected {low} to {high}{unit}"));
        }
    }
}

/// Everything wrong with a procedure for a plate; paths begin with `procedure`.
pub fn check(procedure: &Procedure, plate: &Plate) -> Vec<Complaint> {
    let mut found = Findings(Vec::new());
    probe(procedure, &mut found);
    sector(procedure, &mut found);
    rest(procedure, &mut found);
    // Geometry only makes sense of numbers that are in range.
    if found.0.is_empty() {
        fit(procedure, plate, &mut found);
    }
    found.0
}

fn probe(procedure: &Procedure, found: &mut Findings) {
    let probe = &procedure.probe;
    limits::of_probe(probe).iter().for_each(|limit| found.limit(limit));
    limits::of_wedge(probe).iter().for_each(|limit| found.limit(limit));
}

fn sector(procedure: &Procedure, found: &mut Findings) {
    let sector = &procedure.sector;
    let limits = limits::of_sector(&procedure.probe, sector);
    limits.iter().for_each(|limit| found.limit(limit));
    if limits.iter().all(Limit::is_kept) && set_up::beam_count(sector) > limits::most_beams(sector) {
        let key = if sector.is_linear() { "sector.linear.step_elements" } else { "sector.step_deg" };
        found.say(key, format!("gives more than {} beams", limits::most_beams(sector)));
    }
    if sector.is_linear() && !procedure.bench.calibrated {
        let message = "stands on a bench that has to be calibrated; its calibration tells beams by their angles, expected a sector \
                       there, or procedure.bench.calibrated = true";
        found.say("sector.linear", message.to_owned());
    }
    if sector.focus_depth_mm.is_some() && sector.focus_path_mm.is_some() {
        let message = "stands beside focus_path_mm, expected only one of them";
        found.say("sector.focus_depth_mm", message.to_owned());
    }
}

fn rest(procedure: &Procedure, found: &mut Findings) {
    found.within("range_mm", procedure.range_mm, RANGE_MM[0], RANGE_MM[1], " mm");
    let [least_db, most_db] = REFERENCE_GAIN_DB;
    found.within("reference_gain_db", procedure.reference_gain_db, least_db, most_db, " dB");
    found.within("scanning_gain_db", procedure.scanning_gain_db, 0.0, 40.0, " dB");
    found.within("recording_level_db", procedure.recording_level_db, -40.0, 20.0, " dB");
    found.within("time_minutes", f64::from(procedure.time_minutes), 1.0, 600.0, " minutes");
    match procedure.sides.as_slice() {
        [_] => {}
        [one, other] if one != other => {}
        _ => found.say("sides", "expected [\"A\"], [\"B\"] or [\"A\", \"B\"]".to_owned()),
    }
    let [near, far] = procedure.index_offset_mm;
    found.within("index_offset_mm", near, -100.0, 300.0, " mm");
    found.within("index_offset_mm", far, -100.0, 300.0, " mm");
    if near > far {
        found.say("index_offset_mm", format!("goes from {near} to {far}, expected the smaller one first"));
    }
    if procedure.text.trim().is_empty() {
        found.say("text", "is empty, expected the procedure in words".to_owned());
    }
}

fn fit(procedure: &Procedure, plate: &Plate, found: &mut Findings) {
    let shear = plate.solid.shear_mm_per_us;
    let sector = &procedure.sector;
    let wedge = procedure.probe.wedge_material.longitudinal_mm_per_us;
    if libm::sin(sector.to_deg.to_radians()) * wedge / shear >= 1.0 {
        let message =
            format!("no sound of this wedge ({wedge} mm/µs) leaves at {}°, expected less", sector.to_deg);
        found.say("sector.to_deg", message);
        return;
    }
    let way =
        sector.linear.as_ref().map_or(0, |linear| linear.step_elements * (set_up::beam_count(sector) - 1));
    let foremost = f64::from(sector.first_element + sector.active_elements + way) - 2.0;
    let ahead = beams::exit_forward_mm(procedure, shear, foremost, sector.to_deg);
    if ahead > 0.0 {
        found.say(
            "probe.first_element_to_front_mm",
            format!(
                "the foremost active element's sound at {}° would leave the foot {} ahead of the front, \
                 expected at least {} here",
                sector.to_deg,
                words::mm(ahead),
                words::mm(procedure.probe.first_element_to_front_mm + ahead),
            ),
        );
    }
    let toe = plate.joint.upper_toe_mm(plate.thickness_mm);
    let [near, far] = procedure.index_offset_mm;
    if plate.joint.cap.height_mm >= CAP_IN_THE_WAY_MM && near < toe {
        found.say(
            "index_offset_mm",
            format!(
                "begins at {near} mm, but the cap ends {} from the centreline, expected no less",
                words::mm(toe)
            ),
        );
    }
    let room = plate.width_mm / 2.0 - procedure.probe.wedge_length_mm;
    if far > room {
        found.say(
            "index_offset_mm",
            format!("ends at {far} mm; the wedge stands wholly on the plate up to {}", words::mm(room)),
        );
    }
}
