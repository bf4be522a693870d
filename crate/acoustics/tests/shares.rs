//! Tables put together from shares are those that one worker makes, bit for bit.
#![allow(clippy::unwrap_used, reason = "a test")]

use acoustics::aperture::{Aperture, Coupling};
use acoustics::engine::GrainDose;
use acoustics::frame_maker::{FrameMaker, Shot};
use acoustics::grain::GrainField;
use acoustics::law::DelayLaw;
use acoustics::material::{Solid, WedgeMaterial};
use acoustics::placement::Placement;
use acoustics::scene::{Scene, Sides, Surface, SurfacePoint};
use acoustics::shares::Shares;
use acoustics::table_order::TableOrder;

const STEEL: Solid = Solid::STEEL;
const RANGE_MM: f64 = 70.0;

fn shot(first: u32, count: u32, angles_deg: &[f64]) -> Shot {
    let aperture = Aperture {
        coupling: Coupling::Wedge(WedgeMaterial::POLYSTYRENE),
        wedge_angle: 36.0_f64.to_radians(),
        first_height_mm: 5.0,
        pitch_mm: 0.5,
        element_width_mm: 0.4,
        elevation_mm: Some(10.0),
        first,
        count,
        frequency_mhz: 5.0,
        bandwidth_percent: 60.0,
    };
    let law = |angle: &f64| DelayLaw::new(&aperture, &STEEL, angle.to_radians(), Some(40.0)).unwrap();
    Shot { laws: angles_deg.iter().map(law).collect(), aperture }
}

fn sector() -> Vec<Shot> {
    vec![shot(8, 16, &[45.0, 52.0, 60.0])]
}

fn linear() -> Vec<Shot> {
    (0..40).step_by(8).map(|first| shot(first, 16, &[55.0])).collect()
}

/// A frame of all legs and of grain: it hangs on every entry of every table.
fn frame(mut maker: FrameMaker) -> Vec<u32> {
    let points = (0..60).map(|i| SurfacePoint {
        position_mm: [20.0 + 0.1 * f64::from(i), 0.0, 12.0 - 0.05 * f64::from(i)],
        normal: [0.5, 0.0, -0.866],
        area_mm2: 0.1,
        sides: Sides::Both,
    });
    let scene = Scene {
        solid: STEEL,
        thickness_mm: Some(15.0),
        surface: Surface::from_points(points),
        upper_not_flat: vec![],
        lower_not_flat: vec![],
        grain: None,
        longitudinal: true,
    };
    let placement = Placement { centre_mm: [0.0, 0.0], forward: [1.0, 0.0], lower_face_mm: None };
    let field = GrainField::new(7);
    let (re, im) = maker.frame(&scene, &placement, Some(GrainDose { field: &field, scale: 1.0 }));
    re.iter().chain(im.iter()).map(|value| value.to_bits()).collect()
}

fn order(shots: Vec<Shot>) -> TableOrder {
    TableOrder { solid: STEEL, shots, range_mm: RANGE_MM }
}

fn share(shots: Vec<Shot>, index: usize, count: usize) -> Shares {
    let mut shares = Shares::default();
    // As another worker would get it.
    let order = TableOrder::of_bytes(&order(shots).bytes()).unwrap();
    shares.make(&order, (index, count));
    shares
}

fn shared(shots: &[Shot], count: usize) -> Shares {
    let mut own = share(shots.to_vec(), 0, count);
    // As they may come: in any order.
    for index in (1..count).rev() {
        own.take_in(share(shots.to_vec(), index, count).bytes());
    }
    own
}

#[test]
fn shares_put_together_are_the_whole() {
    for shots in [sector(), linear()] {
        let whole = frame(FrameMaker::new(&STEEL, shots.clone(), RANGE_MM));
        assert!(whole.iter().any(|&bits| bits != 0));
        for count in [1, 2, 3, 7] {
            let shares = shared(&shots, count);
            assert!(frame(FrameMaker::from_shares(order(shots.clone()), shares)) == whole, "{count}");
        }
    }
}

/// A share is not made again: one whose numbers were changed changes the frame.
#[test]
fn what_was_made_elsewhere_is_used() {
    let mut bytes = share(sector(), 1, 2).bytes();
    // After the head of the run come arrays, each after its length: rows, shifts, and coefficients of the first term.
    let length = |bytes: &[u8], at: usize| u32::from_le_bytes(bytes[at..at + 4].try_into().unwrap()) as usize;
    let shifts = 20 + length(&bytes, 16);
    let first = shifts + 4 + length(&bytes, shifts);
    let end = first + 4 + length(&bytes, first);
    bytes[first + 4..end].fill(0);
    let mut shares = Shares::default();
    shares.take_in(bytes);
    let changed = frame(FrameMaker::from_shares(order(sector()), shares));
    assert!(changed != frame(FrameMaker::new(&STEEL, sector(), RANGE_MM)));
}

#[test]
fn a_share_that_does_not_fit_is_passed_over() {
    let whole = frame(FrameMaker::new(&STEEL, sector(), RANGE_MM));
    let of_others = share(linear(), 1, 2).bytes();
    let right = share(sector(), 0, 2).bytes();
    let mut beyond = right.clone();
    // Rows that refer to entries far beyond the last.
    beyond[20..24].copy_from_slice(&[255; 4]);
    for bytes in
        [vec![], b"not a share".to_vec(), vec![255; 64], of_others, right[..right.len() / 2].to_vec(), beyond]
    {
        let mut shares = Shares::default();
        shares.take_in(bytes);
        assert!(frame(FrameMaker::from_shares(order(sector()), shares)) == whole);
    }
}
