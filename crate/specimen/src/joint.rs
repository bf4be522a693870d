//! The welded joint: how the edges were prepared, and what the finished weld looks like outside.

use serde::{Deserialize, Serialize};

/// A side of the weld.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum WeldSide {
    /// x < 0.
    A,
    /// x > 0.
    B,
}

impl WeldSide {
    /// Sign of x on this side: -1 for A, +1 for B. (Sound from a probe on a side travels the other way.)
    pub fn x_sign(self) -> f64 {
        match self {
            Self::A => -1.0,
            Self::B => 1.0,
        }
    }
}

/// How the edges were prepared before welding.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Preparation {
    /// One V open to the upper face, root at the lower face.
    SingleV,
    /// A V from each face, root face in between.
    DoubleV,
}

impl Preparation {
    /// The name in words.
    pub fn words(self) -> &'static str {
        match self {
            Self::SingleV => "single V",
            Self::DoubleV => "double V",
        }
    }
}

/// One of the sloping edges of a groove.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Bevel {
    /// The bevel that opens to the upper face; the only one of a single V.
    #[default]
    Upper,
    /// The bevel that opens to the lower face of a double V.
    Lower,
}

/// The last layer of a weld, standing above the plate face as a flat arc.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Cap {
    /// How far the cap reaches past the edge of the groove, each side, mm.
    pub overlap_mm: f64,
    /// Height of the middle above the plate face, mm; 0 is a cap ground flush.
    pub height_mm: f64,
    /// Amplitude of the ripple left by the weld pool, mm (crest above the mean).
    pub ripple_mm: f64,
}

/// The bead that came through the root of a single V, standing below the lower face as a flat arc.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RootBead {
    /// Distance of its two toes, mm.
    pub width_mm: f64,
    /// Height of the middle below the lower face, mm.
    pub height_mm: f64,
    /// Amplitude of its ripple, mm (crest above the mean).
    pub ripple_mm: f64,
}

/// A butt joint: the edges before welding and the outside after it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Joint {
    /// How the edges were prepared.
    pub preparation: Preparation,
    /// Angle between the two bevels of a V, degrees (each bevel stands at half of it off the vertical).
    pub groove_angle_deg: f64,
    /// Height of the upright root face, mm.
    pub root_face_mm: f64,
    /// Distance of the two root faces, mm.
    pub root_gap_mm: f64,
    /// Double V only: depth of the upper V as a share of both, 0..1; absent means 0.5.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub upper_share: Option<f64>,
    /// The cap; a double V has the same on both faces.
    pub cap: Cap,
    /// The root bead of a single V; absent where the root was ground flush, and always in a double V.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub root_bead: Option<RootBead>,
}

impl Joint {
    /// Share of the upper V in the depth of both, 0..=1 (1 for a single V).
    pub fn share(&self) -> f64 {
        match self.preparation {
            Preparation::SingleV => 1.0,
            Preparation::DoubleV => self.upper_share.unwrap_or(0.5),
        }
    }

    /// Tangent of the angle between a bevel and the vertical.
    pub fn bevel_slope(&self) -> f64 {
        libm::tan((self.groove_angle_deg / 2.0).to_radians())
    }

    /// Depths at which the root face begins and ends, mm.
    pub fn root_face_depth_mm(&self, thickness_mm: f64) -> [f64; 2] {
        let top = (thickness_mm - self.root_face_mm) * self.share();
        [top, top + self.root_face_mm]
    }

    /// Distance from the centreline to the prepared edge at a depth, mm.
    pub fn half_width_mm(&self, thickness_mm: f64, depth_mm: f64) -> f64 {
        let [top, bottom] = self.root_face_depth_mm(thickness_mm);
        self.root_gap_mm / 2.0 + self.bevel_slope() * (top - depth_mm).max(depth_mm - bottom).max(0.0)
    }

    /// Depths between which a bevel lies, mm; `None` for the lower bevel of a single V.
    pub fn bevel_depth_mm(&self, thickness_mm: f64, bevel: Bevel) -> Option<[f64; 2]> {
        let [top, bottom] = self.root_face_depth_mm(thickness_mm);
        match (bevel, self.preparation) {
            (Bevel::Upper, _) => Some([0.0, top]),
            (Bevel::Lower, Preparation::DoubleV) => Some([bottom, thickness_mm]),
            (Bevel::Lower, Preparation::SingleV) => None,
        }
    }

    /// Distance from the centreline to the toe of the cap on the upper face, mm.
    pub fn upper_toe_mm(&self, thickness_mm: f64) -> f64 {
        self.half_width_mm(thickness_mm, 0.0) + self.cap.overlap_mm
    }

    /// Distance from the centreline to the toe of whatever stands on the lower face (the root bead, or the lower
    /// cap of a double V), mm; `None` for a flush root.
    pub fn lower_toe_mm(&self, thickness_mm: f64) -> Option<f64> {
        match self.preparation {
            Preparation::DoubleV => {
                Some(self.half_width_mm(thickness_mm, thickness_mm) + self.cap.overlap_mm)
            }
            Preparation::SingleV => self.root_bead.map(|bead| bead.width_mm / 2.0),
        }
    }
}
