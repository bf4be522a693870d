//! Waves: from a phased array on its wedge to the echo of any stress-free surface in a plate.
//!
//! Units: mm, µs, MHz, dB; angles are radians inside and degrees where a name says so. Wave speeds are in
//! mm/µs. The time factor is exp(-iωt), so a travel time τ is the phase factor exp(+iωτ).
//!
//! This crate knows no plate file, no screen, no clock and no thread.

pub mod material;
pub mod scene;
pub mod seed;
