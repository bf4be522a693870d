//! A recording as the browser keeps it between two visits: the samples as they are, a byte each, behind a JSON text that says
//! what they are. Not meant for other programs; those have the .npz file. A checksum guards against a broken store.

use instrument::recording::npz::{self, Writing};
use instrument::recording::{Beam, Course, Recording, Setting};
use serde::{Deserialize, Serialize};

use crate::recorded::RecordedScan;
use crate::session::SessionError;

const MAGIC: &[u8; 8] = b"TPKEPT01";

#[derive(Serialize, Deserialize)]
struct Head {
    setting: Setting,
    /// Angle, exit, first sample, path of it.
    beams: Vec<(f64, f64, u32, f64)>,
    passes: Vec<Course>,
}

/// FNV-1a, 64 bits.
fn checksum(bytes: &[u8]) -> u64 {
    bytes
        .iter()
        .fold(0xcbf2_9ce4_8422_2325, |hash, &byte| (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3))
}

/// Everything but the samples, checksum in front, then the samples of the lines that were taken.
pub(crate) fn write(recording: &Recording) -> Result<Vec<u8>, SessionError> {
    let setting = recording.setting();
    let beam = |beam: &Beam| (beam.angle_deg, beam.exit_forward_mm, beam.first_sample, beam.first_path_mm);
    let head = Head {
        setting: setting.clone(),
        beams: setting.beams.iter().map(beam).collect(),
        passes: recording.passes().iter().map(|pass| *pass.course()).collect(),
    };
    let text = serde_json::to_vec(&head)?;
    let mut body = (text.len() as u64).to_le_bytes().to_vec();
    body.extend(text);
    for pass in recording.passes() {
        for line in 0..pass.course().lines {
            body.push(u8::from(pass.codes(line).is_some()));
            body.extend(pass.codes(line).unwrap_or_default());
        }
    }
    let mut bytes = MAGIC.to_vec();
    bytes.extend(checksum(&body).to_le_bytes());
    bytes.extend(body);
    Ok(bytes)
}

fn piece<'a>(bytes: &mut &'a [u8], length: usize) -> Option<&'a [u8]> {
    let (first, rest) = bytes.split_at_checked(length)?;
    *bytes = rest;
    Some(first)
}

fn number(bytes: &mut &[u8]) -> Option<u64> {
    Some(u64::from_le_bytes(piece(bytes, 8)?.try_into().ok()?))
}

/// `None` for anything but what [`write`] wrote.
fn read(mut bytes: &[u8]) -> Option<Recording> {
    let bytes = &mut bytes;
    if piece(bytes, MAGIC.len())? != MAGIC || number(bytes)? != checksum(bytes) {
        return None;
    }
    let length = usize::try_from(number(bytes)?).ok()?;
    let Head { mut setting, beams, passes } = serde_json::from_slice(piece(bytes, length)?).ok()?;
    setting.beams = beams
        .into_iter()
        .map(|(angle_deg, exit_forward_mm, first_sample, first_path_mm)| Beam {
            angle_deg,
            exit_forward_mm,
            first_sample,
            first_path_mm,
        })
        .collect();
    let samples = setting.frame_samples();
    let mut recording = Recording::with(setting);
    for (pass, course) in passes.into_iter().enumerate() {
        recording.begin(course).ok()?;
        for line in 0..course.lines {
            if piece(bytes, 1)? == [1] {
                recording.put(pass, line, piece(bytes, samples)?.into()).ok()?;
            }
        }
    }
    bytes.is_empty().then_some(recording)
}

impl RecordedScan {
    /// The recording as the browser keeps it.
    ///
    /// # Errors
    /// None in practice; the library's error type has to go on.
    pub fn kept(&self) -> Result<Vec<u8>, SessionError> {
        write(&self.recording)
    }

    /// Takes up what [`RecordedScan::kept`] gave.
    ///
    /// # Errors
    /// Bytes that are damaged, or of another edition.
    pub fn from_kept(bytes: &[u8]) -> Result<Self, SessionError> {
        let broken = || SessionError::Recording("the recording kept in this browser is damaged".to_owned());
        read(bytes).map(Self::with).ok_or_else(broken)
    }
    /// Begins to save the recording as a file for other programs, docs/recording.md.
    ///
    /// # Errors
    /// None in practice; those of the packing have to go on.
    pub fn saving(&self) -> Result<Writing, SessionError> {
        Ok(Writing::new(&self.recording, &[])?)
    }

    /// The next bytes of such a file; none after the last.
    ///
    /// # Errors
    /// None in practice; those of the packing have to go on.
    pub fn save_step(&self, writing: &mut Writing) -> Result<Option<Vec<u8>>, SessionError> {
        Ok(writing.step(&self.recording)?)
    }

    /// Takes up such a file, whoever wrote it.
    ///
    /// # Errors
    /// The first thing that cannot be used, with the entry's name and what was expected.
    pub fn from_npz(bytes: &[u8]) -> Result<Self, SessionError> {
        Ok(Self::with(npz::read(bytes)?))
    }
}
