//! The yard's probe for butt welds and its sector, for tests of this crate.

use acoustics::material::WedgeMaterial;

use crate::procedure::{Probe, Sector};

/// 64 elements of half a millimetre at 5 MHz on a polystyrene wedge.
pub fn probe() -> Probe {
    Probe {
        name: "Yard probe 5L64".into(),
        elements: 64,
        pitch_mm: 0.5,
        element_width_mm: 0.4,
        elevation_mm: 10.0,
        frequency_mhz: 5.0,
        bandwidth_percent: 60.0,
        wedge_material: WedgeMaterial::POLYSTYRENE,
        wedge_angle_deg: 36.0,
        first_element_height_mm: 5.0,
        first_element_to_front_mm: 40.0,
        wedge_width_mm: 30.0,
        wedge_length_mm: 48.0,
    }
}

/// The middle 32 elements from 40° to 70°, not focused.
pub fn sector() -> Sector {
    Sector {
        first_element: 17,
        active_elements: 32,
        from_deg: 40.0,
        to_deg: 70.0,
        step_deg: 0.5,
        linear: None,
        focus_path_mm: None,
        focus_depth_mm: None,
    }
}
