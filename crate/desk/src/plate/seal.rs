//! `plate seal` and `plate unseal`: plate files for exams.

use std::path::{Path, PathBuf};

use clap::Args;
use exam::seal::{self, Holder, RANDOM_BYTES, Sealed, Terms};

use crate::failure::Failure;
use crate::files;

/// Longest file of passphrases, bytes.
const PASSPHRASE_LIMIT_BYTES: usize = 2000;

/// Arguments of `plate seal`.
#[derive(Args)]
pub struct Seal {
    /// Plate file.
    plate: PathBuf,
    /// Text file with two lines: the instructor's passphrase, and the one that is told when the sitting begins.
    #[arg(long, value_name = "FILE")]
    passphrases: PathBuf,
    /// The page says what to do next while the plate is sat.
    #[arg(long)]
    help_allowed: bool,
    /// The page shows marks and truth after handing in.
    #[arg(long)]
    debrief_allowed: bool,
    /// File to write.
    #[arg(short, long)]
    output: PathBuf,
}

/// Arguments of `plate unseal`.
#[derive(Args)]
pub struct Unseal {
    /// Sealed plate file.
    sealed: PathBuf,
    /// Text file with the instructor's passphrase in its first line.
    #[arg(long, value_name = "FILE")]
    passphrase_file: PathBuf,
    /// File to write.
    #[arg(short, long)]
    output: PathBuf,
}

/// The lines of a file of passphrases.
pub fn passphrases(path: &Path) -> Result<Vec<String>, Failure> {
    let bytes = files::read(path, PASSPHRASE_LIMIT_BYTES)?;
    let text = String::from_utf8(bytes).map_err(|_| {
        Failure::Files(format!("{}: is no text, expected passphrases in UTF-8", path.display()))
    })?;
    Ok(text.lines().map(str::trim).filter(|line| !line.is_empty()).map(str::to_owned).collect())
}

/// Seals.
pub fn seal(arguments: &Seal) -> Result<(), Failure> {
    let paper = files::paper(&arguments.plate)?;
    let lines = passphrases(&arguments.passphrases)?;
    let [instructor, sitting] = lines.as_slice() else {
        let (path, count) = (arguments.passphrases.display(), lines.len());
        return Err(Failure::Files(format!(
            "{path}:1: {count} passphrases, expected two lines: the instructor's and that of the sitting"
        )));
    };
    let mut random = [0; RANDOM_BYTES];
    getrandom::fill(&mut random)
        .map_err(|error| Failure::Said(format!("this system gives no random numbers: {error}")))?;
    let terms =
        Terms { help: arguments.help_allowed, debrief: arguments.debrief_allowed, ..Terms::of(&paper) };
    let text = seal::seal(&paper, terms, [instructor, sitting], &random)?;
    files::write_new(&arguments.output, text.as_bytes())
}

/// Opens.
pub fn unseal(arguments: &Unseal) -> Result<(), Failure> {
    let opened = open(&arguments.sealed, &arguments.passphrase_file)?;
    if opened.holder != Holder::Instructor {
        return Err(Failure::Said(
            "this is the passphrase of the sitting, expected the instructor's".to_owned(),
        ));
    }
    files::write_new(&arguments.output, opened.paper.to_toml()?.as_bytes())
}

/// Opens a sealed plate file with the first line of a passphrase file.
pub fn open(path: &Path, passphrase_file: &Path) -> Result<seal::Opened, Failure> {
    let sealed = Sealed::parse(&path.display().to_string(), &files::read(path, seal::SIZE_LIMIT_BYTES)?)?;
    let lines = passphrases(passphrase_file)?;
    let passphrase = lines.first().ok_or_else(|| {
        Failure::Files(format!("{}:1: is empty, expected a passphrase", passphrase_file.display()))
    })?;
    Ok(sealed.open(passphrase)?)
}
