//! Errors of the model against full-wave answers, by group.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use super::answer::Peaks;
use super::file::{Case, CaseFile, Window};
use super::grid;
use super::model::Peak;

/// Echoes at or above this are held to the tighter bar, dB relative to the reference hole.
const STRONG_DB: f64 = -6.0;
/// Echoes below this are not compared.
const FAINTEST_DB: f64 = -25.0;
/// Cap echoes below this are not converged in the full-wave computation.
const FAINTEST_CAP_DB: f64 = -12.0;
/// Largest uncertainty of a full-wave answer that is compared with.
const LARGEST_UNCERTAINTY_DB: f64 = 1.0;

/// Error of one window.
struct Error {
    db: f64,
    /// On the clock of the computation's grid.
    time_ns: f64,
    /// As if that computation had no grid.
    metal_ns: f64,
}

/// True for the windows that a case aims at and whose full-wave answer can judge.
fn judges(case: &Case, name: &str, window: &Window) -> bool {
    let aimed = match case.aim.as_str() {
        "direct" => name == "direct" || name.ends_with("_direct"),
        "skip" => name == "skip" || name.ends_with("_skip"),
        "tandem" => name == "tandem",
        "corner" => name == "corner",
        _ => name == "geometry",
    };
    let (Some(db), Some(uncertainty)) = (window.db_re_sdh3, window.u_db) else { return false };
    let floor = if case.aim == "cap" { FAINTEST_CAP_DB } else { FAINTEST_DB };
    aimed && !window.edge && uncertainty <= LARGEST_UNCERTAINTY_DB && db >= floor
}

fn compared_windows<'a>(
    file: &'a CaseFile,
    peaks: &'a Peaks,
) -> impl Iterator<Item = (&'a Case, &'a Window, Peak)> {
    file.cases.iter().flat_map(move |case| {
        case.windows.iter().filter(|(name, window)| judges(case, name, window)).filter_map(
            move |(name, window)| {
                let peak = peaks.get(&(case.id.clone(), name.clone()))?;
                Some((case, window, *peak))
            },
        )
    })
}

/// Windows that can judge: the case, the full-wave level in dB, and the model's peak.
pub fn compared<'a>(file: &'a CaseFile, peaks: &'a Peaks) -> impl Iterator<Item = (&'a Case, f64, Peak)> {
    compared_windows(file, peaks).filter_map(|(case, window, peak)| Some((case, window.db_re_sdh3?, peak)))
}

/// Value below which a share of the list lies (linear between its entries).
fn quantile(values: &mut [f64], share: f64) -> f64 {
    values.sort_by(f64::total_cmp);
    let place = share * (values.len() - 1) as f64;
    let (low, high) = (place as usize, (place as usize + 1).min(values.len() - 1));
    values[low] + (place - low as f64) * (values[high] - values[low])
}

/// The table: per group and for all, echoes at or above -6 dB and below.
pub fn text(file: &CaseFile, peaks: &Peaks) -> String {
    let mut groups: BTreeMap<(bool, String), Vec<Error>> = BTreeMap::new();
    for (case, window, peak) in compared_windows(file, peaks) {
        let (Some(db), Some(time)) = (window.db_re_sdh3, window.t_peak_us) else { continue };
        for group in [case.group.clone(), "all".to_owned()] {
            let seen = grid::seen_us(peak.time_us, case.grid_dx_mm, 2.0, &file.meta);
            let error = Error {
                db: (peak.db - db).abs(),
                time_ns: (seen - time).abs() * 1e3,
                metal_ns: (peak.time_us - time).abs() * 1e3,
            };
            groups.entry((db < STRONG_DB, group)).or_default().push(error);
        }
    }
    let mut out = String::new();
    let _ = writeln!(
        out,
        "echoes     group    n   median    75 %    90 %  dB   95 % of times within, ns  (clock of metal)"
    );
    for ((weak, group), errors) in groups {
        let mut db: Vec<f64> = errors.iter().map(|error| error.db).collect();
        let mut time: Vec<f64> = errors.iter().map(|error| error.time_ns).collect();
        let mut metal: Vec<f64> = errors.iter().map(|error| error.metal_ns).collect();
        let class = if weak { "below -6" } else { "from -6" };
        let _ = writeln!(
            out,
            "{class:<9}  {group:<5} {:>4}   {:>6.2}  {:>6.2}  {:>6.2}      {:>6.0}  {:>6.0}",
            db.len(),
            quantile(&mut db, 0.5),
            quantile(&mut db, 0.75),
            quantile(&mut db, 0.9),
            quantile(&mut time, 0.95),
            quantile(&mut metal, 0.95),
        );
    }
    for case in &file.cases3d {
        if let (Some(peak), Some(db)) =
            (peaks.get(&(case.id.clone(), "direct".to_owned())), case.db_re_sdh3_3d)
        {
            let _ = writeln!(
                out,
                "{:<28} {:>7.2} dB, full wave {db:>7.2}, error {:>+6.2}",
                case.id,
                peak.db,
                peak.db - db
            );
        }
    }
    out
}
