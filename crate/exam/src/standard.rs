//! The yard's standard procedure: what a plate is scanned with when nobody wrote anything else.

use acoustics::material::WedgeMaterial;
use instrument::pose::Side;
use instrument::procedure::{Probe, Procedure, Sector};
use instrument::set_up::SetUpPart;
use specimen::plate::Plate;

use crate::words;

/// Free play between the toe of the cap and the wedge front at the nearest index offset, mm.
const CLEAR_OF_CAP_MM: f64 = 1.0;

/// How far behind the front the 60° beam of the yard's probe leaves the wedge, mm.
const EXIT_BEHIND_FRONT_MM: f64 = 16.0;

/// Least distance between nearest and farthest index offset, mm.
const LEAST_PLAY_MM: f64 = 20.0;

/// Lower than is usual against a 3 mm hole (about -14 dB; common practice, no source): drawn plates hold single pores
/// and pore clusters, whose echoes are small. Nearly all else reaches -14 dB.
const RECORDING_LEVEL_DB: f64 = -18.0;

/// Longest sound path that is shown, mm.
const LONGEST_RANGE_MM: f64 = 120.0;

/// The yard's probe for butt welds.
///
/// The front distance leaves room for the foremost active element at 70°: it stands 19.0 mm ahead of the first
/// one and 18.8 mm high, and its sound goes 17.3 mm further forward in the wedge (Snell: 42.7°).
pub fn probe() -> Probe {
    Probe {
        name: "Yard probe 5L64".to_owned(),
        elements: 64,
        pitch_mm: 0.5,
        element_width_mm: 0.4,
        elevation_mm: 10.0,
        frequency_mhz: 5.0,
        bandwidth_percent: 60.0,
        wedge_material: WedgeMaterial::POLYSTYRENE,
        wedge_angle_deg: 36.0,
        first_element_height_mm: 5.0,
        first_element_to_front_mm: 40.0,
        wedge_width_mm: 30.0,
        wedge_length_mm: 48.0,
    }
}

/// The yard's sector: the middle 32 elements, 40° to 70° in half degrees (61 beams).
pub fn sector() -> Sector {
    Sector {
        first_element: 17,
        active_elements: 32,
        from_deg: 40.0,
        to_deg: 70.0,
        step_deg: 0.5,
        linear: None,
        focus_path_mm: Some(50.0),
        focus_depth_mm: None,
    }
}

/// Longest sound path shown on a plate: three legs of the steepest-going beam, but no more than is useful.
pub fn range_mm(thickness_mm: f64) -> f64 {
    let three_legs = 3.0 * thickness_mm / libm::cos(sector().to_deg.to_radians());
    libm::round(three_legs.min(LONGEST_RANGE_MM))
}

/// Index offsets from just clear of the cap to where a 60° beam in the second leg still meets the near edge of
/// the groove a quarter of the thickness below the upper face, as far as the plate has room for the wedge.
pub fn index_offset_mm(plate: &Plate) -> [f64; 2] {
    let (joint, thickness) = (&plate.joint, plate.thickness_mm);
    let near = libm::ceil(joint.upper_toe_mm(thickness) + CLEAR_OF_CAP_MM);
    let depth = thickness / 4.0;
    let to_exit = joint.half_width_mm(thickness, depth) + (2.0 * thickness - depth) * f64::sqrt(3.0);
    let far = libm::ceil(to_exit - EXIT_BEHIND_FRONT_MM).max(near + LEAST_PLAY_MM);
    let room = libm::floor(plate.width_mm / 2.0 - probe().wedge_length_mm);
    [near, far.min(room).max(near)]
}

/// The standard procedure for a plate.
pub fn procedure(plate: &Plate) -> Procedure {
    let index_offset_mm = index_offset_mm(plate);
    let mut procedure = Procedure {
        text: String::new(),
        probe: probe(),
        sector: sector(),
        range_mm: range_mm(plate.thickness_mm),
        reference_gain_db: 40.0,
        // An echo at the recording level then stands at a quarter of the screen.
        scanning_gain_db: 8.0,
        recording_level_db: RECORDING_LEVEL_DB,
        sides: vec![Side::A, Side::B],
        index_offset_mm,
        time_minutes: 40,
        operator_sets: SetUpPart::all(),
        bench: instrument::procedure::HandedOver::default(),
    };
    procedure.text = text(plate, &procedure);
    procedure
}

fn text(plate: &Plate, procedure: &Procedure) -> String {
    let [near, far] = procedure.index_offset_mm;
    format!(
        "Butt weld, {}, plate {} thick. Scan with {} in one sector from {} to {}.\n\
         \n\
         1. Set the gain to the reference gain, {} dB, at which the 3 mm side-drilled hole stands at 80 % of \
         the screen. Add {} dB for scanning.\n\
         2. Scan the whole length of the weld from side A and from side B. Move the wedge front between {} and \
         {} from the centreline, so that root, body and cap of the weld are each met in the first or the second \
         leg.\n\
         3. Record every echo that reaches {} against the reference, unless you can show that it comes from the \
         cap or the root bead.\n\
         4. For each flaw give kind, start and end along the weld from the datum, place across the weld, depth \
         of its middle, height, and accept or reject.\n\
         5. If nothing is to be recorded, say so on the sheet.\n\
         \n\
         Yard rule: planar flaws are rejected; others are rejected when they are longer or higher than the plate's \
         marking scheme allows.\n\
         \n\
         For training only. No finding on a real weld may rest on this exercise: real work follows the code, the \
         written procedure and certified people.\n",
        plate.joint.preparation.words(),
        words::mm(plate.thickness_mm),
        procedure.probe.name,
        words::degrees(procedure.sector.from_deg),
        words::degrees(procedure.sector.to_deg),
        words::points(procedure.reference_gain_db),
        words::points(procedure.scanning_gain_db),
        words::mm(near),
        words::mm(far),
        // Part of the plate's file and so of its digest, which has a hyphen here.
        words::db(procedure.recording_level_db).replace('−', "-"),
    )
}
