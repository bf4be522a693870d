//! Small systems of linear equations.

use crate::complex::Complex;

/// Solves a square complex system by Gaussian elimination with partial pivoting. `rows[i]` holds row i of the
/// matrix and, as its last entry, the right-hand side. The matrix must not be singular.
pub fn solve(mut rows: Vec<Vec<Complex>>) -> Vec<Complex> {
    let n = rows.len();
    for column in 0..n {
        let pivot = (column..n).max_by(|&a, &b| rows[a][column].norm().total_cmp(&rows[b][column].norm()));
        rows.swap(column, pivot.unwrap_or(column));
        for row in column + 1..n {
            let factor = rows[row][column] / rows[column][column];
            let (upper, lower) = rows.split_at_mut(row);
            for (value, above) in lower[0][column..].iter_mut().zip(&upper[column][column..]) {
                *value = *value - factor * *above;
            }
        }
    }
    let mut x = vec![Complex::ZERO; n];
    for row in (0..n).rev() {
        let known = (row + 1..n).fold(rows[row][n], |sum, k| sum - rows[row][k] * x[k]);
        x[row] = known / rows[row][row];
    }
    x
}

/// Least-squares coefficients c of Σ_k c_k basis[k][m] ≈ target[m] with weights; returns them and the residual's
/// energy over the target's.
pub fn fit(basis: &[Vec<Complex>], target: &[Complex], weight: &[f64]) -> (Vec<Complex>, f64) {
    let inner = |a: &[Complex], b: &[Complex]| {
        a.iter().zip(b).zip(weight).fold(Complex::ZERO, |sum, ((a, b), &w)| sum + a.conj() * *b * w)
    };
    let rows =
        basis.iter().map(|a| basis.iter().map(|b| inner(a, b)).chain([inner(a, target)]).collect()).collect();
    let coefficients = solve(rows);
    let residual: Vec<Complex> = target
        .iter()
        .enumerate()
        .map(|(m, &t)| coefficients.iter().zip(basis).fold(t, |rest, (&c, b)| rest - c * b[m]))
        .collect();
    (coefficients, inner(&residual, &residual).re / inner(target, target).re)
}
