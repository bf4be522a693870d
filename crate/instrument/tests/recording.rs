//! A recorded scan shows what the live frames showed, where it is.
#![allow(
    clippy::disallowed_methods,
    clippy::unwrap_used,
    reason = "compared within tolerances, on one machine"
)]

mod yard;

use instrument::bench::{Instrument, View};
use instrument::gate::Gate;
use instrument::pose::Side;
use instrument::recording::{
    Colouring, Course, PlateView, Projection, Recording, RecordingError, Selection, ViewError, bytes_needed,
    scale,
};
use yard::{HOLE_MM, bench, course, procedure, record};

const PROJECTIONS: [Projection; 3] = [Projection::Top, Projection::Side, Projection::End];

/// Middle of a cell, mm.
fn middle(view: &PlateView, [column, row]: [u32; 2]) -> [f64; 2] {
    let [columns, rows] = view.size_cells();
    let at = |edges: [f64; 2], cell: u32, cells: u32| {
        edges[0] + (f64::from(cell) + 0.5) / f64::from(cells) * (edges[1] - edges[0])
    };
    [at(view.horizontal_mm(), column, columns), at(view.vertical_mm(), row, rows)]
}

#[test]
fn a_ball_stands_in_its_place_in_every_view_from_each_side_and_merged() {
    let mut bench = bench();
    let mut recording = Recording::new(&bench, &procedure(), "TH-00", 60.0);
    for side in [Side::A, Side::B] {
        record(&mut recording, &mut bench, course(side));
    }
    let [x, y, z] = HOLE_MM;
    for pass in [Some(0), Some(1), None] {
        // The first leg sees the ball from above; what it shows is its near face.
        let selection = Selection { pass, leg: Some(1), ..Selection::default() };
        for projection in PROJECTIONS {
            let view = PlateView::new(&recording, projection, selection).unwrap();
            let highest = view.highest().unwrap();
            let place = view.place(&recording, highest[0], highest[1]).unwrap();
            let expected = match projection {
                Projection::Top => [y, x],
                Projection::Side => [y, z],
                Projection::End => [x, z],
            };
            let got = middle(&view, highest);
            for k in 0..2 {
                assert!((got[k] - expected[k]).abs() < 1.0, "{pass:?} {projection:?}: {got:?} {expected:?}");
            }
            // Linked cursors: the cell leads back to a frame that shows the same.
            assert!((place.y_mm - y).abs() < 1.0 && (place.depth_mm - z).abs() < 1.0, "{place:?}");
            assert!((place.offset_mm - x).abs() < 1.0 && place.leg == 1, "{place:?}");
            let frame = recording.frame(place.pass as usize, place.line, recording.gain_db()).unwrap();
            let gate = Gate { start_mm: place.sound_path_mm - 2.0, length_mm: 4.0, threshold_percent: 5.0 };
            let reading = frame.reading(place.beam as usize, &gate).unwrap();
            // A cell shows a sample; the reading, what stands between samples: up to 0.8 dB more.
            let more_db = reading.amplitude_db - place.amplitude_db.unwrap();
            assert!((-0.2..0.8).contains(&more_db), "{reading:?} {place:?}");
            assert!((reading.offset_mm - place.offset_mm).abs() < 0.2, "{reading:?} {place:?}");
        }
    }
}

#[test]
fn a_recorded_frame_is_the_live_one_within_the_quantisation_at_any_gain() {
    let mut bench = bench();
    let mut recording = Recording::new(&bench, &procedure(), "TH-00", 60.0);
    let pass =
        record(&mut recording, &mut bench, Course { lines: 1, start_mm: HOLE_MM[1], ..course(Side::B) });
    let setting = recording.setting().clone();
    let mut compared = 0;
    for gain_db in [20.0, 40.0, 46.0, 58.0, 70.0] {
        bench.set_gain_db(gain_db);
        let (live, row) = bench.percent();
        let frame = recording.frame(pass, 0, gain_db).unwrap();
        // First sample of the live frame on the clock of firing, from the earliest beam's.
        let begin = live_begin(&bench, &setting);
        for (index, beam) in setting.beams.iter().enumerate() {
            for (sample, recorded) in frame.percent(index).into_iter().enumerate() {
                let at = beam.first_sample as usize + sample - begin;
                let live = live[index * row + at];
                let floor = 80.0 * 10_f64.powf((scale::FLOOR_DB + gain_db - 40.0) / 20.0);
                if f64::from(live) > floor && live < 200.0 && recorded < 200.0 {
                    let error = 20.0 * f64::from(recorded / live).log10();
                    assert!(error.abs() <= 0.2, "{gain_db} dB: {recorded} for {live}");
                    compared += 1;
                } else {
                    assert!(live >= 195.0 || f64::from(recorded) <= 1.05 * floor, "{recorded} for {live}");
                }
            }
        }
    }
    assert!(compared > 100_000, "{compared}");
}

/// Number of the live frame's first sample, from where the first beam's sound path begins.
fn live_begin(bench: &Instrument, setting: &instrument::recording::Setting) -> usize {
    let (live, row) = bench.percent();
    // The live frame is 0 before the sound path begins and noise from there on.
    let first = live[..row].iter().position(|&height| height > 0.0).unwrap();
    setting.beams[0].first_sample as usize - first
}

#[test]
fn readings_and_traces_agree_with_the_live_ones() {
    let mut bench = bench();
    let mut recording = Recording::new(&bench, &procedure(), "TH-00", 60.0);
    let line = Course { lines: 1, start_mm: HOLE_MM[1], ..course(Side::A) };
    let pass = record(&mut recording, &mut bench, line);
    let gain_db = recording.gain_db();
    bench.set_gain_db(gain_db);
    let frame = recording.frame(pass, 0, gain_db).unwrap();
    let gate = Gate { start_mm: 18.0, length_mm: 9.0, threshold_percent: 4.0 };
    let mut read = 0;
    for beam in 0..bench.angles_deg().len() {
        let (Some(live), Some(recorded)) = (bench.reading(beam, &gate), frame.reading(beam, &gate)) else {
            continue;
        };
        read += 1;
        // Without the phase a curve through three quantised levels finds the top between samples within this much.
        assert!((live.amplitude_db - recorded.amplitude_db).abs() < 0.7, "{live:?} {recorded:?}");
        assert!((live.sound_path_mm - recorded.sound_path_mm).abs() < 0.1, "{live:?} {recorded:?}");
        assert!((live.offset_mm - recorded.offset_mm).abs() < 0.1);
        assert!((live.depth_mm - recorded.depth_mm).abs() < 0.1);
        let (live, recorded) = (bench.trace(beam), frame.trace(beam));
        assert_eq!(live.percent.len(), recorded.percent.len());
        let highest = |values: &[f32]| values.iter().copied().fold(0.0, f32::max);
        let ratio = highest(&recorded.percent) / highest(&live.percent);
        assert!((20.0 * ratio.log10()).abs() < 0.7, "beam {beam}: {ratio}");
    }
    assert!(read >= 8, "{read} beams see the cavity");
    assert!(frame.reading(999, &gate).is_none());
}

#[test]
fn the_recorded_sector_image_is_the_live_one() {
    let mut bench = bench();
    let mut recording = Recording::new(&bench, &procedure(), "TH-00", 60.0);
    let line = Course { lines: 1, start_mm: HOLE_MM[1], ..course(Side::B) };
    let pass = record(&mut recording, &mut bench, line);
    bench.set_gain_db(46.0);
    for view in [View::Folded, View::Unfolded] {
        let size = bench.picture_frame(view);
        let mut sector = recording.sector(view);
        assert_eq!(sector.frame(), size);
        let mut images = [0, 1].map(|_| vec![0; (size.width_px * size.height_px * 4) as usize]);
        bench.paint(view, None, &mut images[0]);
        sector.paint(&recording.frame(pass, 0, 46.0).unwrap(), None, &mut images[1]);
        let pixels = images[0].chunks_exact(4).zip(images[1].chunks_exact(4));
        // 0.19 dB of 100 % are 5.6 of 256 colours, cut to whole ones on both sides.
        let colours = Instrument::colours();
        let apart = |a: &[u8; 3], b: &[u8; 3]| a.iter().zip(b).map(|(a, b)| a.abs_diff(*b)).max().unwrap();
        let most = colours.iter().zip(&colours[7..]).map(|(a, b)| apart(a, b)).max().unwrap();
        assert!(most < 20, "{most}");
        let differ = pixels.filter(|(a, b)| a.iter().zip(*b).any(|(a, b)| a.abs_diff(*b) > most)).count();
        assert_eq!(differ, 0, "{view:?}");
    }
}

#[test]
fn missing_lines_stay_missing() {
    let mut bench = bench();
    let mut recording = Recording::new(&bench, &procedure(), "TH-00", 60.0);
    let course = course(Side::A);
    let pass = recording.begin(course).unwrap();
    for line in [0, 1, 4, 6] {
        bench.scan(&course.pose(line), line);
        recording.take(pass, line, &bench).unwrap();
    }
    assert_eq!(
        recording.passes()[pass].missing(),
        [&[2, 3, 5][..], &(7..course.lines).collect::<Vec<_>>()].concat()
    );
    assert!(recording.frame(pass, 2, 46.0).is_none() && recording.frame(pass, 999, 46.0).is_none());
    for projection in [Projection::Top, Projection::Side] {
        let view = PlateView::new(&recording, projection, Selection::default()).unwrap();
        let [columns, rows] = view.size_cells();
        assert_eq!(columns, course.lines);
        let mut rgba = vec![7; (columns * rows * 4) as usize];
        view.paint(&recording, Colouring::Amplitude, 46.0, 20.0, &mut rgba);
        for column in 0..columns {
            let seen = (0..rows).filter(|&row| view.code(column, row).is_some()).count();
            let painted =
                (0..rows).filter(|row| rgba[((row * columns + column) * 4 + 3) as usize] == 255).count();
            assert_eq!(seen, painted);
            let expected = [0, 1, 4, 6].contains(&column);
            assert_eq!(seen > 0, expected, "{projection:?} column {column}");
        }
    }
    // The frame must be the line's own.
    assert_eq!(recording.take(pass, 5, &bench), Err(RecordingError::Elsewhere { line: 5 }));
    assert!(matches!(recording.take(9, 0, &bench), Err(RecordingError::NoSuchLine { .. })));
    assert!(matches!(recording.put(pass, 0, vec![0; 3].into()), Err(RecordingError::OtherSetUp { .. })));
}

#[test]
fn gates_are_laid_and_gain_is_turned_afterwards() {
    let mut bench = bench();
    let mut recording = Recording::new(&bench, &procedure(), "TH-00", 60.0);
    record(&mut recording, &mut bench, course(Side::A));
    let [_, y, z] = HOLE_MM;
    let top = |selection| PlateView::new(&recording, Projection::Top, selection);
    let whole = top(Selection::default()).unwrap();
    let at = |view: &PlateView| view.highest().map(|[column, row]| view.code(column, row).unwrap()).unwrap();
    // Above the cavity is less, and what is shown comes from there.
    let gate = Selection { depth_mm: Some([3.0, z - 4.0]), leg: Some(1), ..Selection::default() };
    let above = top(gate).unwrap();
    let [column, row] = above.highest().unwrap();
    let place = above.place(&recording, column, row).unwrap();
    assert!((3.0..=z - 4.0).contains(&place.depth_mm) && place.leg == 1, "{place:?}");
    assert!(f64::from(at(&whole) - at(&above)) * scale::STEP_DB > 6.0, "{} {}", at(&whole), at(&above));
    let elsewhere = Selection {
        along_mm: Some([y + 12.0, y + 20.0]),
        depth_mm: Some([z - 3.0, z + 3.0]),
        leg: Some(1),
        ..Selection::default()
    };
    for projection in PROJECTIONS {
        let view = PlateView::new(&recording, projection, elsewhere).unwrap();
        assert!(f64::from(at(&whole) - at(&view)) * scale::STEP_DB > 6.0, "{projection:?}");
    }
    assert_eq!(
        top(Selection { sound_path_mm: Some([900.0, 901.0]), ..Selection::default() }).err(),
        Some(ViewError::Nothing)
    );
    // By depth only what reaches the threshold has a colour; 6 dB more gain is as good as half the threshold.
    let [columns, rows] = whole.size_cells();
    let painted = |gain_db: f64, threshold: f64| {
        let mut rgba = vec![0; (columns * rows * 4) as usize];
        whole.paint(&recording, Colouring::Depth, gain_db, threshold, &mut rgba);
        rgba.chunks_exact(4).filter(|pixel| pixel[3] == 255).count()
    };
    let half = 20.0 * 2.0_f64.log10();
    assert_eq!(painted(46.0, 4.0), painted(46.0 + half, 8.0));
    assert!(painted(46.0, 4.0) > 0 && painted(46.0, 4.0) < painted(60.0, 4.0));
}

#[test]
fn lines_added_live_make_the_same_view_as_all_at_once_and_from_the_end_there_are_no_gaps() {
    let mut bench = bench();
    let mut recording = Recording::new(&bench, &procedure(), "TH-00", 60.0);
    let pass = recording.begin(course(Side::A)).unwrap();
    let mut live = PROJECTIONS.map(|p| PlateView::empty(&recording, p, Selection::default()).unwrap());
    assert_eq!(live[0].highest(), None);
    for line in 0..course(Side::A).lines {
        bench.scan(&course(Side::A).pose(line), line);
        recording.take(pass, line, &bench).unwrap();
        live.iter_mut().for_each(|view| view.add(&recording, 0, line));
    }
    for live in live {
        let whole = PlateView::new(&recording, live.projection(), Selection::default()).unwrap();
        let [columns, rows] = whole.size_cells();
        for (column, row) in (0..columns).flat_map(|column| (0..rows).map(move |row| (column, row))) {
            assert_eq!(live.code(column, row), whole.code(column, row));
        }
        if live.projection() == Projection::End {
            // Straight below the cavity the first leg is met from 70 to 40 degrees.
            let column = ((2.0 - whole.horizontal_mm()[0]) / 0.5) as u32;
            let seen: Vec<u32> = (0..rows).filter(|&row| whole.code(column, row).is_some()).collect();
            assert!(seen.len() > 56, "{seen:?}");
            assert_eq!(seen.len() as u32, seen[seen.len() - 1] - seen[0] + 1, "{seen:?}");
        }
    }
}

#[test]
fn a_metre_from_both_sides_fits_and_more_than_fits_is_refused() {
    let bench = bench();
    let mut recording = Recording::new(&bench, &procedure(), "TH-00", 1000.0);
    let metre = |side| Course { start_mm: 0.0, lines: 1001, ..course(side) };
    let courses = [metre(Side::A), metre(Side::B)];
    let bytes = bytes_needed(recording.setting(), &courses);
    let samples = 2 * 1001 * recording.setting().frame_samples() as u64;
    assert!(recording.setting().samples > 680 && recording.setting().beams.len() == 61);
    assert!(bytes < 400_000_000 && bytes as f64 <= 1.2 * samples as f64, "{bytes} for {samples} samples");
    for course in courses {
        recording.begin(course).unwrap();
    }
    let error = recording.begin(Course { lines: 20_000, ..metre(Side::A) }).unwrap_err().to_string();
    assert!(error.contains("at most 400 MB"), "{error}");
    for (course, word) in [
        (Course { step_mm: 0.0, ..metre(Side::A) }, "step_mm is 0, expected 0.1 to 100 mm"),
        (Course { start_mm: f64::NAN, ..metre(Side::A) }, "start_mm is NaN"),
        (Course { lines: 0, ..metre(Side::A) }, "lines is 0, expected 1 to 100000"),
    ] {
        assert!(recording.begin(course).unwrap_err().to_string().contains(word));
    }
}
