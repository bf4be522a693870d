//! The file of cases: a line of elements on bare metal over one reflector, in a half space or a plate, as full-wave
//! computations are stated.

use std::collections::BTreeMap;

use serde::Deserialize;

/// All cases and what they share.
#[derive(Debug, Deserialize)]
pub struct CaseFile {
    /// What they share.
    pub meta: Meta,
    /// Scenes that are the same all across.
    #[serde(default)]
    pub cases: Vec<Case>,
    /// Scenes in three dimensions.
    #[serde(default)]
    pub cases3d: Vec<Case3d>,
}

/// Metal, pulse, aperture.
#[derive(Debug, Deserialize)]
pub struct Meta {
    /// The metal.
    pub material: Material,
    /// The pulse of the traction.
    pub pulse: PulseShape,
    /// The line of elements.
    pub aperture: ApertureShape,
}

/// The metal; lossless.
#[derive(Debug, Deserialize)]
pub struct Material {
    /// Longitudinal speed, mm/µs.
    #[serde(rename = "cL")]
    pub longitudinal_mm_per_us: f64,
    /// Shear speed, mm/µs.
    #[serde(rename = "cT")]
    pub shear_mm_per_us: f64,
}

/// A cosine under a Gaussian envelope.
#[derive(Debug, Deserialize)]
pub struct PulseShape {
    /// Frequency, MHz.
    #[serde(rename = "f0_MHz")]
    pub frequency_mhz: f64,
    /// -6 dB bandwidth over the frequency.
    #[serde(rename = "bandwidth_6dB_fraction")]
    pub bandwidth_fraction: f64,
}

/// The line of elements, centred at the origin.
#[derive(Debug, Deserialize)]
pub struct ApertureShape {
    /// Its length, mm.
    pub length_mm: f64,
}

/// One case.
#[derive(Debug, Deserialize)]
pub struct Case {
    /// Name.
    pub id: String,
    /// Group of like cases.
    #[serde(default)]
    pub group: String,
    /// Refracted angle, degrees.
    pub theta_deg: f64,
    /// Plate thickness; none for a half space.
    #[serde(rename = "plate_T_mm")]
    pub thickness_mm: Option<f64>,
    /// Sound path at which the 3 mm reference hole lies, mm.
    pub path_mm: f64,
    /// What the beam is aimed at.
    #[serde(default)]
    pub aim: String,
    /// Reflectors.
    pub objects: Vec<Object>,
    /// Windows in which echoes are asked for.
    pub windows: BTreeMap<String, Window>,
    /// Spacing of the grid on which the full-wave answers were computed, mm; none where there was no grid.
    pub grid_dx_mm: Option<f64>,
}

/// A window of time.
#[derive(Debug, Deserialize)]
pub struct Window {
    /// From and to, µs after the pulse's peak left the middle of the aperture.
    pub window_us: [f64; 2],
    /// Full-wave answer relative to the hole, dB.
    pub db_re_sdh3: Option<f64>,
    /// Full-wave time of the peak, µs.
    pub t_peak_us: Option<f64>,
    /// The maximum lies on the window's edge: a neighbour's echo.
    #[serde(default)]
    pub edge: bool,
    /// Uncertainty of the full-wave answer, dB.
    pub u_db: Option<f64>,
}

/// A reflector; lengths in mm, places as x along the surface and z down.
#[derive(Debug, Deserialize)]
#[serde(tag = "type", rename_all = "lowercase")]
pub enum Object {
    /// A round hole.
    Circle {
        /// Centre.
        c: [f64; 2],
        /// Radius.
        r: f64,
    },
    /// A closed outline, empty inside.
    Poly {
        /// Corners.
        pts: Vec<[f64; 2]>,
    },
    /// A thin gap.
    Slit {
        /// One end.
        a: [f64; 2],
        /// The other.
        b: [f64; 2],
    },
    /// Metal under an arc above the upper face.
    Cap {
        /// Middle.
        xc: f64,
        /// Width.
        w: f64,
        /// Height.
        h: f64,
    },
    /// Metal under an arc below the lower face.
    Bead {
        /// Middle.
        xc: f64,
        /// Width.
        w: f64,
        /// Height.
        h: f64,
    },
}

/// A case in three dimensions, named by its kind.
#[derive(Debug, Deserialize)]
pub struct Case3d {
    /// Name.
    pub id: String,
    /// Refracted angle, degrees.
    pub theta_deg: f64,
    /// Sound path to the reflector, mm.
    pub path_mm: f64,
    /// Length of the aperture along the beam, mm.
    pub aperture_x_mm: f64,
    /// Length of the aperture across it, mm.
    pub aperture_y_mm: f64,
    /// SDH_D3, SPHERE_D2, DISC_D3_tilt10, STRIP_3x10_tilt0 …
    pub kind: String,
    /// Full-wave answer relative to the hole, dB.
    pub db_re_sdh3_3d: Option<f64>,
    /// Spacing of the grid, mm; none where there was no grid.
    pub grid_dx_mm: Option<f64>,
}
