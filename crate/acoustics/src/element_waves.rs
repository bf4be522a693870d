//! What each element sends to a point across the band, four elements at once.

use core::f64::consts::TAU;

use crate::aperture::Aperture;
use crate::field::ElementPaths;
use crate::lanes::{f32x4, wide_scale, wide_times};
use crate::phase::{LARGEST_DECAY, decay, phasor};

/// Elements handled at once.
pub const FOUR: usize = 4;

/// Smallest argument of sin x / x, at the lowest frequency: the ratio is 1 there, and at ten times the frequency to 2e-5.
const SMALLEST_ARGUMENT: f64 = 1e-3;

/// Waves at evenly spaced frequencies, `[frequency][re, im][element]`, of whole fours of elements; what stands beyond the last
/// element means nothing.
pub fn element_waves(paths: &ElementPaths, aperture: &Aperture, band: &[f64]) -> Vec<f32> {
    let fours = paths.elements.len().div_ceil(FOUR);
    let (start, step) = (band[0], band[1] - band[0]);
    let mut waves = vec![0.0; band.len() * 2 * FOUR * fours];
    for (four, elements) in paths.elements.chunks(FOUR).enumerate() {
        // Travel time, loss and directivity are geometric series and a sine over the evenly spaced frequencies.
        // Where there is no element any number will do but 0 in sin x / x.
        let mut values = [[1e-3; FOUR]; 8];
        for (lane, element) in elements.iter().enumerate() {
            let index = four * FOUR + lane;
            let damping = paths.damping_per_mhz(index, aperture);
            let strip = paths.strip_phase_per_mhz(index, aperture);
            let strip =
                if strip.abs() * start < SMALLEST_ARGUMENT { SMALLEST_ARGUMENT / start } else { strip };
            let exponent = |frequency: f64| (frequency * damping).min(LARGEST_DECAY);
            let each = [
                element.amplitude.re,
                element.amplitude.im,
                start * element.lag_us,
                step * element.lag_us,
                exponent(start),
                exponent(step),
                start * strip / TAU,
                step * strip / TAU,
            ];
            for (values, value) in values.iter_mut().zip(each) {
                values[lane] = value as f32;
            }
        }
        let [re, im, lag, more_lag, loss, more_loss, strip, more_strip] = values.map(f32x4::new);
        let mut wave = wide_scale(&wide_times(&[re, im], &phasor(lag)), decay(loss));
        let advance = wide_scale(&phasor(more_lag), decay(more_loss));
        let (mut sine, turn) = (phasor(strip), phasor(more_strip));
        let (mut x, more_x) = (strip * TAU as f32, more_strip * TAU as f32);
        for waves in waves.as_chunks_mut::<FOUR>().0.chunks_exact_mut(2 * fours) {
            [waves[four], waves[fours + four]] = wide_scale(&wave, sine[1] / x).map(f32x4::to_array);
            wave = wide_times(&wave, &advance);
            sine = wide_times(&sine, &turn);
            x += more_x;
        }
    }
    waves
}

#[cfg(test)]
mod tests {
    use core::f64::consts::TAU;

    use super::{FOUR, element_waves};
    use crate::aperture::{Aperture, Coupling};
    use crate::complex::Complex;
    use crate::field::Elements;
    use crate::material::{Solid, WedgeMaterial};

    /// The same as one element and one frequency after the other, in double precision; also of elements that look straight at the
    /// point, whose directivity is 1, of a number that is not divisible by four, of a wide band, and behind a wedge that lets next to
    /// nothing through.
    #[test]
    fn follow_each_element() {
        follow(5.0, 0.4, 0.5, 5.0);
        follow(1.0, 0.3, 0.15, 5.0);
        follow(5.0, 0.4, 3.0, 60.0);
    }

    fn follow(frequency_mhz: f64, step_mhz: f64, loss_db_per_mm: f64, first_height_mm: f64) {
        let aperture = Aperture {
            coupling: Coupling::Wedge(WedgeMaterial { loss_db_per_mm, ..WedgeMaterial::POLYSTYRENE }),
            wedge_angle: 36.0_f64.to_radians(),
            first_height_mm,
            pitch_mm: 0.5,
            element_width_mm: 0.4,
            elevation_mm: Some(10.0),
            first: 3,
            count: 22,
            frequency_mhz,
            bandwidth_percent: 60.0,
        };
        let band: Vec<f64> =
            (0..15).map(|m| 0.3_f64.max(frequency_mhz - 2.0) + step_mhz * f64::from(m)).collect();
        let elements = Elements::new(&aperture, &Solid::STEEL);
        for (along, depth) in [(20.0, 3.0), (30.0, 25.0), (50.0, 25.0), (90.0, 60.0)] {
            let paths = elements.paths(along, depth);
            let waves = element_waves(&paths, &aperture, &band);
            let stride = paths.elements.len().next_multiple_of(FOUR);
            for (m, &frequency) in band.iter().enumerate() {
                let wave = |i: usize| paths.amplitude(i, &aperture, frequency);
                let loudest = (0..paths.elements.len()).map(|i| wave(i).abs()).fold(0.0, f64::max);
                for (i, path) in paths.elements.iter().enumerate() {
                    let exact = wave(i) * Complex::phasor(TAU * frequency * path.lag_us);
                    let [re, im] = [0, 1].map(|part| f64::from(waves[(2 * m + part) * stride + i]));
                    let error = (Complex::new(re, im) - exact).abs() / loudest;
                    assert!(error < 2e-4, "element {i} at {frequency} MHz: {error:e}");
                }
            }
        }
    }
}
