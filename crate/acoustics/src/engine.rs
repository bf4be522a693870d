//! The frame engine: tables of a set-up, and frames of any scene from any stand.
//!
//! A point is reached by one centre ray, that from the middle of the aperture. Its sine in the wedge and its two-way time are the
//! axes of a grid ([`axes`](crate::axes)), which all beams share.
//!
//! 1. `leg_rays` finds that ray for every point on each leg, folded at the faces.
//! 2. `kernel` (facets), `half_plane` (rims) and `cavity` (round voids) say what comes back.
//! 3. `deposit` and `cavity_deposit` lay that on the grid with spline weights (`planes`).
//! 4. `beam_table` says what each beam hears of each node of the grid: a whole-sample delay for 64 samples at a time (a *zone*),
//!    and for 8 at a time (a *block*) three coefficients over frequency (*terms* of Hermite's polynomials). They are fitted to
//!    spectra (`spectra_rows`), which are summed from elements (`spectra`) at as few times as do (`summed_nodes`).
//! 5. `synthesis` sums the nodes for every beam, term by term, and lays the pulse by one short filter for each term.
//!
//! Echoes that go out and come home on different legs, and Rayleigh waves, have no one ray: `mixed_legs` multiplies the one-way
//! fields of each beam (`one_way_table`), eight beams, its *lanes*, at once. Grain is laid on the grid like everything else
//! (`grain`). [`oracle`](crate::oracle) computes the same as an exact sum over elements and frequencies, without a table.

use core::ops::Range;
use std::sync::Arc;

use crate::aperture::Aperture;
use crate::axes::Axes;
use crate::beam_levels::BeamLevels;
use crate::beam_table::BeamTable;
use crate::cavity_deposit::{self, EchoRow};
use crate::complex::{Complex, Complex32};
use crate::deposit::{self, Common, Setting};
use crate::grain::{GrainCells, GrainCut, GrainField, GrainView, GrainZone};
use crate::law::DelayLaw;
use crate::leg_factors::LegFactors;
pub use crate::leg_rays::LEGS;
use crate::leg_rays::{LegRays, Plate};
use crate::local_cavities::{LocalCavities, TapTables};
use crate::longitudinal::Longitudinal;
use crate::material::Solid;
use crate::mirror_table::MirrorTable;
use crate::mixed_legs::{MixedConstants, MixedPlanes, Mixer};
use crate::placement::{BrokenStretches, LocalPoints, LocalRims, Placement, View};
use crate::planes::Planes;
use crate::pulse::{Pulse, SAMPLING_MHZ, TAPS, TERMS};
use crate::scene::Scene;
use crate::shares::Shares;
use crate::synthesis::{self, TermPlanes};
use crate::tables::{TableMaker, Tables};

/// Grain of a plate at a level.
#[derive(Clone, Copy, Debug)]
pub struct GrainDose<'a> {
    /// The plate's random field.
    pub field: &'a GrainField,
    /// Factor on it.
    pub scale: f32,
}

/// Makes frames: beams × samples of complex baseband.
#[derive(Debug)]
pub struct FrameEngine {
    axes: Axes,
    laws: Vec<DelayLaw>,
    pulse: Pulse,
    range_mm: f64,
    table: BeamTable,
    mirrors: MirrorTable,
    leg_factors: LegFactors,
    setting: Setting,
    longitudinal: Longitudinal,
    mixed: MixedConstants,
    mixed_planes: MixedPlanes,
    filters: [[Complex; TAPS]; TERMS],
    grain_cells: GrainCells,
    grain_cut: GrainCut,
    points: LocalPoints,
    rays: [LegRays; LEGS],
    rims: LocalRims,
    rim_rays: [LegRays; LEGS],
    run_ends: [LocalRims; 2],
    run_rays: [[LegRays; LEGS]; 2],
    cavities: LocalCavities,
    cavity_rays: [LegRays; LEGS],
    tap_tables: TapTables,
    beam_levels: BeamLevels,
    tap_series: Vec<Complex32>,
    echo_row: EchoRow,
    planes: [Planes; LEGS],
    grain_zone: GrainZone,
    terms: TermPlanes,
    re: Vec<f32>,
    im: Vec<f32>,
}

impl FrameEngine {
    /// Builds the tables for an aperture, its laws (rising angles) and a longest sound path. Takes tenths of a second.
    pub fn new(solid: &Solid, aperture: &Aperture, laws: Vec<DelayLaw>, range_mm: f64) -> Self {
        let pulse = Pulse::of(aperture);
        let reach_mm = Axes::new(aperture, solid, &laws, range_mm).largest_reach_mm();
        let common = Arc::new(Common::new(solid, aperture, reach_mm, &pulse, None));
        Self::with((common, None, 0), pulse, solid, aperture, laws, range_mm)
    }

    /// The same with tables that all apertures of an array share, and with what was made before of those of its number.
    pub(crate) fn with(
        (common, made, number): (Arc<Common>, Option<&mut Shares>, usize),
        pulse: Pulse,
        solid: &Solid,
        aperture: &Aperture,
        laws: Vec<DelayLaw>,
        range_mm: f64,
    ) -> Self {
        let maker = TableMaker::new(solid, (aperture, &laws), &pulse, range_mm);
        let Tables { beams: table, legs: leg_factors, .. } =
            maker.whole(made.map_or_else(Vec::new, |made| made.of(number, &maker)));
        let TableMaker { axes, mirrors, .. } = maker;
        let lobe = axes.wedge_speed / aperture.frequency_mhz / aperture.length_mm();
        let beam_sines: Vec<f32> =
            laws.iter().map(|law| (axes.kappa * libm::sin(law.angle)) as f32).collect();
        let beam_levels = BeamLevels::new(&table, &axes, &laws, &beam_sines);
        let cells = laws.len() * axes.samples;
        Self {
            leg_factors,
            mirrors,
            setting: Setting::new(&axes, &pulse, common),
            longitudinal: Longitudinal::new(solid),
            mixed: MixedConstants::new(beam_sines, lobe, aperture.length_mm(), &axes),
            mixed_planes: MixedPlanes::new(table.one_way.lanes, axes.samples),
            filters: pulse.filters().0,
            grain_cells: GrainCells::new(&axes, None, false),
            grain_cut: GrainCut::default(),
            points: LocalPoints::default(),
            rays: Default::default(),
            rims: LocalRims::default(),
            rim_rays: Default::default(),
            run_ends: Default::default(),
            run_rays: Default::default(),
            cavities: LocalCavities::default(),
            cavity_rays: Default::default(),
            tap_tables: TapTables::new(solid, &pulse),
            beam_levels,
            tap_series: Vec::new(),
            echo_row: EchoRow::default(),
            planes: core::array::from_fn(|_| Planes::new(&axes)),
            grain_zone: GrainZone::default(),
            terms: TermPlanes::new(laws.len(), axes.samples),
            re: vec![0.0; cells],
            im: vec![0.0; cells],
            table,
            axes,
            laws,
            pulse,
            range_mm,
        }
    }

    /// The laws, in the order of the beams.
    pub fn laws(&self) -> &[DelayLaw] {
        &self.laws
    }

    /// Samples of a beam.
    pub fn samples(&self) -> usize {
        self.axes.samples
    }

    /// Number of the sample at which a beam's sound path is 0 (a fraction: samples lie 0.1 µs apart).
    pub fn first_path_sample(&self, beam: usize) -> f64 {
        2.0 * self.laws[beam].wedge_time_us * SAMPLING_MHZ - f64::from(self.axes.first_sample)
    }

    /// Place of a two-way time among the samples.
    pub fn sample_of(&self, two_way_us: f64) -> f64 {
        two_way_us * SAMPLING_MHZ - f64::from(self.axes.first_sample)
    }

    /// Sound path from one sample to the next, mm.
    pub fn path_step_mm(&self) -> f64 {
        0.5 * self.axes.speed / SAMPLING_MHZ
    }

    /// Frequency of demodulation, MHz.
    pub fn carrier_mhz(&self) -> f64 {
        self.pulse.carrier_mhz
    }

    /// Time of the first sample after firing, µs.
    pub fn start_us(&self) -> f64 {
        self.axes.time_us(0.0)
    }

    /// The last frame's baseband, real and imaginary part, `[beam][sample]`.
    pub fn baseband(&self) -> (&[f32], &[f32]) {
        (&self.re, &self.im)
    }

    /// Number of scene points that the last frame looked at.
    pub fn points_seen(&self) -> usize {
        self.points.len()
    }

    /// Makes what frames of a scene need once, so that the first of them is as fast as the rest.
    pub fn prepare(&mut self, scene: &Scene) {
        self.tap_tables.prepare(&scene.surface.cavities);
    }

    /// Its tables of round cavities, for all apertures to share.
    pub(crate) fn taps(&mut self) -> &mut TapTables {
        &mut self.tap_tables
    }

    /// Computes one beam of a noise-free frame by the legs that go out and come home alike, for measuring a reflector in a
    /// half space; the other beams keep what they had. Returns real and imaginary part of the beam's samples.
    pub fn beam(&mut self, scene: &Scene, placement: &Placement, beam: usize) -> (&[f32], &[f32]) {
        self.same_legs(scene, placement, beam..beam + 1);
        let samples = self.axes.samples;
        synthesis::filter(&self.terms, &self.filters, beam..beam + 1, samples, &mut self.re, &mut self.im);
        self.row(beam)
    }

    /// A beam of the last frame's baseband, real and imaginary part.
    pub(crate) fn row(&self, beam: usize) -> (&[f32], &[f32]) {
        let row = beam * self.axes.samples..(beam + 1) * self.axes.samples;
        (&self.re[row.clone()], &self.im[row])
    }

    /// Computes the frame of a scene from a stand. Returns real and imaginary part, `[beam][sample]`; 1 is the echo of
    /// no particular thing, so only ratios mean anything.
    pub fn frame(
        &mut self,
        scene: &Scene,
        placement: &Placement,
        dose: Option<GrainDose>,
    ) -> (&mut [f32], &mut [f32]) {
        let beams = 0..self.laws.len();
        self.same_legs(scene, placement, beams.clone());
        if scene.longitudinal {
            let thickness = scene.thickness_mm.map(|t| t as f32);
            self.longitudinal.follow(&self.points, &self.rays[0], thickness, &self.axes);
        } else {
            self.longitudinal.ways.clear();
        }
        self.mix();
        if let Some(dose) = dose {
            let on_lower_face = placement.lower_face_mm.is_some();
            if !self.grain_cells.fit(scene.thickness_mm, on_lower_face) {
                self.grain_cells = GrainCells::new(&self.axes, scene.thickness_mm, on_lower_face);
            }
            let view = GrainView::new(dose.field, dose.scale, placement, &mut self.grain_cut);
            for zone in 0..self.axes.zones() {
                view.fill(&self.grain_cells, zone, &mut self.grain_zone);
                synthesis::apply_dense(&self.table, zone, &self.grain_zone, &mut self.terms);
            }
        }
        synthesis::filter(&self.terms, &self.filters, beams, self.axes.samples, &mut self.re, &mut self.im);
        (&mut self.re, &mut self.im)
    }

    /// Follows all rays and lays what goes out and comes home on the same leg.
    fn same_legs(&mut self, scene: &Scene, placement: &Placement, beams: Range<usize>) {
        let far_reach = self.range_mm + self.axes.height_mm + 10.0;
        self.points.gather(scene, placement, far_reach);
        let view = View::new(placement, far_reach);
        self.gather_rims(scene, &view);
        self.cavities.gather(&scene.surface.cavities, &view, &mut self.tap_tables);
        let (near, far) = if placement.lower_face_mm.is_some() {
            (&scene.lower_not_flat, &scene.upper_not_flat)
        } else {
            (&scene.upper_not_flat, &scene.lower_not_flat)
        };
        let near = BrokenStretches::cross(near, placement);
        let far = BrokenStretches::cross(far, placement);
        let plate = Plate { thickness: scene.thickness_mm.map(|t| t as f32), near: &near, far: &far };
        let [from, to] = &self.run_ends;
        let [from_rays, to_rays] = &mut self.run_rays;
        for (rays, points) in [
            (&mut self.rays, &self.points),
            (&mut self.rim_rays, &self.rims.points),
            (&mut self.cavity_rays, &self.cavities.points),
            (from_rays, &from.points),
            (to_rays, &to.points),
        ] {
            for (leg, rays) in rays.iter_mut().enumerate() {
                rays.trace(leg, points, &plate, &self.axes, &self.mirrors);
            }
        }
        for (leg, planes) in self.planes.iter_mut().enumerate() {
            planes.clear();
            deposit::faces(leg, &self.points, &self.rays[leg], &self.setting, planes);
            deposit::rims(leg, &self.rims, &self.rim_rays[leg], &self.setting, planes);
            cavity_deposit::cavities(
                &self.cavity_rays[leg],
                &self.cavities,
                &self.tap_tables,
                (&self.setting, &self.axes, &self.beam_levels),
                (&mut self.tap_series, &mut self.echo_row),
                planes,
            );
        }
        self.terms.clear(beams.clone());
        for (leg, planes) in self.planes.iter().enumerate() {
            let factors = |sample, beam| self.leg_factors.row(leg, sample, beam);
            synthesis::apply(&self.table, &self.axes, (planes, factors), beams.clone(), &mut self.terms);
        }
    }

    fn gather_rims(&mut self, scene: &Scene, view: &View) {
        self.rims.clear();
        let within = |y: f64| y as f32 >= view.along[0] && y as f32 <= view.along[1];
        let rims = &scene.surface.rims;
        let first = rims.partition_point(|rim| (rim.position_mm[1] as f32) < view.along[0]);
        for rim in rims[first..].iter().take_while(|rim| within(rim.position_mm[1])) {
            self.rims.push(rim, view);
        }
        let [from, to] = &mut self.run_ends;
        from.clear();
        to.clear();
        let runs = &scene.surface.runs;
        let first = runs.partition_point(|run| (run.from.position_mm[1] as f32) < view.along[0]);
        for run in runs[first..].iter().take_while(|run| within(run.from.position_mm[1])) {
            // Both ends or none.
            if from.push(&run.from, view) && !to.push(&run.to, view) {
                from.pop();
            }
        }
    }

    /// Echoes that go out on one leg and come home on another, and Rayleigh waves, whose two ends lie apart.
    fn mix(&mut self) {
        let mixer = Mixer {
            table: &self.table.one_way,
            axes: &self.axes,
            setting: &self.setting,
            mixed: &self.mixed,
        };
        let out = &mut self.mixed_planes;
        for legs in [(0, 1), (1, 2), (0, 2)] {
            mixer.faces(legs, &self.points, &self.rays, out);
            mixer.rims(legs, &self.rims, &self.rim_rays, out);
            let room = (&mut self.tap_series, &mut self.echo_row);
            mixer.cavities(legs, &self.cavities, &self.tap_tables, &self.cavity_rays, room, out);
        }
        let ([from, to], [from_rays, to_rays]) = (&self.run_ends, &self.run_rays);
        for i in 0..LEGS {
            for j in 0..LEGS {
                mixer.runs((i, j), (from, from_rays), (to, to_rays), out);
            }
        }
        mixer.longitudinal(&self.longitudinal.ways, &self.points, out);
        out.drain_into(&mut self.terms);
    }
}
