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
    /// Sine of the ray's angle off the array's normal.
    pub off_normal: f64,
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

/// The elements of an aperture over a metal, wherever their waves go.
#[derive(Clone, Debug)]
pub struct Elements<'a> {
    aperture: &'a Aperture,
    solid: &'a Solid,
    /// Along the foot and above it, mm.
    places_mm: Vec<[f64; 2]>,
    centre_mm: [f64; 2],
    /// Sine and cosine of the array's angle.
    tilt: [f64; 2],
    near_speed: f64,
}

impl<'a> Elements<'a> {
    /// Of an aperture.
    pub fn new(aperture: &'a Aperture, solid: &'a Solid) -> Self {
        let (sine, cosine) = libm::sincos(aperture.wedge_angle);
        Self {
            aperture,
            solid,
            places_mm: (0..aperture.count).map(|i| aperture.element_mm(f64::from(i))).collect(),
            centre_mm: aperture.centre_mm(),
            tilt: [sine, cosine],
            near_speed: aperture.near_speed(solid),
        }
    }

    /// Paths to a point `along_mm` from below the aperture's centre and `depth_mm` below the face (in the unfolded
    /// metal: beyond the far face for later legs).
    pub fn paths(&self, along_mm: f64, depth_mm: f64) -> ElementPaths {
        let (cw, ct) = (self.near_speed, self.solid.shear_mm_per_us);
        let [centre_x, height] = self.centre_mm;
        let centre = Ray::least_time(along_mm, height, depth_mm, cw, ct);
        let mut elements = Vec::with_capacity(self.places_mm.len());
        // Where the next ray goes is told by the three before it.
        let mut tangents = [None; 3];
        for &[x, h] in &self.places_mm {
            let along = along_mm + centre_x - x;
            let ray = match tangents {
                [Some(a), Some(b), Some(c)] => {
                    Ray::least_time_near(3.0 * (a - b) + c, along, h, depth_mm, [cw, ct])
                }
                _ => Ray::least_time(along, h, depth_mm, cw, ct),
            };
            tangents = [Some(ray.tangent), tangents[0], tangents[1]];
            elements.push(self.path(&ray, centre.time_us));
        }
        ElementPaths { elements, centre, near_speed: cw }
    }

    /// Travel times from the first and the last element to such a point, less that of the aperture's centre, µs.
    pub fn end_lags_us(&self, along_mm: f64, depth_mm: f64) -> [f64; 2] {
        let time_us = |[x, height]: [f64; 2]| {
            let along = along_mm + self.centre_mm[0] - x;
            Ray::least_time(along, height, depth_mm, self.near_speed, self.solid.shear_mm_per_us).time_us
        };
        let centre_us = time_us(self.centre_mm);
        [self.places_mm.first(), self.places_mm.last()]
            .map(|end| end.map_or(0.0, |&end| time_us(end) - centre_us))
    }

    fn path(&self, ray: &Ray, centre_us: f64) -> ElementPath {
        let (cw, ct) = (self.near_speed, self.solid.shear_mm_per_us);
        let wedge_cosine2 = ray.wedge_cosine * ray.wedge_cosine;
        let cosine2 = 1.0 - ray.sine * ray.sine;
        // In-plane ray tube behind a plane interface.
        let tube = ray.wedge_path_mm + ray.path_mm * ct * wedge_cosine2 / (cw * cosine2);
        let [tilt_sine, tilt_cosine] = self.tilt;
        ElementPath {
            lag_us: ray.time_us - centre_us,
            sine: ray.sine,
            off_normal: ray.wedge_sine * tilt_cosine - ray.wedge_cosine * tilt_sine,
            amplitude: self.aperture.transmission(self.solid, ray.sine)
                * (1.0 / (f64::sqrt(tube) * self.places_mm.len() as f64)),
            loss_db: ray.wedge_path_mm * self.aperture.near_loss_db_per_mm()
                + ray.path_mm * self.solid.shear_loss_db_per_mm,
        }
    }
}

impl ElementPaths {
    /// Paths `steps` further on than these from those `before` them, by a straight line: past the steepest ray, where there is
    /// none, a spline still needs nodes, and every element's own way goes on smoothly, unlike their sum. None grows louder.
    pub fn continued(mut self, before: &Self, steps: f64) -> Self {
        for (now, before) in self.elements.iter_mut().zip(&before.elements) {
            now.lag_us += steps * (now.lag_us - before.lag_us);
            now.off_normal += steps * (now.off_normal - before.off_normal);
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
        core::f64::consts::PI * aperture.element_width_mm * self.elements[index].off_normal / self.near_speed
    }
}
