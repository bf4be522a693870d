//! From a recording to a file.

use std::io::{Seek, Write};

use npyz::{AutoSerialize, WriterBuilder};
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipWriter};

use super::{
    ANGLE, CAUTION, EXIT, FIRST_PATH, FIRST_SAMPLE, FORM, METADATA, Metadata, NpzError, PERCENT_OF_CODE,
    SCALE, VERSION, amplitude, recorded,
};
use crate::recording::{Beam, Recording};

/// Quick rather than small: noise does not shrink much anyway.
const COMPRESSION_LEVEL: i64 = 1;

/// Writes a recording. The same recording gives the same bytes.
///
/// # Errors
/// What the sink says.
pub fn write(recording: &Recording, sink: impl Write + Seek) -> Result<(), NpzError> {
    let mut file = File { zip: ZipWriter::new(sink) };
    let setting = recording.setting();
    let metadata = Metadata {
        form: FORM.to_owned(),
        version: VERSION,
        caution: CAUTION.to_owned(),
        scale: SCALE,
        setting: setting.clone(),
        passes: recording.passes().iter().map(|pass| *pass.course()).collect(),
    };
    let text = serde_json::to_vec_pretty(&metadata).map_err(failed)?;
    file.begin(METADATA)?;
    file.zip.write_all(&text).map_err(failed)?;
    file.floats(ANGLE, &setting.beams, |beam| beam.angle_deg)?;
    file.floats(EXIT, &setting.beams, |beam| beam.exit_forward_mm)?;
    file.floats(FIRST_PATH, &setting.beams, |beam| beam.first_path_mm)?;
    let first = setting.beams.iter().flat_map(|beam| beam.first_sample.to_le_bytes());
    file.array::<u32>(FIRST_SAMPLE, &[setting.beams.len()], [first.collect::<Vec<u8>>()])?;
    let percent = recording.scale().percent(0.0);
    file.array::<f32>(
        PERCENT_OF_CODE,
        &[256],
        [percent.iter().flat_map(|p| p.to_le_bytes()).collect::<Vec<u8>>()],
    )?;
    let empty: Box<[u8]> = vec![0; setting.frame_samples()].into();
    for (number, pass) in recording.passes().iter().enumerate() {
        let lines = 0..pass.course().lines;
        let count = pass.course().lines as usize;
        let flags: Vec<u8> = lines.clone().map(|line| u8::from(pass.codes(line).is_some())).collect();
        file.array::<bool>(&recorded(number), &[count], [flags])?;
        let codes = lines.map(|line| pass.codes(line).unwrap_or(&empty));
        let shape = [count, setting.beams.len(), setting.samples as usize];
        file.array::<u8>(&amplitude(number), &shape, codes)?;
    }
    file.zip.finish().map_err(failed)?;
    Ok(())
}

fn failed(error: impl core::fmt::Display) -> NpzError {
    NpzError::Write(error.to_string())
}

struct File<W: Write + Seek> {
    zip: ZipWriter<W>,
}

impl<W: Write + Seek> File<W> {
    fn begin(&mut self, name: &str) -> Result<(), NpzError> {
        // The archive's own default date keeps clocks out.
        let options = SimpleFileOptions::default()
            .last_modified_time(zip::DateTime::default())
            .compression_method(CompressionMethod::Deflated)
            .compression_level(Some(COMPRESSION_LEVEL));
        self.zip.start_file(name, options).map_err(failed)
    }

    /// An array from its little-endian bytes in pieces.
    fn array<T: AutoSerialize>(
        &mut self,
        name: &str,
        shape: &[usize],
        pieces: impl IntoIterator<Item = impl AsRef<[u8]>>,
    ) -> Result<(), NpzError> {
        self.begin(name)?;
        let shape: Vec<u64> = shape.iter().map(|&length| length as u64).collect();
        let mut header = Vec::new();
        npyz::WriteOptions::new_header_only()
            .dtype(T::default_dtype())
            .shape(&shape)
            .writer(&mut header)
            .write_header_only()
            .map_err(failed)?;
        self.zip.write_all(&header).map_err(failed)?;
        pieces.into_iter().try_for_each(|piece| self.zip.write_all(piece.as_ref())).map_err(failed)
    }

    fn floats(&mut self, name: &str, beams: &[Beam], of: impl Fn(&Beam) -> f64) -> Result<(), NpzError> {
        let bytes: Vec<u8> = beams.iter().flat_map(|beam| of(beam).to_le_bytes()).collect();
        self.array::<f64>(name, &[beams.len()], [bytes])
    }
}
