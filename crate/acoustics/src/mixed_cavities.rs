//! Echoes of round cavities that go out on one leg and come home on another.
//!
//! The beams' fields are those at the mirror-like spot of the front, for the creeping wave too. That one leaves the cavity
//! at its sides, and beams off the main one hear it up to 4 dB too low where the two legs come from directions some beam
//! widths apart.

use crate::cavity_deposit::{EchoRow, arrival, nearer_mm};
use crate::complex::{Complex32, times};
use crate::leg_rays::LegRays;
use crate::local_cavities::{LocalCavities, TapTables};
use crate::mixed_legs::{End, MixedPlanes, Mixer};

/// Below this cosine of half the angle between the arriving waves a cavity is no mirror for them: they come from opposite
/// sides.
const OPPOSITE: f32 = 0.2;

/// Where the two waves meet the front of a cavity, against its centre.
struct Front {
    /// Cosine of half the angle between the waves.
    cosine: f32,
    /// Half the length of the difference of their directions.
    half: f32,
    /// From the centre, mm.
    shift: [f32; 2],
}

impl Front {
    fn new(a: &End, b: &End, radius: f32) -> Self {
        let (p, q) = (a.wave.e, b.wave.e);
        let (sum, difference) = ([p[0] + q[0], p[1] + q[1]], [p[0] - q[0], p[1] - q[1]]);
        let length = |v: [f32; 2]| (v[0] * v[0] + v[1] * v[1]).sqrt();
        let whole = length(sum);
        let scale = if 0.5 * whole > OPPOSITE { radius / whole } else { 0.0 };
        Self {
            cosine: 0.5 * whole,
            half: 0.5 * length(difference),
            shift: [-sum[0] * scale, -sum[1] * scale],
        }
    }
}

impl Mixer<'_> {
    /// The ray to the front instead of the centre, to first order.
    fn to_front(&self, end: &End, shift: [f32; 2], distance: f32) -> End {
        let (along, aside) = (
            shift[0] * end.wave.e[0] + shift[1] * end.wave.e[1],
            shift[0] * end.wave.d[0] + shift[1] * end.wave.d[1],
        );
        // The polarisation points to where the sine rises; the cosine of the ray is its part along the face.
        let rise = self.axes.kappa as f32 * end.wave.d[0] * aside / distance;
        End { moved_sine: end.moved_sine + rise, time: end.time + along / self.axes.speed as f32, ..*end }
    }

    /// Adds what cavities send out on leg `i` and home on leg `j`, and the reverse.
    pub fn cavities(
        &self,
        (i, j): (usize, usize),
        cavities: &LocalCavities,
        tables: &TapTables,
        rays: &[LegRays],
        (series, row): (&mut Vec<Complex32>, &mut EchoRow),
        out: &mut MixedPlanes,
    ) {
        let per_wave = (1.0 / self.axes.wave_number) as f32;
        for p in 0..cavities.points.len() {
            let Some((a, b)) = self.ends((i, &rays[i]), (j, &rays[j]), p, 0.0) else { continue };
            let radius = cavities.radius[p];
            let front = Front::new(&a, &b, radius);
            let ahead = radius * front.cosine;
            let [from, to] = [&a, &b].map(|end| per_wave / (end.spread * end.spread));
            let reach = 0.5 * (a.reach + b.reach) - nearer_mm(cavities.shape[p], ahead);
            let arrival = arrival(self.setting, a.time + b.time, cavities.points.y[p], reach);
            let table = tables.of(cavities, p);
            table.at(front.half, series);
            // The field at the front is more than what comes home from a round front.
            let nearness = 1.0 / (from - ahead).max(1.0) + 1.0 / (to - ahead).max(1.0);
            let round = 1.0 / (1.0 + 0.5 * ahead * nearness).sqrt();
            // Both ways; the series holds for polarisations turned to the same side, legs flip theirs.
            let ways = if (i + j).is_multiple_of(2) { 2.0 } else { -2.0 };
            let size = ways * round * cavities.points.area[p];
            let mirror = times(a.mirror, b.mirror);
            let amplitude = times([mirror[0] * size, mirror[1] * size], arrival.carrier);
            row.lay(amplitude, &arrival, table.first, series);
            let (a, b) = (self.to_front(&a, front.shift, from), self.to_front(&b, front.shift, to));
            self.add_row(&a, &b, row, out);
        }
    }
}
