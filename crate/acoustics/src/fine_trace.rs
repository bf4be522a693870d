//! The echo trace between the samples: the complex baseband at four times its rate.

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
        let sample = index / FINE;
        if sample < 3 || sample + 5 > re.len() {
            return 0.0;
        }
        let filter = &self.filters[index % FINE];
        let window = sample - 3..sample + 5;
        let dot = |values: &[f32]| values.iter().zip(filter).fold(0.0, |sum, (v, tap)| sum + v * tap);
        let (re, im) = (dot(&re[window.clone()]), dot(&im[window]));
        (re * re + im * im).sqrt()
    }
}

#[cfg(test)]
mod tests {
    use super::{FINE, FineTrace};

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
