//! The container of a recording: a zip archive (PKWARE's APPNOTE 6.3, sections 4.3 and 4.4) of deflated entries. The crate for
//! zip archives would make the page a seventh larger for what is needed here; the tests hold this against it.

use std::io::{self, Read, Write};

use flate2::Compression;
use flate2::bufread::DeflateDecoder;
use flate2::write::DeflateEncoder;

use super::NpzError;

const LOCAL: [u8; 4] = *b"PK\x03\x04";
const AFTER: [u8; 4] = *b"PK\x07\x08";
const CENTRAL: [u8; 4] = *b"PK\x01\x02";
const END: [u8; 4] = *b"PK\x05\x06";
const LOCAL_BYTES: usize = 30;
const CENTRAL_BYTES: usize = 46;
const END_BYTES: usize = 22;
/// Longest comment behind the end of an archive, bytes.
const MOST_COMMENT_BYTES: usize = 0xffff;
/// Most entries that are looked at: twice those of a recording with all passes.
const MOST_ENTRIES: u16 = 300;

const VERSION_NEEDED: u16 = 20;
const STORED: u16 = 0;
const DEFLATED: u16 = 8;
const ENCRYPTED: u16 = 1;
/// Checksum and sizes stand behind the entry.
const SIZES_AFTER: u16 = 8;
/// The first day that the form can tell, at midnight: clocks stay out.
const MIDNIGHT_1980: [u8; 4] = [0, 0, 0x21, 0];

/// Remainders of all bytes by the polynomial of CRC-32 (bits reversed, as zip, gzip and PNG have it). One small table: those of
/// the library that packs are sixteen times as large.
const REMAINDERS: [u32; 256] = {
    let mut table = [0; 256];
    let mut byte = 0;
    while byte < 256 {
        let mut rest = byte as u32;
        let mut bit = 0;
        while bit < 8 {
            rest = (rest >> 1) ^ (0xedb8_8320 * (rest & 1));
            bit += 1;
        }
        table[byte] = rest;
        byte += 1;
    }
    table
};

/// Checksum (CRC-32) and length of what went by.
#[derive(Clone, Copy, Default)]
struct Tally {
    rest: u32,
    bytes: u32,
}

impl Tally {
    fn update(&mut self, bytes: &[u8]) {
        let step = |rest: u32, &byte: &u8| REMAINDERS[usize::from(rest as u8 ^ byte)] ^ (rest >> 8);
        self.rest = !bytes.iter().fold(!self.rest, step);
        self.bytes = self.bytes.wrapping_add(bytes.len() as u32);
    }
}

#[derive(Clone, Debug)]
struct Entry {
    name: String,
    method: u16,
    flags: u16,
    checksum: u32,
    packed_bytes: u32,
    bytes: u32,
    begin: u32,
}

/// An entry that is being written.
struct Open {
    packer: DeflateEncoder<Vec<u8>>,
    tally: Tally,
    packed_bytes: usize,
}

/// An archive that is written from its beginning to its end; what is ready can be taken away at any time.
pub struct Writer {
    compression: Compression,
    ready: Vec<u8>,
    taken: usize,
    open: Option<Open>,
    entries: Vec<Entry>,
}

impl Writer {
    /// An archive without entries yet.
    pub fn new(compression: Compression) -> Self {
        Self { compression, ready: Vec::new(), taken: 0, open: None, entries: Vec::new() }
    }

    fn at(&self) -> u32 {
        // Recordings are far smaller than what 32 bits count.
        (self.taken + self.ready.len()) as u32
    }

    /// Begins an entry.
    pub fn begin(&mut self, name: &str) {
        let (method, flags) = (DEFLATED, SIZES_AFTER);
        let entry = Entry {
            name: name.to_owned(),
            method,
            flags,
            checksum: 0,
            packed_bytes: 0,
            bytes: 0,
            begin: self.at(),
        };
        self.ready.extend(LOCAL);
        self.ready.extend(entry.common([0, 0]));
        self.ready.extend(name.bytes());
        self.entries.push(entry);
        self.open = Some(Open {
            packer: DeflateEncoder::new(Vec::new(), self.compression),
            tally: Tally::default(),
            packed_bytes: 0,
        });
    }

    /// Goes on with the entry.
    ///
    /// # Errors
    /// None in practice; those of the packer have to go on.
    pub fn put(&mut self, bytes: &[u8]) -> io::Result<()> {
        let Some(open) = &mut self.open else { return Ok(()) };
        open.tally.update(bytes);
        open.packer.write_all(bytes)?;
        let packed = core::mem::take(open.packer.get_mut());
        open.packed_bytes += packed.len();
        self.ready.extend(packed);
        Ok(())
    }

    /// Ends the entry.
    ///
    /// # Errors
    /// None in practice; those of the packer have to go on.
    pub fn end(&mut self) -> io::Result<()> {
        let (Some(open), Some(entry)) = (self.open.take(), self.entries.last_mut()) else { return Ok(()) };
        let packed = open.packer.finish()?;
        (entry.checksum, entry.bytes) = (open.tally.rest, open.tally.bytes);
        entry.packed_bytes = (open.packed_bytes + packed.len()) as u32;
        self.ready.extend(packed);
        self.ready.extend(AFTER);
        for number in [entry.checksum, entry.packed_bytes, entry.bytes] {
            self.ready.extend(number.to_le_bytes());
        }
        Ok(())
    }

    /// Ends the archive.
    pub fn finish(&mut self) {
        let begin = self.at();
        for entry in &self.entries {
            self.ready.extend(CENTRAL);
            self.ready.extend(VERSION_NEEDED.to_le_bytes());
            self.ready.extend(entry.common([entry.packed_bytes, entry.bytes]));
            // Comment, disk, kinds of content: none.
            self.ready.extend([0; 10]);
            self.ready.extend(entry.begin.to_le_bytes());
            self.ready.extend(entry.name.bytes());
        }
        let length = self.at() - begin;
        let count = (self.entries.len() as u16).to_le_bytes();
        self.ready.extend(END);
        self.ready.extend([0; 4]);
        self.ready.extend([count, count].concat());
        self.ready.extend(length.to_le_bytes());
        self.ready.extend(begin.to_le_bytes());
        self.ready.extend([0; 2]);
    }

    /// Bytes that are ready.
    pub fn take(&mut self) -> Vec<u8> {
        self.taken += self.ready.len();
        core::mem::take(&mut self.ready)
    }
}

impl Entry {
    /// What stands both before the entry and in the list of all entries, up to the length of what may follow the name.
    fn common(&self, sizes: [u32; 2]) -> Vec<u8> {
        let mut bytes = Vec::new();
        for number in [VERSION_NEEDED, self.flags, self.method] {
            bytes.extend(number.to_le_bytes());
        }
        bytes.extend(MIDNIGHT_1980);
        for number in [self.checksum, sizes[0], sizes[1]] {
            bytes.extend(number.to_le_bytes());
        }
        bytes.extend((self.name.len() as u16).to_le_bytes());
        bytes.extend([0; 2]);
        bytes
    }
}

/// An archive that is read. Nothing in it is trusted.
pub struct Archive<'a> {
    bytes: &'a [u8],
    entries: Vec<Entry>,
}

fn short(bytes: &[u8], at: usize) -> Option<u16> {
    Some(u16::from_le_bytes(*bytes.get(at..)?.first_chunk()?))
}

fn long(bytes: &[u8], at: usize) -> Option<u32> {
    Some(u32::from_le_bytes(*bytes.get(at..)?.first_chunk()?))
}

impl<'a> Archive<'a> {
    /// Reads the list of entries, which stands at the end.
    ///
    /// # Errors
    /// No archive, or a list that cannot be followed, in words.
    pub fn open(bytes: &'a [u8]) -> Result<Self, String> {
        let from = bytes.len().saturating_sub(END_BYTES + MOST_COMMENT_BYTES);
        let tail = &bytes[from..];
        let end = tail.windows(END_BYTES).rposition(|window| window.starts_with(&END));
        let end = &tail[end.ok_or("its end is missing: it is another kind of file, or was cut off")?..];
        if end.len() != END_BYTES + usize::from(short(end, 20).unwrap_or_default()) {
            return Err("something stands behind its end".to_owned());
        }
        let count = short(end, 10).unwrap_or_default();
        if count > MOST_ENTRIES {
            return Err(format!("it has {count} entries or more, expected at most {MOST_ENTRIES}"));
        }
        let mut at = long(end, 16).unwrap_or_default() as usize;
        let mut entries: Vec<Entry> = Vec::new();
        for number in 0..count {
            let (entry, next) = listed(bytes, at)
                .ok_or_else(|| format!("its list of entries breaks off at entry {number}"))?;
            if entries.iter().any(|other| other.name == entry.name) {
                return Err(format!("it has {} twice", entry.name));
            }
            entries.push(entry);
            at = next;
        }
        Ok(Self { bytes, entries })
    }

    /// Whether there is such an entry.
    pub fn has(&self, name: &str) -> bool {
        self.entries.iter().any(|entry| entry.name == name)
    }

    /// An entry, unpacked as it is read; its checksum is compared at its end.
    ///
    /// # Errors
    /// No such entry, or one that is packed in another way.
    pub fn entry(&self, name: &str) -> Result<Unpacking<'a>, NpzError> {
        let wrong = |message: &str| NpzError::entry(name, message);
        let entry = self
            .entries
            .iter()
            .find(|entry| entry.name == name)
            .ok_or_else(|| wrong("is missing, expected in every recording"))?;
        if entry.flags & ENCRYPTED != 0 {
            return Err(wrong("is encrypted, expected a plain entry"));
        }
        let begin = entry.begin as usize;
        let local = self.bytes.get(begin..).filter(|bytes| bytes.starts_with(&LOCAL));
        let data = local
            .filter(|local| short(local, 8) == Some(entry.method))
            .filter(|local| local.get(LOCAL_BYTES..).is_some_and(|rest| rest.starts_with(name.as_bytes())))
            .and_then(|local| Some(usize::from(short(local, 26)?) + usize::from(short(local, 28)?)))
            .ok_or_else(|| wrong("does not stand where the list of entries says"))?
            + begin
            + LOCAL_BYTES;
        let packed = self
            .bytes
            .get(data..)
            .and_then(|rest| rest.get(..entry.packed_bytes as usize))
            .ok_or_else(|| wrong("goes on beyond the end of the file, which was cut off"))?;
        let source = match entry.method {
            STORED => Source::Stored(packed),
            DEFLATED => Source::Deflated(DeflateDecoder::new(packed)),
            other => {
                let message = format!("is packed by method {other}, expected 0 (stored) or 8 (deflate)");
                return Err(wrong(&message));
            }
        };
        Ok(Unpacking { source, tally: Tally::default(), expected: (entry.checksum, entry.bytes) })
    }
}

/// An entry of the list, and where the next begins.
fn listed(bytes: &[u8], at: usize) -> Option<(Entry, usize)> {
    let bytes = bytes.get(at..)?;
    if !bytes.starts_with(&CENTRAL) {
        return None;
    }
    let [name, more, comment] = [short(bytes, 28)?, short(bytes, 30)?, short(bytes, 32)?].map(usize::from);
    let entry = Entry {
        flags: short(bytes, 8)?,
        method: short(bytes, 10)?,
        checksum: long(bytes, 16)?,
        packed_bytes: long(bytes, 20)?,
        bytes: long(bytes, 24)?,
        begin: long(bytes, 42)?,
        name: String::from_utf8_lossy(bytes.get(CENTRAL_BYTES..CENTRAL_BYTES + name)?).into_owned(),
    };
    Some((entry, at + CENTRAL_BYTES + name + more + comment))
}

enum Source<'a> {
    Stored(&'a [u8]),
    Deflated(DeflateDecoder<&'a [u8]>),
}

/// An entry on its way out.
pub struct Unpacking<'a> {
    source: Source<'a>,
    tally: Tally,
    expected: (u32, u32),
}

impl Read for Unpacking<'_> {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        let count = match &mut self.source {
            Source::Stored(bytes) => bytes.read(buffer)?,
            Source::Deflated(decoder) => decoder.read(buffer)?,
        };
        self.tally.update(&buffer[..count]);
        if count == 0 && !buffer.is_empty() && (self.tally.rest, self.tally.bytes) != self.expected {
            return Err(io::Error::new(
                io::ErrorKind::InvalidData,
                "its checksum or length is not the one noted",
            ));
        }
        Ok(count)
    }
}
