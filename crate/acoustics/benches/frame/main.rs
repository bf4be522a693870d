//! Set-up, frame and recorded scan: 61 beams from 40 to 70 degrees, three legs, 16, 32 and 64 elements, twelve sheets in
//! the plate.

mod twelve_sheets;

use acoustics::engine::{FrameEngine, GrainDose};
use acoustics::grain::GrainField;
use acoustics::law::DelayLaw;
use acoustics::material::Solid;
use acoustics::placement::Placement;
use criterion::{Criterion, criterion_group, criterion_main};
use twelve_sheets::{RANGE_MM, aperture, laws, points, scene};

const ELEMENTS: [u32; 3] = [16, 32, 64];

/// Frames of a scan over 50 mm of weld, one a millimetre.
const SCAN_FRAMES: u32 = 51;

fn engine(count: u32) -> FrameEngine {
    let aperture = aperture(count);
    FrameEngine::new(&Solid::STEEL, &aperture, laws(&aperture), RANGE_MM)
}

fn stand(x_mm: f64, y_mm: f64) -> Placement {
    Placement { centre_mm: [x_mm, y_mm], forward: [1.0, 0.0], lower_face_mm: None }
}

/// All sheets in the beam.
fn frame(c: &mut Criterion) {
    let (scene, field) = (scene(points(0.0)), GrainField::new(1));
    let mut group = c.benchmark_group("frame");
    for count in ELEMENTS {
        let mut engine = engine(count);
        let mut step = 0.0;
        let mut next = || {
            step = (step + 0.1) % 5.0;
            stand(step, 0.0)
        };
        group.bench_function(format!("{count} elements, echoes only"), |b| {
            b.iter(|| engine.frame(&scene, &next(), None).0[1000]);
        });
        let dose = GrainDose { field: &field, scale: 1.0 };
        group.bench_function(format!("{count} elements, with grain"), |b| {
            b.iter(|| engine.frame(&scene, &next(), Some(dose)).0[1000]);
        });
        println!("points seen: {}", engine.points_seen());
    }
    group.finish();
}

/// The sheets spread along the weld; all frames of the scan, with grain.
fn recorded_scan(c: &mut Criterion) {
    let (scene, field) = (scene(points(50.0)), GrainField::new(1));
    let dose = GrainDose { field: &field, scale: 1.0 };
    let mut group = c.benchmark_group("recorded scan");
    group.sample_size(10);
    for count in ELEMENTS {
        let mut engine = engine(count);
        group.bench_function(format!("{count} elements, 50 mm at 1 mm"), |b| {
            b.iter(|| {
                (0..SCAN_FRAMES).fold(0.0, |sum, k| {
                    sum + engine.frame(&scene, &stand(0.0, f64::from(k)), Some(dose)).0[1000]
                })
            });
        });
    }
    group.finish();
}

fn set_up(c: &mut Criterion) {
    let mut group = c.benchmark_group("set-up");
    group.sample_size(10);
    for count in ELEMENTS {
        group.bench_function(format!("{count} elements, 61 beams"), |b| b.iter(|| engine(count).samples()));
        let aperture = aperture(count);
        group.bench_function(format!("{count} elements, delay laws alone"), |b| {
            b.iter(|| laws(&aperture).iter().map(DelayLaw::firing_delays_us).map(|d| d.len()).sum::<usize>());
        });
    }
    group.bench_function("grain field", |b| b.iter(|| GrainField::new(3)));
    group.finish();
}

criterion_group!(benches, frame, recorded_scan, set_up);
criterion_main!(benches);
