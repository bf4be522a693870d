use super::*;
use crate::truth::Truth;
use crate::yard;

fn set_up() -> SetUp {
    SetUp {
        probe: yard::probe(),
        sector: yard::sector(),
        range_mm: 100.0,
        receiver: crate::receiver::Receiver::default(),
    }
}

/// Common practice, no source: an encoder counts 500 mm to within 1 %.
#[test]
fn the_encoder_counts_half_a_metre_within_one_percent_after_calibration_and_not_before() {
    for seed in 0..50 {
        let truth = Truth::of(seed);
        let mut made = Calibration::begin(&set_up());
        let off = |made: &Calibration, way_mm: f64| made.encoder_mm(truth.encoder_mm(way_mm)) / way_mm - 1.0;
        assert!(off(&made, 500.0).abs() > 0.01);
        made.set_encoder(500.0, truth.encoder_mm(500.0));
        assert!(off(&made, 300.0).abs() < 0.001 && made.problem().is_none());
    }
}

#[test]
fn another_probe_keeps_speed_and_encoder_only() {
    let mut made = Calibration::begin(&set_up());
    made.speed_mm_per_us = Some(3.25);
    made.sensitivity_db = vec![0.0; 61];
    made.set_encoder(500.0, 490.0);
    let mut other = set_up();
    other.range_mm = 60.0;
    assert_eq!(made.carried_to(&other), made);
    other.sector.to_deg = 65.0;
    let carried = made.carried_to(&other);
    assert_eq!((carried.speed_mm_per_us, carried.encoder_scale), (Some(3.25), made.encoder_scale));
    assert!(carried.sensitivity_db.is_empty());
}

#[test]
fn what_comes_from_outside_is_looked_at() {
    let mut made = Calibration::begin(&set_up());
    assert_eq!(made.problem(), None);
    made.angles_deg = vec![45.0];
    assert!(made.problem().unwrap().contains("expected none or 61"));
    made.angles_deg = (0..61).map(|beam| 70.0 - f64::from(beam) * 0.5).collect();
    assert!(made.problem().unwrap().contains("angles_deg"));
    made.angles_deg = Vec::new();
    made.speed_mm_per_us = Some(f64::NAN);
    assert!(made.problem().unwrap().contains("speed"));
    for step_deg in [0.0, -1.0, 1e-9, f64::NAN] {
        made.sector.step_deg = step_deg;
        assert!(made.problem().unwrap().contains("sector.step_deg"), "{step_deg}");
    }
}
