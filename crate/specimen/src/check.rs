//! What a plate must be to be scanned.

use crate::plate::Plate;

mod block;
mod flaw;
mod joint;

/// One thing that is wrong with a plate or with what goes with it.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize)]
pub struct Complaint {
    /// Where in the file, e.g. `plate.flaw[1].length_mm`; flaws count from 0.
    pub path: String,
    /// What is wrong, with the value, its unit and what was expected.
    pub message: String,
}

/// Most flaws a plate may have.
const MOST_FLAWS: usize = 60;

/// Complaints in the making.
#[derive(Default)]
struct Complaints(Vec<Complaint>);

impl Complaints {
    fn add(&mut self, path: &str, message: String) {
        self.0.push(Complaint { path: path.to_owned(), message });
    }

    /// Complains and returns false where a value (also one that is no number) is not within `low..=high`.
    fn within(&mut self, path: &str, value: f64, [low, high]: [f64; 2], unit: &str) -> bool {
        let fits = (low..=high).contains(&value);
        if !fits {
            let (unit, low, high) =
                (if unit.is_empty() { "" } else { &format!(" {unit}") }, tidy(low), tidy(high));
            self.add(path, format!("{}{unit} is out of range, expected {low} to {high}{unit}", tidy(value)));
        }
        fits
    }

    fn text(&mut self, path: &str, value: &str, [least, most]: [usize; 2]) {
        let length = value.chars().count();
        if !(least..=most).contains(&length) {
            self.add(path, format!("the text has {length} characters, expected {least} to {most}"));
        }
    }
}

/// A number as a reader wants it: at most three decimals.
fn tidy(value: f64) -> String {
    let rounded = libm::round(value * 1000.0) / 1000.0;
    if rounded.is_finite() { format!("{}", rounded + 0.0) } else { format!("{value}") }
}

pub(crate) fn plate(plate: &Plate) -> Vec<Complaint> {
    let mut out = Complaints::default();
    out.text("plate.id", &plate.id, [1, 80]);
    out.text("plate.title", &plate.title, [0, 200]);
    out.text("plate.note", &plate.note, [0, 8000]);
    let [thickest, shortest] = if plate.block.is_some() { [150.0, 10.0] } else { [60.0, 50.0] };
    let mut sound = out.within("plate.thickness_mm", plate.thickness_mm, [5.0, thickest], "mm");
    sound &= out.within("plate.length_mm", plate.length_mm, [shortest, 1000.0], "mm");
    sound &= out.within("plate.width_mm", plate.width_mm, [60.0, 1000.0], "mm");
    out.within("plate.grain_level_db", plate.grain_level_db, [-90.0, -6.0], "dB");
    metal(plate, &mut out);
    match (&plate.block, plate.joint.is_none()) {
        (None, false) => sound = sound && joint::check(plate, &mut out),
        (Some(block), true) => {
            if sound {
                block::check(plate, block, &mut out);
            }
            return out.0;
        }
        (None, true) => {
            let message = "neither a weld nor a block, expected plate.joint or plate.block";
            out.add("plate", message.to_owned());
            return out.0;
        }
        (Some(_), false) => {
            out.add(
                "plate.block",
                "a welded plate is no block, expected plate.joint or plate.block".to_owned(),
            );
            return out.0;
        }
    }
    if plate.flaws.len() > MOST_FLAWS {
        let message = format!("{} flaws, expected at most {MOST_FLAWS}", plate.flaws.len());
        out.add("plate.flaw", message);
        sound = false;
    }
    // Where flaws may lie hangs on plate and joint; with those wrong, more sentences would only mislead.
    if sound {
        for (index, flaw) in plate.flaws.iter().enumerate() {
            flaw::check(plate, flaw, &format!("plate.flaw[{index}]"), &mut out);
        }
    }
    out.0
}

fn metal(plate: &Plate, out: &mut Complaints) {
    let solid = &plate.solid;
    let (longitudinal, shear) = (solid.longitudinal_mm_per_us, solid.shear_mm_per_us);
    out.within("plate.solid.longitudinal_mm_per_us", longitudinal, [2.0, 10.0], "mm/µs");
    if out.within("plate.solid.shear_mm_per_us", shear, [1.0, 6.0], "mm/µs")
        && longitudinal <= shear * std::f64::consts::SQRT_2
    {
        let message = format!(
            "{} mm/µs is too fast for longitudinal waves of {} mm/µs, expected less than 1/√2 of it",
            tidy(shear),
            tidy(longitudinal)
        );
        out.add("plate.solid.shear_mm_per_us", message);
    }
    out.within("plate.solid.density_g_per_cm3", solid.density_g_per_cm3, [1.0, 20.0], "g/cm³");
    out.within("plate.solid.shear_loss_db_per_mm", solid.shear_loss_db_per_mm, [0.0, 1.0], "dB/mm");
}
