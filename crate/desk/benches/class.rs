//! How long `trialplate mark --class` takes for a large class, from the files to the table and the report.
#![expect(clippy::unwrap_used, reason = "a bench stops by a panic")]

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use acoustics::seed::Stream;
use criterion::{Criterion, criterion_group, criterion_main};
use exam::event::Event;
use exam::fair::Marker;
use exam::hand_in::{self, ToldMark};
use exam::log::Log;
use exam::paper::Paper;
use exam::sheet::Call;
use exam::snapshot::Rerun;
use instrument::pose::{Face, Pose, Side};

const HAND_INS: u64 = 1000;
/// So many sessions differ, the others are copies: making them takes longer than marking.
const DIFFERENT: u64 = 50;
/// Of these as many are replayed, too.
const REPLAYED: u64 = 100;
const MINUTES: u64 = 30;

fn plate_file() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../scenarios/plates/th-07.toml")
}

/// A session of half an hour at five poses a second, rows to and fro from both sides, with most flaws called a little beside and
/// something called where nothing is.
fn session(paper: &Paper, number: u64) -> Log {
    let mut stream = Stream::new(number, "a trainee of a large class");
    let mut off = |most: f64| (f64::from(stream.below(2001)) / 1000.0 - 1.0) * most;
    let mut log = Log::new(&paper.plate.id, &paper.digest());
    for step in 0..MINUTES * 300 {
        let there = (step % 600) as f64 / 2.0;
        let back = step % 1200 >= 600;
        let pose = Pose {
            face: Face::Upper,
            side: if back { Side::B } else { Side::A },
            index_offset_mm: 15.0 + (step / 1200) as f64 * 4.0 + off(0.3),
            y_mm: if back { 300.0 - there } else { there } + off(0.2),
            skew_deg: 0.0,
        };
        log.push(200 * step, Event::Pose(pose)).unwrap();
    }
    let end_ms = MINUTES * 60_000;
    let flaws = paper.plate.flaws.iter().map(|flaw| (flaw.kind, flaw.extent(&paper.plate)));
    for (kind, extent) in flaws {
        if off(1.0) > 0.7 {
            continue;
        }
        let call = Call {
            kind: Some(kind),
            start_mm: Some(extent.along_mm[0] + off(3.0)),
            end_mm: Some(extent.along_mm[1] + off(3.0)),
            offset_mm: Some(extent.across_mm[0] + off(2.0)),
            depth_mm: Some(extent.depth_mm[0] + off(2.0)),
            height_mm: Some(3.0 + off(1.5)),
            ..Call::default()
        };
        log.push(end_ms, Event::CallAdded(call)).unwrap();
    }
    let nothing = Call { start_mm: Some(150.0 + off(140.0)), ..Call::default() };
    log.push(end_ms, Event::CallAdded(nothing)).unwrap();
    log.push(end_ms, Event::HandIn).unwrap();
    log
}

fn class(c: &mut Criterion) {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    let paper = Paper::parse("th-07.toml", &fs::read(plate_file()).unwrap()).unwrap();
    let marker = Marker::new(&paper).unwrap();
    for name in ["all", "some"] {
        fs::create_dir(at.join(name)).unwrap();
    }
    let mut bytes = 0;
    for number in 0..DIFFERENT {
        let log = session(&paper, number);
        let digest = Rerun::new(&paper, &log).last_digest().unwrap();
        let told = Some(ToldMark::of(&marker.mark(&log)));
        let text = hand_in::write("Trainee", &log, told, &digest, None).unwrap();
        bytes += text.len();
        for copy in 0..HAND_INS / DIFFERENT {
            fs::write(at.join(format!("all/{number:02}-{copy:02}.json")), &text).unwrap();
            if copy < REPLAYED / DIFFERENT {
                fs::write(at.join(format!("some/{number:02}-{copy:02}.json")), &text).unwrap();
            }
        }
    }
    println!("{HAND_INS} hand-ins of {MINUTES} minutes, {} kB each", bytes / 1000 / DIFFERENT as usize);
    let plate = plate_file();
    let mut group = c.benchmark_group("class");
    group.sample_size(10);
    let mut marked = |name: &str, class: &str, more: &[&str]| {
        group.bench_function(name, |bench| {
            bench.iter(|| {
                let mut command = Command::new(env!("CARGO_BIN_EXE_trialplate"));
                command
                    .arg("mark")
                    .arg(&plate)
                    .arg("--class")
                    .arg(at.join(class))
                    .arg("-o")
                    .arg(at.join("out"));
                assert!(command.args(more).output().unwrap().status.success());
            });
        });
    };
    marked("1000 without replay", "all", &["--without-replay"]);
    marked("100 without replay", "some", &["--without-replay"]);
    marked("100 with replay", "some", &[]);
    let table = fs::read_to_string(at.join("out/class.csv")).unwrap();
    assert!(!table.contains("Replayed"), "every session came out again");
}

criterion_group!(benches, class);
criterion_main!(benches);
