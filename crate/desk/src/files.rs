//! Reading and writing files.

use std::fs::File;
use std::io::Read;
use std::path::Path;

use exam::paper::Paper;

use crate::failure::Failure;

/// The first bytes of a file, one more than `limit` at most: enough for a reader to see that it is too large.
pub fn read(path: &Path, limit: usize) -> Result<Vec<u8>, Failure> {
    let fail = |error| Failure::Read { path: path.to_owned(), error };
    let mut bytes = Vec::new();
    let most = u64::try_from(limit).unwrap_or(u64::MAX).saturating_add(1);
    File::open(path).map_err(fail)?.take(most).read_to_end(&mut bytes).map_err(fail)?;
    Ok(bytes)
}

/// A plate file.
pub fn paper(path: &Path) -> Result<Paper, Failure> {
    let bytes = read(path, specimen::file::SIZE_LIMIT_BYTES)?;
    Ok(Paper::parse(&path.display().to_string(), &bytes)?)
}

/// Writes a file, replacing one that is there: whole or not at all.
pub fn write(path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    let failed = |error| Failure::Write { path: path.to_owned(), error };
    let part = part(path).map_err(failed)?;
    std::fs::write(&part, bytes).and_then(|()| std::fs::rename(&part, path)).map_err(|error| {
        // Best effort: what is left of a failed write is of no use to anybody.
        let _ = std::fs::remove_file(&part);
        failed(error)
    })
}

/// Writes a file that is not there yet: whole or not at all.
pub fn write_new(path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    let there =
        || Failure::Said(format!("{}: is there already; name another file or remove it", path.display()));
    if path.try_exists().map_err(|error| Failure::Write { path: path.to_owned(), error })? {
        return Err(there());
    }
    write(path, bytes)
}

/// Name of the file that is written before it takes its place: beside it, and nobody else writes the same, on this machine
/// or another that shares the folder.
fn part(path: &Path) -> std::io::Result<std::path::PathBuf> {
    let mut name = path.file_name().unwrap_or_default().to_owned();
    name.push(format!(
        ".{:016x}.part",
        getrandom::u64().map_err(|error| std::io::Error::other(error.to_string()))?
    ));
    Ok(path.with_file_name(name))
}
