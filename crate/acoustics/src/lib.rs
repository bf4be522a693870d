//! Waves: from a phased array on its wedge to the echo of any stress-free surface in a plate.
//!
//! Units: mm, µs, MHz, dB; angles are radians inside and degrees where a name says so. Wave speeds are in
//! mm/µs. The time factor is exp(-iωt), so a travel time τ is the phase factor exp(+iωτ).
//!
//! This crate knows no plate file, no screen, no clock and no thread.

pub mod aperture;
pub mod complex;
pub mod elevation;
pub mod interface;
pub mod kernel;
pub mod law;
mod local_cavities;
pub mod material;
pub mod ray;
pub mod scene;
pub mod seed;
pub mod self_test;

mod axes;
mod beam_levels;
mod beam_table;
pub mod cavity;
mod cavity_deposit;
mod deposit;
mod element_waves;
mod elevation_table;
pub mod engine;
pub mod face_response;
pub mod field;
pub mod fine_trace;
pub mod frame_maker;
pub mod grain;
pub mod half_plane;
pub mod lanes;
mod leg_factors;
mod leg_rays;
mod linear;
mod longitudinal;
mod mirror_table;
mod mixed_cavities;
mod mixed_legs;
mod one_way_table;
pub mod oracle;
mod oracle_cavity;
pub mod order;
mod phase;
pub mod placement;
mod planes;
pub mod pulse;
pub mod receiver_noise;
pub mod shares;
mod spectra;
mod spectra_rows;
mod spline;
mod summed_nodes;
mod synthesis;
pub mod table_order;
mod tables;
mod two_way;
