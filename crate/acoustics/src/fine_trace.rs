//! The echo trace between the samples: the complex baseband at four times its rate.

use crate::phase;

/// Samples per sample.
pub const FINE: usize = 4;
const TAPS: usize = 8;

/// Windowed-sinc filters for the three places between two samples.
#[derive(Debug)]
pub struct FineTrace {
    filters: [[f32; TAPS]; FINE],
}

impl Default for FineTrace {
    /// Makes the filters: sinc under a raised-cosine window over eight samples.
    fn default() -> Self {
        let mut filters = [[0.0; TAPS]; FINE];
        for (phase, filter) in filters.iter_mut().enumerate() {
            let fraction = phase as f64 / FINE as f64;
            let raw: Vec<f64> = (0..TAPS)
                .map(|tap| {
                    let x = tap as f64 - 3.0 - fraction;
                    let angle = core::f64::consts::PI * x;
                    let sinc = if x.abs() < 1e-9 { 1.0 } else { libm::sin(angle) / angle };
                    sinc * (0.5 + 0.5 * libm::cos(angle / 4.5))
                })
                .collect();
            let sum: f64 = raw.iter().sum();
            for (tap, value) in filter.iter_mut().zip(raw) {
                *tap = (value / sum) as f32;
            }
        }
        Self { filters }
    }
}

impl FineTrace {
    /// Magnitude of the baseband at `index / 4` samples; zero near the ends.
    pub fn magnitude(&self, re: &[f32], im: &[f32], index: usize) -> f32 {
        let [re, im] = self.value(re, im, index);
        (re * re + im * im).sqrt()
    }

    /// The wave itself at `index / 4` samples: the baseband back on its carrier, which has run this many cycles since
    /// firing (Re b exp(-iωt)); zero near the ends.
    pub fn wave(&self, re: &[f32], im: &[f32], index: usize, carrier_cycles: f64) -> f32 {
        let [re, im] = self.value(re, im, index);
        let [cos, sin] = phase::phasor(carrier_cycles as f32);
        re * cos + im * sin
    }

    fn value(&self, re: &[f32], im: &[f32], index: usize) -> [f32; 2] {
        let sample = index / FINE;
        if sample < 3 || sample + 5 > re.len() {
            return [0.0; 2];
        }
        let filter = &self.filters[index % FINE];
        let window = sample - 3..sample + 5;
        let dot = |values: &[f32]| values.iter().zip(filter).fold(0.0, |sum, (v, tap)| sum + v * tap);
        [dot(&re[window.clone()]), dot(&im[window])]
    }
}

#[cfg(test)]
mod tests {
    use super::{FINE, FineTrace};

    /// The wave swings once a cycle of the carrier under its envelope, and half a cycle later stands upside down.
    #[test]
    fn the_wave_fills_its_envelope() {
        let fine = FineTrace::default();
        let (re, im) = (vec![0.6; 40], vec![0.8; 40]);
        let wave = |cycles: f64| fine.wave(&re, &im, 20 * FINE, cycles);
        let highest = (0..100).map(|k| wave(f64::from(k) / 100.0)).fold(0.0, f32::max);
        assert!((highest - fine.magnitude(&re, &im, 20 * FINE)).abs() < 2e-3);
        assert!((wave(7.2) + wave(7.7)).abs() < 1e-4);
    }

    /// A pulse as wide as the probe's keeps its height between the samples.
    #[test]
    fn keeps_the_peak_between_samples() {
        let fine = FineTrace::default();
        for shift in [0.0_f64, 0.25, 0.5, 0.75] {
            let pulse = |t: f64| libm::exp(-0.5 * t * t / (1.25 * 1.25)) as f32;
            let re: Vec<f32> = (0..40).map(|n| pulse(f64::from(n) - 20.0 - shift)).collect();
            let im = vec![0.0; 40];
            let peak = fine.magnitude(&re, &im, 20 * FINE + (shift * FINE as f64) as usize);
            assert!((peak - 1.0).abs() < 0.01, "{shift}: {peak}");
        }
    }
}
