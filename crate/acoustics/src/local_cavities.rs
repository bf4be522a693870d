//! The round cavities of a scene as a stand sees them, and the tables of taps that their diameters need.

use core::mem;

use crate::cavity::Shape;
use crate::cavity::taps::TapTable;
use crate::material::Solid;
use crate::placement::{LocalPoints, View};
use crate::pulse::Pulse;
use crate::scene::{Cavity, CavityForm};

/// Tables kept; a plate has far fewer diameters.
const MOST_TABLES: usize = 200;
/// A piece of a bore whose axis has less than this share across the beam plane is not counted: the theory is
/// two-dimensional, as for rims.
const LEAST_ACROSS: f32 = core::f32::consts::FRAC_1_SQRT_2;

/// Cavities near the beam plane in the frame of the probe.
#[derive(Debug, Default)]
pub struct LocalCavities {
    /// Their centres; area is the length of a piece of bore across the beam plane (mm), 1 for a ball.
    pub points: LocalPoints,
    /// Radius, mm.
    pub radius: Vec<f32>,
    /// Shape.
    pub shape: Vec<Shape>,
    /// Index of the table of taps.
    pub table: Vec<u16>,
}

/// Tables of taps by shape and diameter, made for a scene beforehand, or when a cavity of that kind first comes near the
/// beam.
#[derive(Debug)]
pub struct TapTables {
    solid: Solid,
    pulse: Pulse,
    kinds: Vec<(Shape, f64)>,
    tables: Vec<TapTable>,
}

impl TapTables {
    /// None yet.
    pub fn new(solid: &Solid, pulse: &Pulse) -> Self {
        Self { solid: *solid, pulse: pulse.clone(), kinds: Vec::new(), tables: Vec::new() }
    }

    /// Takes over what another has made for the same metal and pulse.
    pub fn take_over(&mut self, other: &mut Self) {
        if (&self.solid, &self.pulse) == (&other.solid, &other.pulse) {
            mem::swap(self, other);
        }
    }

    /// Makes the tables that a scene needs; a table takes some ms, too long for a frame.
    pub fn prepare(&mut self, cavities: &[Cavity]) {
        for cavity in cavities {
            self.index(cavity.form.shape(), cavity.diameter_mm);
        }
    }

    fn index(&mut self, shape: Shape, diameter_mm: f64) -> usize {
        let kind = (shape, diameter_mm);
        self.kinds.iter().position(|&known| known == kind).unwrap_or_else(|| {
            let (speed, kappa) = (self.solid.shear_mm_per_us, self.solid.speed_ratio());
            self.tables.push(TapTable::new(shape, 0.5 * diameter_mm, speed, kappa, &self.pulse));
            self.kinds.push(kind);
            self.kinds.len() - 1
        })
    }

    /// The table of a local cavity.
    #[inline]
    pub fn of(&self, cavities: &LocalCavities, index: usize) -> &TapTable {
        &self.tables[usize::from(cavities.table[index])]
    }
}

impl LocalCavities {
    /// Gathers the cavities, sorted along the weld, within reach of a view.
    pub fn gather(&mut self, cavities: &[Cavity], view: &View, tables: &mut TapTables) {
        self.points.clear();
        self.radius.clear();
        self.shape.clear();
        self.table.clear();
        if tables.kinds.len() > MOST_TABLES {
            tables.kinds.clear();
            tables.tables.clear();
        }
        let first = cavities.partition_point(|cavity| (cavity.position_mm[1] as f32) < view.along[0]);
        for cavity in
            cavities[first..].iter().take_while(|cavity| cavity.position_mm[1] as f32 <= view.along[1])
        {
            self.push(cavity, view, tables);
        }
    }

    fn push(&mut self, cavity: &Cavity, view: &View, tables: &mut TapTables) {
        let Some(place) = view.place(cavity.position_mm.map(|c| c as f32)) else { return };
        let shape = cavity.form.shape();
        let size = match cavity.form {
            CavityForm::Ball => 1.0,
            CavityForm::Bore { direction, length_mm } => {
                let across = view.turn(direction.map(|c| c as f32))[1].abs();
                if across < LEAST_ACROSS {
                    return;
                }
                length_mm as f32 * across
            }
        };
        let Ok(table) = u16::try_from(tables.index(shape, cavity.diameter_mm)) else { return };
        self.points.push(place, [0.0; 3], size, 1.0);
        self.radius.push(0.5 * cavity.diameter_mm as f32);
        self.shape.push(shape);
        self.table.push(table);
    }
}
