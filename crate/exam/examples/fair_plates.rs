//! Makes the long row of drawn plates fair and says which of them `trialplate plate check` would refuse.
//!
//!     cargo run --profile native -p exam --example fair_plates -- 10000 1/1 fair-plates.txt
//!
//! One line a plate is added to the file: number in the row, id, digest of the plate file, seconds, and `fair` or the reasons
//! for refusing it. Plates that have a line are passed over, so that a run that was stopped can be started again.

use std::collections::BTreeSet;
use std::error::Error;
use std::fs::{self, OpenOptions};
use std::io::{ErrorKind, Write};
use std::time::Instant;

use exam::collection;
use exam::detectability;
use exam::paper::Paper;

/// What is wrong with the command line.
const USAGE: &str =
    "expected a number of plates, a share such as 1/2 (its number from 1), and a file to add to";

fn main() -> Result<(), Box<dyn Error>> {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let [plates, share, file] = arguments.as_slice() else { return Err(USAGE.into()) };
    let (number, of) = share.split_once('/').ok_or(USAGE)?;
    let (plates, number, of): (u32, u32, u32) = (plates.parse()?, number.parse()?, of.parse()?);
    if !(1..=of).contains(&number) {
        return Err(USAGE.into());
    }
    let before = match fs::read_to_string(file) {
        Err(error) if error.kind() == ErrorKind::NotFound => String::new(),
        before => before?,
    };
    let done: BTreeSet<u32> =
        before.lines().filter_map(|line| line.split('\t').next()?.parse().ok()).collect();
    let mut out = OpenOptions::new().create(true).append(true).open(file)?;
    let (mut looked_at, mut refused) = (0_u32, 0_u32);
    for n in (number - 1..plates).step_by(of as usize).filter(|n| !done.contains(n)) {
        let began = Instant::now();
        let reasons = refusals(n)?;
        let seconds = began.elapsed().as_secs_f64();
        looked_at += 1;
        refused += u32::from(reasons.1 != FAIR);
        writeln!(out, "{n}\t{}\t{seconds:.2}\t{}", reasons.0, reasons.1)?;
    }
    println!("{looked_at} plates looked at, {refused} refused; {} had been looked at before", done.len());
    if refused > 0 { Err("plates were refused".into()) } else { Ok(()) }
}

/// Word for a plate that is not refused.
const FAIR: &str = "fair";

/// Id and digest of the n-th plate, and why it is refused or that it is not.
fn refusals(n: u32) -> Result<(String, String), Box<dyn Error>> {
    let (paper, table) = detectability::made_fair(collection::paper(n))?;
    let id = format!("{}\t{}", paper.plate.id, table.paper_digest);
    // What stands in the file is what is handed out.
    let reasons = match Paper::parse("drawn", paper.to_toml()?.as_bytes()) {
        Err(error) => vec![error.to_string().replace('\n', "; ")],
        Ok(read) if read != paper => vec!["the file does not read as it was written".to_owned()],
        Ok(_) => table.unfair,
    };
    Ok((id, if reasons.is_empty() { FAIR.to_owned() } else { reasons.join("; ") }))
}
