//! From a file to a recording.

use serde::Deserialize;

use super::archive::Archive;
use super::array::{bytes, list, rows};
use super::{
    ANGLE, EXIT, FIRST_PATH, FIRST_SAMPLE, FORM, METADATA, MOST_FILE_BYTES, MOST_FRAME_SAMPLES,
    MOST_METADATA_BYTES, Metadata, NpzError, PERCENT_OF_CODE, SCALE, VERSION, amplitude, recorded,
};
use instrument::recording::{Beam, MOST_PASSES, Recording, Setting};
use instrument::set_up;

/// The archive, if the file is not too large to be a recording.
fn archive(file: &[u8]) -> Result<Archive<'_>, NpzError> {
    if file.len() > MOST_FILE_BYTES {
        return Err(NpzError::TooLarge { mb: file.len() / 1_000_000 });
    }
    Archive::open(file).map_err(NpzError::NoArchive)
}

/// A text beside a recording, at most `limit` bytes; `None` where the file has none of this name.
///
/// # Errors
/// No archive, or an entry that cannot be used.
pub fn read_beside(file: &[u8], name: &str, limit: u64) -> Result<Option<Vec<u8>>, NpzError> {
    let zip = archive(file)?;
    if zip.has(name) { bytes(&zip, name, limit).map(Some) } else { Ok(None) }
}

/// Name of the plate that a file's recording is of.
///
/// # Errors
/// No archive, or no recording's metadata.
pub fn read_plate_id(file: &[u8]) -> Result<String, NpzError> {
    let zip = archive(file)?;
    Ok(metadata(&bytes(&zip, METADATA, MOST_METADATA_BYTES)?)?.setting.plate_id)
}

/// Reads a recording. Nothing in the file is trusted: sizes are checked before memory is taken.
///
/// # Errors
/// The first thing that cannot be used, with the entry's name and what was expected.
pub fn read(file: &[u8]) -> Result<Recording, NpzError> {
    let zip = archive(file)?;
    let Metadata { mut setting, passes, .. } = metadata(&bytes(&zip, METADATA, MOST_METADATA_BYTES)?)?;
    check(&setting).map_err(|message| NpzError::entry(METADATA, message))?;
    setting.beams = beams(&zip, &setting)?;
    let percent = list(&zip, PERCENT_OF_CODE, "<f4", 256, f32::from_le_bytes)?;
    let mut recording = Recording::with(setting);
    let own = recording.scale().percent(0.0);
    // Not a number is not close either.
    let close = |code: &usize| (percent[*code] - own[*code]).abs() <= 1e-3 * own[*code];
    if let Some(code) = (0..256).find(|code| !close(code)) {
        let message = format!("code {code} is {} %, expected {} %", percent[code], own[code]);
        return Err(NpzError::entry(PERCENT_OF_CODE, message));
    }
    if passes.len() > MOST_PASSES {
        let message = format!("has {} passes, expected at most {MOST_PASSES}", passes.len());
        return Err(NpzError::entry(METADATA, message));
    }
    for (number, course) in passes.into_iter().enumerate() {
        recording
            .begin(course)
            .map_err(|error| NpzError::entry(METADATA, format!("pass {number}: {error}")))?;
    }
    for pass in 0..recording.passes().len() {
        lines(&zip, &mut recording, pass)?;
    }
    Ok(recording)
}

fn metadata(text: &[u8]) -> Result<Metadata, NpzError> {
    #[derive(Deserialize)]
    struct About {
        form: Option<String>,
        version: Option<u32>,
    }
    let wrong = |error: serde_json::Error| NpzError::entry(METADATA, error);
    let about: About = crate::json::read(text).map_err(wrong)?;
    if about.form.as_deref() != Some(FORM) {
        return Err(NpzError::entry(METADATA, format!("form is {:?}, expected {FORM:?}", about.form)));
    }
    if about.version != Some(VERSION) {
        let version = about.version.map_or("missing".to_owned(), |version| version.to_string());
        return Err(NpzError::entry(METADATA, format!("version is {version}, expected {VERSION}")));
    }
    let metadata: Metadata = crate::json::read(text).map_err(wrong)?;
    if metadata.scale != SCALE {
        let message = format!(
            "scale begins at {} dB in steps of {} dB, expected {} dB and {} dB",
            metadata.scale.floor_db, metadata.scale.step_db, SCALE.floor_db, SCALE.step_db
        );
        return Err(NpzError::entry(METADATA, message));
    }
    Ok(metadata)
}

/// What the views and readings rely on.
fn check(setting: &Setting) -> Result<(), String> {
    let within = |name: &str, value: f64, low: f64, high: f64| {
        if (low..=high).contains(&value) {
            Ok(())
        } else {
            Err(format!("setting.{name} is {value}, expected {low} to {high}"))
        }
    };
    within("thickness_mm", setting.thickness_mm, 1.0, 1000.0)?;
    within("length_mm", setting.length_mm, 1.0, 100_000.0)?;
    within("range_mm", setting.range_mm, 1.0, 1000.0)?;
    within("reference_gain_db", setting.reference_gain_db, -100.0, 200.0)?;
    within("scanning_gain_db", setting.scanning_gain_db, -100.0, 200.0)?;
    within("recording_level_db", setting.recording_level_db, -100.0, 100.0)?;
    within("aperture_to_front_mm", setting.aperture_to_front_mm, 0.0, 1000.0)?;
    within("aperture_height_mm", setting.aperture_height_mm, 0.01, 1000.0)?;
    within("wedge_speed_mm_per_us", setting.wedge_speed_mm_per_us, 0.1, 20.0)?;
    within("plate_speed_mm_per_us", setting.plate_speed_mm_per_us, 0.1, 20.0)?;
    within("sampling_mhz", setting.sampling_mhz, 1.0, 1000.0)?;
    within("path_step_mm", setting.path_step_mm, 0.001, 10.0)?;
    let samples = (setting.range_mm / setting.path_step_mm) as u32 + 1;
    if setting.samples < 3 || setting.samples.abs_diff(samples) > 1 {
        return Err(format!(
            "setting.samples is {}, expected {samples} for its range and step",
            setting.samples
        ));
    }
    set_up::check_probe_and_sector(&setting.probe, &setting.sector)
        .map_err(|error| format!("setting: {error}"))?;
    let samples = u64::from(set_up::beam_count(&setting.sector)) * u64::from(setting.samples);
    if samples > MOST_FRAME_SAMPLES {
        return Err(format!("a line has {samples} samples, expected at most {MOST_FRAME_SAMPLES}"));
    }
    Ok(())
}

fn beams(zip: &Archive, setting: &Setting) -> Result<Vec<Beam>, NpzError> {
    let expected = set_up::sector_angles_deg(&setting.sector);
    let count = expected.len();
    let floats = |name| list(zip, name, "<f8", count, f64::from_le_bytes);
    let angles = floats(ANGLE)?;
    let exits = floats(EXIT)?;
    let paths = floats(FIRST_PATH)?;
    let firsts = list(zip, FIRST_SAMPLE, "<u4", count, u32::from_le_bytes)?;
    let mut beams = Vec::new();
    for beam in 0..count {
        let wrong = |name, value: f64, right: String| {
            Err(NpzError::entry(name, format!("beam {beam} has {value}, expected {right}")))
        };
        let near = |value: f64, low: f64, high: f64| (low..=high).contains(&value);
        if !near(angles[beam], expected[beam] - 1e-6, expected[beam] + 1e-6) {
            return wrong(ANGLE, angles[beam], format!("{}", expected[beam]));
        }
        if !near(exits[beam], -1000.0, 1000.0) {
            return wrong(EXIT, exits[beam], "-1000 to 1000 mm".to_owned());
        }
        if !near(paths[beam], 0.0, setting.path_step_mm) {
            return wrong(FIRST_PATH, paths[beam], format!("0 to {} mm", setting.path_step_mm));
        }
        if firsts[beam] > 100_000 {
            return wrong(FIRST_SAMPLE, f64::from(firsts[beam]), "at most 100000".to_owned());
        }
        beams.push(Beam {
            angle_deg: angles[beam],
            exit_forward_mm: exits[beam],
            first_sample: firsts[beam],
            first_path_mm: paths[beam],
        });
    }
    // A frame reaches from the earliest to the latest sample.
    let earliest = firsts.iter().min().copied().unwrap_or(0);
    let late = (0_u32..).zip(&firsts).find(|(_, first)| *first - earliest > setting.samples);
    if let Some((beam, first)) = late {
        let most = earliest + setting.samples;
        return Err(NpzError::entry(
            FIRST_SAMPLE,
            format!("beam {beam} has {first}, expected {earliest} to {most}"),
        ));
    }
    Ok(beams)
}

fn lines(zip: &Archive, recording: &mut Recording, pass: usize) -> Result<(), NpzError> {
    let count = recording.passes()[pass].course().lines;
    let name = recorded(pass);
    let flags = list(zip, &name, "|b1", count as usize, |[flag]: [u8; 1]| flag)?;
    if let Some(line) = flags.iter().position(|&flag| flag > 1) {
        return Err(NpzError::entry(&name, format!("line {line} is {}, expected 0 or 1", flags[line])));
    }
    let (name, setting) = (amplitude(pass), recording.setting());
    let shape = [u64::from(count), setting.beams.len() as u64, u64::from(setting.samples)];
    let row_bytes = setting.frame_samples();
    let mut next = (0..).zip(flags);
    rows(zip, &name, "|u1", &shape, row_bytes, &mut |codes| match next.next() {
        Some((line, 1)) => {
            recording.put(pass, line, codes.into()).map_err(|error| NpzError::entry(&name, error))
        }
        _ => Ok(()),
    })
}
