//! What a trainee hands in: the session's log with the answers in it, the mark the page gave, and under a sealed plate a
//! signature, so that later edits show.

use std::io::Read;

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use flate2::Compression;
use flate2::read::{ZlibDecoder, ZlibEncoder};
use hmac::{Hmac, KeyInit, Mac};
use serde::{Deserialize, Serialize};
use sha2::Sha256;

use crate::log::Log;
use crate::marking::Marks;
use crate::paper::Paper;
use crate::recorded_exam::RecordedExam;
use crate::session_kind::SessionKind;
use crate::sheet::AnswerSheet;

/// Largest hand-in that is looked at, bytes.
pub const SIZE_LIMIT_BYTES: usize = 4_000_000;
/// Largest log in it, bytes of text.
const LOG_LIMIT_BYTES: u64 = 16_000_000;
/// Longest way of the probe in it, km: whoever marks follows it millimetre by millimetre. At the fastest slide that counts as scanning
/// that takes eighteen hours, and marking it, on a plate that dries, a minute or two.
const LONGEST_WAY_KM: f64 = 10.0;

const FORM: &str = "trialplate hand-in";
const VERSION: u32 = 1;

/// The mark as the page told it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ToldMark {
    /// Share of all points, %.
    pub percent: f64,
    /// Whether the plate was passed.
    pub passed: bool,
}

impl ToldMark {
    /// What is told of some marks.
    pub fn of(marks: &Marks) -> Self {
        Self { percent: marks.percent, passed: marks.passed }
    }
}

/// A hand-in file.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    form: String,
    version: u32,
    /// Who sat, in their own words.
    name: String,
    plate_id: String,
    paper_digest: String,
    used_ms: u64,
    frame_digest: String,
    /// Absent where marks are the instructor's to tell.
    mark: Option<ToldMark>,
    /// The log's text, deflated (zlib), in base64.
    log: String,
    /// HMAC-SHA-256 over the file with this left empty, hexadecimal; empty where the plate was not sealed.
    signature: String,
}

/// A hand-in that was read.
#[derive(Clone, Debug)]
pub struct HandIn {
    file: File,
    /// The session.
    pub log: Log,
}

/// Whether a hand-in is what was handed in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Signature {
    /// Signed with the key of this plate, and unchanged since.
    Good,
    /// Not signed: the plate was not sealed.
    Absent,
}

/// Why a hand-in cannot be taken.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{name}: {message}")]
pub struct HandInError {
    /// Name of the file as the reader gave it.
    pub name: String,
    /// What is wrong and what was expected.
    pub message: String,
}

impl File {
    fn to_text(&self) -> String {
        // Cannot fail: strings and numbers.
        serde_json::to_string_pretty(self).unwrap_or_default() + "\n"
    }

    fn mac(&self, key: &[u8; 32]) -> Option<Hmac<Sha256>> {
        let unsigned = Self { signature: String::new(), ..self.clone() };
        let mut mac = Hmac::<Sha256>::new_from_slice(key).ok()?;
        mac.update(unsigned.to_text().as_bytes());
        Some(mac)
    }
}

/// Writes a hand-in. `key` is that of the sealed plate, if it was one.
///
/// # Errors
/// None in practice; a log that cannot be written or packed.
pub fn write(
    name: &str,
    log: &Log,
    mark: Option<ToldMark>,
    frame_digest: &str,
    key: Option<&[u8; 32]>,
) -> Result<String, HandInError> {
    let failed = |message: String| HandInError { name: "hand-in".to_owned(), message };
    let text = log.to_text().map_err(|error| failed(error.to_string()))?;
    let mut packed = Vec::new();
    ZlibEncoder::new(text.as_bytes(), Compression::best())
        .read_to_end(&mut packed)
        .map_err(|error| failed(error.to_string()))?;
    let state = log.restore();
    let mut file = File {
        form: FORM.to_owned(),
        version: VERSION,
        name: name.trim().chars().take(100).collect(),
        plate_id: state.plate_id.clone(),
        paper_digest: state.paper_digest.clone(),
        used_ms: state.t_ms,
        frame_digest: frame_digest.to_owned(),
        mark,
        log: STANDARD.encode(packed),
        signature: String::new(),
    };
    if let Some(mac) = key.and_then(|key| file.mac(key)) {
        file.signature = mac.finalize().into_bytes().iter().map(|byte| format!("{byte:02x}")).collect();
    }
    Ok(file.to_text())
}

impl HandIn {
    /// Whether bytes claim to be a hand-in.
    pub fn claimed(bytes: &[u8]) -> bool {
        let start = bytes.get(..200.min(bytes.len())).unwrap_or_default();
        String::from_utf8_lossy(start).contains(FORM)
    }

    /// Reads a hand-in; its signature is not looked at yet. `name` only goes into the error.
    ///
    /// # Errors
    /// A file too large, of another form or version, not byte for byte in the form in which one is written, or with a log
    /// that cannot be read.
    pub fn parse(name: &str, bytes: &[u8]) -> Result<Self, HandInError> {
        let wrong = |message: String| HandInError { name: name.to_owned(), message };
        if bytes.len() > SIZE_LIMIT_BYTES {
            return Err(wrong(format!("has {} bytes, expected at most {SIZE_LIMIT_BYTES}", bytes.len())));
        }
        let file: File = crate::json::read(bytes)
            .map_err(|error| wrong(format!("no hand-in, expected the file as the page saved it: {error}")))?;
        if file.form != FORM || file.version != VERSION {
            let found = format!("is a “{}” of version {}", file.form, file.version);
            return Err(wrong(format!("{found}, expected “{FORM}” of version {VERSION}")));
        }
        if file.to_text().as_bytes() != bytes {
            return Err(wrong(
                "was changed after it was saved, expected the file as the page saved it".to_owned(),
            ));
        }
        let packed = STANDARD.decode(&file.log).map_err(|error| {
            wrong(format!("its log is no base64, expected it as the page saved it: {error}"))
        })?;
        let mut text = String::new();
        ZlibDecoder::new(packed.as_slice()).take(LOG_LIMIT_BYTES + 1).read_to_string(&mut text).map_err(
            |error| wrong(format!("its log cannot be unpacked, expected it as the page saved it: {error}")),
        )?;
        if text.len() as u64 > LOG_LIMIT_BYTES {
            return Err(wrong(format!(
                "its log is longer than the {LOG_LIMIT_BYTES} bytes expected at most"
            )));
        }
        let log = Log::parse(&text).map_err(|error| wrong(format!("{error}, expected a whole log")))?;
        if !log.restore().handed_in {
            return Err(wrong("its session was not handed in, expected a finished one".to_owned()));
        }
        let way_km = log.way_mm() / 1e6;
        if way_km > LONGEST_WAY_KM {
            let found = format!("its probe slid {way_km:.1} km");
            return Err(wrong(format!("{found}, expected at most {LONGEST_WAY_KM} km")));
        }
        let (told_ms, used_ms) = (file.used_ms, log.restore().t_ms);
        if told_ms != used_ms {
            let found = format!("used_ms is {told_ms}, but its log ends at {used_ms} ms");
            return Err(wrong(format!("{found}, expected the same")));
        }
        Ok(Self { file, log })
    }

    /// Holds it against the plate it is said to be of, and its signature against the plate's key.
    ///
    /// # Errors
    /// Another plate or another edition of it; a signature that is not this plate's, or none where there must be one.
    pub fn check(&self, name: &str, paper: &Paper, key: Option<&[u8; 32]>) -> Result<Signature, HandInError> {
        let wrong = |message: String| Err(HandInError { name: name.to_owned(), message });
        let state = self.log.restore();
        let digest = paper.digest();
        if self.is_recorded(paper) {
            return match key {
                None => Ok(Signature::Absent),
                Some(_) => wrong(
                    "is of a recorded exam, which nobody can sign; expected a hand-in of the sealed plate"
                        .to_owned(),
                ),
            };
        }
        if state.paper_digest != digest || self.file.paper_digest != digest {
            let found = format!("is of plate {} ({})", self.file.plate_id, self.file.paper_digest);
            return wrong(format!("{found}, expected plate {} ({digest})", paper.plate.id));
        }
        let Some(key) = key else { return Ok(Signature::Absent) };
        // Digits in capitals would be the same number, but not the file that was saved.
        let as_saved = self.file.signature.bytes().all(|byte| matches!(byte, b'0'..=b'9' | b'a'..=b'f'));
        let signature: Option<Vec<u8>> = (0..self.file.signature.len() / 2)
            .map(|k| u8::from_str_radix(self.file.signature.get(2 * k..2 * k + 2)?, 16).ok())
            .collect();
        let good = match (self.file.mac(key), signature) {
            (Some(mac), Some(signature)) => as_saved && mac.verify_slice(&signature).is_ok(),
            _ => false,
        };
        match good {
            true => Ok(Signature::Good),
            false => wrong("its signature is not that of this plate: it was changed, or sat at another copy; expected the \
                            file as the page saved it".to_owned()),
        }
    }

    /// Whether it is of a recorded exam at a plate: its log knows of the answers, and nothing of scanning.
    pub fn is_recorded(&self, paper: &Paper) -> bool {
        let state = self.log.restore();
        let digest = RecordedExam::of(paper, &state.plate_id).paper().digest();
        state.paper_digest == digest && self.file.paper_digest == digest
    }

    /// What kind of session it is of.
    pub fn kind(&self, paper: &Paper) -> SessionKind {
        if self.is_recorded(paper) { SessionKind::Recorded } else { SessionKind::Live }
    }

    /// Who sat.
    pub fn sitter(&self) -> &str {
        &self.file.name
    }

    /// The mark the page gave, if it gave one.
    pub fn told_mark(&self) -> Option<ToldMark> {
        self.file.mark
    }

    /// Digest of the session's last frame, as the page computed it.
    pub fn frame_digest(&self) -> &str {
        &self.file.frame_digest
    }

    /// Time used, ms.
    pub fn used_ms(&self) -> u64 {
        self.file.used_ms
    }

    /// The answers.
    pub fn sheet(&self) -> &AnswerSheet {
        &self.log.restore().sheet
    }
}

#[cfg(test)]
mod tests;
