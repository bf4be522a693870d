//! A plate with one small round cavity, and passes over it.
#![allow(dead_code, reason = "each test uses what it needs")]

use acoustics::material::{Solid, WedgeMaterial};
use acoustics::scene::{Grain, Scene, Sides, Surface, SurfacePoint};
use instrument::bench::Instrument;
use instrument::pose::{Face, Side};
use instrument::procedure::{Probe, Procedure, Sector};
use instrument::recording::{Course, Recording};
use instrument::set_up::SetUpPart;

/// Where the cavity is: across, along, deep.
pub const HOLE_MM: [f64; 3] = [2.0, 23.0, 13.0];
const RADIUS_MM: f64 = 0.6;

/// The yard's probe and a sector of 61 beams.
pub fn procedure() -> Procedure {
    Procedure {
        text: String::new(),
        probe: Probe {
            name: "Yard probe 5L64".into(),
            elements: 64,
            pitch_mm: 0.5,
            element_width_mm: 0.4,
            elevation_mm: 10.0,
            frequency_mhz: 5.0,
            bandwidth_percent: 60.0,
            wedge_material: WedgeMaterial::POLYSTYRENE,
            wedge_angle_deg: 36.0,
            first_element_height_mm: 5.0,
            first_element_to_front_mm: 34.0,
            wedge_width_mm: 20.0,
            wedge_length_mm: 45.0,
        },
        sector: Sector {
            first_element: 17,
            active_elements: 32,
            from_deg: 40.0,
            to_deg: 70.0,
            step_deg: 0.5,
            linear: None,
            focus_path_mm: Some(50.0),
            focus_depth_mm: None,
        },
        range_mm: 110.0,
        reference_gain_db: 40.0,
        scanning_gain_db: 6.0,
        recording_level_db: -14.0,
        sides: vec![Side::A, Side::B],
        index_offset_mm: [0.0, 40.0],
        time_minutes: 40,
        operator_sets: SetUpPart::all(),
        bench: instrument::procedure::HandedOver::default(),
    }
}

/// A plate of 60 mm without grain, and a surface in it.
pub fn thick_plate(surface: Surface) -> Scene {
    Scene {
        solid: Solid::STEEL,
        thickness_mm: Some(60.0),
        surface,
        upper_not_flat: vec![],
        lower_not_flat: vec![],
        grain: None,
        longitudinal: false,
    }
}

/// A ball of air in a plate of 25 mm with so little grain that the ball stands highest from everywhere.
pub fn bench() -> Instrument {
    let points = (0..24).flat_map(|row| {
        (0..24).map(move |column| {
            let (polar, around) = (
                (f64::from(row) + 0.5) / 24.0 * std::f64::consts::PI,
                f64::from(column) / 24.0 * std::f64::consts::TAU,
            );
            let normal = [
                libm::sin(polar) * libm::cos(around),
                libm::sin(polar) * libm::sin(around),
                libm::cos(polar),
            ];
            let area = std::f64::consts::PI / 24.0 * std::f64::consts::TAU / 24.0 * libm::sin(polar);
            SurfacePoint {
                position_mm: [0, 1, 2].map(|k| HOLE_MM[k] + RADIUS_MM * normal[k]),
                normal,
                area_mm2: area * RADIUS_MM * RADIUS_MM,
                sides: Sides::One,
            }
        })
    });
    let scene = Scene {
        solid: Solid::STEEL,
        thickness_mm: Some(25.0),
        surface: Surface::from_points(points),
        upper_not_flat: vec![],
        lower_not_flat: vec![],
        grain: Some(Grain { seed: 77, level_db: -60.0 }),
        longitudinal: false,
    };
    Instrument::new(scene, &procedure()).unwrap()
}

/// Over the cavity and well past it.
pub fn course(side: Side) -> Course {
    Course {
        face: Face::Upper,
        side,
        index_offset_mm: 6.0,
        skew_deg: 0.0,
        start_mm: 10.0,
        step_mm: 1.0,
        lines: 36,
    }
}

/// Records all lines of a pass.
pub fn record(recording: &mut Recording, bench: &mut Instrument, course: Course) -> usize {
    let pass = recording.begin(course).unwrap();
    for line in 0..course.lines {
        bench.scan(&course.pose(line), line);
        recording.take(pass, line, bench).unwrap();
    }
    pass
}
