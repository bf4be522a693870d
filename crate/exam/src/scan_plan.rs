//! The scan plan of a plate: what a set-up reaches of its weld and heat-affected zone.

use instrument::scan_plan::{self, Coverage, PlanBeam, Station, Zone};
use instrument::set_up::{SetUp, SetUpError};
use serde::Serialize;
use specimen::plate::Plate;

/// The beams of a set-up and what they reach.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ScanPlan {
    /// The beams, by rising angle.
    pub beams: Vec<PlanBeam>,
    /// What they reach; absent for a block, which has no weld.
    pub coverage: Option<Coverage>,
}

/// The plan of a set-up from some stations, by the first `legs` legs. The ripple of cap and root, and flaws, are no part of it.
///
/// # Errors
/// A set-up that is impossible.
pub fn scan_plan(
    plate: &Plate,
    set_up: &SetUp,
    stations: &[Station],
    legs: u8,
) -> Result<ScanPlan, SetUpError> {
    let beams = beams(plate, set_up)?;
    let coverage =
        zone(plate).map(|zone| scan_plan::coverage(&zone, &beams, set_up.range_mm, stations, legs));
    Ok(ScanPlan { beams, coverage })
}

/// Where the beams of a set-up leave the wedge, by rising angle.
pub(crate) fn beams(plate: &Plate, set_up: &SetUp) -> Result<Vec<PlanBeam>, SetUpError> {
    let front_mm = set_up.probe.first_element_to_front_mm;
    let laws = set_up.laws(&plate.solid)?;
    let beam = |(law, angle_deg): (&acoustics::law::DelayLaw, f64)| PlanBeam {
        angle_deg,
        exit_forward_mm: law.exit_mm - front_mm,
    };
    Ok(laws.iter().zip(set_up.angles_deg()).map(beam).collect())
}

/// Weld and heat-affected zone; `None` without a weld.
pub(crate) fn zone(plate: &Plate) -> Option<Zone> {
    let outline = plate.outline();
    let [a, b] = outline.heat_affected.as_slice() else { return None };
    // Between two level parts of a face lies what is no mirror.
    let between = |face: &[Vec<[f64; 2]>]| -> Vec<[f64; 2]> {
        let gap = |pair: &[Vec<[f64; 2]>]| Some([pair[0].last()?[0], pair[1].first()?[0]]);
        face.windows(2).filter_map(gap).collect()
    };
    Some(Zone {
        thickness_mm: plate.thickness_mm,
        edges: [a.clone(), b.clone()],
        not_level: [between(&outline.upper_face), between(&outline.lower_face)],
    })
}

#[cfg(test)]
mod tests {
    use instrument::pose::{Face, Side};
    use specimen::joint::Preparation;

    use super::*;
    use crate::standard;

    fn stations(procedure: &instrument::procedure::Procedure, sides: &[Side]) -> Vec<Station> {
        let station =
            |&side: &Side| Station { face: Face::Upper, side, index_offset_mm: procedure.index_offset_mm };
        sides.iter().map(station).collect()
    }

    /// What the standard procedure promises: root, body and cap are each met from both sides together.
    #[test]
    fn the_standard_procedure_reaches_nearly_all_of_its_weld() {
        for preparation in Preparation::ALL {
            let plate = specimen::generator::plate(preparation.into(), 2, 5);
            let procedure = standard::procedure(&plate);
            let set_up = SetUp::of(&procedure);
            let plan = scan_plan(&plate, &set_up, &stations(&procedure, &[Side::A, Side::B]), 3).unwrap();
            let reached = plan.coverage.unwrap().reached_percent;
            assert!(reached > 90.0, "{preparation:?}: {reached}");
        }
    }

    #[test]
    fn a_range_of_one_leg_leaves_the_cap_out_and_the_plan_says_where() {
        let plate = specimen::generator::plate(Preparation::SingleV.into(), 2, 5);
        let procedure = standard::procedure(&plate);
        let mut set_up = SetUp::of(&procedure);
        set_up.range_mm = (plate.thickness_mm * 1.5).max(20.0);
        let plan = scan_plan(&plate, &set_up, &stations(&procedure, &[Side::A, Side::B]), 3).unwrap();
        let coverage = plan.coverage.unwrap();
        assert!(coverage.reached_percent < 80.0, "{}", coverage.reached_percent);
        let largest = coverage.gaps[0];
        assert!(largest.depth_mm[0] < 1.0, "{largest:?}");
    }
}
