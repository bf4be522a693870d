//! What the receiver makes of a hole's echo: the wave, its halves, its envelope.
#![allow(clippy::unwrap_used, reason = "a test")]

use acoustics::material::Solid;
use acoustics::scene::{Cavity, CavityForm, Scene, Surface};
use instrument::bench::{Instrument, Trace};
use instrument::pose::{Face, Pose, Side};
use instrument::receiver::{Receiver, Rectification};

mod yard;

/// The 55° beam of the yard's sector.
const BEAM: usize = 30;

/// Traces of the beam over a hole centred on it, its front this far away, one for each way to show it.
fn traces<const N: usize>(path_mm: f64, ways: [Receiver; N]) -> [Trace; N] {
    let angle = 55_f64.to_radians();
    let centre = path_mm + 1.5;
    let procedure = yard::procedure();
    let depth = centre * libm::cos(angle);
    let pieces = (0..75).map(|row| Cavity {
        position_mm: [0.0, 0.4 * f64::from(row) - 14.8, depth],
        diameter_mm: 3.0,
        form: CavityForm::Bore { direction: [0.0, 1.0, 0.0], length_mm: 0.4 },
    });
    let scene = Scene {
        solid: Solid::STEEL,
        thickness_mm: Some(200.0),
        surface: Surface::default().with_cavities(pieces.collect()),
        upper_not_flat: vec![],
        lower_not_flat: vec![],
        grain: None,
        longitudinal: false,
    };
    let mut bench = Instrument::new(scene, &procedure).unwrap();
    assert!((bench.angles_deg()[BEAM] - 55.0).abs() < 1e-9);
    let index_offset_mm = bench.exit_forward_mm(BEAM) + centre * libm::sin(angle);
    bench.scan(&Pose { face: Face::Upper, side: Side::A, index_offset_mm, y_mm: 0.0, skew_deg: 0.0 }, 0);
    ways.map(|way| {
        bench.set_receiver(way);
        bench.trace(BEAM)
    })
}

fn way(rectification: Rectification) -> Receiver {
    Receiver { rectification, smoothing: false, averages: 1 }
}

/// Place of the highest value, mm, by a parabola, and its height.
fn highest(trace: &Trace) -> (f64, f64) {
    let (at, _) = trace.percent.iter().enumerate().max_by(|a, b| a.1.total_cmp(b.1)).unwrap();
    let [a, b, c] = [at - 1, at, at + 1].map(|k| f64::from(trace.percent[k]));
    let shift = 0.5 * (a - c) / (a - 2.0 * b + c);
    ((at as f64 + shift) * trace.step_mm, b - 0.25 * (a - c) * shift)
}

#[test]
fn halves_make_the_whole_and_the_envelope_goes_over_it() {
    let [whole, positive, negative, wave, smooth] = traces(
        32.0,
        [
            way(Rectification::FullWave),
            way(Rectification::PositiveHalf),
            way(Rectification::NegativeHalf),
            way(Rectification::Unrectified),
            Receiver::default(),
        ],
    );
    for k in 0..whole.percent.len() {
        let (up, down) = (positive.percent[k], negative.percent[k]);
        assert!(up >= 0.0 && down >= 0.0 && (up - down - wave.percent[k]).abs() < 1e-4);
        assert!((up + down - whole.percent[k]).abs() < 1e-4);
        assert!(whole.percent[k] <= smooth.percent[k] + 0.01);
    }
    let ((at, crest), (peak, height)) = (highest(&whole), highest(&smooth));
    // Somewhere within a quarter of a wave of the peak the wave fills its envelope.
    assert!((at - peak).abs() < 0.2, "{at} {peak}");
    assert!(crest > 0.9 * height && crest <= height + 0.5, "{crest} of {height}");
}

/// The wave is fixed to the echo: from a hole a little farther away it comes later, envelope and crests alike. With the
/// carrier turned the wrong way round crests would run against the envelope.
#[test]
fn crests_move_with_the_echo() {
    let place = |path_mm: f64| {
        let [wave, smooth] = traces(path_mm, [way(Rectification::Unrectified), Receiver::default()]);
        highest(&wave).0 - highest(&smooth).0
    };
    let near = place(32.0);
    // Half a wave in the metal is 0.32 mm of sound path: crests lie that far apart.
    let crests_mm = 3.23 / 5.0 / 2.0;
    for step in [0.05, 0.1, 0.15] {
        let moved = (place(32.0 + step) - near) / crests_mm;
        assert!((moved - libm::round(moved)).abs() < 0.13, "{step}: {moved} crests");
    }
}
