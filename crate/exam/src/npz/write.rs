//! From a recording to a file.

use flate2::Compression;
use instrument::recording::{Beam, Recording};

use super::archive::Writer;
use super::array::header;
use super::{
    ANGLE, CAUTION, EXIT, FIRST_PATH, FIRST_SAMPLE, FORM, METADATA, Metadata, NpzError, PERCENT_OF_CODE,
    SCALE, VERSION, amplitude, recorded,
};

/// Samples that are packed in one step, bytes.
const STEP_BYTES: usize = 2_000_000;

/// A recording on its way into a file, so that whoever writes a large one can do something else in between.
pub struct Writing {
    archive: Writer,
    pass: usize,
    line: u32,
    ended: bool,
}

/// Writes a recording. The same recording gives the same bytes.
///
/// # Errors
/// None in practice; those of the packing have to go on.
pub fn write(recording: &Recording) -> Result<Vec<u8>, NpzError> {
    write_with(recording, &[])
}

/// Writes a recording with other texts beside it, by their names.
///
/// # Errors
/// None in practice; those of the packing have to go on.
pub fn write_with(recording: &Recording, beside: &[(&str, &[u8])]) -> Result<Vec<u8>, NpzError> {
    let mut writing = Writing::new(recording, beside)?;
    let mut file = Vec::new();
    while let Some(piece) = writing.step(recording)? {
        file.extend(piece);
    }
    Ok(file)
}

impl Writing {
    /// Begins with all but the samples.
    ///
    /// # Errors
    /// None in practice; those of the packing have to go on.
    pub fn new(recording: &Recording, beside: &[(&str, &[u8])]) -> Result<Self, NpzError> {
        // Quick rather than small: noise does not shrink much anyway.
        Self::begun(recording, beside, Compression::fast())
    }

    /// Begins a file that is written at once and is as large as the recording.
    ///
    /// # Errors
    /// None in practice; those of the packing have to go on.
    pub fn unpacked(recording: &Recording) -> Result<Self, NpzError> {
        Self::begun(recording, &[], Compression::none())
    }

    fn begun(
        recording: &Recording,
        beside: &[(&str, &[u8])],
        compression: Compression,
    ) -> Result<Self, NpzError> {
        let mut writing = Self { archive: Writer::new(compression), pass: 0, line: 0, ended: false };
        let setting = recording.setting();
        let metadata = Metadata {
            form: FORM.to_owned(),
            version: VERSION,
            caution: CAUTION.to_owned(),
            scale: SCALE,
            setting: setting.clone(),
            passes: recording.passes().iter().map(|pass| *pass.course()).collect(),
        };
        writing.entry(METADATA, &serde_json::to_vec(&metadata).map_err(failed)?)?;
        for (name, text) in beside {
            writing.entry(name, text)?;
        }
        writing.floats(ANGLE, &setting.beams, |beam| beam.angle_deg)?;
        writing.floats(EXIT, &setting.beams, |beam| beam.exit_forward_mm)?;
        writing.floats(FIRST_PATH, &setting.beams, |beam| beam.first_path_mm)?;
        let first: Vec<u8> = setting.beams.iter().flat_map(|beam| beam.first_sample.to_le_bytes()).collect();
        writing.array(FIRST_SAMPLE, "<u4", setting.beams.len(), &first)?;
        let percent = recording.scale().percent(0.0);
        let percent: Vec<u8> = percent.iter().flat_map(|percent| percent.to_le_bytes()).collect();
        writing.array(PERCENT_OF_CODE, "<f4", 256, &percent)?;
        Ok(writing)
    }

    /// The next bytes of the file, for the recording it was begun with; `None` after the last.
    ///
    /// # Errors
    /// None in practice; those of the packing have to go on.
    pub fn step(&mut self, recording: &Recording) -> Result<Option<Vec<u8>>, NpzError> {
        if self.ended {
            return Ok(None);
        }
        let Some(pass) = recording.passes().get(self.pass) else {
            self.archive.finish();
            self.ended = true;
            return Ok(Some(self.archive.take()));
        };
        let setting = recording.setting();
        let lines = pass.course().lines;
        if self.line == 0 {
            let flags: Vec<u8> = (0..lines).map(|line| u8::from(pass.codes(line).is_some())).collect();
            self.array(&recorded(self.pass), "|b1", flags.len(), &flags)?;
            self.archive.begin(&amplitude(self.pass));
            let shape = [lines as usize, setting.beams.len(), setting.samples as usize];
            self.archive.put(&header("|u1", &shape)).map_err(failed)?;
        }
        let empty = vec![0; setting.frame_samples()];
        let some = (STEP_BYTES / setting.frame_samples().max(1)).max(1);
        for line in (self.line..lines).take(some) {
            self.archive.put(pass.codes(line).unwrap_or(&empty)).map_err(failed)?;
            self.line = line + 1;
        }
        if self.line == lines {
            self.archive.end().map_err(failed)?;
            (self.pass, self.line) = (self.pass + 1, 0);
        }
        Ok(Some(self.archive.take()))
    }

    fn entry(&mut self, name: &str, bytes: &[u8]) -> Result<(), NpzError> {
        self.archive.begin(name);
        self.archive.put(bytes).and_then(|()| self.archive.end()).map_err(failed)
    }

    /// A list of numbers, from their little-endian bytes.
    fn array(&mut self, name: &str, type_text: &str, count: usize, bytes: &[u8]) -> Result<(), NpzError> {
        self.entry(name, &[&header(type_text, &[count]), bytes].concat())
    }

    fn floats(&mut self, name: &str, beams: &[Beam], of: impl Fn(&Beam) -> f64) -> Result<(), NpzError> {
        let bytes: Vec<u8> = beams.iter().flat_map(|beam| of(beam).to_le_bytes()).collect();
        self.array(name, "<f8", beams.len(), &bytes)
    }
}

fn failed(error: impl core::fmt::Display) -> NpzError {
    NpzError::Write(error.to_string())
}
