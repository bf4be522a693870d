//! One frame of a plate at a pose, as numbers or as a picture.

use std::path::{Path, PathBuf};

use clap::{Args, ValueEnum};
use exam::findable;
use exam::paper::Paper;
use instrument::bench::{Instrument, View};
use instrument::pose::{Face, Pose, Side};
use npyz::WriterBuilder;

use crate::failure::Failure;
use crate::files;

/// Arguments of `frame`.
#[derive(Args)]
pub struct Arguments {
    /// Plate file.
    plate: PathBuf,
    /// Side the probe stands on.
    #[arg(long, value_enum, ignore_case = true)]
    side: SideName,
    /// Index offset: centreline to wedge front, mm.
    #[arg(long, allow_negative_numbers = true)]
    offset: f64,
    /// Place along the weld, mm from the datum.
    #[arg(long)]
    y: f64,
    /// Turn of the probe, degrees, positive towards larger y.
    #[arg(long, default_value_t = 0.0, allow_negative_numbers = true)]
    skew: f64,
    /// Gain, dB; without it the procedure's scanning gain.
    #[arg(long)]
    gain: Option<f64>,
    /// Number of the frame: electronic noise differs between numbers.
    #[arg(long, default_value_t = 0)]
    tick: u32,
    /// What the picture shows.
    #[arg(long, value_enum, default_value_t = ViewName::Folded)]
    view: ViewName,
    /// File to write: .npy for 32-bit numbers [beam][sample] in % of full screen height, .png for the picture.
    #[arg(short, long)]
    output: PathBuf,
}

/// A side of the weld.
#[derive(Clone, Copy, ValueEnum)]
pub enum SideName {
    /// x < 0.
    #[value(name = "A")]
    A,
    /// x > 0.
    #[value(name = "B")]
    B,
}

impl SideName {
    /// As the instrument has it.
    pub fn side(self) -> Side {
        match self {
            Self::A => Side::A,
            Self::B => Side::B,
        }
    }
}

/// A drawing of the sound.
#[derive(Clone, Copy, ValueEnum)]
enum ViewName {
    /// Legs folded at the faces.
    Folded,
    /// Straight beams.
    Unfolded,
}

/// The form of the output.
enum Form {
    Numbers,
    Picture,
}

/// Computes and writes a frame.
pub fn run(arguments: &Arguments) -> Result<(), Failure> {
    let form = form(&arguments.output)?;
    let paper = files::paper(&arguments.plate)?;
    let pose = pose(arguments, &paper)?;
    let mut instrument = findable::instrument(&paper, &paper.plate)?;
    let procedure = &paper.procedure;
    let gain_db = arguments.gain.unwrap_or(procedure.scanning_level_db());
    if !gain_db.is_finite() {
        return Err(Failure::Said(format!("--gain is {gain_db}, expected a number of decibels")));
    }
    instrument.set_gain_db(gain_db);
    instrument.scan(&pose, arguments.tick);
    let bytes = match form {
        Form::Numbers => numbers(&instrument)?,
        Form::Picture => picture(&mut instrument, arguments.view)?,
    };
    files::write(&arguments.output, &bytes)
}

fn form(output: &Path) -> Result<Form, Failure> {
    match output.extension().and_then(|extension| extension.to_str()) {
        Some("npy") => Ok(Form::Numbers),
        Some("png") => Ok(Form::Picture),
        _ => Err(Failure::Said(format!("{}: expected a name that ends in .npy or .png", output.display()))),
    }
}

fn pose(arguments: &Arguments, paper: &Paper) -> Result<Pose, Failure> {
    let within = |name: &str, value: f64, low: f64, high: f64, unit: &str| {
        if (low..=high).contains(&value) {
            Ok(value)
        } else {
            Err(Failure::Said(format!("--{name} is {value}, expected {low} to {high}{unit}")))
        }
    };
    let plate = &paper.plate;
    Ok(Pose {
        face: Face::Upper,
        side: arguments.side.side(),
        index_offset_mm: within(
            "offset",
            arguments.offset,
            -plate.width_mm / 2.0,
            plate.width_mm / 2.0,
            " mm",
        )?,
        y_mm: within("y", arguments.y, 0.0, plate.length_mm, " mm")?,
        skew_deg: within("skew", arguments.skew, -180.0, 180.0, "°")?,
    })
}

fn numbers(instrument: &Instrument) -> Result<Vec<u8>, Failure> {
    let traces: Vec<Vec<f32>> =
        (0..instrument.angles_deg().len()).map(|beam| instrument.trace(beam).percent).collect();
    let samples = traces.first().map_or(0, Vec::len);
    let mut bytes = Vec::new();
    let mut writer = npyz::WriteOptions::new()
        .default_dtype()
        .shape(&[traces.len() as u64, samples as u64])
        .writer(&mut bytes)
        .begin_nd()?;
    writer.extend(traces.into_iter().flatten())?;
    writer.finish()?;
    Ok(bytes)
}

fn picture(instrument: &mut Instrument, view: ViewName) -> Result<Vec<u8>, Failure> {
    let view = match view {
        ViewName::Folded => View::Folded,
        ViewName::Unfolded => View::Unfolded,
    };
    let size = instrument.picture_frame(view);
    let mut rgba = vec![0; size.width_px as usize * size.height_px as usize * 4];
    instrument.paint(view, None, &mut rgba);
    png_rgba([size.width_px, size.height_px], &rgba)
}

/// A picture of this width and height from its RGBA rows.
pub fn png_rgba([width_px, height_px]: [u32; 2], rgba: &[u8]) -> Result<Vec<u8>, Failure> {
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, width_px, height_px);
    encoder.set_color(png::ColorType::Rgba);
    encoder.set_depth(png::BitDepth::Eight);
    let said = |error: png::EncodingError| Failure::Said(format!("the picture cannot be written: {error}"));
    let mut writer = encoder.write_header().map_err(said)?;
    writer.write_image_data(rgba).map_err(said)?;
    writer.finish().map_err(said)?;
    Ok(bytes)
}
