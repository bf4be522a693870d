//! What is timed: 61 beams from 40 to 70 degrees over twelve sheets of surface points.

use acoustics::aperture::{Aperture, Coupling};
use acoustics::law::DelayLaw;
use acoustics::material::{Solid, WedgeMaterial};
use acoustics::scene::{Scene, Sides, Surface, SurfacePoint};
use acoustics::seed::Stream;

/// Longest sound path, mm.
pub const RANGE_MM: f64 = 110.0;

/// The middle elements of an array of 64.
pub fn aperture(count: u32) -> Aperture {
    Aperture {
        coupling: Coupling::Wedge(WedgeMaterial::POLYSTYRENE),
        wedge_angle: 36.0_f64.to_radians(),
        first_height_mm: 5.0,
        pitch_mm: 0.5,
        element_width_mm: 0.4,
        elevation_mm: Some(10.0),
        first: (64 - count) / 2,
        count,
        frequency_mhz: 5.0,
        bandwidth_percent: 60.0,
    }
}

/// The beams, focused at 50 mm.
pub fn laws(aperture: &Aperture) -> Vec<DelayLaw> {
    (0..61)
        .filter_map(|i| {
            DelayLaw::new(aperture, &Solid::STEEL, (40.0 + 0.5 * f64::from(i)).to_radians(), Some(50.0)).ok()
        })
        .collect()
}

/// Twelve 4 × 8 mm sheets at random places and tilts in the plate, spread evenly over a stretch of the weld: about 4,600
/// points.
pub fn points(stretch_mm: f64) -> Vec<SurfacePoint> {
    let mut stream = Stream::new(12, "bench");
    let mut points = Vec::new();
    for sheet in 0..12 {
        let (x, z, tilt) = (stream.between(25.0, 80.0), stream.between(4.0, 16.0), stream.between(-0.8, 0.8));
        let start_mm = stretch_mm * f64::from(sheet) / 11.0 - 4.0;
        for row in 0..15 {
            for column in 0..26 {
                let (s, y) = (f64::from(row) * 0.27 - 2.0, f64::from(column) * 0.31 + start_mm);
                points.push(SurfacePoint {
                    position_mm: [x + s * libm::sin(tilt), y, z + s * libm::cos(tilt)],
                    normal: [-libm::cos(tilt), 0.0, libm::sin(tilt)],
                    area_mm2: 0.084,
                    sides: Sides::Both,
                });
            }
        }
    }
    points
}

/// A 20 mm plate with these points.
pub fn scene(points: Vec<SurfacePoint>) -> Scene {
    Scene {
        solid: Solid::STEEL,
        thickness_mm: Some(20.0),
        surface: Surface::from_points(points),
        upper_not_flat: vec![],
        lower_not_flat: vec![],
        grain: None,
        longitudinal: false,
    }
}
