//! What the tables of a frame maker hang on, in a form that goes to other workers.

use serde::{Deserialize, Serialize};

use crate::frame_maker::Shot;
use crate::material::Solid;

/// An order for the tables of apertures that follow each other along the array.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct TableOrder {
    /// The metal.
    pub solid: Solid,
    /// The apertures and their laws.
    pub shots: Vec<Shot>,
    /// The longest sound path, mm.
    pub range_mm: f64,
}

impl TableOrder {
    /// The order as bytes.
    pub fn bytes(&self) -> Vec<u8> {
        // Nothing in it can fail: all lengths are known.
        postcard::to_allocvec(self).unwrap_or_default()
    }

    /// What tells it from other orders (64-bit FNV-1a of its bytes).
    pub fn digest(&self) -> u64 {
        self.bytes().iter().fold(0xcbf2_9ce4_8422_2325, |hash, &byte| {
            (hash ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3)
        })
    }

    /// The order that bytes tell, or nothing where they tell none.
    pub fn of_bytes(bytes: &[u8]) -> Option<Self> {
        postcard::from_bytes(bytes).ok()
    }
}
