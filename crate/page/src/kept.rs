//! A recording as a file: .npz for whoever wants it, and the same without packing for this browser between two visits.

use exam::npz::{self, Writing};

use crate::recorded::RecordedScan;
use crate::session::SessionError;

impl RecordedScan {
    /// The recording as the browser keeps it.
    ///
    /// # Errors
    /// None in practice; the library's error type has to go on.
    pub fn kept(&self) -> Result<Vec<u8>, SessionError> {
        let mut writing = Writing::unpacked(&self.recording)?;
        let mut bytes = Vec::new();
        while let Some(piece) = writing.step(&self.recording)? {
            bytes.extend(piece);
        }
        Ok(bytes)
    }

    /// Takes up what [`RecordedScan::kept`] gave.
    ///
    /// # Errors
    /// Bytes that are damaged, or of another edition.
    pub fn from_kept(bytes: &[u8]) -> Result<Self, SessionError> {
        let broken = |error| {
            SessionError::Recording(format!("the recording kept in this browser is damaged ({error})"))
        };
        npz::read(bytes).map(Self::with).map_err(broken)
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
