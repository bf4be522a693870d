//! The one geometry of a groove: where edges, toes and heat-affected zone lie. Drawing, echoes, bead layout and the
//! places of flaws are all taken from here.

use crate::joint::{Bevel, Joint, Preparation, WeldSide};

/// Radius of a J's foot where the file gives none, mm. From memory: drawings show 4 to 10 mm.
const J_RADIUS_MM: f64 = 6.0;
/// Width of the heat-affected zone where the file gives none, mm. Common practice, no source.
const HEAT_AFFECTED_MM: f64 = 3.0;
/// Length over which a misaligned face is dressed back to level, in units of the misalignment. Common practice, no
/// source: one in four.
const DRESSED: f64 = 4.0;
/// Chords a J's foot is drawn with.
const J_CHORDS: u32 = 8;

impl Joint {
    /// True where there is no weld.
    pub fn is_none(&self) -> bool {
        self.preparation == Preparation::None
    }

    /// Share of the upper groove in the depth of both, 0..=1 (1 for a weld from one face).
    pub fn share(&self) -> f64 {
        if self.preparation.is_double() { self.upper_share.unwrap_or(0.5) } else { 1.0 }
    }

    /// The prepared edge of a bevel or a J.
    pub fn prepared_side(&self) -> WeldSide {
        self.prepared_side.unwrap_or(WeldSide::B)
    }

    /// Width of the heat-affected zone beside each prepared edge, mm.
    pub fn heat_affected_mm(&self) -> f64 {
        self.heat_affected_mm.unwrap_or(HEAT_AFFECTED_MM)
    }

    /// Angle between the straight part of a side's bevel and the vertical, degrees.
    pub fn bevel_angle_deg(&self, side: WeldSide) -> f64 {
        if !self.preparation.is_one_sided() {
            self.groove_angle_deg / 2.0
        } else if side == self.prepared_side() {
            self.groove_angle_deg
        } else {
            0.0
        }
    }

    /// Tangent of the angle between a side's bevel and the vertical.
    pub fn bevel_slope(&self, side: WeldSide) -> f64 {
        libm::tan(self.bevel_angle_deg(side).to_radians())
    }

    /// Depths at which the root face begins and ends, mm. A square butt has nothing else; its root is at the lower face.
    pub fn root_face_depth_mm(&self, thickness_mm: f64) -> [f64; 2] {
        let top = (thickness_mm - self.root_face_mm) * self.share();
        [top, top + self.root_face_mm]
    }

    /// Distance from the centreline to the prepared edge of a side at a depth, mm.
    pub fn edge_mm(&self, thickness_mm: f64, side: WeldSide, depth_mm: f64) -> f64 {
        let [top, bottom] = self.root_face_depth_mm(thickness_mm);
        let off_root = (top - depth_mm).max(depth_mm - bottom).max(0.0);
        self.root_gap_mm / 2.0 + self.opening_mm(side, off_root)
    }

    /// How far a side's edge has opened at a distance from the root face in the direction of the thickness, mm.
    fn opening_mm(&self, side: WeldSide, off_root: f64) -> f64 {
        let slope = self.bevel_slope(side);
        if self.preparation != Preparation::SingleJ || side != self.prepared_side() {
            return slope * off_root;
        }
        // A quarter round whose foot is square to the root face, and the bevel that is tangent to it.
        let (radius, angle) = (self.j_radius_mm.unwrap_or(J_RADIUS_MM), self.groove_angle_deg.to_radians());
        let round = self.j_round_mm();
        if off_root < round {
            let left = radius - off_root;
            libm::sqrt(radius * radius - left * left)
        } else {
            radius * libm::cos(angle) + slope * (off_root - round)
        }
    }

    /// Height of a J's round foot above the root face, mm.
    fn j_round_mm(&self) -> f64 {
        self.j_radius_mm.unwrap_or(J_RADIUS_MM) * (1.0 - libm::sin(self.groove_angle_deg.to_radians()))
    }

    /// Distance from the centreline to the farther prepared edge at a depth, mm.
    pub fn half_width_mm(&self, thickness_mm: f64, depth_mm: f64) -> f64 {
        WeldSide::BOTH.map(|side| self.edge_mm(thickness_mm, side, depth_mm)).into_iter().fold(0.0, f64::max)
    }

    /// Depths between which a bevel lies, mm; `None` for a lower bevel where there is none. Of a square butt and of the
    /// upright edge of a bevel or a J it is the part that is fused from that face. A J's begins above its foot.
    pub fn bevel_depth_mm(&self, thickness_mm: f64, side: WeldSide, bevel: Bevel) -> Option<[f64; 2]> {
        let [top, bottom] = self.root_face_depth_mm(thickness_mm);
        let round = self.preparation == Preparation::SingleJ && side == self.prepared_side();
        match bevel {
            Bevel::Upper if self.preparation == Preparation::None => None,
            Bevel::Upper => Some([0.0, if round { (top - self.j_round_mm()).max(0.0) } else { top }]),
            Bevel::Lower => self.preparation.is_double().then_some([bottom, thickness_mm]),
        }
    }

    /// Depths at which a side's edge is drawn with corners, from the upper face down, mm.
    pub(crate) fn corner_depths_mm(&self, thickness_mm: f64, side: WeldSide) -> Vec<f64> {
        let [root_top, root_bottom] = self.root_face_depth_mm(thickness_mm);
        let mut depths = vec![0.0];
        if self.preparation == Preparation::SingleJ && side == self.prepared_side() {
            let round = self.j_round_mm();
            depths.extend(
                (0..=J_CHORDS).map(|i| root_top - round * f64::from(J_CHORDS - i) / f64::from(J_CHORDS)),
            );
        }
        depths.extend([root_top, root_bottom]);
        if self.preparation.is_double() {
            depths.push(thickness_mm);
        }
        depths.dedup();
        depths
    }

    /// Distance from the centreline to the toe of a side's cap on a face, mm; the lower face has a cap where the weld
    /// was made from both.
    pub fn cap_toe_mm(&self, thickness_mm: f64, side: WeldSide, face: Bevel) -> f64 {
        let depth = if face == Bevel::Upper { 0.0 } else { thickness_mm };
        self.edge_mm(thickness_mm, side, depth) + self.cap.overlap_mm
    }

    /// Distance from the centreline to where the upper face is flat and level on both sides, mm: past cap, undercut
    /// and dressed misalignment.
    pub fn upper_toe_mm(&self, thickness_mm: f64) -> f64 {
        if self.preparation == Preparation::None {
            return 0.0;
        }
        let side_toe = |side: WeldSide| {
            let dressed = if side == WeldSide::B { self.dressed_mm() } else { 0.0 };
            let undercut = self
                .undercuts
                .iter()
                .filter(|cut| cut.side == side)
                .map(|cut| cut.width_mm)
                .fold(0.0, f64::max);
            self.cap_toe_mm(thickness_mm, side, Bevel::Upper) + undercut + dressed
        };
        side_toe(WeldSide::A).max(side_toe(WeldSide::B))
    }

    /// Distance from the centreline to where the lower face is flat and level on both sides, mm: past the root bead,
    /// the lower cap, the fusion to a backing bar or dressed misalignment; `None` for a flush and level root.
    pub fn lower_toe_mm(&self, thickness_mm: f64) -> Option<f64> {
        let stands = match (self.preparation, self.root_bead, self.backing_bar) {
            (Preparation::None, ..) => return None,
            (preparation, ..) if preparation.is_double() => Some(
                WeldSide::BOTH
                    .map(|side| self.cap_toe_mm(thickness_mm, side, Bevel::Lower))
                    .into_iter()
                    .fold(0.0, f64::max),
            ),
            (_, Some(bead), _) => Some(bead.width_mm / 2.0),
            (_, None, Some(bar)) => Some(self.root_gap_mm / 2.0 + bar.fused_mm),
            (_, None, None) if self.misalignment_mm != 0.0 => Some(self.root_gap_mm / 2.0),
            (_, None, None) => None,
        };
        stands.map(|toe| toe + self.dressed_mm())
    }

    /// Length over which side B's faces are dressed back to level, mm.
    pub(crate) fn dressed_mm(&self) -> f64 {
        DRESSED * self.misalignment_mm.abs()
    }
}
