//! What a flaw must be to lie in its plate.

use super::{Complaints, tidy};
use crate::flaw::{Flaw, FlawKind};
use crate::plate::Plate;

mod place;
mod section;

/// Sound metal left between a flaw and a face it does not break, mm.
const COVER_MM: f64 = 0.5;
/// Most side branches of a crack.
const MOST_BRANCHES: u32 = 8;
/// Roughest faces, as a share of the usual: facets of a crack then lean by up to about 40°.
const ROUGHEST: f64 = 3.0;
/// A line of pores is at least this many times as long as high: two pores beside each other.
const LEAST_LINE: f64 = 2.2;
/// A slag inclusion is at most this many times as long as high or wide; longer ones are slag lines.
const LONGEST_INCLUSION: f64 = 4.0;

pub(super) fn check(plate: &Plate, flaw: &Flaw, path: &str, out: &mut Complaints) {
    let before = out.0.len();
    let at = |key: &str| format!("{path}.{key}");
    let least = if flaw.kind.is_planar() { 0.5 } else { 0.4 };
    if out.within(&at("start_mm"), flaw.start_mm, [0.0, plate.length_mm], "mm")
        && out.within(&at("length_mm"), flaw.length_mm, [least, plate.length_mm], "mm")
        && flaw.start_mm + flaw.length_mm > plate.length_mm
    {
        let message = format!(
            "{} mm from {} mm ends at {} mm, outside the plate, expected at most {} mm",
            tidy(flaw.length_mm),
            tidy(flaw.start_mm),
            tidy(flaw.start_mm + flaw.length_mm),
            tidy(plate.length_mm - flaw.start_mm)
        );
        out.add(&at("length_mm"), message);
    }
    out.within(&at("height_mm"), flaw.height_mm, [least, plate.thickness_mm - COVER_MM], "mm");
    extras(flaw, &at, out);
    if out.0.len() == before && place::check(plate, flaw, &at, out) {
        section::check(plate, flaw, path, out);
    }
}

/// Keys that only some kinds have, and sizes that only some kinds can have.
fn extras(flaw: &Flaw, at: &dyn Fn(&str) -> String, out: &mut Complaints) {
    let words = flaw.kind.words().to_lowercase();
    match flaw.width_mm {
        Some(width) if flaw.kind.has_width() => {
            out.within(&at("width_mm"), width, [0.4, 30.0], "mm");
        }
        Some(_) => out.add(&at("width_mm"), format!("a {words} has no width of its own, expected none")),
        None => {}
    }
    match flaw.kind {
        FlawKind::CentrelineCrack | FlawKind::RootCrack | FlawKind::ToeCrack => {
            out.within(&at("tilt_deg"), flaw.tilt_deg, [-30.0, 30.0], "degrees");
        }
        _ if flaw.tilt_deg != 0.0 => {
            out.add(&at("tilt_deg"), format!("a {words} does not lean, expected no tilt"));
        }
        _ => {}
    }
    if flaw.branches > MOST_BRANCHES {
        let message = format!("{} is out of range, expected 0 to {MOST_BRANCHES}", flaw.branches);
        out.add(&at("branches"), message);
    } else if flaw.branches > 0 && (!flaw.kind.is_crack() || flaw.kind == FlawKind::TransverseCrack) {
        out.add(&at("branches"), format!("a {words} does not branch, expected none"));
    }
    if flaw.kind.has_roughness() {
        out.within(&at("roughness_ratio"), flaw.roughness_ratio, [0.0, ROUGHEST], "");
    } else if flaw.roughness_ratio != Flaw::USUAL_ROUGHNESS {
        out.add(&at("roughness_ratio"), format!("a {words} has no roughness of its own, expected none"));
    }
    let across = flaw.width_mm.unwrap_or(flaw.height_mm);
    match flaw.kind {
        FlawKind::SinglePore if flaw.length_mm != flaw.height_mm => {
            let message = format!(
                "{} mm long but {} mm high, expected the same: a single pore is round",
                tidy(flaw.length_mm),
                tidy(flaw.height_mm)
            );
            out.add(&at("height_mm"), message);
        }
        FlawKind::PoreLine if flaw.length_mm < LEAST_LINE * flaw.height_mm => {
            let message = format!(
                "{} mm is too short for a row of pores {} mm high, expected at least {} mm",
                tidy(flaw.length_mm),
                tidy(flaw.height_mm),
                tidy(LEAST_LINE * flaw.height_mm)
            );
            out.add(&at("length_mm"), message);
        }
        FlawKind::SlagInclusion if flaw.length_mm > LONGEST_INCLUSION * across.max(flaw.height_mm) => {
            let message = format!(
                "{} mm is long for a slag inclusion of this section, expected at most {} mm or a slag-line",
                tidy(flaw.length_mm),
                tidy(LONGEST_INCLUSION * across.max(flaw.height_mm))
            );
            out.add(&at("length_mm"), message);
        }
        FlawKind::TransverseCrack if flaw.length_mm > across => {
            let message = format!(
                "{} mm along the weld is more than the {} mm across, expected at most that: it runs across",
                tidy(flaw.length_mm),
                tidy(across)
            );
            out.add(&at("length_mm"), message);
        }
        _ => {}
    }
}
