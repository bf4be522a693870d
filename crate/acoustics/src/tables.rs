//! Tables of an aperture by runs of zones, which can be made apart from each other and in any order.
//!
//! They are nearly all that a set-up costs. Nothing in a zone hangs on another, so several workers can share the zones out among
//! themselves; the bits are the same as from one.

use core::ops::Range;

use crate::aperture::Aperture;
use crate::axes::{Axes, ZONE};
use crate::beam_table::BeamTable;
use crate::field::Elements;
use crate::law::DelayLaw;
use crate::leg_factors::LegFactors;
use crate::material::Solid;
use crate::mirror_table::MirrorTable;
use crate::one_way_table::TimeNodes;
use crate::pulse::Pulse;
use crate::spectra;
use crate::summed_nodes::SummedNodes;

/// What fits at a time node cost, in sums over one element (as measured).
const FIT: f64 = 20.0;
/// What fits in the blocks of a zone cost, likewise.
const ZONE_FIT: f64 = 70.0;

/// Tables of a run of zones.
#[derive(Debug)]
pub struct Tables {
    /// The zones.
    pub zones: Range<usize>,
    /// What every beam hears from every node.
    pub beams: BeamTable,
    /// What the faces do to a beam's echo.
    pub legs: LegFactors,
}

/// Makes the tables of one aperture.
#[derive(Debug)]
pub struct TableMaker<'a> {
    aperture: &'a Aperture,
    solid: &'a Solid,
    laws: &'a [DelayLaw],
    pulse: &'a Pulse,
    /// The grid.
    pub axes: Axes,
    /// Reflection at the faces.
    pub mirrors: MirrorTable,
}

impl<'a> TableMaker<'a> {
    /// For an aperture, its laws and a longest sound path.
    pub fn new(
        solid: &'a Solid,
        (aperture, laws): (&'a Aperture, &'a [DelayLaw]),
        pulse: &'a Pulse,
        range_mm: f64,
    ) -> Self {
        let axes = Axes::new(aperture, solid, laws, range_mm);
        let mirrors = MirrorTable::new(&axes, solid, pulse.carrier_mhz);
        Self { aperture, solid, laws, pulse, axes, mirrors }
    }

    /// What the zones cost, against those of other apertures of the same array and metal: sums over elements at some time nodes, and
    /// about one for the legs, fits at every node and in every block. The few sums that a share takes from beyond its ends are not
    /// counted.
    pub fn costs(&self) -> Vec<f64> {
        let nodes = TimeNodes::new(&self.axes);
        let sources = Elements::new(self.aperture, self.solid);
        let summed = SummedNodes::new(&sources, self.aperture, &self.axes, &nodes);
        let per_node = (self.axes.sines * spectra::lanes(self.laws.len())) as f64;
        let place = |zone: usize| nodes.place((0.5 * self.axes.time_us((zone * ZONE) as f64)) as f32);
        let cost = |zone: usize| {
            let (from, to) = (place(zone), place(zone + 1));
            let sums = f64::from(summed.up_to(to) - summed.up_to(from)) + 1.0;
            per_node * (f64::from(self.aperture.count) * sums + FIT * f64::from(to - from) + ZONE_FIT)
        };
        (0..self.axes.zones()).map(cost).collect()
    }

    /// Makes the tables of some zones.
    #[inline(never)]
    pub fn zones(&self, zones: Range<usize>) -> Tables {
        let Self { aperture, solid, laws, pulse, axes, mirrors } = self;
        let beams = BeamTable::of_zones(aperture, solid, axes, laws, pulse, zones.clone());
        let turns = (mirrors, pulse.carrier_mhz);
        let legs = LegFactors::of_zones(aperture, solid, axes, laws, turns, zones.clone());
        Tables { zones, beams, legs }
    }

    /// Tables of some zones with nothing in them.
    pub fn empty(&self, zones: Range<usize>) -> Tables {
        let beams = BeamTable::empty(self.laws.len(), &self.axes, zones.clone());
        let legs = LegFactors::empty(self.laws.len(), self.axes.sines);
        Tables { zones, beams, legs }
    }

    /// Whether tables that come from elsewhere can be used in place of one's own.
    pub fn fits(&self, tables: &Tables) -> bool {
        let zones = &tables.zones;
        tables.beams.is_whole(&self.axes, zones) && tables.legs.is_whole(zones.len())
    }

    /// The tables of all zones, from runs that were made before, with what they lack.
    pub fn whole(&self, mut made: Vec<Tables>) -> Tables {
        let mut whole = self.empty(0..0);
        while let Some(next) = (0..made.len()).min_by_key(|&i| made[i].zones.start) {
            let run = made.swap_remove(next);
            if run.zones.start >= whole.zones.end {
                self.up_to(run.zones.start, &mut whole);
                whole.append(run);
            }
        }
        self.up_to(self.axes.zones(), &mut whole);
        whole
    }

    fn up_to(&self, zone: usize, whole: &mut Tables) {
        if zone > whole.zones.end {
            whole.append(self.zones(whole.zones.end..zone));
        }
    }
}

impl Tables {
    /// Adds the tables of the zones that follow.
    fn append(&mut self, next: Self) {
        if self.zones.is_empty() {
            *self = next;
            return;
        }
        self.zones.end = next.zones.end;
        self.beams.append(next.beams);
        self.legs.append(next.legs);
    }
}
