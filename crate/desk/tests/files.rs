//! Plate files at the command line: broken ones, edited ones, and the schema of their form.
#![expect(clippy::unwrap_used, reason = "a test fails by a panic")]

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests")
}

fn trialplate(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_trialplate")).current_dir(folder).args(arguments).output().unwrap()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

/// `broken/said.txt` holds, by name of file, what is to be said about each.
#[test]
fn every_broken_file_gets_one_sentence_with_file_line_and_expectation() {
    let folder = folder().join("broken");
    let mut names: Vec<String> = fs::read_dir(&folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .filter(|name| name.ends_with(".toml"))
        .collect();
    names.sort();
    assert!(names.len() >= 50, "{} files", names.len());
    let known = fs::read_to_string(folder.join("said.txt")).unwrap();
    let mut said = String::new();
    for name in &names {
        let output = trialplate(&folder, &["plate", "check", name]);
        let error = text(&output.stderr);
        assert_eq!(output.status.code(), Some(2), "{name}: {error}");
        assert_eq!(text(&output.stdout), "", "{name}");
        assert_eq!(error.lines().count(), 1, "{error}");
        let whole_file = ["blank.toml", "empty.toml"].contains(&name.as_str());
        let after = error.strip_prefix(&format!("{name}:")).unwrap_or_else(|| panic!("{error}"));
        assert!(whole_file || after.starts_with(|c: char| c.is_ascii_digit()), "no line: {error}");
        assert!(error.contains("expected"), "{error}");
        said += &error;
    }
    assert_eq!(said, known);
}

#[test]
fn no_command_makes_anything_of_a_broken_file() {
    let broken = folder().join("broken");
    let out = tempfile::tempdir().unwrap();
    for name in ["flaw-past-end.toml", "misspelt-key.toml", "open-quote.toml"] {
        let file = broken.join(name);
        let file = file.to_str().unwrap();
        let frame = ["frame", file, "--side", "A", "--offset", "20", "--y", "100", "-o", "frame.npy"];
        for arguments in [frame.as_slice(), &["plate", "check", file], &["mark", file, "none.json"]] {
            let output = trialplate(out.path(), arguments);
            assert_eq!(
                (output.status.code(), text(&output.stdout)),
                (Some(2), String::new()),
                "{arguments:?}"
            );
        }
    }
    assert_eq!(fs::read_dir(out.path()).unwrap().count(), 0, "no partial output");
}

#[test]
fn editing_keeps_comments_and_refuses_what_does_not_fit() {
    let out = tempfile::tempdir().unwrap();
    let good = fs::read_to_string(folder().join("sound.toml")).unwrap();
    let commented = good
        .replacen("version = 2", "# Of the footbridge.\nversion = 1 # the first form", 1)
        .replacen("start_mm = 150.0", "start_mm = 150.0   # half way", 1);
    fs::write(out.path().join("a.toml"), &commented).unwrap();
    let run = |arguments: &[&str]| trialplate(out.path(), arguments);
    let now = || fs::read_to_string(out.path().join("a.toml")).unwrap();
    assert!(run(&["plate", "set", "a.toml", "plate.flaw[1].start_mm", "140.5"]).status.success());
    assert_eq!(now(), commented.replacen("150.0", "140.5", 1));
    assert!(run(&["plate", "migrate", "a.toml"]).status.success());
    let migrated = commented.replacen("150.0", "140.5", 1).replacen("version = 1 #", "version = 2 #", 1);
    assert_eq!(now(), migrated);
    assert!(run(&["plate", "set", "a.toml", "plate.flaw[1].place.weld.offset_mm", "-2.5"]).status.success());
    assert!(run(&["plate", "set", "a.toml", "plate.flaw[0].mandatory", "false"]).status.success());
    let edited = now();
    assert!(
        edited.contains("offset_mm = -2.5")
            && edited.contains("mandatory = false")
            && edited.contains("# half way")
    );
    for (key, value, expected) in [
        ("plate.flaw[1].start_mm", "290.0", "outside the plate"),
        ("plate.flaw[1].strat_mm", "20.0", "expected `start_mm`"),
        ("plate.flaw[7].start_mm", "20.0", "has no entry [7]"),
        ("plate.seam.start_mm", "20.0", "has no table `seam`"),
        ("plate.seed", "a seed", "is no TOML value"),
    ] {
        let output = run(&["plate", "set", "a.toml", key, value]);
        let error = text(&output.stderr);
        assert!(!output.status.success() && error.contains(expected), "{key}: {error}");
        assert_eq!(now(), edited, "a refused edit leaves the file alone");
    }
}

/// `docs/plate-file.schema.json` is what the program prints; write it anew with
/// `cargo run -p desk -- plate schema > docs/plate-file.schema.json`.
#[test]
fn the_schema_in_the_docs_is_that_of_the_program() {
    let printed = text(&trialplate(&folder(), &["plate", "schema"]).stdout);
    let kept = fs::read_to_string(folder().join("../../../docs/plate-file.schema.json")).unwrap();
    assert_eq!(printed, kept);
    let schema: serde_json::Value = serde_json::from_str(&printed).unwrap();
    assert_eq!(schema["additionalProperties"], false);
    assert_eq!(schema["required"], serde_json::json!(["version", "plate"]));
    // Every kind of table is described, and so is every key.
    for (name, table) in schema["$defs"].as_object().unwrap() {
        for (key, property) in table["properties"].as_object().into_iter().flatten() {
            assert!(property["description"].is_string(), "{name}.{key} says nothing");
        }
    }
}
