use super::*;
use crate::procedure::Sector;
use crate::receiver::Receiver;
use crate::yard;

const STEEL: Solid = Solid::STEEL;

fn procedure() -> Procedure {
    Procedure {
        text: String::new(),
        probe: yard::probe(),
        sector: Sector { focus_path_mm: Some(50.0), ..yard::sector() },
        range_mm: 110.0,
        reference_gain_db: 40.0,
        scanning_gain_db: 6.0,
        recording_level_db: -14.0,
        sides: vec![],
        index_offset_mm: [0.0, 40.0],
        time_minutes: 40,
        operator_sets: SetUpPart::all(),
        bench: crate::procedure::HandedOver::default(),
    }
}

fn found(change: impl FnOnce(&mut SetUp)) -> Vec<Problem> {
    let mut set_up = SetUp::of(&procedure());
    change(&mut set_up);
    set_up.problems(&procedure(), &STEEL)
}

#[test]
fn what_the_procedure_prescribes_has_no_problems() {
    assert_eq!(found(|_| {}), []);
    assert_eq!(found(|set_up| set_up.sector.to_deg = 68.0), []);
}

#[test]
fn an_aperture_wider_than_the_array_says_what_is_left() {
    let problems = found(|set_up| set_up.sector.active_elements = 60);
    assert_eq!(
        problems,
        [Problem::ApertureTooWide { first_element: 17, last_element: 76, elements: 64, most_active: 48 }]
    );
}

/// First critical angle of polystyrene on steel: the shear wave then leaves at asin(cT / cL), 33.2° (Snell's law).
#[test]
fn small_and_large_angles_name_their_critical_angle() {
    let [Problem::NearFirstCritical { critical_deg, .. }] = found(|s| s.sector.from_deg = 30.0)[..] else {
        panic!("no first critical angle");
    };
    assert!((critical_deg - libm::asin(3.23 / 5.9).to_degrees()).abs() < 0.2, "{critical_deg}");
    let [Problem::BeyondSecondCritical { most_deg, .. }] = found(|s| s.sector.to_deg = 85.0)[..] else {
        panic!("no second critical angle");
    };
    assert!((most_deg - 80.0).abs() < 1e-9);
    // A wedge faster than the metal's shear wave has a second critical angle below 90°.
    let fast = found(|s| s.probe.wedge_material.longitudinal_mm_per_us = 3.6);
    let [Problem::BeyondSecondCritical { critical_deg, most_deg, .. }] = fast[..] else {
        panic!("{fast:?}");
    };
    assert!(critical_deg < 75.0 && most_deg < critical_deg, "{critical_deg} {most_deg}");
}

/// Array factor: sin of the lobe = sin of the steering ± λ / pitch. Elements two wavelengths apart have lobes 30°
/// beside the beam, and with the wedge's refraction one falls into the sector.
#[test]
fn wide_pitch_puts_a_lobe_into_the_sector_and_what_would_be_right_does_not() {
    let wide = |pitch_mm: f64| {
        found(|set_up| {
            set_up.probe.pitch_mm = pitch_mm;
            set_up.probe.first_element_to_front_mm = 150.0;
        })
    };
    let problems = wide(2.0);
    let [Problem::GratingLobe { angle_deg, lobe_deg, wavelength_mm, largest_pitch_mm, .. }] = problems[..]
    else {
        panic!("{problems:?}");
    };
    assert!((wavelength_mm - 0.466).abs() < 1e-3);
    let wedge_deg = |refracted_deg: f64| {
        libm::asin(libm::sin(refracted_deg.to_radians()) * 2.33 / STEEL.shear_mm_per_us).to_degrees()
    };
    let sine = |refracted_deg: f64| libm::sin((wedge_deg(refracted_deg) - 36.0).to_radians());
    let orders = (sine(lobe_deg) - sine(angle_deg)) * 2.0 / wavelength_mm;
    assert!((orders - orders.round()).abs() < 1e-6 && orders.round() != 0.0, "{orders}");
    assert_eq!(wide(largest_pitch_mm), []);
    assert!(!wide(largest_pitch_mm + 0.02).is_empty());
}

#[test]
fn sound_ahead_of_the_wedge_says_how_far_and_by_how_many_elements_back() {
    let short = |set_up: &mut SetUp| set_up.probe.first_element_to_front_mm = 36.0;
    let problems = found(short);
    let [Problem::AheadOfWedge { largest_deg, elements_back, ahead_mm, .. }] = problems[..] else {
        panic!("{problems:?}");
    };
    assert!(ahead_mm > 0.1 && ahead_mm < 2.0, "{ahead_mm}");
    let mended = |change: &dyn Fn(&mut SetUp)| {
        found(|set_up| {
            short(set_up);
            change(set_up);
        })
    };
    assert_eq!(mended(&|set_up| set_up.sector.to_deg = largest_deg), []);
    assert_eq!(mended(&|set_up| set_up.sector.first_element -= elements_back), []);
    assert!(!mended(&|set_up| set_up.sector.first_element -= elements_back - 1).is_empty());
}

#[test]
fn what_the_procedure_keeps_to_itself_is_named() {
    let mut procedure = procedure();
    procedure.operator_sets = vec![SetUpPart::Range];
    let mut set_up = SetUp::of(&procedure);
    set_up.range_mm = 90.0;
    assert_eq!(set_up.problems(&procedure, &STEEL), []);
    set_up.receiver = Receiver { averages: 4, ..Receiver::default() };
    let problems = set_up.problems(&procedure, &STEEL);
    assert_eq!(problems, [Problem::Fixed { part: SetUpPart::Receiver }]);
}
