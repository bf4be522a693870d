//! One array of a file, read with all the doubt that data from outside deserves.

use std::io::{Read, Seek};

use npyz::{DType, NpyFile, Order};
use zip::ZipArchive;
use zip::result::ZipError;

use super::NpzError;

/// Longest header of an array, bytes: NumPy's own for the arrays used here are 128 long.
const MOST_HEADER_BYTES: usize = 1024;

/// An entry's bytes, at most `limit`.
pub fn bytes<R: Read + Seek>(zip: &mut ZipArchive<R>, name: &str, limit: u64) -> Result<Vec<u8>, NpzError> {
    let entry = open(zip, name)?;
    let mut bytes = Vec::new();
    entry.take(limit + 1).read_to_end(&mut bytes).map_err(|error| NpzError::entry(name, error))?;
    if bytes.len() as u64 > limit {
        return Err(NpzError::entry(name, format!("is longer than {limit} bytes, expected at most that")));
    }
    Ok(bytes)
}

fn open<'a, R: Read + Seek>(zip: &'a mut ZipArchive<R>, name: &str) -> Result<impl Read + 'a, NpzError> {
    zip.by_name(name).map_err(|error| match error {
        ZipError::FileNotFound => NpzError::entry(name, "is missing, expected in every recording"),
        other => NpzError::entry(name, other),
    })
}

/// Reads an array of the given type and shape, a row (what is left of the shape without its first length, `row_bytes`
/// bytes) at a time.
pub fn rows<R: Read + Seek>(
    zip: &mut ZipArchive<R>,
    name: &str,
    type_text: &str,
    shape: &[u64],
    row_bytes: usize,
    mut take: impl FnMut(&[u8]) -> Result<(), NpzError>,
) -> Result<(), NpzError> {
    let mut entry = open(zip, name)?;
    let (dtype, got) = header(&mut entry).map_err(|message| NpzError::entry(name, message))?;
    if dtype != type_text || got != shape {
        let message = format!("holds {dtype} of shape {got:?}, expected {type_text} of shape {shape:?}");
        return Err(NpzError::entry(name, message));
    }
    let mut row = vec![0; row_bytes];
    for number in 0..shape.first().copied().unwrap_or(0) {
        entry.read_exact(&mut row).map_err(|error| {
            NpzError::entry(name, format!("ends or breaks in row {number} of {}: {error}", shape[0]))
        })?;
        take(&row)?;
    }
    match entry.read(&mut [0]) {
        Ok(0) => Ok(()),
        Ok(_) => Err(NpzError::entry(name, "goes on behind its last number, expected an end")),
        // A checksum is only compared at the end.
        Err(error) => Err(NpzError::entry(name, format!("is damaged: {error}"))),
    }
}

/// Type and shape of an array whose numbers lie in the usual order.
fn header(entry: &mut impl Read) -> Result<(String, Vec<u64>), String> {
    let short = |error: std::io::Error| format!("no NumPy array: {error}");
    let mut bytes = vec![0; 10];
    entry.read_exact(&mut bytes).map_err(short)?;
    if &bytes[..6] != b"\x93NUMPY" {
        return Err("no NumPy array: expected it to begin with \\x93NUMPY".to_owned());
    }
    // The versions above 1 are for headers longer than any that is expected here.
    if bytes[6] != 1 {
        return Err(format!("is of NumPy's array version {}, expected 1", bytes[6]));
    }
    let length = usize::from(u16::from_le_bytes([bytes[8], bytes[9]]));
    if length > MOST_HEADER_BYTES {
        return Err(format!("has a header of {length} bytes, expected at most {MOST_HEADER_BYTES}"));
    }
    bytes.resize(10 + length, 0);
    entry.read_exact(&mut bytes[10..]).map_err(short)?;
    // The library that reads the header follows brackets as deep as they go and multiplies what the shape says.
    let text = &bytes[10..];
    let brackets = text.iter().filter(|byte| b"([{".contains(byte)).count();
    let numbers: Vec<usize> = text.split(|byte| !byte.is_ascii_digit()).map(<[u8]>::len).collect();
    let counts = numbers.iter().filter(|digits| **digits > 0).count();
    if brackets > 2 || counts > 4 || numbers.iter().any(|&digits| digits > 6) {
        return Err(
            "has a header of a kind not expected here: a plain type and at most three lengths".to_owned()
        );
    }
    let file = NpyFile::new(bytes.as_slice()).map_err(|error| format!("no NumPy array: {error}"))?;
    if file.order() != Order::C && file.shape().len() > 1 {
        return Err("has its numbers column by column (Fortran's order), expected row by row".to_owned());
    }
    let dtype = match file.dtype() {
        DType::Plain(plain) => plain.to_string(),
        other => other.descr(),
    };
    Ok((dtype, file.shape().to_vec()))
}

/// Reads a list of numbers of `N` bytes each.
pub fn list<R: Read + Seek, T, const N: usize>(
    zip: &mut ZipArchive<R>,
    name: &str,
    type_text: &str,
    count: usize,
    from: impl Fn([u8; N]) -> T,
) -> Result<Vec<T>, NpzError> {
    let mut list = Vec::new();
    rows(zip, name, type_text, &[count as u64], N, |row| {
        let mut number = [0; N];
        number.copy_from_slice(row);
        list.push(from(number));
        Ok(())
    })?;
    Ok(list)
}
