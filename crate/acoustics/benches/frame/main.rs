//! Set-up and frame times: 61 beams from 40 to 70 degrees, 32 elements, three legs, 12 sheets in the beam.

use acoustics::aperture::{Aperture, Coupling};
use acoustics::engine::{FrameEngine, GrainDose};
use acoustics::grain::GrainField;
use acoustics::law::DelayLaw;
use acoustics::material::{Solid, WedgeMaterial};
use acoustics::placement::Placement;
use acoustics::scene::{Scene, Sides, Surface, SurfacePoint};
use acoustics::seed::Stream;
use criterion::{Criterion, criterion_group, criterion_main};

fn aperture(count: u32) -> Aperture {
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

fn laws(aperture: &Aperture) -> Vec<DelayLaw> {
    (0..61)
        .filter_map(|i| {
            DelayLaw::new(aperture, &Solid::STEEL, (40.0 + 0.5 * f64::from(i)).to_radians(), Some(50.0)).ok()
        })
        .collect()
}

/// Twelve 4 × 8 mm sheets at random places and tilts in the plate, all within the beam: about 4,600 points.
fn scene() -> Scene {
    let mut stream = Stream::new(12, "bench");
    let mut points = Vec::new();
    for _ in 0..12 {
        let (x, z, tilt) = (stream.between(25.0, 80.0), stream.between(4.0, 16.0), stream.between(-0.8, 0.8));
        for row in 0..15 {
            for column in 0..26 {
                let (s, y) = (f64::from(row) * 0.27 - 2.0, f64::from(column) * 0.31 - 4.0);
                points.push(SurfacePoint {
                    position_mm: [x + s * libm::sin(tilt), y, z + s * libm::cos(tilt)],
                    normal: [-libm::cos(tilt), 0.0, libm::sin(tilt)],
                    area_mm2: 0.084,
                    sides: Sides::Both,
                });
            }
        }
    }
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

fn bench(c: &mut Criterion) {
    let (scene, field) = (scene(), GrainField::new(1));
    let mut group = c.benchmark_group("frame");
    for count in [16, 32, 64] {
        let aperture = aperture(count);
        let laws = laws(&aperture);
        let mut engine = FrameEngine::new(&Solid::STEEL, &aperture, laws.clone(), 110.0);
        let mut step = 0.0;
        let mut stand = || {
            step = (step + 0.1) % 5.0;
            Placement { centre_mm: [step, 0.0], forward: [1.0, 0.0], lower_face_mm: None }
        };
        group.bench_function(format!("{count} elements, echoes only"), |b| {
            b.iter(|| engine.frame(&scene, &stand(), None).0[1000]);
        });
        let dose = GrainDose { field: &field, scale: 1.0 };
        group.bench_function(format!("{count} elements, with grain"), |b| {
            b.iter(|| engine.frame(&scene, &stand(), Some(dose)).0[1000]);
        });
        println!("points seen: {}", engine.points_seen());
    }
    group.finish();
    let mut group = c.benchmark_group("set-up");
    group.sample_size(10);
    let aperture = aperture(32);
    group.bench_function("32 elements, 61 beams", |b| {
        b.iter(|| FrameEngine::new(&Solid::STEEL, &aperture, laws(&aperture), 110.0).samples());
    });
    group.bench_function("grain field", |b| b.iter(|| GrainField::new(3)));
    group.finish();
}

criterion_group!(benches, bench);
criterion_main!(benches);
