use acoustics::aperture::{Aperture, Coupling};
use acoustics::law::{DelayLaw, LawError};
use acoustics::material::{Solid, WedgeMaterial};
use acoustics::ray::Ray;

use crate::{column, table, within};

/// The worked probe of the tables: 16 elements, pitch 0.6 mm, 36° wedge of polystyrene, first element 5 mm high.
fn aperture() -> Aperture {
    Aperture {
        coupling: Coupling::Wedge(WedgeMaterial::POLYSTYRENE),
        wedge_angle: 36.0_f64.to_radians(),
        first_height_mm: 5.0,
        pitch_mm: 0.6,
        element_width_mm: 0.5,
        elevation_mm: Some(10.0),
        first: 0,
        count: 16,
        frequency_mhz: 5.0,
        bandwidth_percent: 60.0,
    }
}

fn law(angle_deg: f64, focus: Option<f64>) -> DelayLaw {
    DelayLaw::new(&aperture(), &Solid::STEEL, angle_deg.to_radians(), focus).unwrap()
}

/// C21: step of the plane-wave law, p sin(steering)/c_w. Computed.
#[test]
fn c21_plane_wave_step() {
    for (angle, step_ns) in [(45.0, -23.924), (60.0, 11.958), (70.0, 29.939)] {
        let delays = law(angle, None).delays_us;
        for pair in delays.windows(2) {
            assert!(((pair[1] - pair[0]) * 1e3 - step_ns).abs() < within("C21"), "{angle}");
        }
    }
}

/// C22 and the whole table of delays, plane and focused at 50 mm, to 0.1 ns. Computed: Snell's law and least time.
#[test]
fn c22_all_delays() {
    let table = table("focal_laws.csv");
    let (angles, plane) = (column(&table, "angle"), column(&table, "delay_plane_ns"));
    let focused = column(&table, "delay_focus50_ns");
    for angle in [45.0, 60.0, 70.0] {
        let rows: Vec<usize> = (0..angles.len()).filter(|&row| angles[row] == angle).collect();
        assert_eq!(rows.len(), 16);
        for (expected, focus) in [(&plane, None), (&focused, Some(50.0))] {
            for (delay, &row) in law(angle, focus).firing_delays_us().iter().zip(&rows) {
                assert!(
                    (delay * 1e3 - expected[row]).abs() < within("C22"),
                    "{angle}: {} {}",
                    delay * 1e3,
                    expected[row]
                );
            }
        }
    }
    assert!((law(45.0, Some(50.0)).firing_delays_us()[7] * 1e3 - 231.3).abs() < within("C22"));
}

/// C23: one-way time of the centre ray in the wedge, and the exit points. Computed.
#[test]
fn c23_wedge_time_and_exit() {
    for (angle, time_ns, exit_mm) in [(45.0, 3814.7, 8.1743), (60.0, 4202.0, 9.7570), (70.0, 4463.0, 10.6894)]
    {
        let law = law(angle, None);
        assert!((law.wedge_time_us * 1e3 - time_ns).abs() < within("C23"));
        assert!((law.exit_mm - exit_mm).abs() < 1e-3);
    }
}

/// Times of the first and last element to the focus. Computed: least time.
#[test]
fn times_of_flight_to_the_focus() {
    let aperture = aperture();
    for (angle, first_ns, last_ns) in
        [(45.0_f64, 19152.4, 19514.0), (60.0, 19794.1, 19618.2), (70.0, 20179.2, 19732.6)]
    {
        let law = law(angle, Some(50.0));
        let focus = [law.exit_mm + 50.0 * angle.to_radians().sin(), 50.0 * angle.to_radians().cos()];
        for (element, expected) in [(0.0, first_ns), (15.0, last_ns)] {
            let [x, h] = aperture.element_mm(element);
            let ray = Ray::least_time(focus[0] - x, h, focus[1], 2.33, 3.23);
            assert!((ray.time_us * 1e3 - expected).abs() < 0.1, "{angle}: {}", ray.time_us * 1e3);
        }
    }
}

/// C19: grating lobes of the 0.6 mm pitch at 5 MHz, steered 6.677°: -41.33° and 63.24° from the array's normal. Array
/// factor; ISO 23243 defines the lobe. Computed.
#[test]
fn c19_grating_lobes() {
    let lobes: Vec<f64> = aperture()
        .grating_sines(6.677_f64.to_radians().sin(), 2.33)
        .iter()
        .map(|sine| sine.asin().to_degrees())
        .collect();
    assert!(lobes.iter().any(|lobe| (lobe + 41.33).abs() < within("C19")), "{lobes:?}");
    assert!(lobes.iter().any(|lobe| (lobe - 63.24).abs() < within("C19")), "{lobes:?}");
}

#[test]
fn impossible_laws_say_why() {
    let steep = DelayLaw::new(&aperture(), &Solid { shear_mm_per_us: 2.2, ..Solid::STEEL }, 1.5, None);
    assert!(matches!(steep, Err(LawError::BeyondCritical { .. })));
    let focus = DelayLaw::new(&aperture(), &Solid::STEEL, 1.0, Some(-2.0));
    assert_eq!(focus.unwrap_err(), LawError::FocusOutside { path_mm: -2.0 });
}
