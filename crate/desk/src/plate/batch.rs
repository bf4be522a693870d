//! `plate batch`: many plates and their manifest, on all cores and, in shards, on many machines.
//!
//! Each plate hangs on joint, level and seed alone, and has a file of its own and an entry of its own beside it. Whichever
//! shard finds all entries there puts them together, so that no shard waits for another.

use std::collections::BTreeMap;
use std::io::{self, IsTerminal, Write};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU64, Ordering};

use clap::Args;
use exam::detectability;
use exam::paper::Paper;
use instrument::pose::Side;
use rayon::prelude::*;
use serde::{Deserialize, Serialize};

use super::JointName;
use crate::failure::Failure;
use crate::files;

/// Arguments of `plate batch`.
#[derive(Args)]
pub struct Batch {
    /// The joint.
    #[arg(long, value_enum)]
    joint: JointName,
    /// From 1 (easy) to 5 (hard).
    #[arg(long, value_parser = clap::value_parser!(u8).range(1..=5))]
    level: u8,
    /// Number of plates.
    #[arg(long, value_parser = clap::value_parser!(u64).range(1..=1_000_000))]
    count: u64,
    /// Seed of the first plate; the others follow it.
    #[arg(long, value_parser = clap::value_parser!(u64).range(..=i64::MAX as u64))]
    first_seed: u64,
    /// Make only the i-th of n equal shares, such as 3/16; i counts from 1. Whatever n, all shares together write the same
    /// files, the manifest with the last of them.
    #[arg(long, default_value = "1/1", value_parser = shard)]
    shard: Shard,
    /// Folder to write to; made when it is not there.
    #[arg(short, long)]
    output: PathBuf,
}

/// One of so many shares.
#[derive(Clone, Copy, Debug)]
struct Shard {
    number: u64,
    of: u64,
}

fn shard(text: &str) -> Result<Shard, String> {
    let shard = text
        .split_once('/')
        .and_then(|(number, of)| Some(Shard { number: number.parse().ok()?, of: of.parse().ok()? }));
    shard
        .filter(|shard| (1..=shard.of).contains(&shard.number))
        .ok_or_else(|| "expected i/n with i from 1 to n, such as 3/16".to_owned())
}

/// What the manifest says of a plate.
#[derive(Serialize, Deserialize)]
struct Entry {
    /// Plate file; absent for a plate that cannot be sat fairly.
    file: Option<String>,
    seed: u64,
    digest: String,
    thickness_mm: f64,
    flaws: u32,
    /// Flaws that stay below the recording level and are not counted.
    not_counted: u32,
    /// Best echo of each flaw, in the order of the file.
    best: Vec<Best>,
    /// Why the plate was refused.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    refused: Vec<String>,
}

/// The best echo of a flaw.
#[derive(Serialize, Deserialize)]
struct Best {
    kind: String,
    amplitude_db: f64,
    side: Side,
    leg: u8,
}

/// The whole batch.
#[derive(Serialize)]
struct Manifest {
    joint: String,
    level: u8,
    first_seed: u64,
    count: u64,
    caution: &'static str,
    plates: Vec<Entry>,
}

/// Runs the command.
pub fn run(arguments: &Batch) -> Result<(), Failure> {
    let last = arguments.first_seed.checked_add(arguments.count - 1);
    if last.is_none_or(|last| i64::try_from(last).is_err()) {
        return Err(Failure::Said(
            "the last seed would not fit a plate file, expected a lower --first-seed".to_owned(),
        ));
    }
    std::fs::create_dir_all(&arguments.output)
        .map_err(|error| Failure::Write { path: arguments.output.clone(), error })?;
    let share: Vec<u64> =
        (0..arguments.count).filter(|k| k % arguments.shard.of == arguments.shard.number - 1).collect();
    let (done, total, shown) = (AtomicU64::new(0), share.len(), io::stderr().is_terminal());
    let failed: BTreeMap<u64, String> = share
        .into_par_iter()
        .filter_map(|k| {
            let seed = arguments.first_seed + k;
            let result = make(arguments, seed);
            let done = done.fetch_add(1, Ordering::Relaxed) + 1;
            if shown {
                // A progress line that cannot be shown is no reason to stop.
                let _ = write!(io::stderr(), "\r{done} of {total} plates");
            }
            result.err().map(|failure| (seed, failure.to_string()))
        })
        .collect();
    if shown {
        let _ = writeln!(io::stderr());
    }
    if !gather(arguments)? && arguments.shard.of == 1 && failed.is_empty() {
        return Err(Failure::Said("entries are missing, the manifest was not written".to_owned()));
    }
    if failed.is_empty() {
        return Ok(());
    }
    let lines: Vec<String> = failed.iter().map(|(seed, why)| format!("seed {seed}: {why}")).collect();
    Err(Failure::Said(format!("{} of {total} plates failed:\n{}", lines.len(), lines.join("\n"))))
}

/// The joint's name as on the command line.
fn joint_name(joint: JointName) -> String {
    clap::ValueEnum::to_possible_value(&joint).map_or(String::new(), |value| value.get_name().to_owned())
}

fn stem(arguments: &Batch, seed: u64) -> String {
    format!("{}-{}-{seed}", joint_name(arguments.joint), arguments.level)
}

/// Makes a plate: its file, then its entry. A refused plate has an entry only.
fn make(arguments: &Batch, seed: u64) -> Result<(), Failure> {
    let (paper, table) = detectability::made_fair(Paper::generate(arguments.joint, arguments.level, seed))?;
    let stem = stem(arguments, seed);
    let file = format!("{stem}.toml");
    let best = table.flaws.iter().filter_map(|flaw| {
        let best = flaw.rows.iter().max_by(|a, b| a.echo.amplitude_db.total_cmp(&b.echo.amplitude_db))?.echo;
        Some(Best {
            kind: flaw.kind.words().to_owned(),
            amplitude_db: libm::round(best.amplitude_db * 10.0) / 10.0,
            side: best.side,
            leg: best.leg,
        })
    });
    let entry = Entry {
        file: table.is_fair().then(|| file.clone()),
        seed,
        digest: table.paper_digest.clone(),
        thickness_mm: paper.plate.thickness_mm,
        flaws: paper.plate.flaws.len() as u32,
        not_counted: paper.scheme.below_recording_level.len() as u32,
        best: best.collect(),
        refused: table.unfair.clone(),
    };
    if table.is_fair() {
        files::write(&arguments.output.join(&file), paper.to_toml()?.as_bytes())?;
    }
    files::write(&entry_path(&arguments.output, &stem), &serde_json::to_vec_pretty(&entry)?)?;
    if table.is_fair() { Ok(()) } else { Err(Failure::Said(format!("refused: {}", table.unfair.join("; ")))) }
}

fn entry_path(folder: &Path, stem: &str) -> PathBuf {
    folder.join(format!("{stem}.json"))
}

/// Puts the manifest together when all entries are there; says whether they are.
fn gather(arguments: &Batch) -> Result<bool, Failure> {
    let mut plates = Vec::new();
    for k in 0..arguments.count {
        let path = entry_path(&arguments.output, &stem(arguments, arguments.first_seed + k));
        let bytes = match std::fs::read(&path) {
            Ok(bytes) => bytes,
            Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(false),
            Err(error) => return Err(Failure::Read { path, error }),
        };
        let entry = serde_json::from_slice(&bytes)
            .map_err(|error| Failure::Files(format!("{}: no entry of a batch: {error}", path.display())))?;
        plates.push(entry);
    }
    let manifest = Manifest {
        joint: joint_name(arguments.joint),
        level: arguments.level,
        first_seed: arguments.first_seed,
        count: arguments.count,
        caution: exam::marking::CAUTION,
        plates,
    };
    files::write(&arguments.output.join("manifest.json"), &serde_json::to_vec_pretty(&manifest)?)?;
    Ok(true)
}
