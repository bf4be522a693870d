//! Reading and writing files.

use std::fs::File;
use std::io::{self, Read};
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

/// Writes a file, replacing one that is there.
pub fn write(path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    std::fs::write(path, bytes).map_err(|error| Failure::Write { path: path.to_owned(), error })
}

/// Writes a file that is not there yet.
pub fn write_new(path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    let fail = |error: io::Error| match error.kind() {
        io::ErrorKind::AlreadyExists => {
            Failure::Said(format!("{}: is there already; name another file or remove it", path.display()))
        }
        _ => Failure::Write { path: path.to_owned(), error },
    };
    let mut file = File::create_new(path).map_err(fail)?;
    io::Write::write_all(&mut file, bytes).map_err(fail)
}
