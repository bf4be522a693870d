//! All cases of a file answered, over all cores.

use std::collections::{BTreeMap, BTreeSet};
use std::io::{IsTerminal as _, Write as _};
use std::sync::atomic::{AtomicUsize, Ordering};

use rayon::prelude::*;

use super::file::{Case, Case3d, CaseFile};
use super::model::{Model, Peak, Way};
use crate::failure::Failure;

/// Peaks by case and window.
pub type Peaks = BTreeMap<(String, String), Peak>;

/// Latest time in three dimensions, µs.
const LATEST_3D_US: f64 = 25.0;

/// Peaks of every case in every window.
///
/// # Errors
/// A case whose beam or reflector cannot be.
pub fn all(file: &CaseFile, way: Way) -> Result<Peaks, Failure> {
    let latest =
        file.cases.iter().flat_map(|case| case.windows.values()).map(|w| w.window_us[1]).fold(20.0, f64::max);
    let progress = Progress::new(file.cases.len() + file.cases3d.len());
    // Tables serve all cases of an angle; without them the cases of an angle can part ways.
    let groups: Vec<Vec<&Case>> = match way {
        Way::Tables => {
            let mut angles = BTreeMap::<u64, Vec<&Case>>::new();
            for case in &file.cases {
                angles.entry(case.theta_deg.to_bits()).or_default().push(case);
            }
            angles.into_values().collect()
        }
        Way::Exact => file.cases.iter().map(|case| vec![case]).collect(),
    };
    let model = |case: &Case| {
        Model::new(&file.meta, file.meta.aperture.length_mm, None, case.theta_deg, latest, way)
            .map_err(|error| fail(&case.id, &error))
    };
    let hole = |case: &Case| (case.theta_deg.to_bits(), case.path_mm.to_bits());
    let holes: BTreeMap<(u64, u64), f64> = match way {
        Way::Tables => BTreeMap::new(),
        Way::Exact => {
            let cases: BTreeMap<(u64, u64), &Case> =
                file.cases.iter().map(|case| (hole(case), case)).collect();
            let one = |(key, case): (&_, &&Case)| Ok((*key, model(case)?.reference(case.path_mm, false)));
            cases.par_iter().map(one).collect::<Result<_, Failure>>()?
        }
    };
    let flat = groups.par_iter().map(|cases| {
        let Some(first) = cases.first() else { return Ok(Peaks::new()) };
        let (mut model, mut holes) = (model(first)?, holes.clone());
        let mut peaks = Peaks::new();
        for case in cases {
            let reference = *holes.entry(hole(case)).or_insert_with(|| model.reference(case.path_mm, false));
            for (window, peak) in model.answer(case, reference) {
                peaks.insert((case.id.clone(), window), peak);
            }
            progress.step();
        }
        Ok(peaks)
    });
    let mut peaks: Peaks = flat.collect::<Result<Vec<_>, Failure>>()?.into_iter().flatten().collect();
    peaks.extend(three_dimensional(file, way, &progress)?);
    Ok(peaks)
}

fn three_dimensional(file: &CaseFile, way: Way, progress: &Progress) -> Result<Peaks, Failure> {
    type Key = [u64; 4];
    let key = |case: &Case3d| {
        [case.theta_deg, case.path_mm, case.aperture_x_mm, case.aperture_y_mm].map(f64::to_bits)
    };
    let model = |case: &Case3d| {
        Model::new(
            &file.meta,
            case.aperture_x_mm,
            Some(case.aperture_y_mm),
            case.theta_deg,
            LATEST_3D_US,
            way,
        )
        .map_err(|error| fail(&case.id, &error))
    };
    let mut seen = BTreeSet::new();
    let firsts: Vec<&Case3d> = file.cases3d.iter().filter(|case| seen.insert(key(case))).collect();
    let hole = |case: &&Case3d| Ok((key(case), model(case)?.reference(case.path_mm, true)));
    let holes: BTreeMap<Key, f64> = firsts.par_iter().map(hole).collect::<Result<_, Failure>>()?;
    let answer = |case: &Case3d| {
        let reference = holes.get(&key(case)).copied().unwrap_or_default();
        let peak = model(case)?.answer_3d(case, reference).ok_or_else(|| {
            let kind = &case.kind;
            fail(
                &case.id,
                &format!("unknown kind {kind:?}, expected SDH_D…, SPHERE_D…, DISC_D… or STRIP_…x…"),
            )
        })?;
        progress.step();
        Ok(((case.id.clone(), "direct".to_owned()), peak))
    };
    file.cases3d.par_iter().map(answer).collect()
}

fn fail(id: &str, why: &dyn std::fmt::Display) -> Failure {
    Failure::Said(format!("case {id}: {why}"))
}

/// Cases done, shown to whoever watches standard error at a terminal.
struct Progress {
    done: AtomicUsize,
    all: usize,
    shown: bool,
}

impl Progress {
    fn new(all: usize) -> Self {
        Self { done: AtomicUsize::new(0), all, shown: std::io::stderr().is_terminal() }
    }

    fn step(&self) {
        let done = self.done.fetch_add(1, Ordering::Relaxed) + 1;
        if self.shown {
            let end = if done == self.all { "\n" } else { "" };
            // Who cannot be shown the progress still gets the answers.
            let _ = write!(std::io::stderr().lock(), "\r{done} of {} cases{end}", self.all);
        }
    }
}
