//! What a trainee learns from the picture must come out of the waves: these checks ask the whole chain, from plate file
//! to reading.
#![allow(
    clippy::disallowed_methods,
    clippy::unwrap_used,
    reason = "compared within tolerances, on one machine"
)]

mod corner;
mod lack_of_fusion;
mod trade;
