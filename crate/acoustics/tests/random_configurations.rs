//! The frame engine against the exact model over a thousand random configurations: aperture, focus, wedge or bare metal,
//! angle, place, legs and object.
#![allow(clippy::unwrap_used, reason = "a test")]

use acoustics::aperture::{Aperture, Coupling};
use acoustics::engine::FrameEngine;
use acoustics::law::DelayLaw;
use acoustics::material::{Solid, WedgeMaterial};
use acoustics::oracle::{Oracle, Reflectors};
use acoustics::placement::{BrokenStretches, Placement};
use acoustics::pulse::SAMPLING_MHZ;
use acoustics::scene::{FaceRun, RimPoint, Scene, Sides, Surface, SurfacePoint};
use acoustics::seed::Stream;

/// Set-ups, and configurations of each.
const SET_UPS: u32 = 12;
const ROUNDS: u32 = 84;
/// How far below the beam that hears most the beams of its lobe may lie, dB.
const MAIN_LOBE_DB: f64 = 12.0;
/// Thinnest plate, mm.
const THINNEST_MM: f64 = 8.0;
/// Half the window in which echoes are compared, and half of the exact trace, samples.
const WINDOW: usize = 25;
const AROUND: usize = 46;

#[derive(Clone, Copy, Debug, PartialEq)]
enum Object {
    /// Alone on its leg.
    Point,
    /// With all that comes at the same time by other legs.
    PointOnAllLegs,
    PointBesideThePlane,
    NearPoint,
    Strip,
    Corner,
    Gap,
}

const OBJECTS: [Object; 7] = [
    Object::Point,
    Object::PointOnAllLegs,
    Object::PointBesideThePlane,
    Object::NearPoint,
    Object::Strip,
    Object::Corner,
    Object::Gap,
];

struct SetUp {
    aperture: Aperture,
    laws: Vec<DelayLaw>,
    engine: FrameEngine,
}

/// 16, 32 or 64 elements, on a wedge or bare, unfocused or focused at a random path.
fn set_up(number: u32, stream: &mut Stream) -> SetUp {
    let wedge = number.is_multiple_of(2);
    let pitch_mm = if wedge { 0.5 } else { 0.3 };
    let aperture = Aperture {
        coupling: if wedge { Coupling::Wedge(WedgeMaterial::POLYSTYRENE) } else { Coupling::Bare },
        wedge_angle: if wedge { 36.0_f64.to_radians() } else { 0.0 },
        first_height_mm: if wedge { 5.0 } else { 0.0 },
        pitch_mm,
        element_width_mm: 0.8 * pitch_mm,
        elevation_mm: (wedge || number % 4 == 1).then_some(10.0),
        first: 0,
        count: 16 << (number % 3),
        frequency_mhz: 5.0,
        bandwidth_percent: 60.0,
    };
    let focus_mm = (number >= SET_UPS / 2).then(|| stream.between(25.0, 80.0));
    let laws: Vec<DelayLaw> = (0..=20)
        .map(|i| {
            let angle = (40.0 + 1.5 * f64::from(i)).to_radians();
            DelayLaw::new(&aperture, &Solid::STEEL, angle, focus_mm).unwrap()
        })
        .collect();
    let engine = FrameEngine::new(&Solid::STEEL, &aperture, laws.clone(), 115.0);
    SetUp { aperture, laws, engine }
}

/// What stands before the probe, and the sample at which its echo is expected.
#[derive(Default)]
struct Stage {
    points: Vec<SurfacePoint>,
    rims: Vec<RimPoint>,
    runs: Vec<FaceRun>,
    thickness_mm: Option<f64>,
    centre_us: f64,
}

fn point(position_mm: [f64; 3], [nx, nz]: [f64; 2], area_mm2: f64) -> SurfacePoint {
    SurfacePoint { position_mm, normal: [nx, 0.0, nz], area_mm2, sides: Sides::Both }
}

impl Stage {
    /// Points on a straight strip in the beam plane.
    fn strip(&mut self, centre: [f64; 2], length: f64, along: [f64; 2]) {
        let count = (length / 0.2).ceil();
        let step = length / count;
        self.points = (0..count as u32)
            .map(|i| {
                let s = step * (f64::from(i) + 0.5) - 0.5 * length;
                let place = [centre[0] + s * along[0], 0.0, centre[1] + s * along[1]];
                point(place, [along[1], -along[0]], step)
            })
            .collect();
    }

    fn rims(&mut self, centre: [f64; 2], length: f64, along: [f64; 2]) {
        let rim = |sign: f64| RimPoint {
            position_mm: [
                centre[0] - 0.5 * sign * length * along[0],
                0.0,
                centre[1] - 0.5 * sign * length * along[1],
            ],
            inward: [sign * along[0], 0.0, sign * along[1]],
            normal: [along[1], 0.0, -along[0]],
            length_mm: 1.0,
        };
        self.rims = vec![rim(1.0), rim(-1.0)];
        self.runs = vec![FaceRun { from: rim(1.0), to: rim(-1.0) }];
    }

    fn random(object: Object, aperture: &Aperture, stream: &mut Stream) -> Self {
        let angle = stream.between(42.0, 68.0).to_radians();
        let path = match object {
            Object::NearPoint => stream.between(10.0, 25.0),
            _ => stream.between(25.0, 100.0),
        };
        let (sine, cosine) = (libm::sin(angle), libm::cos(angle));
        let height = aperture.centre_mm()[1];
        let (speed, near_speed) = (Solid::STEEL.shear_mm_per_us, aperture.near_speed(&Solid::STEEL));
        let u = sine * near_speed / speed;
        let wedge_cosine = f64::sqrt(1.0 - u * u);
        let (x, depth) = (height * u / wedge_cosine + path * sine, path * cosine);
        let two_way_us = 2.0 * (height / (wedge_cosine * near_speed) + path / speed);
        let mut stage = Self { centre_us: two_way_us, ..Self::default() };
        // Legs: the object stands in a half space, or is met after one or two faces.
        let share = stream.between(0.1, 0.9);
        let thickness = |leg: u32| if leg == 1 { depth / (2.0 - share) } else { depth / (2.0 + share) };
        let leg = match stream.below(3) {
            leg if leg > 0 && thickness(leg) >= THINNEST_MM => leg,
            _ => 0,
        };
        let place = match leg {
            0 => [x, depth],
            1 => {
                stage.thickness_mm = Some(thickness(1));
                [x, share * thickness(1)]
            }
            _ => {
                stage.thickness_mm = Some(thickness(2));
                [x, share * thickness(2)]
            }
        };
        let down = if leg == 1 { -1.0 } else { 1.0 };
        // A face turned by some degrees from square to the ray.
        let face = |turn_deg: f64| {
            let turned = angle + turn_deg.to_radians();
            [libm::cos(turned), -down * libm::sin(turned)]
        };
        match object {
            Object::Point | Object::PointOnAllLegs | Object::NearPoint => {
                stage.points = vec![point([place[0], 0.0, place[1]], [-sine, -down * cosine], 0.1)];
            }
            Object::PointBesideThePlane => {
                let beside = stream.between(-2.5, 2.5);
                stage.points = vec![point([place[0], beside, place[1]], [-sine, -down * cosine], 0.1)];
            }
            Object::Strip => {
                stage.strip(place, stream.between(1.0, 5.0), face(stream.between(-8.0, 8.0)));
            }
            // An upright crack that opens to the far face, or after it to the near face.
            Object::Corner => {
                let at_near = stream.below(2) == 1 && depth >= 2.0 * THINNEST_MM;
                let thickness = if at_near { 0.5 * depth } else { depth };
                let length = stream.between(1.0, (0.8 * thickness).min(5.0));
                let middle = if at_near { 0.5 * length } else { thickness - 0.5 * length };
                stage.thickness_mm = Some(thickness);
                stage.strip([x, middle], length, [0.0, 1.0]);
            }
            // A smooth gap met so flat that its rims answer.
            Object::Gap => {
                let (length, along) = (stream.between(1.5, 4.0), face(stream.between(40.0, 82.0)));
                stage.strip(place, length, along);
                stage.rims(place, length, along);
            }
        }
        stage
    }
}

/// Errors of beams in the main lobe of one configuration, dB; of legs that go out and come home alike only, or of all.
fn compare(set_up: &mut SetUp, stage: &Stage, alike: bool) -> Vec<f64> {
    let scene = Scene {
        solid: Solid::STEEL,
        thickness_mm: stage.thickness_mm,
        surface: Surface::from_points(stage.points.iter().copied())
            .with_rims(stage.rims.clone(), stage.runs.clone()),
        upper_not_flat: vec![],
        lower_not_flat: vec![],
        grain: None,
        longitudinal: false,
    };
    let placement = Placement { centre_mm: [0.0, 0.0], forward: [1.0, 0.0], lower_face_mm: None };
    let samples = set_up.engine.samples();
    let centre = set_up.engine.sample_of(stage.centre_us) as usize;
    // Near echoes lie at the start of the frame.
    let first = centre.saturating_sub(AROUND);
    let window = centre.saturating_sub(WINDOW)..(centre + WINDOW).min(samples);
    let start_us = set_up.engine.start_us() + first as f64 / SAMPLING_MHZ;
    let whole = BrokenStretches::default();
    let oracle = Oracle {
        solid: Solid::STEEL,
        aperture: &set_up.aperture,
        laws: &set_up.laws,
        thickness_mm: stage.thickness_mm,
        broken: [&whole, &whole],
        pairs: if alike { &PAIRS[..3] } else { &PAIRS },
    };
    let reflectors =
        Reflectors { points: &stage.points, rims: &stage.rims, runs: &stage.runs, cavities: &[] };
    let exact: Vec<f64> = oracle
        .frame(&reflectors, start_us, centre + AROUND - first)
        .iter()
        .map(|row| peak(window.clone().map(|n| row[n - first].abs())))
        .collect();
    let (mut re, mut im) = (Vec::new(), Vec::new());
    if alike {
        for beam in 0..set_up.laws.len() {
            let (beam_re, beam_im) = set_up.engine.beam(&scene, &placement, beam);
            re.extend_from_slice(beam_re);
            im.extend_from_slice(beam_im);
        }
    } else {
        let (frame_re, frame_im) = set_up.engine.frame(&scene, &placement, None);
        re.extend_from_slice(frame_re);
        im.extend_from_slice(frame_im);
    }
    let fast = (0..set_up.laws.len()).map(|beam| {
        let value = |n: usize| f64::from(libm::hypotf(re[beam * samples + n], im[beam * samples + n]));
        peak(window.clone().map(value))
    });
    let db = |ratio: f64| 20.0 * libm::log10(ratio);
    let fast: Vec<f64> = fast.collect();
    main_lobe(&exact).map(|beam| db(fast[beam] / exact[beam]).abs()).collect()
}

/// The beams around the one that hears most, as far as none between hears less than the lobe's floor.
fn main_lobe(heights: &[f64]) -> core::ops::Range<usize> {
    let top = (0..heights.len()).max_by(|&a, &b| heights[a].total_cmp(&heights[b])).unwrap_or(0);
    let floor = heights[top] * libm::pow(10.0, -MAIN_LOBE_DB / 20.0);
    let low = heights[..top].iter().rposition(|&height| height < floor).map_or(0, |below| below + 1);
    let high = heights[top..].iter().position(|&height| height < floor).map_or(heights.len(), |n| top + n);
    low..high
}

/// Pairs of legs, those that are alike first.
const PAIRS: [(usize, usize); 6] = [(0, 0), (1, 1), (2, 2), (0, 1), (1, 2), (0, 2)];

/// The vertex of the parabola through the highest sample and its neighbours.
fn peak(values: impl Iterator<Item = f64>) -> f64 {
    let row: Vec<f64> = values.collect();
    let at = (1..row.len() - 1).max_by(|&a, &b| row[a].total_cmp(&row[b])).unwrap();
    let (a, b, c) = (row[at - 1], row[at], row[at + 1]);
    let bend = a - 2.0 * b + c;
    let shift = if bend < 0.0 { 0.5 * (a - c) / bend } else { 0.0 };
    b - 0.25 * (a - c) * shift.clamp(-1.0, 1.0)
}

/// One configuration: set-up, object and the rms of its beams' errors.
struct Outcome {
    elements: u32,
    wedge: bool,
    object: Object,
    what: String,
    rms_db: f64,
}

fn outcomes(number: u32) -> Vec<Outcome> {
    let mut stream = Stream::new(u64::from(number), "random configurations");
    let mut set_up = set_up(number, &mut stream);
    (0..ROUNDS)
        .map(|round| {
            // Single points are cheap and make the bar of the main lobe: half of all.
            let object = if round % 2 == 0 { OBJECTS[0] } else { OBJECTS[1 + (round / 2 % 6) as usize] };
            let stage = Stage::random(object, &set_up.aperture, &mut stream);
            let alike = !matches!(object, Object::PointOnAllLegs | Object::Corner | Object::Gap);
            let errors = compare(&mut set_up, &stage, alike);
            let sum: f64 = errors.iter().map(|error| error * error).sum();
            Outcome {
                elements: set_up.aperture.count,
                wedge: set_up.aperture.coupling != Coupling::Bare,
                object,
                what: format!(
                    "set-up {number}, round {round}, {:?} mm thick, {:.1} us",
                    stage.thickness_mm.map(|t| (10.0 * t).round() / 10.0),
                    stage.centre_us
                ),
                rms_db: f64::sqrt(sum / errors.len() as f64),
            }
        })
        .collect()
}

/// rms over configurations; median, 90 %, 95 % and worst of them.
fn spread(name: &str, outcomes: &[&Outcome]) -> [f64; 5] {
    let mut all: Vec<f64> = outcomes.iter().map(|outcome| outcome.rms_db).collect();
    all.sort_by(f64::total_cmp);
    let at = |share: f64| all[(share * (all.len() - 1) as f64) as usize];
    let rms = f64::sqrt(all.iter().map(|db| db * db).sum::<f64>() / all.len() as f64);
    let numbers = [rms, at(0.5), at(0.9), at(0.95), at(1.0)];
    println!(
        "{name:<44} {:>4}  rms {:.2}  median {:.2}  90 % {:.2}  95 % {:.2}  worst {:.2} dB",
        all.len(),
        numbers[0],
        numbers[1],
        numbers[2],
        numbers[3],
        numbers[4]
    );
    numbers
}

/// Bar of an object, dB rms over its configurations.
fn bar_db(object: Object) -> f64 {
    match object {
        Object::Point | Object::PointOnAllLegs | Object::PointBesideThePlane => 0.3,
        Object::NearPoint => 1.0,
        Object::Strip | Object::Corner | Object::Gap => 0.7,
    }
}

/// Where the bar is met over all set-ups, and not by this one: object, elements, on a wedge, and what holds instead, dB rms. Long
/// apertures stand in their near field here, half of the set-ups unfocused: three terms in frequency do not follow the points
/// far from the beam, and what walls and rims do to the ends is known at the carrier and the centre ray alone.
const NOT_MET: [(Object, u32, bool, f64); 7] = [
    (Object::Point, 64, true, 0.43),
    (Object::Point, 64, false, 0.36),
    (Object::PointOnAllLegs, 64, true, 0.82),
    (Object::PointBesideThePlane, 32, true, 0.47),
    (Object::PointBesideThePlane, 64, true, 0.61),
    (Object::Corner, 64, true, 1.19),
    (Object::Gap, 64, true, 4.73),
];

/// Objects that meet their bar over all set-ups together.
const MET_BY_ALL: [Object; 4] = [Object::Point, Object::NearPoint, Object::Strip, Object::Corner];

#[test]
fn a_thousand_random_configurations() {
    let all: Vec<Outcome> = std::thread::scope(|scope| {
        let workers: Vec<_> = (0..2)
            .map(|half| {
                // Even set-ups have a wedge: neighbours in twos share the long apertures out.
                scope.spawn(move || {
                    (0..SET_UPS)
                        .filter(|number| number / 2 % 2 == half)
                        .flat_map(outcomes)
                        .collect::<Vec<_>>()
                })
            })
            .collect();
        workers.into_iter().flat_map(|worker| worker.join().unwrap()).collect()
    });
    assert!(all.len() >= 1000, "{}", all.len());
    let mut complaints = Vec::new();
    for object in OBJECTS {
        let of_object: Vec<&Outcome> = all.iter().filter(|outcome| outcome.object == object).collect();
        let [rms, ..] = spread(&format!("{object:?}"), &of_object);
        if MET_BY_ALL.contains(&object) != (rms <= bar_db(object)) {
            complaints
                .push(format!("{object:?} over all set-ups: {rms:.2} dB, the bar is {:.1}", bar_db(object)));
        }
        for (elements, wedge) in [16, 32, 64].into_iter().flat_map(|n| [(n, true), (n, false)]) {
            let some: Vec<&Outcome> = of_object
                .iter()
                .copied()
                .filter(|outcome| outcome.elements == elements && outcome.wedge == wedge)
                .collect();
            let name = format!("  {elements} elements, {}", if wedge { "wedge" } else { "bare" });
            let [rms, ..] = spread(&name, &some);
            let excuse = NOT_MET
                .iter()
                .find(|(o, n, w, _)| (*o, *n, *w) == (object, elements, wedge))
                .map(|row| row.3);
            if excuse.is_some() && rms <= bar_db(object) {
                complaints.push(format!("{object:?},{name}: {rms:.2} dB meets the bar; take its row out"));
            }
            let limit = excuse.unwrap_or(bar_db(object));
            if rms.is_nan() || rms > limit {
                complaints.push(format!("{object:?},{name}: {rms:.2} dB rms, at most {limit:.2}"));
            }
        }
        let worst = of_object.iter().max_by(|a, b| a.rms_db.total_cmp(&b.rms_db)).unwrap();
        println!("  worst: {}", worst.what);
    }
    assert!(complaints.is_empty(), "{complaints:#?}");
}
