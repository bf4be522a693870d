//! Frames of a scan whose aperture stays, or moves along the array from beam to beam.
//!
//! All beams of one aperture share an engine. Where the aperture moves (linear scan), every beam has elements, height in the
//! wedge and exit point of its own, so each gets its own [`FrameEngine`]: rays start from below its own aperture, and its field
//! is that of its own elements. What the engines hear is laid on one clock.

use core::mem;
use std::sync::Arc;

use serde::{Deserialize, Serialize};

use crate::aperture::Aperture;
use crate::axes::{Axes, ZONE};
use crate::deposit::Common;
use crate::engine::{FrameEngine, GrainDose};
use crate::law::DelayLaw;
use crate::local_cavities::TapTables;
use crate::material::Solid;
use crate::placement::Placement;
use crate::pulse::Pulse;
use crate::scene::Scene;
use crate::shares::Shares;
use crate::table_order::TableOrder;

/// An aperture and the beams it sends.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Shot {
    /// The active elements.
    pub aperture: Aperture,
    /// Their laws, by rising angle.
    pub laws: Vec<DelayLaw>,
}

/// An engine and where its beams lie in the frame.
#[derive(Debug)]
struct Part {
    engine: FrameEngine,
    /// From below the first aperture's centre to below this one's, mm.
    forward_mm: f64,
    first_beam: usize,
    /// Samples by which it begins after the frame.
    late: usize,
}

/// Makes frames of one aperture or of several, one after the other along the array: beams × samples of complex baseband.
/// Placements are those of the first aperture.
#[derive(Debug)]
pub struct FrameMaker {
    parts: Vec<Part>,
    laws: Vec<DelayLaw>,
    common: Arc<Common>,
    /// Tables of round cavities, lent to one part after the other.
    taps: TapTables,
    samples: usize,
    re: Vec<f32>,
    im: Vec<f32>,
}

impl FrameMaker {
    /// Builds the tables for apertures that follow each other along the array, and a longest sound path.
    ///
    /// # Panics
    /// Without any aperture.
    pub fn new(solid: &Solid, shots: Vec<Shot>, range_mm: f64) -> Self {
        Self::from_shares(Shares::new(TableOrder { solid: *solid, shots, range_mm }))
    }

    /// The same by an order some shares of whose tables were made before; what they lack is made here.
    ///
    /// # Panics
    /// As [`FrameMaker::new`].
    pub fn from_shares(made: Shares) -> Self {
        Self::following(None, made)
    }

    /// The same in place of another, of which is kept what would be the same: how faces move, and the beam out of its plane.
    ///
    /// # Panics
    /// As [`FrameMaker::new`].
    pub fn following(before: Option<&mut Self>, mut made: Shares) -> Self {
        let TableOrder { solid, shots, range_mm } = made.order.clone();
        let solid = &solid;
        let first = &shots[0];
        let (origin_mm, pulse) = (first.aperture.centre_mm()[0], Pulse::of(&first.aperture));
        let reach = |shot: &Shot| Axes::new(&shot.aperture, solid, &shot.laws, range_mm).largest_reach_mm();
        let reach_mm = shots.iter().map(reach).fold(0.0, f64::max);
        let kept = before.as_ref().map(|before| &*before.common);
        let common = Arc::new(Common::new(solid, &first.aperture, reach_mm, &pulse, kept));
        let taps = TapTables::new(solid, &pulse);
        let mut first_beam = 0;
        let mut parts: Vec<Part> = Vec::with_capacity(shots.len());
        for (number, Shot { aperture, laws }) in shots.into_iter().enumerate() {
            let (beams, forward_mm) = (laws.len(), aperture.centre_mm()[0] - origin_mm);
            let given = (Arc::clone(&common), Some(&mut made), number);
            let engine = FrameEngine::with(given, pulse.clone(), solid, &aperture, laws, range_mm);
            parts.push(Part { engine, forward_mm, first_beam, late: 0 });
            first_beam += beams;
        }
        let begins = |part: &Part| -part.engine.sample_of(0.0) as i64;
        let begin = parts.iter().map(begins).min().unwrap_or(0);
        for part in &mut parts {
            part.late = usize::try_from(begins(part) - begin).unwrap_or(0);
        }
        // The part that begins first comes first on the clock, and the frame ends with the last.
        let end = parts.iter().map(|part| part.late + part.engine.samples()).max().unwrap_or(0);
        let samples = end.next_multiple_of(ZONE);
        let laws: Vec<DelayLaw> = parts.iter().flat_map(|part| part.engine.laws()).cloned().collect();
        let cells = if parts.len() > 1 { laws.len() * samples } else { 0 };
        let mut maker =
            Self { parts, laws, common, taps, samples, re: vec![0.0; cells], im: vec![0.0; cells] };
        if let Some(before) = before {
            maker.taps().take_over(before.taps());
        }
        maker
    }

    /// The laws, in the order of the beams.
    pub fn laws(&self) -> &[DelayLaw] {
        &self.laws
    }

    /// Samples of a beam.
    pub fn samples(&self) -> usize {
        self.samples
    }

    /// The part that begins first: its clock is the frame's.
    fn earliest(&self) -> &FrameEngine {
        let earliest = self.parts.iter().find(|part| part.late == 0);
        &earliest.unwrap_or(&self.parts[0]).engine
    }

    /// Number of the sample at which a beam's sound path is 0 (a fraction: samples lie 0.1 µs apart).
    pub fn first_path_sample(&self, beam: usize) -> f64 {
        self.sample_of(2.0 * self.laws[beam].wedge_time_us)
    }

    /// Place of a two-way time among the samples.
    pub fn sample_of(&self, two_way_us: f64) -> f64 {
        self.earliest().sample_of(two_way_us)
    }

    /// Sound path from one sample to the next, mm.
    pub fn path_step_mm(&self) -> f64 {
        self.earliest().path_step_mm()
    }

    /// Frequency of demodulation, MHz.
    pub fn carrier_mhz(&self) -> f64 {
        self.earliest().carrier_mhz()
    }

    /// Time of the first sample after firing, µs.
    pub fn start_us(&self) -> f64 {
        self.earliest().start_us()
    }

    /// The last frame's baseband, real and imaginary part, `[beam][sample]`.
    pub fn baseband(&self) -> (&[f32], &[f32]) {
        match self.parts.as_slice() {
            [alone] => alone.engine.baseband(),
            _ => (&self.re, &self.im),
        }
    }

    /// Number of scene points that the last frame looked at, from the aperture that saw most.
    pub fn points_seen(&self) -> usize {
        self.parts.iter().map(|part| part.engine.points_seen()).max().unwrap_or(0)
    }

    /// Gives up all tables but those that another can take over: room for the tables that follow. No frame can be made any more.
    pub fn clear(&mut self) {
        if let [alone] = self.parts.as_mut_slice() {
            mem::swap(alone.engine.taps(), &mut self.taps);
        }
        self.parts = Vec::new();
    }

    /// Makes what frames of a scene need once, so that the first of them is as fast as the rest.
    pub fn prepare(&mut self, scene: &Scene) {
        self.taps().prepare(&scene.surface.cavities);
    }

    fn taps(&mut self) -> &mut TapTables {
        match self.parts.as_mut_slice() {
            [alone] => alone.engine.taps(),
            _ => &mut self.taps,
        }
    }

    /// Computes one beam of a noise-free frame by the legs that go out and come home alike, for measuring a reflector in a
    /// half space; the other beams keep what they had. Returns real and imaginary part of the beam's samples.
    pub fn beam(&mut self, scene: &Scene, placement: &Placement, beam: usize) -> (&[f32], &[f32]) {
        let last = self.parts.partition_point(|part| part.first_beam <= beam).saturating_sub(1);
        if self.parts.len() == 1 {
            return self.parts[0].engine.beam(scene, placement, beam);
        }
        let part = &mut self.parts[last];
        let row = beam * self.samples..(beam + 1) * self.samples;
        let here = moved(placement, part.forward_mm);
        mem::swap(part.engine.taps(), &mut self.taps);
        part.engine.beam(scene, &here, beam - part.first_beam);
        mem::swap(part.engine.taps(), &mut self.taps);
        let (re, im) = part.engine.row(beam - part.first_beam);
        lay(re, part.late, &mut self.re[row.clone()]);
        lay(im, part.late, &mut self.im[row.clone()]);
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
        if self.parts.len() == 1 {
            return self.parts[0].engine.frame(scene, placement, dose);
        }
        let width = self.samples;
        for part in &mut self.parts {
            let samples = part.engine.samples();
            mem::swap(part.engine.taps(), &mut self.taps);
            part.engine.frame(scene, &moved(placement, part.forward_mm), dose);
            mem::swap(part.engine.taps(), &mut self.taps);
            let (re, im) = part.engine.baseband();
            let rows = re.chunks_exact(samples).zip(im.chunks_exact(samples));
            for (beam, (re, im)) in (part.first_beam..).zip(rows) {
                let row = beam * width..(beam + 1) * width;
                lay(re, part.late, &mut self.re[row.clone()]);
                lay(im, part.late, &mut self.im[row]);
            }
        }
        (&mut self.re, &mut self.im)
    }
}

/// A stand so much further along the beam.
fn moved(placement: &Placement, forward_mm: f64) -> Placement {
    let centre_mm = [0, 1].map(|k| placement.centre_mm[k] + forward_mm * placement.forward[k]);
    Placement { centre_mm, ..*placement }
}

/// Puts a beam on the frame's clock, silent before it begins and after it ends.
fn lay(heard: &[f32], late: usize, row: &mut [f32]) {
    let end = late + heard.len();
    row[..late].fill(0.0);
    row[late..end].copy_from_slice(heard);
    row[end..].fill(0.0);
}
