//! The section as drawn.

use specimen::generator;
use specimen::joint::Preparation::{DoubleV, SingleV};
use specimen::plate::Plate;

fn plate(preparation: specimen::joint::Preparation) -> Plate {
    let mut plate = generator::plate(preparation.into(), 1, 1);
    plate.thickness_mm = 20.0;
    plate.joint.groove_angle_deg = 90.0;
    (plate.joint.root_face_mm, plate.joint.root_gap_mm) = (2.0, 3.0);
    plate.joint.upper_share = (preparation == DoubleV).then_some(0.5);
    (plate.joint.cap.overlap_mm, plate.joint.cap.height_mm) = (1.0, 1.5);
    plate
}

fn close(a: &[[f64; 2]], b: &[[f64; 2]]) -> bool {
    a.len() == b.len()
        && a.iter().zip(b).all(|(p, q)| (p[0] - q[0]).abs() < 1e-9 && (p[1] - q[1]).abs() < 1e-9)
}

#[test]
fn single_v_is_drawn() {
    let outline = plate(SingleV).outline();
    // 45 degrees each: 18 mm of bevel depth are 18 mm of width, beside half of the gap.
    assert!(close(&outline.preparation[1], &[[19.5, 0.0], [1.5, 18.0], [1.5, 20.0]]), "{outline:?}");
    assert!(close(&outline.preparation[0], &[[-19.5, 0.0], [-1.5, 18.0], [-1.5, 20.0]]));
    assert!((outline.upper_edges_mm[1] - 20.5).abs() < 1e-9);
    assert_eq!((outline.cap.len(), outline.root.len()), (1, 1));
    let top = outline.cap[0].iter().map(|p| p[1]).fold(0.0, f64::min);
    assert!((top + 1.5).abs() < 1e-9, "the cap stands above the face");
    assert!(outline.root[0].iter().all(|p| p[1] >= 20.0));
    assert!(close(&outline.upper_face[1], &[[20.5, 0.0], [125.0, 0.0]]));
}

#[test]
fn double_v_is_drawn() {
    let outline = plate(DoubleV).outline();
    assert!(
        close(&outline.preparation[1], &[[10.5, 0.0], [1.5, 9.0], [1.5, 11.0], [10.5, 20.0]]),
        "{outline:?}"
    );
    assert_eq!((outline.cap.len(), outline.root.len()), (2, 0));
    assert!((outline.lower_edges_mm[1] - 11.5).abs() < 1e-9);
}
