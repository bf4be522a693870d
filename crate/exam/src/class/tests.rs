use acoustics::seed::Stream;
use specimen::joint::Preparation;

use super::alike::wrong_values;
use super::*;
use crate::marking;
use crate::paper::Paper;
use crate::sheet::Call;

fn paper() -> Paper {
    let mut paper = Paper::generate(Preparation::SingleV, 3, 21);
    paper.scheme.below_recording_level.clear();
    paper
}

/// An honest trainee: finds a flaw with some luck, reads it within a millimetre or two.
fn honest(paper: &Paper, number: u64) -> AnswerSheet {
    let mut stream = Stream::new(number, "a trainee");
    let mut off = |most: f64| (f64::from(stream.below(2001)) / 1000.0 - 1.0) * most;
    let mut calls = Vec::new();
    for flaw in &paper.plate.flaws {
        let extent = flaw.extent(&paper.plate);
        if off(1.0) > 0.6 {
            continue;
        }
        let tenth = |value: f64| libm::round(value * 10.0) / 10.0;
        calls.push(Call {
            kind: Some(if off(1.0) > 0.5 { FlawKind::SlagLine } else { flaw.kind }),
            start_mm: Some(tenth(extent.along_mm[0] + off(3.0))),
            end_mm: Some(tenth(extent.along_mm[1] + off(3.0))),
            offset_mm: Some(tenth(f64::midpoint(extent.across_mm[0], extent.across_mm[1]) + off(2.0))),
            depth_mm: Some(tenth(f64::midpoint(extent.depth_mm[0], extent.depth_mm[1]) + off(2.0))),
            height_mm: Some(tenth(3.0 + off(2.0))),
            ..Call::default()
        });
    }
    AnswerSheet { calls, ..AnswerSheet::default() }
}

fn work(paper: &Paper, file: &str, sheet: AnswerSheet) -> Work {
    let marks = marking::mark(paper, &sheet);
    Work { file: file.to_owned(), sitter: String::new(), marks, sheet, used_ms: None, remarks: Vec::new() }
}

fn honest_class(paper: &Paper, count: u64) -> Vec<Work> {
    (0..count).map(|number| work(paper, &format!("{number}.json"), honest(paper, number))).collect()
}

/// Bounds of 8 out of 10 and of 0 and 10 out of 10: 0.4439 to 0.9748, 0 to 0.3085, 0.6915 to 1 (Clopper and Pearson's method,
/// values as printed in textbooks, from memory).
#[test]
fn bounds_are_those_of_clopper_and_pearson() {
    let near = |found: [f64; 2], expected: [f64; 2]| {
        assert!((0..2).all(|k| (found[k] - expected[k]).abs() < 5e-5), "{found:?} {expected:?}");
    };
    near(clopper_pearson(8, 10), [0.4439, 0.9748]);
    near(clopper_pearson(0, 10), [0.0, 0.3085]);
    near(clopper_pearson(10, 10), [0.6915, 1.0]);
}

#[test]
fn a_class_in_numbers_adds_up() {
    let paper = paper();
    let works = honest_class(&paper, 40);
    let class = class(&works);
    assert_eq!(class.count, 40);
    assert_eq!(class.passed as usize, works.iter().filter(|work| work.marks.passed).count());
    assert!(class.quartiles_percent.windows(2).all(|pair| pair[0] <= pair[1]));
    assert_eq!(class.flaws.len(), paper.plate.flaws.len());
    for flaw in &class.flaws {
        let share = 100.0 * f64::from(flaw.found) / f64::from(flaw.of);
        assert!(flaw.bounds_percent[0] <= share && share <= flaw.bounds_percent[1], "{flaw:?}");
    }
    let hits: u32 = class.flaws.iter().map(|flaw| flaw.found).sum();
    assert_eq!(class.confusion.iter().map(|row| row.count).sum::<u32>(), hits, "every hit names a kind");
}

#[test]
fn honest_trainees_are_not_told_of_and_a_copy_is() {
    let paper = paper();
    for seed in 0..4 {
        let mut works: Vec<Work> = (0..60)
            .map(|number| work(&paper, &format!("{number}.json"), honest(&paper, 1000 * (seed + 1) + number)))
            .collect();
        assert_eq!(class(&works).alike, [], "class {seed}");
        let copied = works.iter().position(|work| wrong_values(work).len() >= 8).unwrap();
        let mut copy = works[copied].sheet.clone();
        // Whoever copies changes a little.
        copy.calls[0].height_mm = Some(4.4);
        works.push(work(&paper, "copy.json", copy));
        let found = class(&works).alike;
        assert_eq!(found.len(), 1, "{found:?}");
        assert_eq!(found[0].files[1], "copy.json");
        assert_eq!(found[0].each, found[0].equal, "of two files both have what is equal");
    }
}

/// A class of which one sheet went round: `changed` values of each copy are its own.
fn copied(paper: &Paper, copies: u64, changed: usize) -> (Vec<Work>, usize) {
    let mut works = honest_class(paper, 60);
    let original = works.iter().position(|work| wrong_values(work).len() >= 12).unwrap();
    let wrong = wrong_values(&works[original]).len();
    for number in 1..copies {
        let mut sheet = works[original].sheet.clone();
        for k in 0..changed {
            let call = (number as usize + k) % sheet.calls.len();
            // 20 mm high at least: nobody else has that.
            sheet.calls[call].height_mm = Some(20.0 + 0.1 * (10 * number + k as u64) as f64);
        }
        works.push(work(paper, &format!("copy-{number:02}.json"), sheet));
    }
    (works, wrong)
}

#[test]
fn twenty_copies_of_one_sheet_are_one_row() {
    let paper = paper();
    let (works, wrong) = copied(&paper, 20, 0);
    let found = class(&works);
    assert_eq!((found.alike.len(), found.alike_left_out), (1, 0), "{:?}", found.alike);
    let Alike { files, equal, each, .. } = &found.alike[0];
    assert_eq!((files.len(), *equal as usize, *each as usize), (20, wrong, wrong));
    assert_eq!(files.iter().filter(|file| file.starts_with("copy-")).count(), 19);

    // Each changed in one value of its own: still one row, which says that not all of them have everything.
    let (works, wrong) = copied(&paper, 20, 1);
    let found = class(&works).alike;
    assert_eq!(found.len(), 1, "{found:?}");
    assert_eq!(found[0].files.len(), 20);
    assert!(found[0].each < found[0].equal && found[0].equal as usize <= wrong, "{found:?}");
}

/// Two sheets that went round are two reasons, and whoever copied from both stands in both rows.
#[test]
fn two_reasons_are_two_rows() {
    let paper = paper();
    let mut works = honest_class(&paper, 60);
    let many: Vec<usize> = (0..60).filter(|&at| wrong_values(&works[at]).len() >= 12).take(2).collect();
    let sheets = [many[0], many[1]].map(|at| works[at].sheet.clone());
    for (k, sheet) in sheets.iter().enumerate() {
        works.extend((0..3).map(|copy| work(&paper, &format!("{k}-{copy}.json"), sheet.clone())));
    }
    let found = class(&works).alike;
    assert_eq!(found.iter().map(|row| row.files.len()).collect::<Vec<_>>(), [4, 4], "{found:?}");
    let both = |row: &Alike| [0, 1].map(|k| row.files.iter().any(|file| file.starts_with(&format!("{k}-"))));
    assert!(found.iter().all(|row| both(row).iter().filter(|&&has| has).count() == 1), "{found:?}");
}

/// More reasons than there is room for: what is left out is counted.
#[test]
fn what_is_left_out_is_counted() {
    let mut paper = paper();
    paper.plate.flaws.clear();
    // Six false calls each, at places of their own; every sheet is there twice.
    let sheet = |number: u32| {
        let place = |k: u32| 1.0 + f64::from(k) * 50.0 + f64::from(number) * 0.2;
        let call = |k| Call { start_mm: Some(place(k)), end_mm: Some(place(k) + 5.0), ..Call::default() };
        AnswerSheet { calls: (0..6).map(call).collect(), ..AnswerSheet::default() }
    };
    let twice =
        |number: u32| ["a", "b"].map(|copy| work(&paper, &format!("{number}-{copy}.json"), sheet(number)));
    let works: Vec<Work> = (0..53).flat_map(twice).collect();
    let found = class(&works);
    assert_eq!((found.alike.len(), found.alike_left_out), (50, 3));
}

/// Right answers are equal because they are right.
#[test]
fn two_perfect_sheets_are_no_pair() {
    let paper = paper();
    let perfect = || {
        let mut sheet = honest(&paper, 1);
        sheet.calls.clear();
        for flaw in &paper.plate.flaws {
            let extent = flaw.extent(&paper.plate);
            sheet.calls.push(Call {
                start_mm: Some(extent.along_mm[0]),
                end_mm: Some(extent.along_mm[1]),
                depth_mm: Some(f64::midpoint(extent.depth_mm[0], extent.depth_mm[1])),
                ..Call::default()
            });
        }
        sheet
    };
    let works = [work(&paper, "a.json", perfect()), work(&paper, "b.json", perfect())];
    assert_eq!(class(&works).alike, []);
    assert_eq!(class(&[]).count, 0);
}
