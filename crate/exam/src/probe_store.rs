//! The store of Tern Harbour: probes and the wedges that fit them, from scenarios/probes.

use instrument::procedure::{Probe, Sector};
use instrument::set_up::SetUp;
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

impl Choice {
    /// A set-up with this probe in place of its own, by the aperture that it is usually used with.
    pub fn set_up(&self, other: &SetUp) -> SetUp {
        let (first_element, active_elements) = (self.first_element, self.active_elements);
        let sector = Sector { first_element, active_elements, ..other.sector.clone() };
        SetUp { probe: self.probe.clone(), sector, ..other.clone() }
    }
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
    use super::*;
    use crate::standard;
    use acoustics::material::Solid;

    /// Every probe can send the yard's sector with its usual aperture, and what it begins with in a linear scan, and a sector about that.
    #[test]
    fn whatever_is_in_the_store_can_be_used() {
        let plate = specimen::generator::plate(specimen::joint::Preparation::SingleV.into(), 1, 1);
        let procedure = standard::procedure(&plate);
        let choices = choices().unwrap();
        assert_eq!(choices.len(), 8);
        for choice in &choices {
            let usual = choice.set_up(&SetUp::of(&procedure));
            let kinds = usual.kinds(&Solid::STEEL);
            assert_eq!(kinds.sector, usual.sector);
            assert!(kinds.linear.is_linear());
            // And back: about the one angle.
            let linear = SetUp { sector: kinds.linear, ..usual.clone() };
            let back = linear.kinds(&Solid::STEEL);
            assert_eq!(back.linear, linear.sector);
            let back = SetUp { sector: back.sector, ..usual.clone() };
            for set_up in [usual, linear, back] {
                let problems = set_up.problems(&procedure, &Solid::STEEL);
                assert!(problems.is_empty(), "{} on {}: {problems:?}", choice.probe.name, choice.wedge);
                assert!(set_up.laws(&Solid::STEEL).is_ok());
            }
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
