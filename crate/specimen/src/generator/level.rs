//! What makes a level: read from the data file beside this one.

use std::sync::OnceLock;

use serde::Deserialize;

use crate::flaw::FlawKind;

/// What is drawn at a level; `levels.toml` says what the keys mean.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Level {
    pub(super) flaws: [u32; 2],
    pub(super) kinds: Vec<FlawKind>,
    pub(super) length_mm: [f64; 2],
    pub(super) height_mm: [f64; 2],
    pub(super) slag_mm: [f64; 2],
    pub(super) pore_mm: [f64; 2],
    pub(super) pore_line_mm: [f64; 2],
    pub(super) cluster_mm: [f64; 2],
    pub(super) tilt_deg: f64,
    pub(super) branches: [u32; 2],
    pub(super) between_mm: f64,
    pub(super) grain_level_db: f64,
    /// Whether echoes of longitudinal waves are heard.
    pub(super) longitudinal_waves: bool,
    pub(super) ripple_mm: [f64; 2],
    pub(super) distractor_percent: u32,
    pub(super) thickness_mm: Thicknesses,
}

/// Thicknesses by the way a joint is welded, mm.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Thicknesses {
    pub(super) single: Vec<u32>,
    pub(super) double: Vec<u32>,
    pub(super) square: Vec<u32>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Levels {
    level: Vec<Level>,
}

/// All levels, the first is level 1. The file is part of the program and tested, so that reading cannot fail; if it did,
/// there would be no level and a plate without flaws.
pub(super) fn levels() -> &'static [Level] {
    static LEVELS: OnceLock<Vec<Level>> = OnceLock::new();
    LEVELS.get_or_init(|| {
        crate::file::read::<Levels>("levels.toml", include_bytes!("levels.toml"))
            .map_or_else(|_| Vec::new(), |levels| levels.level)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn five_levels_are_read() {
        let read = crate::file::read::<Levels>("levels.toml", include_bytes!("levels.toml"));
        assert_eq!(read.map(|levels| levels.level.len()).map_err(|error| error.to_string()), Ok(5));
    }
}
