//! The two-way pulse: its spectrum, the Hermite terms that follow a spectrum across the band, and the short filters
//! that lay the pulse around a point.

use crate::aperture::Aperture;
use crate::complex::Complex;
use crate::linear;

/// Number of Hermite terms that describe the response of a beam to a point across the band.
pub const TERMS: usize = 3;
/// Taps of the filter that turns spline weights into pulses.
pub const TAPS: usize = 9;
/// Widest steps of the frequencies at which beams are computed, MHz, and half their band in spreads of the pulse: beyond lies less
/// than a thousandth of its energy.
const BAND: (f64, f64) = (0.6, 2.5);
/// The same for apertures so long that delays across them turn the phase by half a turn within 0.6 MHz. Beyond lies a thousandth of
/// the energy of a pulse of 5 MHz and 60 %, that of the thousand configurations of `tests/random_configurations.rs`: closer steps and
/// a wider band tell no more of them, but where a beam has a null.
const DENSE_BAND: (f64, f64) = (0.4, 2.3);
/// Complex samples of the baseband, MHz.
pub const SAMPLING_MHZ: f64 = 10.0;

/// The spectrum that the echo of a point carries: the probe's own two-way Gaussian, which is what a large flat
/// reflector gives back, times (f/f₀)². One factor f belongs to Kirchhoff's integral over the surface, the other to
/// the two passages between a line of elements and a point (each as the square root of frequency). Over a scene that
/// is the same all across, the integral along that direction has already taken one factor back.
#[derive(Clone, Debug, PartialEq)]
pub struct Pulse {
    centre_mhz: f64,
    sigma_mhz: f64,
    scale: f64,
    power: i32,
    /// Frequency of demodulation: the centroid of the point spectrum, MHz.
    pub carrier_mhz: f64,
    /// Standard deviation of the point spectrum, MHz.
    pub spread_mhz: f64,
}

impl Pulse {
    /// The pulse of an aperture.
    pub fn of(aperture: &Aperture) -> Self {
        let power = if aperture.elevation_mm.is_some() { 2 } else { 1 };
        Self::new(aperture.frequency_mhz, aperture.bandwidth_percent, power)
    }

    /// A pulse with a Gaussian two-way spectrum: centre in MHz, -6 dB bandwidth in % of it, and the power of f/f₀ that a
    /// point puts on it.
    pub fn new(centre_mhz: f64, bandwidth_percent: f64, power: i32) -> Self {
        // exp(-x²/2) = 1/2 at x = √(2 ln 2).
        let half = 0.5 * centre_mhz * bandwidth_percent / 100.0;
        let sigma_mhz = half / f64::sqrt(2.0 * libm::log(2.0));
        let mut pulse =
            Self { centre_mhz, sigma_mhz, scale: 1.0, power, carrier_mhz: centre_mhz, spread_mhz: sigma_mhz };
        let step = 0.01;
        let moment = |pulse: &Self, order: u8| {
            (1..=2000).fold(0.0, |sum, i| {
                let f = f64::from(i) * step;
                let x = f - pulse.carrier_mhz;
                sum + step * pulse.spectrum(f) * [1.0, x, x * x][usize::from(order)]
            })
        };
        pulse.scale = 1.0 / moment(&pulse, 0);
        pulse.carrier_mhz += moment(&pulse, 1);
        pulse.spread_mhz = f64::sqrt(moment(&pulse, 2));
        pulse
    }

    /// Centre frequency over the standard deviation of the two-way spectrum.
    pub fn quality(&self) -> f64 {
        self.centre_mhz / self.sigma_mhz
    }

    /// The point spectrum at a frequency in MHz; its integral over frequency is 1, so the envelope peaks at 1.
    pub fn spectrum(&self, frequency_mhz: f64) -> f64 {
        let x = (frequency_mhz - self.centre_mhz) / self.sigma_mhz;
        let ratio = frequency_mhz / self.centre_mhz;
        self.scale * libm::exp(-0.5 * x * x) * (0..self.power).fold(1.0, |product, _| product * ratio)
    }

    /// Hermite terms 1, x, (x² - 1)/√2 with x the distance from the carrier in spreads.
    pub fn terms(&self, frequency_mhz: f64) -> [f64; TERMS] {
        let x = (frequency_mhz - self.carrier_mhz) / self.spread_mhz;
        [1.0, x, (x * x - 1.0) / core::f64::consts::SQRT_2]
    }

    /// Frequencies, MHz, at which beam fields are computed: as far as the pulse has energy to speak of, and so close that three
    /// terms can be told apart; `dense` for long apertures.
    pub fn band(&self, dense: bool) -> Vec<f64> {
        let (widest, spreads) = if dense { DENSE_BAND } else { BAND };
        let step = (0.5 * self.spread_mhz).min(widest);
        let half = libm::round(spreads * self.spread_mhz / step) as i32;
        (-half..=half).map(|i| self.carrier_mhz + f64::from(i) * step).filter(|&f| f > 0.3).collect()
    }

    /// Weights that turn the values of a spectrum at `band` into Hermite coefficients (least squares, weighted with the
    /// pulse's energy): `[term][frequency]`.
    pub fn projection(&self, band: &[f64]) -> Vec<Vec<f64>> {
        let weight: Vec<f64> = band.iter().map(|&f| self.spectrum(f) * self.spectrum(f)).collect();
        let basis: Vec<Vec<Complex>> =
            (0..TERMS).map(|k| band.iter().map(|&f| Complex::new(self.terms(f)[k], 0.0)).collect()).collect();
        let mut projection = vec![vec![0.0; band.len()]; TERMS];
        for m in 0..band.len() {
            let mut unit = vec![Complex::ZERO; band.len()];
            unit[m] = Complex::ONE;
            for (k, c) in linear::fit(&basis, &unit, &weight).0.iter().enumerate() {
                projection[k][m] = c.re;
            }
        }
        projection
    }

    /// The filters `[term][tap]` (tap TAPS/2 is in the middle) that make spline weights at 10 MHz into the pulse times a
    /// Hermite term, and the energy of what is left over relative to the wanted, per term.
    pub fn filters(&self) -> ([[Complex; TAPS]; TERMS], [f64; TERMS]) {
        let offsets: Vec<f64> = (-98..=98).map(|i| f64::from(i) * 0.05).collect();
        let weight = vec![1.0; offsets.len()];
        let turn =
            |v: f64, samples: f64| Complex::phasor(core::f64::consts::TAU * v * samples / SAMPLING_MHZ);
        let basis: Vec<Vec<Complex>> = (0..TAPS)
            .map(|tap| {
                let shift = tap as f64 - (TAPS / 2) as f64;
                offsets.iter().map(|&v| turn(v, shift) * spline_spectrum(v)).collect()
            })
            .collect();
        let (mut taps, mut rest) = ([[Complex::ZERO; TAPS]; TERMS], [0.0; TERMS]);
        for k in 0..TERMS {
            let target: Vec<Complex> = offsets
                .iter()
                .map(|&v| {
                    let f = self.carrier_mhz + v;
                    Complex::new(SAMPLING_MHZ * self.spectrum(f.max(0.0)) * self.terms(f)[k], 0.0)
                })
                .collect();
            let (fitted, residual) = linear::fit(&basis, &target, &weight);
            taps[k].copy_from_slice(&fitted);
            rest[k] = residual;
        }
        (taps, rest)
    }
}

/// Fourier transform of the cubic B-spline on samples of 0.1 µs.
fn spline_spectrum(offset_mhz: f64) -> f64 {
    let x = core::f64::consts::PI * offset_mhz / SAMPLING_MHZ;
    let sinc = if x.abs() < 1e-9 { 1.0 } else { libm::sin(x) / x };
    sinc * sinc * sinc * sinc
}

#[cfg(test)]
mod tests {
    use super::Pulse;

    #[test]
    fn filters_follow_the_pulse() {
        let (_, rest) = Pulse::new(5.0, 60.0, 2).filters();
        let db = rest.map(|r| 10.0 * libm::log10(r));
        assert!(db[0] < -45.0 && db[1] < -35.0 && db[2] < -25.0, "{db:?}");
    }

    #[test]
    fn spectrum_has_the_bandwidth_asked_for() {
        let pulse = Pulse::new(4.0, 50.0, 2);
        let flat = |f: f64| pulse.spectrum(f) * 16.0 / (f * f);
        assert!((flat(3.0) / flat(4.0) - 0.5).abs() < 1e-12 && (flat(5.0) / flat(4.0) - 0.5).abs() < 1e-12);
    }
}
