//! The store of Tern Harbour: probes and the wedges that fit them, from scenarios/probes.

use instrument::procedure::Probe;
use serde::{Deserialize, Serialize};
use specimen::file::{self, FileError};

/// A probe with one of its wedges.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Choice {
    /// Name of the wedge.
    pub wedge: String,
    /// What the probe is good for.
    pub note: String,
    /// First element of the aperture it is usually used with, from 1.
    pub first_element: u32,
    /// Elements of that aperture.
    pub active_elements: u32,
    /// Probe and wedge together, as new.
    pub probe: Probe,
}

/// A file of the store.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Stored {
    choice: Vec<Choice>,
}

const FILES: [(&str, &str); 4] = [
    ("2l16.toml", include_str!("../../../scenarios/probes/2l16.toml")),
    ("5l32.toml", include_str!("../../../scenarios/probes/5l32.toml")),
    ("5l64.toml", include_str!("../../../scenarios/probes/5l64.toml")),
    ("7l64.toml", include_str!("../../../scenarios/probes/7l64.toml")),
];

/// Everything in the store.
///
/// # Errors
/// A file that is wrong; the tests see to it that none is.
pub fn choices() -> Result<Vec<Choice>, FileError> {
    let mut choices = Vec::new();
    for (name, text) in FILES {
        let stored: Stored = file::read(name, text.as_bytes())?;
        choices.extend(stored.choice);
    }
    Ok(choices)
}

#[cfg(test)]
mod tests {
    use acoustics::material::Solid;
    use instrument::set_up::SetUp;

    use super::*;
    use crate::standard;

    /// Every probe can send the yard's sector with its usual aperture and with all it has from there on.
    #[test]
    fn whatever_is_in_the_store_can_be_used() {
        let plate = specimen::generator::plate(specimen::joint::Preparation::SingleV.into(), 1, 1);
        let procedure = standard::procedure(&plate);
        let choices = choices().unwrap();
        assert_eq!(choices.len(), 8);
        for choice in &choices {
            let mut set_up = SetUp::of(&procedure);
            set_up.probe = choice.probe.clone();
            set_up.sector.first_element = choice.first_element;
            set_up.sector.active_elements = choice.active_elements;
            let problems = set_up.problems(&procedure, &Solid::STEEL);
            assert!(problems.is_empty(), "{} on {}: {problems:?}", choice.probe.name, choice.wedge);
            assert!(set_up.laws(&Solid::STEEL).is_ok());
        }
    }

    #[test]
    fn the_yards_own_probe_is_in_the_store() {
        let choices = choices().unwrap();
        assert!(choices.iter().any(|choice| choice.probe == standard::probe()));
    }

    #[test]
    fn every_file_of_the_folder_is_in_the_store() {
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../scenarios/probes");
        let mut found: Vec<String> = std::fs::read_dir(folder)
            .unwrap()
            .map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned())
            .collect();
        found.sort();
        assert_eq!(found, FILES.map(|(name, _)| name));
    }
}
