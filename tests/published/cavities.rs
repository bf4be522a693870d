use std::f64::consts::{PI, TAU};

use acoustics::cavity::{ball, cylinder};
use acoustics::complex::Complex;
use acoustics::half_plane::HalfPlane;
use acoustics::kernel::ShearWave;
use acoustics::material::Solid;

use crate::{column, table, within};

const STEEL: Solid = Solid::STEEL;

fn kt_a(diameter_mm: f64, frequency_mhz: f64) -> f64 {
    TAU * frequency_mhz / STEEL.shear_mm_per_us * 0.5 * diameter_mm
}

/// Shear wave straight back from a hole over the mirror's √(a/2).
fn hole(kt_a: f64) -> Complex {
    let orders = cylinder::under_shear(STEEL.speed_ratio(), kt_a);
    cylinder::shear_amplitude(&orders, kt_a, PI) * std::f64::consts::SQRT_2
}

/// Peak of a pulse with a Gaussian spectrum of 60 % bandwidth from a hole, over the mirror's.
fn hole_under_a_pulse(diameter_mm: f64, centre_mhz: f64) -> f64 {
    let sigma = 0.3 * centre_mhz / (2.0 * 2.0_f64.ln()).sqrt();
    let band: Vec<f64> = (-60..=60).map(|k| centre_mhz + 4.0 * sigma * f64::from(k) / 60.0).collect();
    let weight = |f: f64| (-0.5 * ((f - centre_mhz) / sigma).powi(2)).exp();
    let spectrum: Vec<Complex> =
        band.iter().filter(|&&f| f > 0.0).map(|&f| hole(kt_a(diameter_mm, f)) * weight(f)).collect();
    let band: Vec<f64> = band.into_iter().filter(|&f| f > 0.0).collect();
    let whole: f64 = band.iter().map(|&f| weight(f)).sum();
    let delay = diameter_mm / STEEL.shear_mm_per_us;
    (-200..=200)
        .map(|step| {
            let time = -delay + 0.002 * f64::from(step);
            band.iter()
                .zip(&spectrum)
                .fold(Complex::ZERO, |sum, (&f, &value)| sum + value * Complex::phasor(-TAU * f * time))
                .abs()
                / whole
        })
        .fold(0.0, f64::max)
}

/// C27 and C28: |f| straight back from holes of 3 and 1.5 mm over √(a/2). Separation of variables with SciPy's Bessel
/// functions, optical theorem to 1e-8. Computed.
#[test]
fn c27_c28_shear_wave_back_from_a_hole() {
    for (diameter, values) in
        [(3.0, [0.6478, 0.8735, 1.0588, 0.7596]), (1.5, [1.0612, 0.6478, 1.0547, 1.2022])]
    {
        for (frequency, expected) in [2.0, 4.0, 5.0, 7.5].into_iter().zip(values) {
            let ratio = hole(kt_a(diameter, frequency)).abs();
            assert!(
                (ratio / expected - 1.0).abs() < within("C27"),
                "{diameter} mm, {frequency} MHz: {ratio}"
            );
        }
    }
}

/// The tables behind them, with the phases and the longitudinal column. Computed, as above.
#[test]
fn table_of_holes() {
    let rows = table("sdh_backscatter_2d.csv");
    let (ka, diameter) = (column(&rows, "kTa"), column(&rows, "d_mm"));
    let (re, im) = (column(&rows, "fSV_re"), column(&rows, "fSV_im"));
    let longitudinal = column(&rows, "fP_ratio");
    for row in 0..ka.len() {
        let f = hole(ka[row]) * (0.25 * diameter[row]).sqrt();
        let expected = Complex::new(re[row], im[row]);
        assert!((f - expected).abs() < 1e-3 * expected.abs(), "{} {f:?} {expected:?}", ka[row]);
        let kappa = STEEL.speed_ratio();
        let orders = cylinder::under_longitudinal(kappa, ka[row]);
        let p =
            cylinder::longitudinal_amplitude(&orders, kappa * ka[row], PI).abs() * std::f64::consts::SQRT_2;
        assert!((p / longitudinal[row] - 1.0).abs() < 1e-3, "{} {p} {}", ka[row], longitudinal[row]);
    }
    let rows = table("sdh_ratio_vs_kTa.csv");
    let (ka, ratio) = (column(&rows, "kTa"), column(&rows, "|f_SV|/sqrt(a/2)"));
    for row in 0..ka.len() {
        let got = hole(ka[row]).abs();
        assert!((got / ratio[row] - 1.0).abs() < 1e-3, "{} {got} {}", ka[row], ratio[row]);
    }
}

/// C29: peak of a 60 % pulse from a hole over the mirror's. Same series over a Gaussian band. Computed.
#[test]
fn c29_pulse_back_from_a_hole() {
    let rows = table("sdh_backscatter_pulse.csv");
    let (diameter, frequency) = (column(&rows, "d_mm"), column(&rows, "f_MHz"));
    let ratio = column(&rows, "peak_ratio_60pct");
    for row in 0..ratio.len() {
        let got = hole_under_a_pulse(diameter[row], frequency[row]);
        let (d, f) = (diameter[row], frequency[row]);
        assert!((got / ratio[row] - 1.0).abs() < within("C29"), "{d} mm, {f} MHz: {got} {}", ratio[row]);
    }
}

/// C30: longitudinal wave straight back from a spherical void at k_L a = 40 over a/2, and the table of both waves.
/// Separation of variables, unitary per order to 1e-15. Computed. (The list it comes from says k_T a = 40, where the same
/// formula gives 1.0179.)
#[test]
fn c30_spherical_void() {
    let kappa = STEEL.speed_ratio();
    let longitudinal = |ka: f64| 2.0 * ball::longitudinal_echo(&ball::under_any(kappa, ka), kappa * ka).abs();
    let at_40 = longitudinal(40.0 / kappa);
    assert!((at_40 / 1.0024 - 1.0).abs() < within("C30"), "{at_40}");
    let rows = table("sphere_backscatter.csv");
    let (ka, s) = (column(&rows, "kTa"), column(&rows, "fS_ratio_to_a_over_2"));
    let p = column(&rows, "fP_ratio");
    for row in 0..ka.len() {
        let shear = 2.0 * ball::shear_amplitude(&ball::under_any(kappa, ka[row]), ka[row], PI).abs();
        assert!((shear / s[row] - 1.0).abs() < 2e-3, "{} {shear} {}", ka[row], s[row]);
        let p_got = longitudinal(ka[row]);
        assert!((p_got / p[row] - 1.0).abs() < 2e-3, "{} {p_got} {}", ka[row], p[row]);
    }
}

/// C33: the upper rim of an upright crack below a 3 mm hole at 5 MHz, dB: ratio of two-dimensional amplitudes. Computed;
/// the table takes the mirror's height for the hole's.
#[test]
fn c33_upper_rim_below_a_hole() {
    let half_plane = HalfPlane::new(&STEEL);
    let rows = table("tip_vs_sdh_corner.csv");
    let (frequency, beam) = (column(&rows, "f_MHz"), column(&rows, "beam"));
    let (three, half) = (column(&rows, "upper_re_3mmSDH_dB"), column(&rows, "upper_re_1p5mmSDH_dB"));
    let mut compared = 0;
    for row in 0..beam.len() {
        if (frequency[row] - 5.0).abs() > 1e-9 {
            continue;
        }
        let angle = beam[row].to_radians();
        let wave = ShearWave::new(angle.sin() as f32, angle.cos() as f32, 1.0);
        let wavelength = STEEL.shear_mm_per_us / frequency[row];
        let rim = half_plane.diffraction(wave, wave, [0.0, 1.0], [1.0, 0.0]) * wavelength.sqrt();
        for (diameter, expected) in [(3.0, three[row]), (1.5, half[row])] {
            let height = hole_under_a_pulse(diameter, frequency[row]) * (0.25_f64 * diameter).sqrt();
            let db = 20.0 * (rim / height).log10();
            assert!(
                (db - expected).abs() < within("C33"),
                "{} degrees, {diameter} mm: {db} {expected}",
                beam[row]
            );
            compared += 1;
        }
    }
    assert!(compared >= 12, "{compared}");
    for (beam, expected) in [(45.0, -28.5), (60.0, -23.7), (70.0, -18.2)] {
        let at = beam_row(&frequency, column(&rows, "beam").as_slice(), beam);
        assert!((three[at] - expected).abs() < 0.06, "{beam}: {}", three[at]);
    }
}

/// Row of a beam at 5 MHz.
fn beam_row(frequency: &[f64], beams: &[f64], beam: f64) -> usize {
    (0..beams.len())
        .find(|&row| (frequency[row] - 5.0).abs() < 1e-9 && (beams[row] - beam).abs() < 1e-9)
        .unwrap()
}
