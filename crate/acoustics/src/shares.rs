//! Shares of a frame maker's tables: made by several workers, which pass them on as bytes, and put together by one.

use core::ops::Range;

use crate::aperture::Aperture;
use crate::beam_table::Row;
use crate::frame_maker::Shot;
use crate::law::DelayLaw;
use crate::pulse::Pulse;
use crate::table_order::TableOrder;
use crate::tables::{TableMaker, Tables};

/// Words before the arrays of a run: the aperture's number, the first zone, the one after the last, bytes that follow.
const HEAD: usize = 4;
/// Bytes of the order's digest, before all runs.
const DIGEST: usize = 8;

/// What was made of the tables of an order.
#[derive(Debug)]
pub struct Shares {
    /// What is made.
    pub(crate) order: TableOrder,
    /// The aperture's number, and tables made here.
    here: Vec<(usize, Tables)>,
    /// Shares made elsewhere.
    elsewhere: Vec<Vec<u8>>,
}

impl Shares {
    /// None yet.
    pub fn new(order: TableOrder) -> Self {
        Self { order, here: Vec::new(), elsewhere: Vec::new() }
    }

    /// What is made.
    pub fn order(&self) -> &TableOrder {
        &self.order
    }

    /// Makes one of several shares that cost about the same: share `index` of `count`.
    pub fn make(&mut self, (index, count): (usize, usize)) {
        let TableOrder { solid, shots, range_mm } = &self.order;
        let Some(first) = shots.first() else { return };
        let pulse = Pulse::of(&first.aperture);
        let maker = |shot| TableMaker::new(solid, beams(shot), &pulse, *range_mm);
        let costs: Vec<Vec<f64>> = shots.iter().map(|shot| maker(shot).costs()).collect();
        let whole: f64 = costs.iter().flatten().sum();
        let mut before = 0.0;
        for (part, (shot, costs)) in shots.iter().zip(&costs).enumerate() {
            // A zone belongs to the share that its middle falls into.
            let mut wanted = costs.iter().map(|cost| {
                before += cost;
                let middle = (before - 0.5 * cost) / whole * count as f64;
                (middle as usize).min(count.saturating_sub(1)) == index
            });
            if let Some(start) = wanted.by_ref().position(|mine| mine) {
                let more = wanted.by_ref().take_while(|&mine| mine).count();
                wanted.for_each(drop);
                self.here.push((part, maker(shot).zones(start..start + 1 + more)));
            }
        }
    }

    /// All that was made here, as bytes for another worker.
    pub fn bytes(&self) -> Vec<u8> {
        let mut bytes = self.order.digest().to_le_bytes().to_vec();
        for (part, tables) in &self.here {
            let start = bytes.len();
            let head = [*part, tables.zones.start, tables.zones.end, 0];
            head.iter().for_each(|&word| bytes.extend(word32(word)));
            write(tables, &mut bytes);
            let length = bytes.len() - start - 4 * HEAD;
            bytes[start + 4 * (HEAD - 1)..start + 4 * HEAD].copy_from_slice(&word32(length));
        }
        bytes
    }

    /// Takes what another worker made by the same order; anything else is not taken. What does not fit the tables is passed over
    /// when they are put together, and made anew.
    pub fn take_in(&mut self, bytes: Vec<u8>) {
        if bytes.starts_with(&self.order.digest().to_le_bytes()) {
            self.elsewhere.push(bytes);
        }
    }

    /// The runs of one aperture.
    pub(crate) fn of(&mut self, part: usize, maker: &TableMaker) -> Vec<Tables> {
        let here = self.here.extract_if(.., |(number, _)| *number == part).map(|(_, tables)| tables);
        let elsewhere = self.elsewhere.iter().flat_map(|bytes| runs(bytes));
        let elsewhere = elsewhere.filter(|([number, ..], _)| *number == part);
        let read = elsewhere.filter_map(|([_, start, end, _], run)| read(start..end, run, maker));
        here.chain(read).collect()
    }
}

fn beams(shot: &Shot) -> (&Aperture, &[DelayLaw]) {
    (&shot.aperture, &shot.laws)
}

fn word32(word: usize) -> [u8; 4] {
    (word as u32).to_le_bytes()
}

/// The runs of a share: their heads and arrays.
fn runs(bytes: &[u8]) -> impl Iterator<Item = ([usize; HEAD], &[u8])> {
    let mut rest = bytes.get(DIGEST..).unwrap_or_default();
    core::iter::from_fn(move || {
        let (head, after) = rest.split_first_chunk::<{ 4 * HEAD }>()?;
        let word = |i: usize| u32::from_le_bytes([0, 1, 2, 3].map(|k| head[4 * i + k])) as usize;
        let head: [usize; HEAD] = core::array::from_fn(word);
        let (arrays, more) = after.split_at_checked(head[HEAD - 1])?;
        rest = more;
        Some((head, arrays))
    })
}

/// Arrays one after the other, each after its length in bytes.
fn write(tables: &Tables, bytes: &mut Vec<u8>) {
    let Tables { beams, legs, .. } = tables;
    let rows: Vec<u32> = beams.rows.iter().flat_map(words).collect();
    let arrays: [&[u8]; 8] = [
        bytemuck::cast_slice(&rows),
        bytemuck::cast_slice(&beams.shifts),
        bytemuck::cast_slice(&beams.first),
        bytemuck::cast_slice(&beams.others),
        bytemuck::cast_slice(&beams.one_way.values),
        bytemuck::cast_slice(&beams.one_way.delays),
        bytemuck::cast_slice(&legs.values[0]),
        bytemuck::cast_slice(&legs.values[1]),
    ];
    bytes.reserve(arrays.iter().map(|array| 4 + array.len()).sum());
    for array in arrays {
        bytes.extend(word32(array.len()));
        bytes.extend_from_slice(array);
    }
}

fn words(row: &Row) -> [u32; 3] {
    let pair = |low: u16, high: u16| u32::from(low) | u32::from(high) << 16;
    [row.offset, pair(row.low, row.count), pair(row.grain[0], row.grain[1])]
}

fn row(words: &[u32; 3]) -> Row {
    let halves = |word: u32| [word as u16, (word >> 16) as u16];
    let [low, count] = halves(words[1]);
    Row { offset: words[0], low, count, grain: halves(words[2]) }
}

/// A run as the maker of its aperture would have made it, or nothing where it cannot be one.
fn read(zones: Range<usize>, arrays: &[u8], maker: &TableMaker) -> Option<Tables> {
    if zones.start >= zones.end || zones.end > maker.axes.zones() {
        return None;
    }
    let (mut rest, mut tables) = (arrays, maker.empty(zones));
    let Tables { beams, legs, .. } = &mut tables;
    let mut rows: Vec<u32> = Vec::new();
    take(&mut rest, &mut rows)?;
    beams.rows = rows.as_chunks::<3>().0.iter().map(row).collect();
    take(&mut rest, &mut beams.shifts)?;
    take(&mut rest, &mut beams.first)?;
    take(&mut rest, &mut beams.others)?;
    take(&mut rest, &mut beams.one_way.values)?;
    take(&mut rest, &mut beams.one_way.delays)?;
    for values in &mut legs.values {
        take(&mut rest, values)?;
    }
    maker.fits(&tables).then_some(tables)
}

fn take<T: bytemuck::Pod>(rest: &mut &[u8], into: &mut Vec<T>) -> Option<()> {
    let (length, after) = rest.split_first_chunk::<4>()?;
    let (array, more) = after.split_at_checked(u32::from_le_bytes(*length) as usize)?;
    *into = bytemuck::pod_collect_to_vec(array);
    *rest = more;
    Some(())
}

#[cfg(test)]
mod tests {
    use super::{Shares, write};
    use crate::aperture::{Aperture, Coupling};
    use crate::frame_maker::Shot;
    use crate::law::DelayLaw;
    use crate::material::{Solid, WedgeMaterial};
    use crate::pulse::Pulse;
    use crate::table_order::TableOrder;
    use crate::tables::TableMaker;

    fn order() -> TableOrder {
        let shot = |first| {
            let aperture = Aperture {
                coupling: Coupling::Wedge(WedgeMaterial::POLYSTYRENE),
                wedge_angle: 0.6,
                first_height_mm: 5.0,
                pitch_mm: 0.5,
                element_width_mm: 0.4,
                elevation_mm: Some(10.0),
                first,
                count: 16,
                frequency_mhz: 5.0,
                bandwidth_percent: 60.0,
            };
            let law = |angle| DelayLaw::new(&aperture, &Solid::STEEL, angle, Some(40.0)).expect("a law");
            Shot { laws: vec![law(0.8), law(1.0)], aperture }
        };
        TableOrder { solid: Solid::STEEL, shots: vec![shot(0), shot(8)], range_mm: 60.0 }
    }

    /// Every entry of every table, not only those that a frame looks at.
    #[test]
    fn tables_put_together_are_those_made_at_once() {
        let order = order();
        let pulse = Pulse::of(&order.shots[0].aperture);
        let makers: Vec<TableMaker> = (order.shots.iter())
            .map(|shot| TableMaker::new(&order.solid, (&shot.aperture, &shot.laws), &pulse, order.range_mm))
            .collect();
        let told = |tables| {
            let mut bytes = Vec::new();
            write(&tables, &mut bytes);
            bytes
        };
        for maker in &makers {
            let costs = maker.costs();
            assert!(costs.len() == maker.axes.zones() && costs.iter().all(|cost| *cost > 0.0), "{costs:?}");
        }
        let whole: Vec<Vec<u8>> = makers.iter().map(|maker| told(maker.whole(Vec::new()))).collect();
        for count in [2, 3, 5] {
            let mut shares = Shares::new(order.clone());
            shares.make((1, count));
            for index in (0..count).filter(|&index| index != 1) {
                let mut other = Shares::new(order.clone());
                other.make((index, count));
                shares.take_in(other.bytes());
            }
            for (part, maker) in makers.iter().enumerate() {
                let runs = shares.of(part, maker);
                let zones: usize = runs.iter().map(|run| run.zones.len()).sum();
                assert_eq!(zones, maker.axes.zones(), "every zone is in one share of {count}");
                assert!(told(maker.whole(runs)) == whole[part], "aperture {part} of {count} shares");
            }
        }
    }
}
