//! Tables put together from shares are those that one worker makes, bit for bit.
#![allow(clippy::unwrap_used, reason = "a test")]

use acoustics::aperture::{Aperture, Coupling};
use acoustics::engine::GrainDose;
use acoustics::frame_maker::{FrameMaker, Shot};
use acoustics::grain::GrainField;
use acoustics::law::DelayLaw;
use acoustics::material::{Solid, WedgeMaterial};
use acoustics::placement::Placement;
use acoustics::scene::{Cavity, CavityForm, Scene, Sides, Surface, SurfacePoint};
use acoustics::shares::Shares;
use acoustics::table_order::TableOrder;

const STEEL: Solid = Solid::STEEL;
const RANGE_MM: f64 = 70.0;

fn shot(first: u32, count: u32, angles_deg: &[f64]) -> Shot {
    focused(first, count, angles_deg, 40.0)
}

fn focused(first: u32, count: u32, angles_deg: &[f64], focus_mm: f64) -> Shot {
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
    let law = |angle: &f64| DelayLaw::new(&aperture, &STEEL, angle.to_radians(), Some(focus_mm)).unwrap();
    Shot { laws: angles_deg.iter().map(law).collect(), aperture }
}

fn sector() -> Vec<Shot> {
    vec![shot(8, 16, &[45.0, 52.0, 60.0])]
}

fn linear() -> Vec<Shot> {
    (0..40).step_by(8).map(|first| shot(first, 16, &[55.0])).collect()
}

/// A frame of all legs and of grain.
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
    // As another worker would get it.
    let mut shares = Shares::new(TableOrder::of_bytes(&order(shots).bytes()).unwrap());
    shares.make((index, count));
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
            assert!(frame(FrameMaker::from_shares(shares)) == whole, "{count}");
        }
    }
}

/// A share is not made again: one whose numbers were changed changes the frame.
#[test]
fn what_was_made_elsewhere_is_used() {
    let mut bytes = share(sector(), 1, 2).bytes();
    // After the order's digest and the head of the run come arrays, each after its length: rows, shifts, and coefficients of the first term.
    let length = |bytes: &[u8], at: usize| u32::from_le_bytes(bytes[at..at + 4].try_into().unwrap()) as usize;
    let shifts = 28 + length(&bytes, 24);
    let first = shifts + 4 + length(&bytes, shifts);
    let end = first + 4 + length(&bytes, first);
    bytes[first + 4..end].fill(0);
    let mut shares = Shares::new(order(sector()));
    shares.take_in(bytes);
    let changed = frame(FrameMaker::from_shares(shares));
    assert!(changed != frame(FrameMaker::new(&STEEL, sector(), RANGE_MM)));
}

#[test]
fn a_share_that_does_not_fit_is_passed_over() {
    let whole = frame(FrameMaker::new(&STEEL, sector(), RANGE_MM));
    let of_others = share(linear(), 0, 2).bytes();
    // The same shape, but another focus.
    let mut closer = sector();
    closer[0] = focused(8, 16, &[45.0, 52.0, 60.0], 30.0);
    let of_another_focus = share(closer, 0, 2).bytes();
    let right = share(sector(), 0, 2).bytes();
    let mut beyond = right.clone();
    // Rows that refer to entries far beyond the last.
    beyond[28..32].copy_from_slice(&[255; 4]);
    for bytes in [
        vec![],
        b"not a share".to_vec(),
        vec![255; 64],
        of_others,
        of_another_focus,
        right[..right.len() / 2].to_vec(),
        beyond,
    ] {
        let mut shares = Shares::new(order(sector()));
        shares.take_in(bytes);
        assert!(frame(FrameMaker::from_shares(shares)) == whole);
    }
}

/// What hangs on metal, pulse, range and the length of the elements is kept for the same ones and for no others.
#[test]
fn a_maker_that_follows_another_is_as_one_made_anew() {
    let narrow = |mut shot: Shot| {
        shot.aperture.bandwidth_percent = 30.0;
        vec![shot]
    };
    let flat = |mut shot: Shot| {
        shot.aperture.elevation_mm = Some(6.0);
        vec![shot]
    };
    let orders = [
        order(sector()),
        order(linear()),
        order(narrow(sector().remove(0))),
        order(sector()),
        TableOrder { range_mm: 0.5 * RANGE_MM, ..order(sector()) },
        order(flat(sector().remove(0))),
    ];
    let other_metal = Solid { longitudinal_mm_per_us: 6.2, ..STEEL };
    let mut before = FrameMaker::new(&STEEL, sector(), RANGE_MM);
    for order in
        orders.into_iter().flat_map(|order| [TableOrder { solid: other_metal, ..order.clone() }, order])
    {
        before.clear();
        let made = || Shares::new(order.clone());
        let maker = FrameMaker::following(Some(&mut before), made());
        assert!(frame(maker) == frame(FrameMaker::from_shares(made())));
        before = FrameMaker::from_shares(made());
    }
}

/// In this metal the last sample's time lies, rounded, just before a time node; echoes that come later are looked up all the same.
#[test]
fn the_last_time_node_is_there_in_any_metal() {
    let solid = Solid { shear_mm_per_us: 3.125, ..STEEL };
    for range_mm in [20.0, 21.0, 50.0, 205.0] {
        let shot = shot(16, 32, &[40.0, 55.0, 70.0]);
        let laws =
            shot.laws.iter().map(|law| DelayLaw::new(&shot.aperture, &solid, law.angle, None).unwrap());
        let shots = vec![Shot { laws: laws.collect(), aperture: shot.aperture.clone() }];
        let mut maker = FrameMaker::new(&solid, shots, range_mm);
        for x in [10.0, 20.0, 30.0, 45.0] {
            let ball = Cavity { position_mm: [x, 0.0, 8.0], diameter_mm: 2.0, form: CavityForm::Ball };
            let scene = Scene {
                solid,
                thickness_mm: Some(15.0),
                surface: Surface::default().with_cavities(vec![ball]),
                upper_not_flat: vec![],
                lower_not_flat: vec![],
                grain: None,
                longitudinal: true,
            };
            let placement = Placement { centre_mm: [0.0, 0.0], forward: [1.0, 0.0], lower_face_mm: None };
            maker.frame(&scene, &placement, None);
        }
    }
}
