//! Phasors in single precision, the same bits everywhere: only +, - and ×.

/// cos and sin of 2π × `cycles`. The nearest whole number is taken off by adding and subtracting 1.5·2²³ (exact in
/// round-to-nearest), half the angle goes through Taylor polynomials and is then doubled. Error below 2e-6 for up to
/// 1000 cycles given exactly.
#[inline(always)]
pub fn phasor(cycles: f32) -> [f32; 2] {
    const ROUND: f32 = 12_582_912.0;
    let whole = (cycles + ROUND) - ROUND;
    let x = (cycles - whole) * core::f32::consts::PI;
    let y = x * x;
    let s = x
        * (1.0
            - y * (1.0 / 6.0
                - y * (1.0 / 120.0 - y * (1.0 / 5040.0 - y * (1.0 / 362_880.0 - y * (1.0 / 39_916_800.0))))));
    let c = 1.0
        - y * (0.5 - y * (1.0 / 24.0 - y * (1.0 / 720.0 - y * (1.0 / 40320.0 - y * (1.0 / 3_628_800.0)))));
    [c * c - s * s, 2.0 * s * c]
}

#[cfg(test)]
mod tests {
    #[test]
    fn follows_libm() {
        for i in 0..4000 {
            let cycles = i as f32 * 0.187_5 - 300.0;
            let exact = f64::from(cycles) * core::f64::consts::TAU;
            let [c, s] = super::phasor(cycles);
            assert!(
                (f64::from(c) - libm::cos(exact)).abs() < 2e-6
                    && (f64::from(s) - libm::sin(exact)).abs() < 2e-6
            );
        }
    }
}
