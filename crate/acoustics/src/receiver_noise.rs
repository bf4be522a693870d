//! Electronic noise of the receiver: the same for the same frame number, new for the next.

use crate::seed::Stream;

const LENGTH: usize = 1 << 16;

/// A store of complex normal numbers, cut at a place that frame and beam decide.
#[derive(Debug)]
pub struct ReceiverNoise {
    re: Vec<f32>,
    im: Vec<f32>,
}

impl ReceiverNoise {
    /// Noise of unit mean square from a seed.
    pub fn new(seed: u64) -> Self {
        let mut stream = Stream::new(seed, "receiver noise");
        let scale = core::f64::consts::FRAC_1_SQRT_2;
        let mut draw = || (0..LENGTH).map(|_| (stream.normal() * scale) as f32).collect();
        Self { re: draw(), im: draw() }
    }

    /// Adds noise of the given root mean square to a frame, `[beam][sample]`.
    pub fn add(&self, tick: u32, rms: f32, samples: usize, re: &mut [f32], im: &mut [f32]) {
        let rows = re.chunks_exact_mut(samples).zip(im.chunks_exact_mut(samples));
        for (beam, (re, im)) in rows.enumerate() {
            // Two rounds of a multiply-xorshift mix spread frame and beam over the store.
            let mut place = tick.wrapping_mul(0x9e37_79b9) ^ (beam as u32).wrapping_mul(0x85eb_ca6b);
            place = (place ^ (place >> 15)).wrapping_mul(0x2c1b_3c6d);
            place ^= place >> 13;
            let start = place as usize % (LENGTH - samples.min(LENGTH - 1));
            for k in 0..samples.min(LENGTH - start) {
                re[k] += rms * self.re[start + k];
                im[k] += rms * self.im[start + k];
            }
        }
    }
}
