//! Sizes from echoes: where an echo has dropped, and how far apart two tips are.

/// Places on both sides of the highest echo at which a curve of heights over positions has dropped by `drop_db` from it:
/// the outermost ones, so that a dip in between does not cut a reflector in two. Between samples the heights are
/// interpolated linearly.
///
/// `positions_mm` rise; `heights` are linear (%, not dB), one per position. The length read off a reflector shorter than
/// the beam is wide is the width of the beam.
///
/// `None` when the lists are empty, differ in length or hold no positive height, or when the echo has not dropped at one
/// of their ends: nobody has looked far enough.
pub fn drop_ends_mm(positions_mm: &[f64], heights: &[f64], drop_db: f64) -> Option<[f64; 2]> {
    if positions_mm.len() != heights.len() {
        return None;
    }
    let peak = heights.iter().copied().fold(0.0, f64::max);
    let level = peak * libm::exp10(-drop_db / 20.0);
    let above = |height: &f64| *height >= level && *height > 0.0;
    let (first, last) = (heights.iter().position(above)?, heights.iter().rposition(above)?);
    let crossing = |outside: usize, inside: usize| {
        let share = (level - heights[outside]) / (heights[inside] - heights[outside]);
        positions_mm[outside] + share * (positions_mm[inside] - positions_mm[outside])
    };
    let after = last + 1;
    (first > 0 && after < heights.len()).then(|| [crossing(first - 1, first), crossing(after, last)])
}

/// Distance through the thickness of two tips seen by one beam, mm: c Δt / (2 cos β), from the time between their echoes
/// (µs, there and back), the beam's angle from the plate's normal (degrees) and the speed of sound (mm/µs).
///
/// Same-angle formula, as on public teaching pages.
pub fn tip_pair_height_mm(between_us: f64, angle_deg: f64, speed_mm_per_us: f64) -> f64 {
    0.5 * speed_mm_per_us * between_us / libm::cos(angle_deg.to_radians())
}

/// Diameter of the flat disc, square to the beam, that echoes as high as a side-drilled hole at the same sound path, mm:
/// (√2/π · λ √(D s))^½, far from the probe and for holes wider than about 1.5 wavelengths.
///
/// From the far-field laws of disc and cylinder (ISO 16811 and handbooks give the constant as 0.67).
pub fn disc_equal_to_hole_mm(hole_diameter_mm: f64, path_mm: f64, wavelength_mm: f64) -> f64 {
    let constant = core::f64::consts::SQRT_2 / core::f64::consts::PI;
    f64::sqrt(constant * wavelength_mm * f64::sqrt(hole_diameter_mm * path_mm))
}

#[cfg(test)]
mod tests {
    use super::drop_ends_mm;

    const PLACES: [f64; 7] = [0.0, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0];

    #[test]
    fn ends_lie_between_the_samples() {
        let ends = drop_ends_mm(&PLACES, &[0.0, 20.0, 60.0, 80.0, 80.0, 20.0, 0.0], 20.0 * libm::log10(2.0));
        let [from, to] = ends.expect("both ends");
        assert!((from - 1.5).abs() < 1e-12 && (to - (5.0 - 1.0 / 3.0)).abs() < 1e-12, "{from} {to}");
    }

    #[test]
    fn a_dip_does_not_end_a_reflector() {
        let ends = drop_ends_mm(&PLACES, &[0.0, 80.0, 70.0, 10.0, 75.0, 80.0, 0.0], 6.0);
        assert!(ends.is_some_and(|[from, to]| from < 1.0 && to > 5.0), "{ends:?}");
    }

    #[test]
    fn an_end_that_was_not_scanned_is_none() {
        assert_eq!(drop_ends_mm(&PLACES, &[80.0, 80.0, 60.0, 20.0, 0.0, 0.0, 0.0], 6.0), None);
        assert_eq!(drop_ends_mm(&PLACES, &[0.0; 7], 6.0), None);
        assert_eq!(drop_ends_mm(&[], &[], 6.0), None);
        assert_eq!(drop_ends_mm(&PLACES, &[1.0], 6.0), None);
        assert_eq!(drop_ends_mm(&PLACES, &[f64::NAN; 7], 6.0), None);
    }
}
