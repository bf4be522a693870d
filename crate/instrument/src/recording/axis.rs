//! One axis of a view, cut into cells.

/// A place this close to an edge of a cell, in cells, is on it.
pub(super) const HAIR: f64 = 1e-6;

/// One axis of a view: edges on whole cells.
#[derive(Clone, Copy, Debug)]
pub(super) struct Axis {
    /// Edge of the first cell, mm.
    pub from_mm: f64,
    /// Size of a cell, mm.
    pub cell_mm: f64,
    /// Number of cells.
    pub cells: u32,
}

impl Axis {
    /// Cells from one place until another is covered.
    pub fn over([low, high]: [f64; 2], cell_mm: f64) -> Self {
        let cells = libm::ceil((high - low) / cell_mm - HAIR).max(1.0) as u32;
        Self { from_mm: low, cell_mm, cells }
    }

    /// Both ends, mm.
    pub fn edges_mm(&self) -> [f64; 2] {
        [self.from_mm, self.from_mm + f64::from(self.cells) * self.cell_mm]
    }

    /// The cell of a place; the upper edge belongs to the last one.
    pub fn cell(&self, place_mm: f64) -> Option<u32> {
        let cell = libm::floor((place_mm - self.from_mm) / self.cell_mm + HAIR);
        let last = f64::from(self.cells) - 1.0;
        (cell >= 0.0 && cell <= last + 1.0).then(|| cell.min(last) as u32)
    }

    /// The cells whose middles lie in a span; its upper end belongs to the next one.
    pub fn cells_between(&self, from_mm: f64, to_mm: f64) -> core::ops::Range<u32> {
        let place = |mm: f64| libm::ceil((mm - self.from_mm) / self.cell_mm - 0.5 - HAIR);
        let bound = |place: f64| place.clamp(0.0, f64::from(self.cells)) as u32;
        bound(place(from_mm))..bound(place(to_mm))
    }
}
