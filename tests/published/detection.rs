//! Probability of detection.

use exam::pod::{Curve, Trial};

use crate::{column, expected, table, within};

/// Standard normal quantile of 95 %.
const ONE_SIDED_95: f64 = 1.644_853_626_951_472_2;

fn trials(name: &str, size: &str, found: &str) -> Vec<Trial> {
    let table = table(name);
    column(&table, size)
        .into_iter()
        .zip(column(&table, found))
        .map(|(size, found)| Trial { size, found: found > 0.5 })
        .collect()
}

fn close(found: f64, what: &str) {
    let value = expected("C40", what);
    assert!((found - value).abs() < within("C40"), "{what}: {found}, expected {value}");
}

/// C40: the fit to 23 flights with O-rings: 15.0429, -0.232163, standard errors 7.3786 and 0.10824, deviance 20.3152.
/// Computed; Dalal, Fowlkes and Hoadley 1989 publish 15.043 and -0.2322 (from memory).
#[test]
fn c40_logistic_fit() {
    let curve = Curve::fit(&trials("o_ring_23.csv", "temp_F", "distress")).unwrap();
    close(curve.intercept, "o_ring_intercept");
    close(curve.slope, "o_ring_slope");
    close(curve.errors()[0], "o_ring_intercept_error");
    close(curve.errors()[1], "o_ring_slope_error");
    close(curve.deviance, "o_ring_deviance");
    // Warmer is safer: no temperature above which distress is likely.
    assert_eq!(curve.size(0.9), None);
    assert!((curve.intercept - 15.043).abs() < 5e-4 && (curve.slope + 0.2322).abs() < 5e-5);
}

/// C40, beyond the published fit: 60 made-up targets over size and over its logarithm, with a50, a90 and the two bounds
/// a90/95. Computed with statsmodels and SciPy.
#[test]
fn c40_sizes_found_and_their_bounds() {
    let linear = trials("hit_miss_60.csv", "a_mm", "hit");
    let logarithmic: Vec<Trial> = linear.iter().map(|t| Trial { size: t.size.ln(), ..*t }).collect();
    for (name, trials, in_mm) in
        [("linear", &linear, (|x| x) as fn(f64) -> f64), ("log", &logarithmic, f64::exp as fn(f64) -> f64)]
    {
        let curve = Curve::fit(trials).unwrap();
        close(curve.intercept, &format!("{name}_intercept"));
        close(curve.slope, &format!("{name}_slope"));
        close(in_mm(curve.size(0.5).unwrap()), &format!("{name}_a50"));
        close(in_mm(curve.size(0.9).unwrap()), &format!("{name}_a90"));
        close(in_mm(curve.wald_bound(0.9, ONE_SIDED_95).unwrap()), &format!("{name}_wald"));
        let bound = curve.likelihood_bound(trials, 0.9, ONE_SIDED_95).unwrap();
        close(in_mm(bound), &format!("{name}_likelihood"));
    }
}
