//! The outside of the weld: cap and root bead.

/// Height at `x` of a circular arc over the chord -half..half that rises by `rise` in the middle, mm.
pub(crate) fn arc_height(x: f64, half: f64, rise: f64) -> f64 {
    if rise <= 0.0 || x.abs() >= half {
        return 0.0;
    }
    let radius = (half * half + rise * rise) / (2.0 * rise);
    libm::sqrt(radius * radius - x * x) - (radius - rise)
}
