//! Whether this machine computes frames to the same bits as every other: one small frame with all that a frame goes
//! through but grain, which is plain look-up.

use crate::aperture::{Aperture, Coupling};
use crate::engine::FrameEngine;
use crate::law::DelayLaw;
use crate::material::{Solid, WedgeMaterial};
use crate::placement::Placement;
use crate::scene::{FaceRun, RimPoint, Scene, Sides, Surface, SurfacePoint};

/// The digest on a machine that computes rightly.
pub const RIGHT: u64 = 0xae55_3175_8335_3a45;

const THICKNESS_MM: f64 = 12.0;
const STEP_MM: f64 = 0.3;

/// 64-bit FNV-1a over the bits of the frame.
pub fn digest() -> u64 {
    frame().iter().fold(0xcbf2_9ce4_8422_2325, |hash, value| {
        // The two zeros count as one.
        (hash ^ u64::from((value + 0.0).to_bits())).wrapping_mul(0x0000_0100_0000_01b3)
    })
}

/// Real and then imaginary parts.
fn frame() -> Vec<f32> {
    let aperture = Aperture {
        coupling: Coupling::Wedge(WedgeMaterial::POLYSTYRENE),
        wedge_angle: 0.6,
        first_height_mm: 4.0,
        pitch_mm: 0.6,
        element_width_mm: 0.5,
        elevation_mm: Some(10.0),
        first: 0,
        count: 8,
        frequency_mhz: 5.0,
        bandwidth_percent: 60.0,
    };
    let law = |k: u32| DelayLaw::new(&aperture, &Solid::STEEL, 0.75 + 0.1 * f64::from(k), Some(30.0)).ok();
    let mut engine = FrameEngine::new(&Solid::STEEL, &aperture, (0..5).filter_map(law).collect(), 40.0);
    let stand = Placement { centre_mm: [0.5, 0.0], forward: [0.996, 0.089_352_67], lower_face_mm: None };
    let (re, im) = engine.frame(&scene(), &stand, None);
    re.iter().chain(im.iter()).copied().collect()
}

/// A leaning sheet open to nothing, 3 mm high and 6 mm long.
fn scene() -> Scene {
    let (lean_sine, lean_cosine) = (0.28, 0.96);
    let place = |s: f64, y: f64| [17.0 + s * lean_sine, y, 10.0 + s * lean_cosine];
    let along = |k: u32| STEP_MM * (f64::from(k) + 0.5);
    let (mut points, mut rims, mut runs) = (Vec::new(), Vec::new(), Vec::new());
    for row in 0..20 {
        let y = along(row) - 3.0;
        for column in 0..10 {
            points.push(SurfacePoint {
                position_mm: place(along(column) - 1.5, y),
                normal: [lean_cosine, 0.0, -lean_sine],
                area_mm2: STEP_MM * STEP_MM,
                sides: Sides::Both,
            });
        }
        let [upper, lower] = [1.0, -1.0].map(|sign: f64| RimPoint {
            position_mm: place(-1.5 * sign, y),
            inward: [sign * lean_sine, 0.0, sign * lean_cosine],
            normal: [lean_cosine, 0.0, -lean_sine],
            length_mm: STEP_MM,
        });
        rims.extend([upper, lower]);
        runs.push(FaceRun { from: upper, to: lower });
    }
    Scene {
        solid: Solid::STEEL,
        thickness_mm: Some(THICKNESS_MM),
        surface: Surface::from_points(points).with_rims(rims, runs),
        upper_not_flat: Vec::new(),
        lower_not_flat: Vec::new(),
        grain: None,
        longitudinal: false,
    }
}

#[cfg(test)]
mod tests {
    #[test]
    fn the_frame_holds_an_echo() {
        let frame = super::frame();
        let highest =
            frame.iter().fold(0.0_f32, |high, value| if value.abs() > high { value.abs() } else { high });
        let (loud, all) = (frame.iter().filter(|value| value.abs() > 0.1 * highest).count(), frame.len());
        assert!(highest > 1e-6 && loud > 100, "highest {highest:e}, {loud} of {all} values above a tenth");
    }

    #[test]
    fn this_machine_computes_rightly() {
        assert_eq!(super::digest(), super::RIGHT, "{:#018x}", super::digest());
    }
}
