//! Tests of the surfaces of reference blocks.

use crate::block::{Block, Hole, Notch, Radius};
use crate::joint::{Bevel, Joint, Preparation};
use crate::plate::Plate;
use crate::sample;
use crate::weld_surface::outside;

fn block(block: Block) -> Plate {
    let plate = Plate {
        thickness_mm: 100.0,
        length_mm: 25.0,
        width_mm: 300.0,
        joint: Joint::default(),
        block: Some(block),
        ..sample::plate(Preparation::SingleV)
    };
    assert_eq!(plate.check(), []);
    plate
}

#[test]
fn a_round_end_has_its_radius_and_looks_at_its_axis() {
    let end = Radius { centre_mm: 50.0, radius_mm: 100.0, angle_deg: [0.0, 90.0], y_mm: Some([0.0, 12.5]) };
    let outside = outside(&block(Block { radii: vec![end], ..Block::default() }), 0.4);
    let area: f64 = outside.points.iter().map(|point| point.area_mm2).sum();
    assert!((area / (12.5 * 50.0 * std::f64::consts::PI) - 1.0).abs() < 1e-3, "{area}");
    for point in &outside.points {
        let ([x, y, z], [nx, ny, nz]) = (point.position_mm, point.normal);
        assert!((libm::hypot(x - 50.0, z) - 100.0).abs() < 1e-3 && (0.0..=12.5).contains(&y));
        assert!(nx * (50.0 - x) - nz * z > 99.9 && ny.abs() < 1e-9, "{point:?}");
    }
    // Past the foot of the round there is no flat lower face.
    let strip = outside.lower_not_flat[0];
    assert!(strip.x_mm[0] == 50.0 && strip.x_mm[1] >= 150.0 && strip.y_mm == [0.0, 12.5]);
}

#[test]
fn a_hole_is_a_cylinder_that_looks_out() {
    let hole = Hole { offset_mm: -20.0, depth_mm: 30.0, diameter_mm: 3.0 };
    let points = outside(&block(Block { holes: vec![hole], ..Block::default() }), 0.2).points;
    let area: f64 = points.iter().map(|point| point.area_mm2).sum();
    assert!((area / (25.0 * 3.0 * std::f64::consts::PI) - 1.0).abs() < 0.01, "{area}");
    for point in points {
        let [x, _, z] = point.position_mm;
        assert!((libm::hypot(x + 20.0, z - 30.0) - 1.5).abs() < 0.03);
        assert!(point.normal[0] * (x + 20.0) + point.normal[2] * (z - 30.0) > 1.4);
    }
}

#[test]
fn a_notch_has_two_walls_and_an_end_that_look_into_the_metal() {
    for (face, end_mm, into) in [(Bevel::Lower, 97.0, -1.0), (Bevel::Upper, 3.0, 1.0)] {
        let notch = Notch { face, offset_mm: 10.0, height_mm: 3.0, width_mm: 1.0, y_mm: None };
        let outside = outside(&block(Block { notches: vec![notch], ..Block::default() }), 0.2);
        let area: f64 = outside.points.iter().map(|point| point.area_mm2).sum();
        assert!((area - 25.0 * 7.0).abs() < 1e-6, "{area}");
        for point in &outside.points {
            let [x, _, z] = point.position_mm;
            let wall = (x - 10.0).abs() > 0.4999 && point.normal[0] * (x - 10.0) > 0.4999;
            let end = (z - end_mm).abs() < 1e-9 && point.normal[2] * into > 0.999;
            assert!(wall || end, "{face:?} {point:?}");
        }
        let strips = if face == Bevel::Lower { &outside.lower_not_flat } else { &outside.upper_not_flat };
        assert_eq!(strips[0].x_mm, [9.5, 10.5]);
    }
}

#[test]
fn blocks_that_cannot_be_are_explained() {
    let plate = block(Block::default());
    let with = |change: &dyn Fn(&mut Plate)| {
        let mut plate = plate.clone();
        change(&mut plate);
        plate.check().into_iter().map(|complaint| complaint.message).collect::<Vec<_>>().join("; ")
    };
    let hole = Hole { offset_mm: 0.0, depth_mm: 1.0, diameter_mm: 3.0 };
    let hole_at_face = with(&|plate| plate.block = Some(Block { holes: vec![hole], ..Block::default() }));
    assert_eq!(hole_at_face, "1 mm is out of range, expected 1.5 to 98.5 mm");
    let both = with(&|plate| plate.joint = sample::plate(Preparation::SingleV).joint);
    assert!(both.contains("a welded plate is no block"), "{both}");
    let neither = with(&|plate| plate.block = None);
    assert!(
        neither.contains("neither a weld nor a block") || neither.contains("expected 5 to 60 mm"),
        "{neither}"
    );
}
