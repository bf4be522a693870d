//! Eight or four numbers handled at once, lane by lane: the same bits as one by one, in fewer instructions.
//!
//! The compiler finds most of this by itself on one target and not on the other; saying it makes both fast.

pub use wide::{f32x4, f32x8, i32x4};

/// Four complex numbers: real parts and imaginary parts.
pub type Wide = [f32x4; 2];

/// Products of complex numbers.
#[inline(always)]
pub fn wide_times(a: &Wide, b: &Wide) -> Wide {
    [a[0] * b[0] - a[1] * b[1], a[0] * b[1] + a[1] * b[0]]
}

/// Complex numbers times real ones.
#[inline(always)]
pub fn wide_scale(a: &Wide, s: impl Into<f32x4>) -> Wide {
    let s = s.into();
    [a[0] * s, a[1] * s]
}

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

/// Eight values from `at` on, or as many as there are and zeros.
#[inline(always)]
pub fn load8_or_fewer(values: &[f32], at: usize) -> f32x8 {
    if at + 8 <= values.len() {
        return load8(values, at);
    }
    let mut few = [0.0; 8];
    for (lane, &value) in few.iter_mut().zip(values.iter().skip(at)) {
        *lane = value;
    }
    f32x8::new(few)
}

/// Puts eight values from `at` on, or as many as there is room for.
#[inline(always)]
pub fn store8_or_fewer(values: &mut [f32], at: usize, eight: f32x8) {
    let eight = eight.to_array();
    match values.get_mut(at..).and_then(<[f32]>::first_chunk_mut) {
        Some(chunk) => *chunk = eight,
        None => values.iter_mut().skip(at).zip(eight).for_each(|(value, lane)| *value = lane),
    }
}

/// Adds to eight values from `at` on; nothing where there are none.
#[inline(always)]
pub fn add8(values: &mut [f32], at: usize, sum: f32x8) {
    if let Some(chunk) = values.get_mut(at..).and_then(<[f32]>::first_chunk_mut) {
        *chunk = (f32x8::new(*chunk) + sum).to_array();
    }
}

/// Adds to four values from `at` on; nothing where there are none.
#[inline(always)]
pub fn add4(values: &mut [f32], at: usize, sum: f32x4) {
    if let Some(chunk) = values.get_mut(at..).and_then(<[f32]>::first_chunk_mut) {
        *chunk = (f32x4::new(*chunk) + sum).to_array();
    }
}

/// Adds values times a factor to as many sums, or fewer.
pub fn add_scaled(sums: &mut [f32], values: &[f32], factor: f32) {
    let values = &values[..sums.len().min(values.len())];
    let (sums, last_sums) = sums.as_chunks_mut();
    let (values, last_values) = values.as_chunks();
    for (sums, values) in sums.iter_mut().zip(values) {
        *sums = (f32x8::new(*sums) + f32x8::new(*values) * factor).to_array();
    }
    for (sum, value) in last_sums.iter_mut().zip(last_values) {
        *sum += factor * value;
    }
}
