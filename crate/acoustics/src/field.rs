//! The way of every element to a point of the unfolded metal, each by its own ray: what an exact field is summed from.
//!
//! The fast tables are made from it on a grid, and tests hold the frames against it.

use crate::aperture::Aperture;
use crate::complex::Complex;
use crate::material::Solid;
use crate::ray::Ray;

/// The path of one element to a point.
#[derive(Clone, Copy, Debug)]
pub struct ElementPath {
    /// Travel time less that of the aperture's centre, µs.
    pub lag_us: f64,
    /// Sine of the ray's angle in the metal.
    pub sine: f64,
    /// Angle off the array's normal, radians.
    pub from_normal: f64,
    /// Transmission and in-plane spreading, shared out over the elements: their sum over a focused aperture is the
    /// amplitude at the focus.
    pub amplitude: Complex,
    /// Loss in wedge and metal at the centre frequency, dB.
    pub loss_db: f64,
}

/// Paths of all elements to a point, and the centre ray.
#[derive(Clone, Debug)]
pub struct ElementPaths {
    /// One per active element.
    pub elements: Vec<ElementPath>,
    /// The ray of the aperture's centre.
    pub centre: Ray,
    near_speed: f64,
}

impl ElementPaths {
    /// Paths to a point `along_mm` from below the aperture's centre and `depth_mm` below the face (in the unfolded
    /// metal: beyond the far face for later legs).
    pub fn new(aperture: &Aperture, solid: &Solid, along_mm: f64, depth_mm: f64) -> Self {
        let (cw, ct) = (aperture.near_speed(solid), solid.shear_mm_per_us);
        let [centre_x, height] = aperture.centre_mm();
        let centre = Ray::least_time(along_mm, height, depth_mm, cw, ct);
        let elements = (0..aperture.count)
            .map(|i| {
                let [x, h] = aperture.element_mm(f64::from(i));
                let ray = Ray::least_time(along_mm + centre_x - x, h, depth_mm, cw, ct);
                let wedge_cosine2 = 1.0 - ray.wedge_sine * ray.wedge_sine;
                let cosine2 = 1.0 - ray.sine * ray.sine;
                // In-plane ray tube behind a plane interface.
                let tube = ray.wedge_path_mm + ray.path_mm * ct * wedge_cosine2 / (cw * cosine2);
                let angle = libm::asin(ray.sine);
                ElementPath {
                    lag_us: ray.time_us - centre.time_us,
                    sine: ray.sine,
                    from_normal: libm::asin(ray.wedge_sine) - aperture.wedge_angle,
                    amplitude: aperture.transmission(solid, angle)
                        * (1.0 / (f64::sqrt(tube) * f64::from(aperture.count))),
                    loss_db: ray.wedge_path_mm * aperture.near_loss_db_per_mm()
                        + ray.path_mm * solid.shear_loss_db_per_mm,
                }
            })
            .collect();
        Self { elements, centre, near_speed: cw }
    }

    /// Paths `steps` further on than these from those `before` them, by a straight line: past the steepest ray, where there is
    /// none, a spline still needs nodes, and every element's own way goes on smoothly, unlike their sum. None grows louder.
    pub fn continued(mut self, before: &Self, steps: f64) -> Self {
        for (now, before) in self.elements.iter_mut().zip(&before.elements) {
            now.lag_us += steps * (now.lag_us - before.lag_us);
            now.from_normal += steps * (now.from_normal - before.from_normal);
            let (size, next) =
                (now.amplitude.abs(), now.amplitude + (now.amplitude + before.amplitude * -1.0) * steps);
            now.amplitude = next * (size / next.abs().max(size).max(1e-30));
        }
        self
    }

    /// Amplitude of one element's wave at a frequency (MHz), without its travel time. Losses grow with frequency in
    /// proportion.
    pub fn amplitude(&self, index: usize, aperture: &Aperture, frequency_mhz: f64) -> Complex {
        let x = frequency_mhz * self.strip_phase_per_mhz(index, aperture);
        let directivity = if x.abs() < 1e-6 { 1.0 } else { libm::sin(x) / x };
        self.elements[index].amplitude
            * (directivity * libm::exp(-frequency_mhz * self.damping_per_mhz(index, aperture)))
    }

    /// Exponent of an element's loss per MHz.
    pub fn damping_per_mhz(&self, index: usize, aperture: &Aperture) -> f64 {
        self.elements[index].loss_db * core::f64::consts::LN_10 / (20.0 * aperture.frequency_mhz)
    }

    /// Argument of an element's directivity sin x / x (a uniformly moving strip), per MHz.
    pub fn strip_phase_per_mhz(&self, index: usize, aperture: &Aperture) -> f64 {
        core::f64::consts::PI * aperture.element_width_mm * libm::sin(self.elements[index].from_normal)
            / self.near_speed
    }
}
