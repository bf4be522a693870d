//! Times frames of twelve sheets natively and writes one JSON object with the times and with what was timed (elements,
//! delays, points), so that another program can be put to the same task in the same run: see tests/bench/pymust.py.

#[path = "../benches/frame/twelve_sheets.rs"]
mod twelve_sheets;

use std::time::Instant;

use acoustics::aperture::{Aperture, Coupling};
use acoustics::engine::{FrameEngine, GrainDose};
use acoustics::grain::GrainField;
use acoustics::material::Solid;
use acoustics::placement::Placement;
use acoustics::scene::Scene;
use twelve_sheets::{RANGE_MM, aperture, laws, points, scene};

/// Frames that count, and those before them.
const FRAMES: u32 = 300;
const WARM_UP: u32 = 30;

/// What was measured, ms.
struct Times {
    set_up_ms: f64,
    median_ms: f64,
    /// A tenth of the frames are faster: hardly disturbed by other work on the machine.
    tenth_ms: f64,
}

fn time(aperture: &Aperture, scene: &Scene, dose: Option<GrainDose>) -> Times {
    let began = Instant::now();
    let mut engine = FrameEngine::new(&Solid::STEEL, aperture, laws(aperture), RANGE_MM);
    let set_up_ms = 1e3 * began.elapsed().as_secs_f64();
    let mut times: Vec<f64> = (0..WARM_UP + FRAMES)
        .map(|k| {
            let centre_mm = [f64::from(k % 50) * 0.1, 0.0];
            let stand = Placement { centre_mm, forward: [1.0, 0.0], lower_face_mm: None };
            let began = Instant::now();
            std::hint::black_box(engine.frame(scene, &stand, dose).0[1000]);
            1e3 * began.elapsed().as_secs_f64()
        })
        .skip(WARM_UP as usize)
        .collect();
    let loudest = engine.baseband().0.iter().fold(0.0_f32, |high, value| high.max(value.abs()));
    assert!(loudest > 0.0, "nothing was heard");
    times.sort_by(f64::total_cmp);
    Times { set_up_ms, median_ms: times[times.len() / 2], tenth_ms: times[times.len() / 10] }
}

fn main() {
    let wedge = aperture(32);
    let bare = Aperture { coupling: Coupling::Bare, wedge_angle: 0.0, first_height_mm: 0.0, ..wedge.clone() };
    let points = points(0.0);
    let field = GrainField::new(1);
    let dose = GrainDose { field: &field, scale: 1.0 };
    let plate = scene(points.clone());
    let half_space = Scene { thickness_mm: None, ..plate.clone() };
    let whole = time(&wedge, &plate, Some(dose));
    let direct = time(&bare, &half_space, None);
    // The same delays as the bare array fires with.
    let delays: Vec<String> = laws(&bare).iter().map(|law| format!("{:?}", law.firing_delays_us())).collect();
    let places: Vec<String> = points.iter().map(|point| format!("{:?}", point.position_mm)).collect();
    println!(
        "{{\"whole_ms\": [{}, {}], \"direct_ms\": [{}, {}], \"set_up_ms\": {}, \
         \"pitch_mm\": {}, \"element_width_mm\": {}, \"elevation_mm\": {}, \"frequency_mhz\": {}, \
         \"bandwidth_percent\": {}, \"speed_mm_per_us\": {}, \"delays_us\": [{}], \"points_mm\": [{}]}}",
        whole.tenth_ms,
        whole.median_ms,
        direct.tenth_ms,
        direct.median_ms,
        whole.set_up_ms,
        bare.pitch_mm,
        bare.element_width_mm,
        bare.elevation_mm.unwrap_or(0.0),
        bare.frequency_mhz,
        bare.bandwidth_percent,
        Solid::STEEL.shear_mm_per_us,
        delays.join(", "),
        places.join(", ")
    );
}
