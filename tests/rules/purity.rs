//! The same seed gives the same bits everywhere: what would break that must not be written in the simulation.
//! (Clippy's list in clippy.toml keeps the standard library's sine and its kin out.)

use crate::tree;

/// What must not be written, and why.
const BANNED: [(&str, &str); 15] = [
    ("mul_add", "fused or not depending on the machine"),
    (".powi(", "the standard library promises no bits; multiply"),
    (".recip(", "write 1.0 / x"),
    ("recip_sqrt", "approximate, and not the same on all machines"),
    ("relaxed_", "relaxed SIMD differs between browsers"),
    ("HashMap", "its order differs from run to run; use BTreeMap or a Vec"),
    ("HashSet", "its order differs from run to run; use BTreeSet or a Vec"),
    ("std::time", "a frame depends on its arguments alone"),
    ("std::fs", "reading files is the caller's"),
    ("std::thread", "the simulation runs on one thread"),
    ("std::env", "a frame depends on its arguments alone"),
    ("std::net", "the simulation talks to nobody"),
    (".sort_by(", "4 kB of the browser's program for every type; acoustics::order"),
    (".sort_by_key(", "4 kB of the browser's program for every type; acoustics::order"),
    ("target_pointer_width", "native and wasm must not differ"),
];

const FOLDERS: [&str; 4] =
    ["crate/acoustics/src", "crate/specimen/src", "crate/instrument/src", "crate/exam/src"];

fn offences(path: &str, text: &str) -> Vec<String> {
    // Tests at the end of a file may use what they like; tests in a file of their own end nothing.
    let code = text.split("#[cfg(test)]\nmod tests {").next().unwrap_or(text);
    code.lines()
        .enumerate()
        .flat_map(|(index, line)| {
            let line = line.split("//").next().unwrap_or(line);
            BANNED
                .iter()
                .filter(move |(word, _)| line.contains(word))
                .map(move |(word, why)| format!("{path}:{}: {word}: {why}", index + 1))
        })
        .collect()
}

#[test]
fn nothing_that_differs_between_machines_is_used() {
    let complaints: Vec<String> = FOLDERS
        .iter()
        .flat_map(|folder| tree::files(folder, &[".rs"]))
        .flat_map(|file| offences(&file.path, &file.text))
        .collect();
    tree::none(&complaints);
}

#[test]
fn an_offence_is_found_and_a_comment_is_not() {
    let text = "fn f(x: f64) -> f64 {\n    // no mul_add here\n    x.powi(2)\n}\n";
    assert_eq!(offences("a.rs", text).len(), 1);
    assert!(offences("a.rs", text)[0].starts_with("a.rs:3: .powi("));
    let below = format!("#[cfg(test)]\nmod tests;\n\n{text}");
    assert_eq!(offences("a.rs", &below).len(), 1, "tests in a file of their own hide the code below");
}
