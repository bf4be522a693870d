//! All joints, all levels, one seed after the other: a long row of drawn papers, and one digest of it.

use sha2::{Digest, Sha256};
use specimen::generator::Design;

use crate::paper::Paper;

/// Levels of drawn plates.
const LEVELS: u32 = 5;

/// The n-th paper of the row, from 0: joints go round fastest, then levels; every paper has a seed of its own.
pub fn paper(n: u32) -> Paper {
    let designs = Design::all();
    let joints = designs.len() as u32;
    let level = 1 + (n / joints) % LEVELS;
    Paper::generate(designs[(n % joints) as usize], level as u8, u64::from(n))
}

/// Bytes of the first papers as plate files, and their SHA-256, first 16 bytes in hexadecimal: `digest:bytes`.
pub fn digest(papers: u32) -> String {
    let mut hash = Sha256::new();
    let mut bytes = 0;
    for n in 0..papers {
        let text = paper(n).to_toml().unwrap_or_default();
        bytes += text.len();
        hash.update(text.as_bytes());
    }
    let hex: String = hash.finalize().iter().take(16).map(|byte| format!("{byte:02x}")).collect();
    format!("{hex}:{bytes}")
}
