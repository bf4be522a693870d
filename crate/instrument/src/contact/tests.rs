use super::*;
use crate::pose::Side;

fn probe() -> Probe {
    Probe {
        name: "test".to_owned(),
        elements: 64,
        pitch_mm: 0.5,
        element_width_mm: 0.4,
        elevation_mm: 10.0,
        frequency_mhz: 5.0,
        bandwidth_percent: 60.0,
        wedge_material: acoustics::material::WedgeMaterial::POLYSTYRENE,
        wedge_angle_deg: 36.0,
        first_element_height_mm: 5.0,
        first_element_to_front_mm: 40.0,
        wedge_width_mm: 30.0,
        wedge_length_mm: 48.0,
    }
}

fn pose(y_mm: f64) -> Pose {
    Pose { face: Face::Upper, side: Side::A, index_offset_mm: 20.0, y_mm, skew_deg: 0.0 }
}

fn stroke(from: f64, to: f64) -> Stroke {
    Stroke { face: Face::Upper, from_mm: [-45.0, from], to_mm: [-45.0, to], reach_mm: 35.0 }
}

#[test]
fn a_dry_plate_takes_nearly_all_and_a_wet_one_nothing() {
    let mut film = Film::dry(300.0, 300.0);
    assert!((film.loss_db(&probe(), &pose(100.0)) - DRY_LOSS_DB).abs() < 1e-9);
    film.lay(&stroke(60.0, 140.0));
    assert!(film.loss_db(&probe(), &pose(100.0)).abs() < 1e-9);
    let edge = film.loss_db(&probe(), &pose(172.0));
    assert!(edge > 1.0 && edge < DRY_LOSS_DB, "{edge}");
    assert!((film.loss_db(&probe(), &pose(250.0)) - DRY_LOSS_DB).abs() < 1e-9);
    let below = Pose { face: Face::Lower, ..pose(100.0) };
    assert!((film.loss_db(&probe(), &below) - DRY_LOSS_DB).abs() < 1e-9);
}

#[test]
fn scanning_uses_the_film_up_and_the_brush_brings_it_back() {
    let mut film = Film::dry(300.0, 300.0);
    film.lay(&stroke(0.0, 300.0));
    let mut passes = 0;
    while film.loss_db(&probe(), &pose(150.0)) < 3.0 {
        film.slide(&probe(), &pose(60.0), &pose(240.0));
        film.slide(&probe(), &pose(240.0), &pose(60.0));
        passes += 2;
        assert!(passes < 200);
    }
    // A wet path lasts for several passes, not for a whole shift.
    assert!((8..80).contains(&passes), "{passes}");
    film.lay(&stroke(100.0, 200.0));
    assert!(film.loss_db(&probe(), &pose(150.0)).abs() < 1e-9);
}

#[test]
fn a_standing_or_lifted_probe_uses_nothing() {
    let mut film = Film::dry(300.0, 300.0);
    film.lay(&stroke(0.0, 300.0));
    let before = film.clone();
    film.slide(&probe(), &pose(60.0), &pose(60.0));
    film.slide(&probe(), &pose(60.0), &Pose { side: Side::B, ..pose(200.0) });
    assert!(film == before);
}

/// The same way in one move or in many wears the film alike, to within a cell's step.
#[test]
fn wear_follows_the_way_and_not_the_moves() {
    let mut once = Film::dry(300.0, 300.0);
    once.lay(&stroke(0.0, 300.0));
    let mut often = once.clone();
    once.slide(&probe(), &pose(50.0), &pose(250.0));
    for step in 0..40 {
        let y = 50.0 + 5.0 * f64::from(step);
        often.slide(&probe(), &pose(y), &pose(y + 5.0));
    }
    let worst = once.amounts(Face::Upper).iter().zip(often.amounts(Face::Upper));
    assert!(worst.map(|(a, b)| (a - b).abs()).fold(0.0, f32::max) < 0.01);
}
