//! The lines of a recording, shared out among cores. Every core has an instrument of its own; a frame depends on its line
//! alone, so it does not matter who computes it.

use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::mpsc;

use exam::findable;
use exam::paper::Paper;
use instrument::recording::scale::Scale;
use instrument::recording::{Course, Recording, Setting};

use super::begun;
use crate::failure::Failure;

/// What a worker has to say.
enum News {
    /// The first instrument is ready; this is what recordings are made with.
    Ready(Box<Setting>),
    /// A line.
    Line(usize, u32, Box<[u8]>),
    /// There is no instrument.
    Failed(Failure),
}

/// Records all lines of the courses; `progress` hears how many lines are done, and of how many.
pub fn record(
    paper: &Paper,
    courses: &[Course],
    cores: Option<u32>,
    mut progress: impl FnMut(usize, usize),
) -> Result<Recording, Failure> {
    let jobs: Vec<(usize, u32)> = courses
        .iter()
        .enumerate()
        .flat_map(|(pass, course)| (0..course.lines).map(move |line| (pass, line)))
        .collect();
    let mut pool = rayon::ThreadPoolBuilder::new();
    if let Some(cores) = cores {
        pool = pool.num_threads(cores as usize);
    }
    let pool =
        pool.build().map_err(|error| Failure::Said(format!("no workers could be started: {error}")))?;
    let next = AtomicUsize::new(0);
    // Bounded, so that lines do not pile up.
    let (send, news) = mpsc::sync_channel(256);
    pool.in_place_scope(|scope| {
        for worker in 0..pool.current_num_threads().min(jobs.len()) {
            let (send, next, jobs) = (send.clone(), &next, &jobs);
            scope.spawn(move |_| work(paper, courses, jobs, next, worker == 0, &send));
        }
        drop(send);
        // The receiver goes with it: workers stop when nobody listens any more.
        collect(paper, courses, news, jobs.len(), &mut progress)
    })
}

/// Takes lines until none are left, or nobody listens.
fn work(
    paper: &Paper,
    courses: &[Course],
    jobs: &[(usize, u32)],
    next: &AtomicUsize,
    announce: bool,
    send: &mpsc::SyncSender<News>,
) {
    let mut instrument = match findable::instrument(paper, &paper.plate) {
        Ok(instrument) => instrument,
        Err(error) => {
            let _ = send.send(News::Failed(error.into()));
            return;
        }
    };
    let plate = &paper.plate;
    let setting = Setting::new(&instrument, &paper.procedure, &plate.id, plate.length_mm);
    if announce && send.send(News::Ready(Box::new(setting.clone()))).is_err() {
        return;
    }
    let scale = Scale::default();
    while let Some(&(pass, line)) = jobs.get(next.fetch_add(1, Ordering::Relaxed)) {
        instrument.scan(&courses[pass].pose(line), tick(pass, line));
        if send.send(News::Line(pass, line, setting.codes(&scale, &instrument))).is_err() {
            return;
        }
    }
}

/// Number of a line's frame, which decides its electronic noise.
fn tick(pass: usize, line: u32) -> u32 {
    (pass as u32).wrapping_mul(instrument::recording::MOST_LINES).wrapping_add(line)
}

fn collect(
    paper: &Paper,
    courses: &[Course],
    news: mpsc::Receiver<News>,
    all: usize,
    progress: &mut impl FnMut(usize, usize),
) -> Result<Recording, Failure> {
    let mut recording = None;
    let mut early = Vec::new();
    let mut done = 0;
    let said = |error: instrument::recording::RecordingError| Failure::Said(error.to_string());
    for item in news {
        match item {
            News::Failed(failure) => return Err(failure),
            News::Ready(setting) => {
                recording = Some(begun(paper, Recording::with(*setting), courses)?);
            }
            News::Line(pass, line, codes) => early.push((pass, line, codes)),
        }
        let Some(recording) = &mut recording else { continue };
        for (pass, line, codes) in early.drain(..) {
            recording.put(pass, line, codes).map_err(said)?;
            done += 1;
            progress(done, all);
        }
    }
    recording.ok_or_else(|| Failure::Said("no line was recorded".to_owned()))
}
