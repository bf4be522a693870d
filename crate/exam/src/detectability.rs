//! What an instructor wants to know before anyone sits a plate: each flaw's best echo by side and leg beside what stands
//! there without it, and whether the plate can be sat fairly.
//!
//! No source was found for how far an echo must stand clear of others: the limits here are common practice.

use acoustics::scene::Scene;
use instrument::bench::{Instrument, SetUpError};
use serde::Serialize;
use specimen::flaw::{Extent, FlawKind};
use specimen::plate::Plate;

use crate::findable::{self, BestEcho};
use crate::paper::Paper;
use crate::words;

mod beside;
#[cfg(test)]
mod tests;

use beside::Beside;

/// An echo stands clear of noise from this on, dB. Common practice, no source.
pub const CLEAR_OF_NOISE_DB: f64 = 6.0;
/// Geometry beside a flaw hides it when it stands higher than the flaw by more than this, dB. Common practice, no source.
pub const HIDDEN_BY_GEOMETRY_DB: f64 = 10.0;
/// A flaw listed as below the recording level may stand this much above it, dB: programs round differently.
const LISTED_PLAY_DB: f64 = 1.0;
/// An echo at the recording level must stand at least this high at scanning gain, % of full screen height.
const SEEN_PERCENT: f64 = 10.0;

/// What a trainee would make of an echo.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Standing {
    /// At or above the recording level and clear of all else.
    Clear,
    /// At or above the recording level with geometry beside it that is at most as high as [`HIDDEN_BY_GEOMETRY_DB`] more.
    BesideGeometry,
    /// Geometry beside it is higher still.
    HiddenByGeometry,
    /// Not clear of grain and receiver noise.
    InNoise,
    /// Below the recording level.
    BelowRecordingLevel,
}

impl Standing {
    /// In words, for a table.
    pub fn words(self) -> &'static str {
        match self {
            Self::Clear => "clear",
            Self::BesideGeometry => "beside geometry",
            Self::HiddenByGeometry => "hidden by geometry",
            Self::InNoise => "in the noise",
            Self::BelowRecordingLevel => "below the recording level",
        }
    }

    /// Whether a trainee can be held to it.
    pub fn counts(self) -> bool {
        matches!(self, Self::Clear | Self::BesideGeometry)
    }
}

/// The best echo of a flaw from one side in one leg, and what is there without the flaw.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Row {
    /// The echo and its pose.
    #[serde(flatten)]
    pub echo: BestEcho,
    /// Highest echo of cap, root and other geometry within 4 mm of sound path and three beams, dB against the reference.
    pub geometry_db: f64,
    /// Highest grain and receiver noise there, dB against the reference.
    pub noise_db: f64,
    /// What a trainee would make of it.
    pub standing: Standing,
}

/// A flaw and its echoes.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FlawRows {
    /// Place in the plate file, from 0.
    pub flaw: u32,
    /// What it is.
    pub kind: FlawKind,
    /// The box it fills.
    pub extent: Extent,
    /// A mandatory flaw that is missed fails the plate.
    pub mandatory: bool,
    /// The scheme excuses it as below the recording level.
    pub excused: bool,
    /// Side by side, leg by leg.
    pub rows: Vec<Row>,
}

/// The table of a plate.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Detectability {
    /// Id of the plate.
    pub plate_id: String,
    /// Digest of the paper.
    pub paper_digest: String,
    /// Recording level against the reference, dB.
    pub recording_level_db: f64,
    /// Highest grain and receiver noise that plots within the weld's width at any pose looked at, dB against the reference;
    /// absent where nothing was looked at.
    pub noise_db: Option<f64>,
    /// The flaws in the order of the file.
    pub flaws: Vec<FlawRows>,
    /// Why the plate cannot be sat fairly, a sentence each; empty when it can.
    pub unfair: Vec<String>,
}

impl Detectability {
    /// Whether the plate can be sat fairly.
    pub fn is_fair(&self) -> bool {
        self.unfair.is_empty()
    }

    /// Flaws that no allowed pose brings up to the recording level, by their place in the plate file.
    pub fn out_of_reach(&self) -> Vec<u32> {
        let echoes = self.flaws.iter().flat_map(|flaw| &flaw.rows).map(|row| row.echo);
        findable::out_of_reach(&echoes.collect::<Vec<_>>())
    }
}

/// A table in the making, flaw by flaw, for whoever wants to see it grow.
pub struct Survey {
    paper: Paper,
    instrument: Instrument,
    scenes: Vec<Scene>,
    echoes: Vec<BestEcho>,
    done: u32,
}

impl Survey {
    /// Sets the instrument up; no flaw is scanned yet.
    ///
    /// # Errors
    /// A set-up that is impossible.
    pub fn new(paper: Paper) -> Result<Self, SetUpError> {
        let instrument = over_sound_weld(&paper)?;
        let mut scenes = paper.plate.flaw_scenes(findable::point_spacing_mm(&paper));
        scenes.reverse();
        Ok(Self { paper, instrument, scenes, echoes: Vec::new(), done: 0 })
    }

    /// Flaws done and flaws in all.
    pub fn progress(&self) -> [u32; 2] {
        [self.done, self.paper.plate.flaws.len() as u32]
    }

    /// Scans the next flaw; false when there is none left.
    pub fn step(&mut self) -> bool {
        let Some(scene) = self.scenes.pop() else { return false };
        self.echoes.extend(findable::echoes_of_one(&mut self.instrument, &self.paper, self.done, scene));
        self.done += 1;
        true
    }

    /// The table without its judgement; scans what is left.
    fn finished(&mut self) -> Detectability {
        while self.step() {}
        bare_table(&mut self.instrument, &self.paper, &self.echoes)
    }

    /// The table of the paper as it is, with its judgement; scans what is left.
    pub fn table(mut self) -> (Paper, Detectability) {
        let mut table = self.finished();
        table.unfair = unfair(&self.paper, &table);
        (self.paper, table)
    }

    /// The paper made fair, with its table, as [`made_fair`] says.
    ///
    /// # Errors
    /// None in practice; the instrument of quieter metal could be refused like the first.
    pub fn made_fair(mut self) -> Result<(Paper, Detectability), SetUpError> {
        let mut table = self.finished();
        let level = table.recording_level_db;
        if let Some(over) = table.noise_db.map(|noise| noise - level).filter(|&over| over >= 0.0) {
            // Whole steps read well in the file; one more keeps rounding out of it.
            self.paper.plate.grain_level_db -= libm::ceil(over) + 1.0;
            // A flaw by itself is scanned in silent metal: its echoes stand.
            self.instrument = over_sound_weld(&self.paper)?;
            return self.made_fair();
        }
        let mut paper = self.paper;
        excuse(&mut paper, &mut table);
        table.paper_digest = paper.digest();
        table.unfair = unfair(&paper, &table);
        Ok((paper, table))
    }
}

/// Tells a paper, and its table, what nobody can be held to.
fn excuse(paper: &mut Paper, table: &mut Detectability) {
    let below = table.out_of_reach();
    for (row, flaw) in table.flaws.iter_mut().zip(&mut paper.plate.flaws) {
        flaw.mandatory &= row.rows.iter().any(|row| row.standing.counts());
        row.excused = below.contains(&row.flaw);
        row.mandatory = flaw.mandatory;
    }
    paper.scheme.below_recording_level = below;
}

/// The instrument on a plate's weld without its flaws.
fn over_sound_weld(paper: &Paper) -> Result<Instrument, SetUpError> {
    findable::instrument(paper, &Plate { flaws: Vec::new(), ..paper.plate.clone() })
}

/// The table of a paper and its judgement. Takes about half a second.
///
/// # Errors
/// A set-up that is impossible.
pub fn table(paper: &Paper) -> Result<Detectability, SetUpError> {
    Ok(Survey::new(paper.clone())?.table().1)
}

/// The paper made fair, with its table: its scheme is told which flaws stay below the recording level whatever an operator
/// does, so that they are not counted for or against anybody, what nothing shows clearly is not mandatory, and metal whose
/// grain alone would have to be recorded is made quieter. The same paper gives the same answer on every machine. Without it [`crate::fair`] looks at the misses.
///
/// # Errors
/// A set-up that is impossible.
pub fn made_fair(paper: Paper) -> Result<(Paper, Detectability), SetUpError> {
    Survey::new(paper)?.made_fair()
}

/// The table of a paper whose echoes are known, with its judgement. The instrument is set up as the paper's procedure says; it comes
/// back on its own scene, its frame and gain are lost.
pub(crate) fn judged(instrument: &mut Instrument, paper: &Paper, echoes: &[BestEcho]) -> Detectability {
    let mut table = bare_table(instrument, paper, echoes);
    table.unfair = unfair(paper, &table);
    table
}

/// The table without its judgement.
fn bare_table(instrument: &mut Instrument, paper: &Paper, echoes: &[BestEcho]) -> Detectability {
    let beside = Beside::of(instrument, paper, echoes);
    let excused = &paper.scheme.below_recording_level;
    let flaws: Vec<FlawRows> = (0..)
        .zip(&paper.plate.flaws)
        .map(|(index, flaw)| FlawRows {
            flaw: index,
            kind: flaw.kind,
            extent: flaw.extent(&paper.plate),
            mandatory: flaw.mandatory,
            excused: excused.contains(&index),
            rows: echoes
                .iter()
                .zip(&beside.heights_db)
                .filter(|(echo, _)| echo.flaw == index)
                .map(|(&echo, &[geometry_db, noise_db])| Row {
                    echo,
                    geometry_db,
                    noise_db,
                    standing: standing(&echo, geometry_db, noise_db),
                })
                .collect(),
        })
        .collect();
    Detectability {
        plate_id: paper.plate.id.clone(),
        paper_digest: paper.digest(),
        recording_level_db: paper.procedure.recording_level_db,
        noise_db: beside.noise_db,
        flaws,
        unfair: Vec::new(),
    }
}

fn standing(echo: &BestEcho, geometry_db: f64, noise_db: f64) -> Standing {
    if echo.amplitude_db < noise_db + CLEAR_OF_NOISE_DB {
        Standing::InNoise
    } else if !echo.recordable {
        Standing::BelowRecordingLevel
    } else if geometry_db > echo.amplitude_db + HIDDEN_BY_GEOMETRY_DB {
        Standing::HiddenByGeometry
    } else if geometry_db > echo.amplitude_db - CLEAR_OF_NOISE_DB {
        Standing::BesideGeometry
    } else {
        Standing::Clear
    }
}

/// Why a plate cannot be sat fairly.
fn unfair(paper: &Paper, table: &Detectability) -> Vec<String> {
    let mut reasons = Vec::new();
    let (procedure, level) = (&paper.procedure, table.recording_level_db);
    let seen_percent = instrument::sensitivity::REFERENCE_HEIGHT_PERCENT
        * libm::exp10((procedure.scanning_gain_db + level) / 20.0);
    if seen_percent < SEEN_PERCENT {
        reasons.push(format!(
            "procedure.scanning_gain_db: an echo at the recording level of {} stands at {} of the screen while \
             scanning, expected at least {}",
            words::db(level),
            words::percent(seen_percent),
            words::percent(SEEN_PERCENT)
        ));
    }
    if let Some(noise) = table.noise_db.filter(|&noise| noise >= level) {
        reasons.push(format!(
            "plate.grain_level_db: grain alone reaches {}, above the recording level of {}",
            words::db(noise),
            words::db(level)
        ));
    }
    reasons.extend(table.flaws.iter().filter_map(|flaw| unfair_flaw(flaw, level)));
    reasons.extend(too_close(paper, table));
    reasons
}

fn unfair_flaw(flaw: &FlawRows, level: f64) -> Option<String> {
    let best = flaw.rows.iter().max_by(|a, b| a.echo.amplitude_db.total_cmp(&b.echo.amplitude_db))?;
    let (height, number) = (words::db(best.echo.amplitude_db), flaw.flaw);
    let name = flaw.kind.words().to_lowercase();
    if flaw.excused {
        return (best.echo.amplitude_db >= level + LISTED_PLAY_DB).then(|| {
            format!(
                "scheme.below_recording_level: lists plate.flaw[{number}] ({name}), but it reaches {height} from \
                 side {:?}",
                best.echo.side
            )
        });
    }
    if !flaw.rows.iter().any(|row| row.echo.recordable) {
        return Some(format!(
            "plate.flaw[{number}] ({name}): below the recording level everywhere ({height} at best), but not in \
             scheme.below_recording_level"
        ));
    }
    if !flaw.mandatory || flaw.rows.iter().any(|row| row.standing.counts()) {
        return None;
    }
    let recordable = || flaw.rows.iter().filter(|row| row.echo.recordable);
    let why = if recordable().all(|row| row.standing == Standing::InNoise) {
        "no echo of it stands clear of the grain"
    } else {
        "cap or root echo far higher beside every echo of it"
    };
    Some(format!("plate.flaw[{number}] ({name}): mandatory, but {why} ({height} at best)"))
}

/// Flaws so close that a call could belong to either.
fn too_close(paper: &Paper, table: &Detectability) -> Vec<String> {
    let matching = &paper.scheme.matching;
    let apart = |a: [f64; 2], b: [f64; 2]| (b[0] - a[1]).max(a[0] - b[1]);
    let middle = |ends: [f64; 2]| f64::midpoint(ends[0], ends[1]);
    let mut reasons = Vec::new();
    for (index, one) in table.flaws.iter().enumerate() {
        for other in &table.flaws[index + 1..] {
            let (a, b) = (&one.extent, &other.extent);
            if apart(a.along_mm, b.along_mm) < 0.0
                && (middle(a.across_mm) - middle(b.across_mm)).abs() <= matching.across_mm / 2.0
                && (middle(a.depth_mm) - middle(b.depth_mm)).abs() <= matching.depth_mm / 2.0
            {
                reasons.push(format!(
                    "plate.flaw[{}] and plate.flaw[{}]: so close above each other that a call could belong to either",
                    one.flaw, other.flaw
                ));
            }
        }
    }
    reasons
}
