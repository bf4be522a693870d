//! What a flaw must be to lie in its plate.

use super::{Complaints, tidy};
use crate::flaw::{Flaw, FlawKind, Place, RootSpot};
use crate::joint::{Bevel, Preparation};
use crate::plate::Plate;
use crate::shape;

/// Sound metal left between a flaw and a face it does not break, mm.
const COVER_MM: f64 = 0.5;
/// How far weld metal reaches past the prepared edge, mm. Common practice, no source.
const FUSION_MM: f64 = 0.5;

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
    if out.0.len() == before && place(plate, flaw, &at, out) {
        section(plate, flaw, path, out);
    }
}

/// Keys that only some kinds have.
fn extras(flaw: &Flaw, at: &dyn Fn(&str) -> String, out: &mut Complaints) {
    let words = flaw.kind.words().to_lowercase();
    match (flaw.kind, flaw.width_mm) {
        (FlawKind::SlagLine | FlawKind::PoreCluster, Some(width)) => {
            out.within(&at("width_mm"), width, [0.4, 30.0], "mm");
        }
        (_, Some(_)) => out.add(&at("width_mm"), format!("a {words} has no width of its own, expected none")),
        (_, None) => {}
    }
    match flaw.kind {
        FlawKind::CentrelineCrack | FlawKind::RootCrack => {
            out.within(&at("tilt_deg"), flaw.tilt_deg, [-30.0, 30.0], "degrees");
        }
        _ if flaw.tilt_deg != 0.0 => {
            out.add(&at("tilt_deg"), format!("a {words} does not lean, expected no tilt"));
        }
        _ => {}
    }
    if flaw.kind == FlawKind::SinglePore && flaw.length_mm != flaw.height_mm {
        let message = format!(
            "{} mm long but {} mm high, expected the same: a single pore is round",
            tidy(flaw.length_mm),
            tidy(flaw.height_mm)
        );
        out.add(&at("height_mm"), message);
    }
}

/// Whether the kind can lie at such a place at all; true where it can.
fn place(plate: &Plate, flaw: &Flaw, at: &dyn Fn(&str) -> String, out: &mut Complaints) -> bool {
    let before = out.0.len();
    let words = flaw.kind.words().to_lowercase();
    let single_v = plate.joint.preparation == Preparation::SingleV;
    match (flaw.kind, flaw.place) {
        (FlawKind::LackOfSideWallFusion, Place::Bevel { bevel, depth_mm, .. }) => {
            match plate.joint.bevel_depth_mm(plate.thickness_mm, bevel) {
                Some(range) => on_bevel(plate, flaw, bevel, depth_mm, range, at, out),
                None => out.add(
                    &at("place.bevel.bevel"),
                    "a single V has no lower bevel, expected \"upper\"".to_owned(),
                ),
            }
        }
        (FlawKind::LackOfSideWallFusion, _) => {
            out.add(&at("place"), format!("a {words} lies on a bevel, expected place.bevel"));
        }
        (FlawKind::RootCrack, Place::Root { at: spot }) => {
            let path = at("place.root.at");
            match (spot, plate.joint.root_bead) {
                _ if !single_v => {
                    out.add(
                        &at("kind"),
                        "a double V has no root at its face, expected another kind".to_owned(),
                    );
                }
                (RootSpot::Centre, Some(_)) => out.add(
                    &path,
                    "the root bead covers the centre, expected \"toe-a\" or \"toe-b\"".to_owned(),
                ),
                (RootSpot::ToeA | RootSpot::ToeB, None) => {
                    out.add(&path, "a flush root has no toes, expected \"centre\"".to_owned());
                }
                _ => {}
            }
        }
        (FlawKind::IncompletePenetration, Place::Root { at: spot }) => {
            if spot != RootSpot::Centre {
                let message = "incomplete penetration lies on the root faces, expected \"centre\"";
                out.add(&at("place.root.at"), message.to_owned());
            }
            let root_face = plate.joint.root_face_mm;
            if flaw.height_mm > root_face {
                let message = format!(
                    "{} mm is higher than the root face, expected at most {} mm",
                    tidy(flaw.height_mm),
                    tidy(root_face)
                );
                out.add(&at("height_mm"), message);
            }
        }
        (FlawKind::RootCrack | FlawKind::IncompletePenetration, _) => {
            out.add(&at("place"), format!("{words} lies at the root, expected place.root"));
        }
        (_, Place::Weld { depth_mm, offset_mm }) => {
            let half = flaw.height_mm / 2.0;
            let depths = [COVER_MM + half, plate.thickness_mm - COVER_MM - half];
            out.within(&at("place.weld.depth_mm"), depth_mm, depths, "mm");
            let widest = plate.joint.upper_toe_mm(plate.thickness_mm);
            out.within(&at("place.weld.offset_mm"), offset_mm, [-widest, widest], "mm");
        }
        _ => out.add(&at("place"), format!("a {words} lies in the weld metal, expected place.weld")),
    }
    out.0.len() == before
}

fn on_bevel(
    plate: &Plate,
    flaw: &Flaw,
    bevel: Bevel,
    depth_mm: f64,
    [from, to]: [f64; 2],
    at: &dyn Fn(&str) -> String,
    out: &mut Complaints,
) {
    let [from, to] = match bevel {
        Bevel::Upper => [COVER_MM, to],
        Bevel::Lower => [from, plate.thickness_mm - COVER_MM],
    };
    if flaw.height_mm > to - from {
        let message = format!(
            "{} mm is higher than the bevel, expected at most {} mm",
            tidy(flaw.height_mm),
            tidy(to - from)
        );
        out.add(&at("height_mm"), message);
    } else {
        // A hair of room, for sums of tenths are not exact.
        let half = flaw.height_mm / 2.0 - 1e-9;
        out.within(&at("place.bevel.depth_mm"), depth_mm, [from + half, to - half], "mm");
    }
}

/// Whether the shape stays in weld metal (root cracks may run into the plate beside it).
fn section(plate: &Plate, flaw: &Flaw, path: &str, out: &mut Complaints) {
    let Some([across, along, depth]) = shape::bounds(flaw, plate) else {
        out.add(path, "nothing of this flaw fits into its box, expected a larger one".to_owned());
        return;
    };
    if along[0] < -1e-9 || along[1] > plate.length_mm + 1e-9 {
        out.add(&format!("{path}.length_mm"), "reaches outside the plate, expected to end in it".to_owned());
    }
    if !matches!(flaw.place, Place::Weld { .. }) {
        return;
    }
    let widest = across[0].abs().max(across[1].abs());
    // The groove is narrowest at the root face: at the flaw's depth nearest to it.
    let [root_top, root_bottom] = plate.joint.root_face_depth_mm(plate.thickness_mm);
    let nearest = ((root_top + root_bottom) / 2.0).clamp(depth[0], depth[1]);
    let room = plate.joint.half_width_mm(plate.thickness_mm, nearest) + FUSION_MM;
    if widest > room {
        let message = format!(
            "the flaw reaches {} mm from the centreline where the weld is {} mm wide each side (at {} mm depth), \
             expected it inside the weld",
            tenth(widest),
            tenth(room),
            tenth(nearest)
        );
        out.add(&format!("{path}.place.weld.offset_mm"), message);
    }
}

/// What is measured on a shape is good to a tenth of a millimetre.
fn tenth(value: f64) -> String {
    format!("{value:.1}")
}
