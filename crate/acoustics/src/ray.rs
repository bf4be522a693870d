//! The ray of least time through the plane face of the wedge (Fermat).

/// A two-piece ray from a point in the wedge to a point in the metal.
#[derive(Clone, Copy, Debug)]
pub struct Ray {
    /// Sine of the angle in the wedge, signed like the distance along the face.
    pub wedge_sine: f64,
    /// Sine of the angle in the metal.
    pub sine: f64,
    /// Length in the wedge, mm.
    pub wedge_path_mm: f64,
    /// Length in the metal, mm.
    pub path_mm: f64,
    /// Travel time, µs.
    pub time_us: f64,
    /// Tangent of the angle in the metal, never negative.
    pub tangent: f64,
    /// Cosine of the angle in the wedge.
    pub wedge_cosine: f64,
}

impl Ray {
    /// The ray over a distance `along_mm` on the face from a point `height_mm` above it to a point `depth_mm`
    /// below. Both distances across the face must be positive.
    pub fn least_time(along_mm: f64, height_mm: f64, depth_mm: f64, wedge_speed: f64, speed: f64) -> Self {
        let straight = along_mm.abs() / (depth_mm + wedge_speed / speed * height_mm);
        Self::least_time_near(straight, along_mm, height_mm, depth_mm, [wedge_speed, speed])
    }

    /// The same, given about the tangent of the refracted angle, as of a ray beside it.
    ///
    /// The tangent q of the refracted angle solves z q + h κ q / √(1 + (1-κ²) q²) = x with κ = c_w/c_T. The left
    /// side grows with q, so Newton's step inside a shrinking bracket always arrives; the loop ends on the residual.
    // Once in the program, not at each of its callers: a kilobyte of the page.
    #[inline(never)]
    pub fn least_time_near(
        tangent: f64,
        along_mm: f64,
        height_mm: f64,
        depth_mm: f64,
        [wedge_speed, speed]: [f64; 2],
    ) -> Self {
        let kappa = wedge_speed / speed;
        let bend = 1.0 - kappa * kappa;
        let x = along_mm.abs();
        let (mut low, mut high) = (0.0, x / depth_mm);
        // Not `clamp`, which panics where a place on the face itself leaves no bracket.
        let mut q = tangent.min(high).max(low);
        for _ in 0..60 {
            let root = f64::sqrt(1.0 + bend * q * q);
            let residual = depth_mm * q + height_mm * kappa * q / root - x;
            if residual.abs() < 1e-8 {
                break;
            }
            if residual > 0.0 {
                high = q;
            } else {
                low = q;
            }
            let slope = depth_mm + height_mm * kappa / (root * root * root);
            let next = q - residual / slope;
            q = if next > low && next < high { next } else { 0.5 * (low + high) };
        }
        let secant = f64::sqrt(1.0 + q * q);
        let sine = q / secant;
        let wedge_sine = kappa * sine;
        let wedge_cosine = f64::sqrt(1.0 + bend * q * q) / secant;
        let path_mm = depth_mm * secant;
        let wedge_path_mm = height_mm / wedge_cosine;
        let sign = if along_mm < 0.0 { -1.0 } else { 1.0 };
        Self {
            wedge_sine: sign * wedge_sine,
            sine: sign * sine,
            wedge_path_mm,
            path_mm,
            time_us: wedge_path_mm / wedge_speed + path_mm / speed,
            tangent: q,
            wedge_cosine,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Ray;

    /// A place on the face or above it has no such ray; a reader's cursor may lie there, and nothing may panic.
    #[test]
    fn a_place_that_is_not_below_the_face_does_not_panic() {
        for (x, z) in [(0.0, 0.0), (12.0, 0.0), (5.0, -1.0), (0.0, -1.0)] {
            Ray::least_time(x, 8.0, z, 2.33, 3.23);
        }
    }

    /// No neighbouring entry point is faster: the definition of the ray, tested without its equation.
    #[test]
    fn takes_the_least_time() {
        for (x, h, z) in [(40.0, 8.0, 3.0), (5.0, 12.0, 60.0), (-20.0, 5.0, 20.0), (90.0, 9.0, 0.5)] {
            let ray = Ray::least_time(x, h, z, 2.33, 3.23);
            let time = |entry: f64| {
                f64::sqrt(entry * entry + h * h) / 2.33 + f64::sqrt((x - entry) * (x - entry) + z * z) / 3.23
            };
            let entry = h * ray.wedge_sine / f64::sqrt(1.0 - ray.wedge_sine * ray.wedge_sine);
            assert!((time(entry) - ray.time_us).abs() < 1e-9);
            assert!(time(entry - 0.01) > ray.time_us && time(entry + 0.01) > ray.time_us);
        }
    }
}
