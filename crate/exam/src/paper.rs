//! The paper an operator sits: plate, procedure and marking scheme in one TOML file.

use instrument::bench::SetUpError;
use instrument::procedure::Procedure;
use serde::{Deserialize, Serialize};
use specimen::check::Complaint;
use specimen::file::{self, FileError, WriteError};
use specimen::generator::Design;
use specimen::plate::Plate;

use crate::scheme::Scheme;
use crate::{detectability, procedure_check, standard};

/// The version of the file's form that this program writes.
pub const VERSION: u32 = 2;

/// The oldest version it reads. Version 2 added preparations, kinds of flaws and blocks; whatever was written in version 1
/// means the same in version 2, so such a file is read as it stands and keeps its version and its digest. What a file leaves to the
/// yard is in the digest like everything else.
pub const OLDEST_VERSION: u32 = 1;

/// Plate, procedure and scheme.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Paper {
    /// Version of the file's form.
    pub version: u32,
    /// The plate with all that is hidden in it.
    pub plate: Plate,
    /// What it is scanned with.
    pub procedure: Procedure,
    /// How it is marked.
    pub scheme: Scheme,
}

/// A file: `version = 2`, then the tables `[plate]`, `[procedure]`, `[scheme]`.
#[derive(Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema), schemars(rename = "Plate file"))]
#[serde(deny_unknown_fields)]
pub struct PaperFile {
    /// Version of the file's form.
    version: u32,
    /// The plate with all that is hidden in it.
    plate: Plate,
    /// What it is scanned with; absent means the yard's standard procedure for this plate.
    procedure: Option<Procedure>,
    /// How it is marked; absent means the standard scheme.
    #[serde(default)]
    scheme: Scheme,
}

/// Just the version: read first, so that a newer file says that it is newer rather than naming unknown keys.
#[derive(Deserialize)]
struct VersionOnly {
    version: Option<serde_json::Value>,
}

impl Paper {
    /// Reads a plate file. `name` only goes into the errors.
    ///
    /// # Errors
    /// Everything that keeps the file from being used, with its line: form and keys (see
    /// [`specimen::file::read`]), another version, and values out of range in plate, procedure and scheme.
    pub fn parse(name: &str, bytes: &[u8]) -> Result<Self, FileError> {
        Self::read(name, bytes).map(|(paper, _)| paper)
    }

    /// The same, and whether the file has a procedure of its own.
    ///
    /// # Errors
    /// As [`Paper::parse`].
    pub fn read(name: &str, bytes: &[u8]) -> Result<(Self, bool), FileError> {
        if let Ok(VersionOnly { version: Some(version) }) = file::read::<VersionOnly>(name, bytes)
            && !version
                .as_i64()
                .is_some_and(|version| (i64::from(OLDEST_VERSION)..=i64::from(VERSION)).contains(&version))
        {
            let message = format!(
                "is {version}, expected {OLDEST_VERSION} to {VERSION}: this program reads no other form"
            );
            let complaint = Complaint { path: "version".to_owned(), message };
            return Err(FileError::from_complaints(name, bytes, &[complaint]));
        }
        let PaperFile { version, plate, procedure, scheme } = file::read(name, bytes)?;
        let refused = |complaints: &[Complaint]| Err(FileError::from_complaints(name, bytes, complaints));
        let own_procedure = procedure.is_some();
        let procedure = match procedure {
            Some(procedure) => procedure,
            None if plate.block.is_some() => return refused(&[missing_on_a_block()]),
            None => {
                // A standard procedure can only be made for a plate that is one.
                let complaints = plate.check();
                if !complaints.is_empty() {
                    return refused(&complaints);
                }
                standard::procedure(&plate)
            }
        };
        let paper = Self { version, plate, procedure, scheme };
        let mut complaints = paper.check();
        for complaint in
            complaints.iter_mut().filter(|one| !own_procedure && one.path.starts_with("procedure"))
        {
            complaint.message = format!("the yard's own procedure does not fit: {}", complaint.message);
        }
        if complaints.is_empty() { Ok((paper, own_procedure)) } else { refused(&complaints) }
    }

    /// Everything that is wrong with the values; empty when the paper can be sat.
    pub fn check(&self) -> Vec<Complaint> {
        let mut complaints = self.plate.check();
        // A procedure can only be judged against a plate that is one.
        if complaints.is_empty() {
            complaints.extend(procedure_check::check(&self.procedure, &self.plate));
        }
        complaints.extend(self.scheme.check(self.plate.flaws.len(), self.plate.thickness_mm));
        complaints
    }

    /// The paper as a plate file that [`Paper::parse`] gives back unchanged.
    ///
    /// # Errors
    /// A value that TOML cannot hold; never for a paper without complaints.
    pub fn to_toml(&self) -> Result<String, WriteError> {
        file::write(self)
    }

    /// A fresh paper: plate from the generator, standard procedure and scheme. The same arguments give the same
    /// paper for ever; levels outside 1 to 5 are taken as the nearest.
    pub fn generate(design: impl Into<Design>, level: u8, seed: u64) -> Self {
        let plate = specimen::generator::plate(design.into(), level, seed);
        let procedure = standard::procedure(&plate);
        Self { version: VERSION, plate, procedure, scheme: Scheme::default() }
    }

    /// The paper made fair, see [`detectability::made_fair`]. Takes about a second.
    ///
    /// # Errors
    /// A set-up that is impossible.
    pub fn made_fair(self) -> Result<Self, SetUpError> {
        Ok(detectability::made_fair(self)?.0)
    }

    /// A short mark of identity of the content (64-bit FNV-1a of the TOML text, hexadecimal): log and answers
    /// carry it, so that they are not laid beside another plate by mistake. No protection against intent.
    pub fn digest(&self) -> String {
        let text = self.to_toml().unwrap_or_default();
        let hash = text.bytes().fold(0xcbf2_9ce4_8422_2325_u64, |hash, byte| {
            (hash ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3)
        });
        format!("{hash:016x}")
    }
}

fn missing_on_a_block() -> Complaint {
    let message = "the key `procedure` is missing, expected it: the yard's own is for welds";
    Complaint { path: "procedure".to_owned(), message: message.to_owned() }
}

#[cfg(test)]
mod tests {
    use instrument::procedure::Linear;
    use specimen::joint::Preparation;

    use super::*;

    fn parse(text: &str) -> Result<Paper, String> {
        Paper::parse("yard.toml", text.as_bytes()).map_err(|error| error.to_string())
    }

    #[test]
    fn a_generated_paper_survives_writing_and_reading() {
        for preparation in Design::all() {
            for level in 1..=5 {
                for seed in 0..10 {
                    let paper = Paper::generate(preparation, level, seed);
                    assert_eq!(paper.check(), [], "{preparation:?} {level} {seed}");
                    let text = paper.to_toml().unwrap();
                    let back = parse(&text).unwrap();
                    assert_eq!(back, paper);
                    assert_eq!(back.digest(), paper.digest());
                }
            }
        }
    }

    #[test]
    fn a_file_without_a_procedure_leaves_it_to_the_yard() {
        let paper = Paper::generate(Preparation::SingleV, 2, 4711);
        let text = paper.to_toml().expect("a paper can be written");
        let (plate, rest) = text.split_once("[procedure]").expect("a procedure");
        let (_, scheme) = rest.split_once("[scheme]").expect("a scheme");
        assert_eq!(parse(plate), Ok(paper.clone()));
        assert_eq!(parse(&format!("{plate}[scheme]{scheme}")), Ok(paper.clone()));
        let narrow = plate.replacen(&format!("width_mm = {:.1}", paper.plate.width_mm), "width_mm = 70.0", 1);
        let error = parse(&narrow).expect_err("no room for a wedge");
        assert!(error.contains("the yard's own procedure does not fit: "), "{error}");
        let thin = plate.replacen("thickness_mm", "thickness_mm = -1.0 #", 1);
        let error = parse(&thin).expect_err("no plate");
        assert!(error.contains("plate.thickness_mm"), "{error}");
    }

    #[test]
    fn another_version_is_named_as_such() {
        let text = Paper::generate(Preparation::SingleV, 1, 1).to_toml().unwrap();
        let newer = text.replacen("version = 2", "version = 3\nfuture = true", 1);
        assert_eq!(
            parse(&newer).unwrap_err(),
            "yard.toml:1: version: is 3, expected 1 to 2: this program reads no other form"
        );
    }

    #[test]
    fn a_file_of_version_1_is_read_as_it_stands() {
        let paper = Paper { version: 1, ..Paper::generate(Preparation::SingleV, 1, 1) };
        let text = paper.to_toml().unwrap();
        assert!(text.starts_with("version = 1\n"));
        assert_eq!(parse(&text).unwrap(), paper);
    }

    #[test]
    fn complaints_of_procedure_and_scheme_carry_their_lines() {
        let text = Paper::generate(Preparation::SingleV, 1, 1).to_toml().unwrap();
        let broken = text.replacen("active_elements = 32", "active_elements = 60", 1).replacen(
            "pass_percent = 70.0",
            "pass_percent = 170.0",
            1,
        );
        let error = parse(&broken).unwrap_err();
        let line_of = |key: &str| broken.lines().position(|line| line.starts_with(key)).unwrap() + 1;
        assert_eq!(
            error.lines().collect::<Vec<_>>(),
            [
                format!(
                    "yard.toml:{}: procedure.sector.active_elements: is 60, expected 4 to 48",
                    line_of("active_elements")
                ),
                format!(
                    "yard.toml:{}: scheme.pass_percent: is 170, expected 0 to 100 %",
                    line_of("pass_percent")
                ),
            ]
        );
    }

    #[test]
    fn a_linear_scan_is_written_and_read_and_what_it_cannot_be_has_its_line() {
        let mut paper = Paper::generate(Preparation::SingleV, 1, 1);
        let sector = &mut paper.procedure.sector;
        (sector.first_element, sector.active_elements) = (1, 16);
        (sector.from_deg, sector.to_deg) = (55.0, 55.0);
        sector.linear = Some(Linear { step_elements: 2, last_element: 58 });
        let text = paper.to_toml().unwrap();
        assert_eq!(parse(&text).unwrap(), paper);
        let refused = |from: &str, to: &str| parse(&text.replacen(from, to, 1)).unwrap_err();
        let line_of = |key: &str| text.lines().position(|line| line.starts_with(key)).unwrap() + 1;
        for (from, to, key, told) in [
            ("step_elements = 2", "step_elements = 0", "step_elements", "is 0, expected 1 to 14"),
            ("last_element = 58", "last_element = 65", "last_element", "is 65, expected 1 to 64"),
            ("to_deg = 55.0", "to_deg = 60.0", "to_deg", "is 60, expected 55 to 55°"),
            ("last_element = 58", "last_element = 18", "active_elements", "is 16, expected 4 to 15"),
        ] {
            let error = refused(from, to);
            let expected = format!("yard.toml:{}: procedure.sector.", line_of(key));
            assert!(error.contains(&expected) && error.contains(told), "{to}: {error}");
        }
        let error = refused("last_element = 58", "last_element = 64");
        assert!(error.contains("ahead of the front"), "{error}");
        paper.procedure.bench.calibrated = false;
        let complaints = paper.check();
        assert_eq!(complaints[0].path, "procedure.sector.linear");
        assert!(complaints[0].message.contains("has to be calibrated"), "{}", complaints[0].message);
    }

    #[test]
    fn a_wedge_too_short_for_its_beams_is_refused() {
        let mut paper = Paper::generate(Preparation::SingleV, 1, 1);
        paper.procedure.probe.first_element_to_front_mm = 30.0;
        let complaints = paper.check();
        assert_eq!(complaints.len(), 1);
        assert_eq!(complaints[0].path, "procedure.probe.first_element_to_front_mm");
        assert!(complaints[0].message.contains("ahead of the front"), "{}", complaints[0].message);
    }

    #[test]
    fn a_wedge_that_would_stand_on_the_cap_is_refused() {
        let mut paper = Paper::generate(Preparation::SingleV, 1, 1);
        paper.procedure.index_offset_mm[0] = 2.0;
        let complaints = paper.check();
        assert_eq!(complaints.len(), 1);
        assert!(complaints[0].message.contains("the cap ends"), "{}", complaints[0].message);
    }

    #[test]
    fn the_digest_tells_papers_apart() {
        let mut paper = Paper::generate(Preparation::SingleV, 1, 1);
        let before = paper.digest();
        paper.plate.thickness_mm += 0.1;
        assert_ne!(before, paper.digest());
    }
}
