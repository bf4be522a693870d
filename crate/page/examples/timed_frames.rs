//! Times whole frames natively, so that `cargo xtask bench` can say how much slower the browser is at the same work.
//!
//!     cargo run --profile native -p page --example timed_frames -- plate.toml 700 100
//!
//! Makes 700 frames of a plate, the first 100 not counted, and prints the median of a whole frame in milliseconds and the last
//! frame's digest.

use std::error::Error;
use std::fs;
use std::time::Instant;

use exam::paper::Paper;
use instrument::picture::View;
use page::session::Session;

/// What is wrong with the command line.
const USAGE: &str = "expected a plate file, a number of frames and how many of them are not counted";

fn main() -> Result<(), Box<dyn Error>> {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let [file, count, warm_up] = arguments.as_slice() else { return Err(USAGE.into()) };
    let (count, warm_up): (u64, usize) = (count.parse()?, warm_up.parse()?);
    let paper = Paper::parse(file, &fs::read(file)?)?;
    let [near, far] = paper.procedure.index_offset_mm;
    let mut session = Session::new(paper)?;
    let mut times_ms = Vec::new();
    for number in 0..count {
        let start = Instant::now();
        session.set_pose(number, "A", [(near + far) / 2.0, y_mm(number), 0.0])?;
        session.frame();
        session.paint(View::Folded, None);
        session.take_trace();
        times_ms.push(start.elapsed().as_secs_f64() * 1000.0);
    }
    let mut counted = times_ms.split_off(warm_up.min(times_ms.len()));
    counted.sort_by(f64::total_cmp);
    let median = counted.get(counted.len() / 2).ok_or(USAGE)?;
    println!("{median:.3} {}", session.digest());
    Ok(())
}

/// Forth and back along the weld, a millimetre a frame, as the bench in the browser goes.
fn y_mm(number: u64) -> f64 {
    let step = number % 400;
    20.0 + (if step < 200 { step } else { 400 - step }) as f64
}
