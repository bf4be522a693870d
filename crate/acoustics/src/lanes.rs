//! Eight or four numbers handled at once, lane by lane: the same bits as one by one, in fewer instructions.
//!
//! The compiler finds most of this by itself on one target and not on the other; saying it makes both fast.

pub use wide::{f32x4, f32x8};

/// Eight values from `at` on; zeros where there are none.
#[inline(always)]
pub fn load8(values: &[f32], at: usize) -> f32x8 {
    values.get(at..).and_then(<[f32]>::first_chunk).map_or(f32x8::ZERO, |chunk| f32x8::new(*chunk))
}

/// Four values from `at` on; zeros where there are none.
#[inline(always)]
pub fn load4(values: &[f32], at: usize) -> f32x4 {
    values.get(at..).and_then(<[f32]>::first_chunk).map_or(f32x4::ZERO, |chunk| f32x4::new(*chunk))
}

/// Adds to eight values from `at` on; nothing where there are none.
#[inline(always)]
pub fn add8(values: &mut [f32], at: usize, sum: f32x8) {
    if let Some(chunk) = values.get_mut(at..).and_then(<[f32]>::first_chunk_mut) {
        *chunk = (f32x8::new(*chunk) + sum).to_array();
    }
}
