//! The echo model against full-wave answers (tests/fullwave/README.md says what they are worth).
#![allow(clippy::unwrap_used, reason = "a test")]

use std::process::Command;

use sha2::{Digest, Sha256};

/// The numbers of a line of the report's table: count, median, 75 %, 90 %, time.
fn line(report: &str, start: &str) -> Vec<f64> {
    let line = report
        .lines()
        .find(|line| line.starts_with(start))
        .unwrap_or_else(|| panic!("no {start:?} in\n{report}"));
    line[start.len()..].split_whitespace().map(|word| word.parse().unwrap()).collect()
}

#[test]
fn echoes_stand_as_high_as_full_wave_computations_say() {
    let folder = tempfile::tempdir().unwrap();
    let answers = folder.path().join("answers.json");
    let output = Command::new(env!("CARGO_BIN_EXE_trialplate"))
        .args(["case", "--report", "-o"])
        .arg(&answers)
        .arg(concat!(env!("CARGO_MANIFEST_DIR"), "/../../tests/fullwave/cases.json"))
        .output()
        .unwrap();
    let report = String::from_utf8(output.stdout).unwrap();
    println!("{report}");
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));

    // The report kept for readers is this one; after a change to the model, write it anew by the README's command.
    let kept = include_str!("../../../tests/fullwave/report.txt");
    assert_eq!(report, kept, "tests/fullwave/report.txt is not what the model gives now");

    let strong = line(&report, "from -6    all");
    assert!(strong[0] >= 200.0, "only {} echoes compared", strong[0]);
    assert!(strong[1] <= 0.7 && strong[3] <= 3.0, "echoes at or above -6 dB: {strong:?}");
    let weak = line(&report, "below -6   all");
    assert!(weak[0] >= 200.0, "only {} echoes compared", weak[0]);
    assert!(weak[1] <= 2.0 && weak[2] <= 4.0 && weak[3] <= 8.0, "echoes below -6 dB: {weak:?}");
    assert!(strong[4] <= 50.0, "times: {strong:?}");
    // The scheme's clock is told from the scheme (crate/desk/src/case/grid.rs), and nothing else could bring holes so near.
    let holes = line(&report, "from -6    REF");
    assert!(holes[4] <= 15.0 && holes[5] >= 4.0 * holes[4], "times of holes: {holes:?}");

    for (case, most_db) in report.lines().filter_map(|line| {
        let case = line.split_whitespace().next().filter(|word| word.starts_with("3D_"))?;
        Some((line, if case.contains("SPHERE") { 2.0 } else { 3.0 }))
    }) {
        let error: f64 = case.rsplit(' ').next().unwrap().parse().unwrap();
        assert!(error.abs() <= most_db, "{case}");
    }

    let answers: serde_json::Value = serde_json::from_slice(&std::fs::read(answers).unwrap()).unwrap();
    assert_eq!(answers.as_object().unwrap().len(), 433 + 12);
}

#[test]
fn a_file_that_is_no_case_file_is_refused_with_its_place() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("cases.json");
    std::fs::write(&file, "{\"meta\": 3}").unwrap();
    let output = Command::new(env!("CARGO_BIN_EXE_trialplate"))
        .arg("case")
        .arg(&file)
        .arg("-o")
        .arg(folder.path().join("out.json"))
        .output()
        .unwrap();
    assert!(!output.status.success());
    let message = String::from_utf8(output.stderr).unwrap();
    assert!(message.contains("cases.json") && message.contains("line 1"), "{message}");
}

/// Names of the groups on the page, in English and in Spanish.
const GROUPS: [(&str, [&str; 2]); 9] = [
    ("A", ["Side-drilled holes", "Taladros laterales"]),
    ("B", ["Crack in the metal", "Grieta en el metal"]),
    ("C", ["Notch at the far face", "Entalla en la cara lejana"]),
    ("D", ["Lack of fusion", "Falta de fusión"]),
    ("E", ["Upright centreline crack", "Grieta vertical en la línea central"]),
    ("F", ["Pores, slag", "Poros, escoria"]),
    ("G", ["Cap and root bead", "Sobreespesor y cordón de raíz"]),
    ("REF", ["Further holes", "Otros taladros"]),
    ("all", ["All", "Todos"]),
];

/// Holds the page's table to the report. Takes the page, its language (as in [`GROUPS`]), what heads the weak echoes and the decimal mark.
fn shows_the_table_of_errors(page: &str, language: usize, weak: &str, mark: &str) {
    let kept = include_str!("../../../tests/fullwave/report.txt");
    let (strong, weak) = page.split_once(weak).unwrap();
    let mut rows = 0;
    for (start, part) in [("from -6", strong), ("below -6", weak)] {
        for line in kept.lines().filter(|line| line.starts_with(start)) {
            let words: Vec<&str> = line[start.len()..].split_whitespace().collect();
            let group = words[0];
            let numbers: Vec<f64> = words[1..].iter().map(|word| word.parse().unwrap()).collect();
            let name = GROUPS.iter().find(|(known, _)| *known == group).unwrap().1[language];
            let [half, most] = [numbers[1], numbers[3]].map(|error| format!("{error:.1}").replace('.', mark));
            let row =
                format!("<th scope=\"row\">{name}</th><td>{}</td><td>{half}</td><td>{most}</td>", numbers[0]);
            assert!(part.contains(&row), "the page has no {row}");
            rows += 1;
        }
    }
    assert_eq!(rows, 16);
}

#[test]
fn the_page_shows_the_table_of_errors() {
    shows_the_table_of_errors(include_str!("../../../www/model.html"), 0, "Below −6\u{a0}dB", ".");
}

#[test]
fn the_spanish_page_shows_the_table_of_errors() {
    shows_the_table_of_errors(include_str!("../../../www/model.es.html"), 1, "Por debajo de −6\u{a0}dB", ",");
}

/// The error map and the sector images of the page are what the program draws now; `cargo xtask pictures` makes them anew.
#[test]
fn the_page_shows_what_the_program_draws() {
    let root = concat!(env!("CARGO_MANIFEST_DIR"), "/../../");
    let folder = tempfile::tempdir().unwrap();
    let run = |arguments: &[&str]| {
        let output = Command::new(env!("CARGO_BIN_EXE_trialplate"))
            .args(arguments)
            .current_dir(root)
            .output()
            .unwrap();
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    };
    let at = |name: &str| folder.path().join(name).display().to_string();
    run(&["case", "tests/fullwave/cases.json", "-o", &at("answers"), "--plot", &at("error-map.svg")]);
    run(&["pictures", "scenarios/plates/th-07.toml", "-o", &at("")]);
    let (read, page) = (|path: String| std::fs::read(path).unwrap(), format!("{root}www/model"));
    assert!(
        read(format!("{page}/error-map.svg")) == read(at("error-map.svg")),
        "the map is not what is drawn now"
    );
    let mut compared = 0;
    // The page has the images packed; kept is what each was drawn as when it was packed.
    for line in include_str!("../../../tests/fullwave/pictures.sha256").lines() {
        let (kept, name) = line.split_once("  ").unwrap();
        let digest = Sha256::digest(read(at(name)));
        let drawn: String = digest.iter().map(|byte| format!("{byte:02x}")).collect();
        assert_eq!(kept, drawn, "{name} is not what is drawn now");
        let packed = read(format!("{page}/{}", name.replace(".png", ".webp")));
        assert!(packed.starts_with(b"RIFF") && packed.len() <= 60_000, "{name}: {} bytes", packed.len());
        compared += 1;
    }
    assert_eq!(compared, 7);
    assert_eq!(std::fs::read_dir(&page).unwrap().count(), 1 + compared);
}

#[test]
fn a_map_of_cases_without_answers_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let mut file: serde_json::Value =
        serde_json::from_str(include_str!("../../../tests/fullwave/cases.json")).unwrap();
    file["cases"].as_array_mut().unwrap().truncate(1);
    file["cases3d"] = serde_json::Value::Array(Vec::new());
    for window in file["cases"][0]["windows"].as_object_mut().unwrap().values_mut() {
        window.as_object_mut().unwrap().remove("db_re_sdh3");
    }
    let cases = folder.path().join("cases.json");
    std::fs::write(&cases, file.to_string()).unwrap();
    let map = folder.path().join("map.svg");
    let output = Command::new(env!("CARGO_BIN_EXE_trialplate"))
        .arg("case")
        .arg(&cases)
        .arg("-o")
        .arg(folder.path().join("out.json"))
        .arg("--plot")
        .arg(&map)
        .output()
        .unwrap();
    assert!(!output.status.success() && !map.exists());
    let message = String::from_utf8(output.stderr).unwrap();
    assert!(message.contains("cases.json") && message.contains("db_re_sdh3"), "{message}");
}
