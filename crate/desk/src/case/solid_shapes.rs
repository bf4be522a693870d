//! Reflectors of the cases in three dimensions.

use core::f64::consts::TAU;

use acoustics::scene::{Cavity, CavityForm, RimPoint, Sides, SurfacePoint};

use super::shapes::Reflectors;

const STEP_MM: f64 = 0.12;

/// The reflector named by `kind`, centred on the axis of a beam of `angle` at a sound path. `None` for an unknown kind.
pub fn reflectors(kind: &str, angle: f64, path_mm: f64) -> Option<Reflectors> {
    let (s, c) = (libm::sin(angle), libm::cos(angle));
    let centre = [path_mm * s, 0.0, path_mm * c];
    let mut words = kind.split('_');
    let shape = words.next()?;
    let size = words.next()?;
    let tilt: f64 = match words.next() {
        Some(word) => word.strip_prefix("tilt")?.parse().ok()?,
        None => 0.0,
    };
    // The normal looks back along the beam, turned by the tilt in the beam plane.
    let turned = angle + tilt.to_radians();
    let normal = [-libm::sin(turned), 0.0, -libm::cos(turned)];
    let along = [libm::cos(turned), 0.0, -libm::sin(turned)];
    match shape {
        "SDH" => Some(hole(centre, 0.5 * size.strip_prefix('D')?.parse::<f64>().ok()?)),
        "SPHERE" => Some(sphere(centre, 0.5 * size.strip_prefix('D')?.parse::<f64>().ok()?)),
        "DISC" => Some(disc(centre, normal, along, 0.5 * size.strip_prefix('D')?.parse::<f64>().ok()?)),
        "STRIP" => {
            let (height, width) = size.split_once('x')?;
            Some(strip(centre, normal, along, height.parse().ok()?, width.parse().ok()?))
        }
        _ => None,
    }
}

/// A round hole along y, longer than the beam is wide.
pub fn hole([x, _, z]: [f64; 3], radius: f64) -> Reflectors {
    const PIECES: u32 = 80;
    let step = 15.8 / f64::from(PIECES);
    let piece = |row: u32| Cavity {
        position_mm: [x, step * (f64::from(row) + 0.5) - 7.9, z],
        diameter_mm: 2.0 * radius,
        form: CavityForm::Bore { direction: [0.0, 1.0, 0.0], length_mm: step },
    };
    Reflectors { cavities: (0..PIECES).map(piece).collect(), ..Reflectors::default() }
}

fn sphere(position_mm: [f64; 3], radius: f64) -> Reflectors {
    let ball = Cavity { position_mm, diameter_mm: 2.0 * radius, form: CavityForm::Ball };
    Reflectors { cavities: vec![ball], ..Reflectors::default() }
}

fn faces(points: impl Iterator<Item = SurfacePoint>) -> Reflectors {
    Reflectors { points: points.collect(), ..Reflectors::default() }
}

fn offset(centre: [f64; 3], along: [f64; 3], s: f64, y: f64) -> [f64; 3] {
    [centre[0] + s * along[0], centre[1] + y, centre[2] + s * along[2]]
}

fn disc(centre: [f64; 3], normal: [f64; 3], along: [f64; 3], radius: f64) -> Reflectors {
    let cells = libm::ceil(2.0 * radius / STEP_MM) as i32;
    let step = 2.0 * radius / f64::from(cells);
    let places = (0..cells * cells).filter_map(|k| {
        let place = |i: i32| step * (f64::from(i) + 0.5) - radius;
        let (s, y) = (place(k % cells), place(k / cells));
        (s * s + y * y <= radius * radius).then_some((s, y))
    });
    let places: Vec<(f64, f64)> = places.collect();
    let area_mm2 = 0.5 * TAU * radius * radius / places.len() as f64;
    let points = places.into_iter().map(|(s, y)| SurfacePoint {
        position_mm: offset(centre, along, s, y),
        normal,
        area_mm2,
        sides: Sides::Both,
    });
    let pieces = libm::ceil(TAU * radius / STEP_MM) as i32;
    let rims = (0..pieces).map(|k| {
        let angle = TAU * f64::from(k) / f64::from(pieces);
        let (c, s) = (libm::cos(angle), libm::sin(angle));
        RimPoint {
            position_mm: offset(centre, along, radius * c, radius * s),
            inward: [-c * along[0], -s, -c * along[2]],
            normal,
            length_mm: TAU * radius / f64::from(pieces),
        }
    });
    Reflectors { rims: rims.collect(), ..faces(points) }
}

fn strip(centre: [f64; 3], normal: [f64; 3], along: [f64; 3], height: f64, width: f64) -> Reflectors {
    let (rows, columns) = (libm::ceil(height / STEP_MM) as i32, libm::ceil(width / STEP_MM) as i32);
    let (ds, dy) = (height / f64::from(rows), width / f64::from(columns));
    let y_of = move |column: i32| dy * (f64::from(column) + 0.5) - 0.5 * width;
    let points = (0..rows * columns).map(|k| SurfacePoint {
        position_mm: offset(centre, along, ds * (f64::from(k % rows) + 0.5) - 0.5 * height, y_of(k / rows)),
        normal,
        area_mm2: ds * dy,
        sides: Sides::Both,
    });
    let rims = (0..columns).flat_map(|column| {
        [1.0, -1.0].map(|sign: f64| RimPoint {
            position_mm: offset(centre, along, -0.5 * sign * height, y_of(column)),
            inward: along.map(|c| sign * c),
            normal,
            length_mm: dy,
        })
    });
    Reflectors { rims: rims.collect(), ..faces(points) }
}
