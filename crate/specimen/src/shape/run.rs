//! A sheet on the surface of a run: lack of inter-run fusion.

use acoustics::scene::Sides;
use acoustics::seed::Stream;

use super::sheet::{RAGGED_SHARE, rounded_ends, soft};
use crate::flaw::Flaw;
use crate::noise::Ragged;
use crate::patch::{Patch, Piece};
use crate::runs::RunSurface;

/// The crown of the run and as much of its flanks as the flaw is high.
pub(super) fn pieces(flaw: &Flaw, surface: RunSurface, seed: u64) -> Vec<Piece> {
    let (start, length) = (flaw.start_mm, flaw.length_mm);
    let mut stream = Stream::new(seed, "inter-run sheet");
    let left = Ragged::new(&mut stream, length, 4.0);
    let right = Ragged::new(&mut stream, length, 4.0);
    let [from, to] = surface.across_mm;
    let centre = (from + to) / 2.0;
    let reach = (to - from) / 2.0 * libm::sqrt((flaw.height_mm / surface.fall_mm).min(1.0));
    let place = move |u: f64, v: f64| {
        let ends = rounded_ends(u, 0.35) * reach;
        let edge = |ragged: &Ragged| ends * (1.0 - RAGGED_SHARE * ragged.at(u * length));
        let (low, high) = (-edge(&left), edge(&right));
        let x = centre + low + (high - low) * v;
        [x, start + length * u, surface.depth_mm(x)]
    };
    let weight = move |u: f64, _: f64| soft((u * length).min((1.0 - u) * length));
    vec![Piece::Patch(Patch {
        weight: Box::new(weight),
        // The run's surface is curved: cells come out a little longer than the lines they are measured by.
        stretch: [0.96; 2],
        rims: [true; 2],
        smooth: true,
        ..Patch::new(Sides::Both, Box::new(place))
    })]
}
