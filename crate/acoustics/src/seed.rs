//! Random numbers that are the same on every machine for ever: ChaCha8, one stream per purpose.

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};

/// A stream of random numbers fixed by a seed and a purpose. Two purposes never share numbers, so a change in
/// how one thing is drawn leaves all others as they were.
#[derive(Clone, Debug)]
pub struct Stream(ChaCha8Rng);

impl Stream {
    /// The stream for `purpose` under `seed`.
    pub fn new(seed: u64, purpose: &str) -> Self {
        // FNV-1a of the purpose picks the stream; the seed is the key.
        let stream = purpose.bytes().fold(0xcbf2_9ce4_8422_2325_u64, |hash, byte| {
            (hash ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3)
        });
        let mut key = [0; 32];
        key[..8].copy_from_slice(&seed.to_le_bytes());
        key[8..16].copy_from_slice(&stream.to_le_bytes());
        Self(ChaCha8Rng::from_seed(key))
    }

    /// The next 32 random bits.
    pub fn bits32(&mut self) -> u32 {
        self.0.next_u32()
    }

    /// The next 64 random bits.
    pub fn bits(&mut self) -> u64 {
        self.0.next_u64()
    }

    /// Uniform in 0..1.
    pub fn unit(&mut self) -> f64 {
        (self.bits() >> 11) as f64 * (1.0 / (1_u64 << 53) as f64)
    }

    /// Uniform between two bounds.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.unit()
    }

    /// Uniform in 0..n; n must not be 0.
    pub fn below(&mut self, n: u32) -> u32 {
        ((u64::from(self.bits32()) * u64::from(n)) >> 32) as u32
    }

    /// Normal with mean 0 and standard deviation 1 (Box and Muller 1958).
    pub fn normal(&mut self) -> f64 {
        let radius = f64::sqrt(-2.0 * libm::log(1.0 - self.unit()));
        radius * libm::cos(core::f64::consts::TAU * self.unit())
    }
}

#[cfg(test)]
mod tests {
    use super::Stream;

    #[test]
    fn purposes_do_not_share_numbers() {
        let (mut a, mut b) = (Stream::new(7, "cap"), Stream::new(7, "root"));
        assert!((0..8).all(|_| a.bits() != b.bits()));
    }

    #[test]
    fn normal_has_unit_variance() {
        let mut stream = Stream::new(1, "test");
        let n = 20_000;
        let (sum, squares) = (0..n).map(|_| stream.normal()).fold((0.0, 0.0), |(s, q), v| (s + v, q + v * v));
        assert!((sum / f64::from(n)).abs() < 0.03);
        assert!((squares / f64::from(n) - 1.0).abs() < 0.04);
    }
}
