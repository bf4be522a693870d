//! Whether a kind of flaw can lie at its place.

use super::COVER_MM;
use crate::check::{Complaints, tidy};
use crate::flaw::{Flaw, FlawKind, Place, RootSpot};
use crate::joint::{Bevel, Preparation};
use crate::plate::Plate;
use crate::runs;

/// What a check needs to know and to say.
struct Found<'a> {
    plate: &'a Plate,
    flaw: &'a Flaw,
    at: &'a dyn Fn(&str) -> String,
    out: &'a mut Complaints,
}

/// True where the kind can lie there.
pub(super) fn check(plate: &Plate, flaw: &Flaw, at: &dyn Fn(&str) -> String, out: &mut Complaints) -> bool {
    let before = out.0.len();
    let mut found = Found { plate, flaw, at, out };
    let words = flaw.kind.words().to_lowercase();
    let wrong = |what: &str| format!("a {words} lies {what}");
    match (flaw.kind, flaw.place) {
        (
            FlawKind::LackOfSideWallFusion | FlawKind::SlagLine | FlawKind::SlagInclusion,
            Place::Bevel { side, bevel, depth_mm },
        ) => match plate.joint.bevel_depth_mm(plate.thickness_mm, side, bevel) {
            Some(range) => found.on_bevel(bevel, depth_mm, range),
            None => {
                let message =
                    format!("a {} has no lower bevel, expected \"upper\"", plate.joint.preparation.words());
                found.say("place.bevel.bevel", message);
            }
        },
        (FlawKind::LackOfSideWallFusion, _) => found.say("place", wrong("on a bevel, expected place.bevel")),
        (FlawKind::LackOfInterRunFusion, Place::Run { layer, run, groove }) => {
            found.on_run(layer, run, groove)
        }
        (FlawKind::LackOfInterRunFusion, _) => {
            found.say("place", wrong("between two runs, expected place.run"))
        }
        (FlawKind::RootCrack, Place::Root { at: spot }) => found.root_crack(spot),
        (FlawKind::IncompletePenetration | FlawKind::LackOfRootFusion, Place::Root { at: spot }) => {
            found.unfused_root(spot);
        }
        (FlawKind::RootCrack | FlawKind::IncompletePenetration | FlawKind::LackOfRootFusion, _) => {
            found.say("place", format!("{words} lies at the root, expected place.root"));
        }
        (FlawKind::ToeCrack, Place::Toe { face, .. }) => {
            if face == Bevel::Lower && !plate.joint.preparation.is_double() {
                let words = plate.joint.preparation.words();
                found.say("place.toe.face", format!("a {words} has no lower cap, expected \"upper\""));
            } else if plate.joint.cap.height_mm == 0.0 {
                found.say("kind", "a cap ground flush has no toes, expected another kind".to_owned());
            }
        }
        (FlawKind::ToeCrack, _) => found.say("place", wrong("at the toe of a cap, expected place.toe")),
        (_, Place::Weld { depth_mm, offset_mm }) => {
            let half = flaw.height_mm / 2.0;
            let depths = [COVER_MM + half, plate.thickness_mm - COVER_MM - half];
            found.out.within(&at("place.weld.depth_mm"), depth_mm, depths, "mm");
            let widest = plate.joint.upper_toe_mm(plate.thickness_mm);
            found.out.within(&at("place.weld.offset_mm"), offset_mm, [-widest, widest], "mm");
        }
        _ => found.say("place", wrong("in the weld metal, expected place.weld")),
    }
    out.0.len() == before
}

impl Found<'_> {
    fn say(&mut self, key: &str, message: String) {
        self.out.add(&(self.at)(key), message);
    }

    fn too_high(&mut self, what: &str, highest: f64) {
        let message = format!(
            "{} mm is higher than {what}, expected at most {} mm",
            tidy(self.flaw.height_mm),
            tidy(highest)
        );
        self.say("height_mm", message);
    }

    fn on_bevel(&mut self, bevel: Bevel, depth_mm: f64, [from, to]: [f64; 2]) {
        let [from, to] = match bevel {
            Bevel::Upper => [COVER_MM, to],
            Bevel::Lower => [from, self.plate.thickness_mm - COVER_MM],
        };
        // The edges of a square butt, and upright ones without a root face, go down to the lower face.
        let to = to.min(self.plate.thickness_mm - COVER_MM);
        if self.flaw.height_mm > to - from {
            self.too_high("the bevel", to - from);
        } else {
            // A hair of room, for sums of tenths are not exact.
            let half = self.flaw.height_mm / 2.0 - 1e-9;
            let path = (self.at)("place.bevel.depth_mm");
            self.out.within(&path, depth_mm, [from + half, to - half], "mm");
        }
    }

    fn on_run(&mut self, layer: u32, run: u32, groove: Bevel) {
        match runs::surface(self.plate, layer, run, groove) {
            Some(surface) if self.flaw.height_mm > surface.fall_mm => {
                self.too_high("the run's crown stands above its edges", surface.fall_mm);
            }
            Some(_) => {}
            None => {
                let in_groove: Vec<_> = runs::surfaces(self.plate)
                    .into_iter()
                    .filter(|surface| surface.groove == groove)
                    .collect();
                let layers = in_groove.iter().map(|surface| surface.layer).max().unwrap_or(0);
                let in_layer = in_groove.iter().filter(|surface| surface.layer == layer).count();
                if layers == 0 {
                    let message =
                        "no run of this groove has another on it, expected another place".to_owned();
                    self.say("place.run", message);
                } else if in_layer == 0 {
                    self.say(
                        "place.run.layer",
                        format!("{layer} has no run with another on it, expected 1 to {layers}"),
                    );
                } else {
                    self.say(
                        "place.run.run",
                        format!("layer {layer} has no run {run}, expected 1 to {in_layer}"),
                    );
                }
            }
        }
    }

    fn root_crack(&mut self, spot: RootSpot) {
        let words = self.plate.joint.preparation.words();
        match (spot, self.plate.joint.root_bead) {
            _ if self.plate.joint.preparation.is_double() => {
                self.say("kind", format!("a {words} has no root at its face, expected another kind"));
            }
            (RootSpot::EdgeA | RootSpot::EdgeB, _) => {
                let message = "a root crack starts at a toe of the bead or in the middle, expected \"toe-a\", \"toe-b\" or \"centre\"";
                self.say("place.root.at", message.to_owned());
            }
            (RootSpot::Centre, Some(bead)) if bead.height_mm > 0.0 => {
                let message = "the root bead covers the centre, expected \"toe-a\" or \"toe-b\"";
                self.say("place.root.at", message.to_owned());
            }
            (RootSpot::ToeA | RootSpot::ToeB, None) => {
                self.say("place.root.at", "a flush root has no toes, expected \"centre\"".to_owned());
            }
            _ => {}
        }
    }

    fn unfused_root(&mut self, spot: RootSpot) {
        let both = self.flaw.kind == FlawKind::IncompletePenetration;
        let joint = &self.plate.joint;
        if both && spot != RootSpot::Centre {
            let message = "incomplete penetration lies on the root faces, expected \"centre\"";
            self.say("place.root.at", message.to_owned());
        } else if !both && !matches!(spot, RootSpot::EdgeA | RootSpot::EdgeB) {
            let message = "lack of root fusion lies on one root edge, expected \"edge-a\" or \"edge-b\"";
            self.say("place.root.at", message.to_owned());
        }
        let thickness = self.plate.thickness_mm;
        let highest = match joint.preparation {
            Preparation::Square => thickness / 2.0,
            // One edge may stay unfused past its root face, up the bevel.
            preparation if !both && !preparation.is_double() => joint.root_face_mm + thickness / 4.0,
            _ => joint.root_face_mm,
        };
        if self.flaw.height_mm > highest {
            self.too_high("the root face", highest);
        }
    }
}
