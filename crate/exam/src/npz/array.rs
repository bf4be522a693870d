//! One array of a file (NumPy's array form, version 1: `numpy.lib.format`), read with all the doubt that data from outside
//! deserves.

use std::io::Read;

use super::NpzError;
use super::archive::Archive;

const MAGIC: &[u8; 6] = b"\x93NUMPY";
/// Magic, version and length of the header.
const FRONT_BYTES: usize = 10;
/// The numbers begin on a multiple of this.
const ALIGNED_BYTES: usize = 64;
/// Longest header of an array, bytes: NumPy's own for the arrays used here are 128 long.
const MOST_HEADER_BYTES: usize = 1024;
/// Most lengths of a shape.
const MOST_LENGTHS: usize = 3;

/// An entry's bytes, at most `limit`.
pub fn bytes(zip: &Archive, name: &str, limit: u64) -> Result<Vec<u8>, NpzError> {
    let mut bytes = Vec::new();
    zip.entry(name)?
        .take(limit + 1)
        .read_to_end(&mut bytes)
        .map_err(|error| NpzError::entry(name, format!("is damaged: {error}")))?;
    if bytes.len() as u64 > limit {
        return Err(NpzError::entry(name, format!("is longer than {limit} bytes, expected at most that")));
    }
    Ok(bytes)
}

/// Reads an array of the given type and shape, a row (what is left of the shape without its first length, `row_bytes`
/// bytes) at a time.
pub fn rows(
    zip: &Archive,
    name: &str,
    type_text: &str,
    shape: &[u64],
    row_bytes: usize,
    take: &mut dyn FnMut(&[u8]) -> Result<(), NpzError>,
) -> Result<(), NpzError> {
    let mut entry = zip.entry(name)?;
    let (got_type, got) = read_header(&mut entry).map_err(|message| NpzError::entry(name, message))?;
    if got_type != type_text || got != shape {
        let message = format!("holds {got_type} of shape {got:?}, expected {type_text} of shape {shape:?}");
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
fn read_header(entry: &mut impl Read) -> Result<(String, Vec<u64>), String> {
    let short = |error: std::io::Error| format!("no NumPy array: {error}");
    let mut front = [0; FRONT_BYTES];
    entry.read_exact(&mut front).map_err(short)?;
    if !front.starts_with(MAGIC) {
        return Err("no NumPy array: expected it to begin with \\x93NUMPY".to_owned());
    }
    // The versions above 1 are for headers longer than any that is expected here.
    if front[6] != 1 {
        return Err(format!("is of NumPy's array version {}, expected 1", front[6]));
    }
    let length = usize::from(u16::from_le_bytes([front[8], front[9]]));
    if length > MOST_HEADER_BYTES {
        return Err(format!("has a header of {length} bytes, expected at most {MOST_HEADER_BYTES}"));
    }
    let mut text = vec![0; length];
    entry.read_exact(&mut text).map_err(short)?;
    let (type_text, by_column, shape) = described(&String::from_utf8_lossy(&text))
        .ok_or("has a header of a kind not expected here: a plain type and at most three lengths")?;
    if by_column && shape.len() > 1 {
        return Err("has its numbers column by column (Fortran's order), expected row by row".to_owned());
    }
    Ok((type_text, shape))
}

/// Type, order and shape that a header tells: a Python dictionary of three entries in any order.
fn described(text: &str) -> Option<(String, bool, Vec<u64>)> {
    let text: String = text.split_whitespace().collect::<String>().replace('"', "'");
    let text = text.strip_prefix('{')?.strip_suffix('}')?;
    let after = |key: &str| text.split_once(key).map(|(_, value)| value);
    let (type_text, _) = after("'descr':'")?.split_once('\'')?;
    let order = after("'fortran_order':")?;
    let by_column = order.starts_with("True");
    if !by_column && !order.starts_with("False") {
        return None;
    }
    let (lengths, _) = after("'shape':(")?.split_once(')')?;
    let lengths: Option<Vec<u64>> = lengths.split_terminator(',').map(|length| length.parse().ok()).collect();
    Some((type_text.to_owned(), by_column, lengths.filter(|lengths| lengths.len() <= MOST_LENGTHS)?))
}

/// Beginning of an array: magic, version, length of what follows, and a dictionary filled up with blanks.
pub fn header(type_text: &str, shape: &[usize]) -> Vec<u8> {
    let lengths: Vec<String> = shape.iter().map(usize::to_string).collect();
    // One length keeps its comma: it is a tuple.
    let comma = if shape.len() == 1 { "," } else { "" };
    let lengths = lengths.join(", ") + comma;
    let mut text =
        format!("{{'descr': '{type_text}', 'fortran_order': False, 'shape': ({lengths}), }}").into_bytes();
    text.resize((FRONT_BYTES + text.len() + 1).next_multiple_of(ALIGNED_BYTES) - FRONT_BYTES - 1, b' ');
    text.push(b'\n');
    let mut bytes = MAGIC.to_vec();
    bytes.extend([1, 0]);
    bytes.extend((text.len() as u16).to_le_bytes());
    bytes.extend(text);
    bytes
}

/// Reads a list of numbers of `N` bytes each.
pub fn list<T, const N: usize>(
    zip: &Archive,
    name: &str,
    type_text: &str,
    count: usize,
    from: impl Fn([u8; N]) -> T,
) -> Result<Vec<T>, NpzError> {
    let mut list = Vec::new();
    rows(zip, name, type_text, &[count as u64], N, &mut |row| {
        let mut number = [0; N];
        number.copy_from_slice(row);
        list.push(from(number));
        Ok(())
    })?;
    Ok(list)
}
