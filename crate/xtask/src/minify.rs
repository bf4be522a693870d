//! The scripts and style sheets of dist/ made few and small by esbuild, from the npm packages of the browser tests: one file for
//! the page and one for its worker, without comments, white space and long names. Pages and scenarios lose what readers do not
//! need, too.

use std::path::{Path, PathBuf};
use std::process::Command;

use anyhow::{Result, ensure};

use crate::{edition, needs, shell};

/// Minifies a folder's scripts and style sheets in place. Without Node and npm they stay as they are.
///
/// # Errors
/// When the packages cannot be installed, or esbuild fails or warns.
pub fn folder(folder: &Path) -> Result<()> {
    if !needs::has_node() {
        println!("Node and npm are missing: the scripts keep their comments");
        return Ok(());
    }
    needs::node_packages()?;
    shell::run(
        shell::command("node")
            .args(["--input-type=module", "--eval", include_str!("catalogue.mjs")])
            .arg(folder.join("page")),
    )?;
    bundle(folder, "page", &["main.js", "first-worker.js"])?;
    bundle(folder, "worker", &["worker.js", "table-maker.js"])?;
    // Its scripts are in both bundles.
    std::fs::remove_dir_all(folder.join("shared"))?;
    let mut files = Vec::new();
    list(folder, &mut files)?;
    esbuild(folder, &files)
}

/// The scripts of a subfolder as one file for each that something begins with, and what they share: a reader far away would wait for
/// hundreds of small ones, one after the other. Other languages stay apart, and so does what bindgen made.
fn bundle(folder: &Path, part: &str, entries: &[&str]) -> Result<()> {
    let (from, to) = (folder.join(part), folder.join(format!("{part}.bundle")));
    let mut command = esbuild_command();
    command.args(["--bundle", "--splitting", "--format=esm", "--external:../wasm/page.js"]);
    command.arg(format!("--outdir={}", to.display())).args(entries.iter().map(|entry| from.join(entry)));
    let status = command.status()?;
    ensure!(status.success(), "esbuild cannot bundle the scripts of {part}/ ({status})");
    for entry in std::fs::read_dir(&from)? {
        let path = entry?.path();
        if path.extension().is_some_and(|kind| kind == "js") {
            std::fs::remove_file(path)?;
        }
    }
    for entry in std::fs::read_dir(&to)? {
        let entry = entry?;
        std::fs::rename(entry.path(), from.join(entry.file_name()))?;
    }
    Ok(std::fs::remove_dir(to)?)
}

/// The service worker, once its lines are filled in.
///
/// # Errors
/// As [`folder`].
pub fn worker(folder: &Path) -> Result<()> {
    if needs::has_node() { esbuild(folder, &[folder.join(edition::WORKER)]) } else { Ok(()) }
}

fn esbuild_command() -> Command {
    let mut command = shell::command("node");
    command.arg(shell::root().join("tests/browser/node_modules/esbuild/bin/esbuild")).args([
        "--minify",
        "--legal-comments=none",
        "--charset=utf8",
        "--log-level=error",
        // A text written twice: the one that is not shown would be corrected in vain.
        "--log-override:duplicate-object-key=error",
    ]);
    command
}

fn esbuild(folder: &Path, files: &[PathBuf]) -> Result<()> {
    let mut command = esbuild_command();
    command.arg("--allow-overwrite");
    command.arg(format!("--outbase={}", folder.display())).arg(format!("--outdir={}", folder.display()));
    // The line of hundreds of files is of no help in a message.
    let status = command.args(files).status()?;
    ensure!(status.success(), "esbuild cannot minify the scripts and style sheets ({status})");
    Ok(())
}

/// The style sheets of the page alone as one, in their order; those of other pages as well stay by themselves.
///
/// # Errors
/// When a file cannot be read or written.
pub fn styles(folder: &Path) -> Result<()> {
    const SHEET: &str = "page/page.css";
    let place = folder.join("index.html");
    let mut page = std::fs::read_to_string(&place)?;
    let mut others = String::new();
    for entry in std::fs::read_dir(folder)? {
        let path = entry?.path();
        if path != place && path.extension().is_some_and(|kind| kind == "html") {
            others += &std::fs::read_to_string(path)?;
        }
    }
    let (begin, end) = ("<link rel=\"stylesheet\" href=\"", "\">");
    let link = |sheet: &str| format!("{begin}{sheet}{end}\n");
    let sheets: Vec<String> = page
        .lines()
        .filter_map(|line| line.strip_prefix(begin)?.strip_suffix(end).map(str::to_owned))
        .filter(|sheet| !others.contains(&link(sheet)))
        .collect();
    let mut all = String::new();
    for (i, sheet) in sheets.iter().enumerate() {
        all += &std::fs::read_to_string(folder.join(sheet))?;
        std::fs::remove_file(folder.join(sheet))?;
        page = page.replace(&link(sheet), &if i == 0 { link(SHEET) } else { String::new() });
    }
    std::fs::write(folder.join(SHEET), all)?;
    Ok(std::fs::write(place, page)?)
}

/// The pages of a folder without the end tags that HTML has readers infer, and without the spaces before lines.
///
/// # Errors
/// When a file cannot be read or written.
pub fn pages(folder: &Path) -> Result<()> {
    for entry in std::fs::read_dir(folder)? {
        let path = entry?.path();
        if path.extension().is_some_and(|kind| kind == "html") {
            std::fs::write(&path, small_html(&std::fs::read_to_string(&path)?))?;
        }
    }
    Ok(())
}

/// Ends of rows, cells and items alone: whatever follows them ends them. A paragraph's end is not as plain.
fn small_html(html: &str) -> String {
    let mut kept: String = html.split_inclusive('\n').map(str::trim_start).collect();
    for end in ["</li>", "</td>", "</th>", "</tr>", "</thead>", "</tbody>", "</body>\n", "</html>\n"] {
        kept = kept.replace(end, "");
    }
    kept
}

/// The plates and lessons of a folder without the comment lines, empty lines and spaces of whoever edits them.
///
/// # Errors
/// When a file cannot be read or written.
pub fn scenarios(folder: &Path) -> Result<()> {
    for entry in std::fs::read_dir(folder)? {
        let path = entry?.path();
        if path.is_dir() {
            scenarios(&path)?;
        } else if path.extension().is_some_and(|kind| kind == "toml") {
            std::fs::write(&path, small_toml(&std::fs::read_to_string(&path)?))?;
        }
    }
    Ok(())
}

/// Lines that begin with a hash are comments, but within a text of several lines, where nothing changes.
fn small_toml(toml: &str) -> String {
    let mut within_text = false;
    let mut kept = String::new();
    for line in toml.split_inclusive('\n') {
        if within_text {
            kept.push_str(line);
        } else {
            let line = line.trim_start();
            if line.starts_with('#') {
                continue;
            }
            match line.split_once(" = ") {
                Some((key, value)) if key.bytes().all(|byte| byte.is_ascii_lowercase() || byte == b'_') => {
                    kept.extend([key, "=", value]);
                }
                _ => kept.push_str(line),
            }
        }
        within_text ^= line.matches("\"\"\"").count() % 2 == 1;
    }
    kept
}

/// All but the service worker, whose lines are still to be filled in.
fn list(folder: &Path, files: &mut Vec<PathBuf>) -> Result<()> {
    for entry in std::fs::read_dir(folder)? {
        let path = entry?.path();
        if path.is_dir() {
            list(&path, files)?;
        } else if path.extension().is_some_and(|kind| kind == "js" || kind == "css")
            && path.file_name().is_none_or(|name| name != edition::WORKER)
        {
            files.push(path);
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::{small_html, small_toml};

    #[test]
    fn ends_that_are_inferred_go_and_all_others_stay() {
        let html = "<body>\n  <ul>\n  <li>a</li>\n  <li><p>b</p></li>\n</ul>\n<table>\n<tr><th>a</th><td>1</td></tr>\n</table>\n</body>\n</html>\n";
        let kept = "<body>\n<ul>\n<li>a\n<li><p>b</p>\n</ul>\n<table>\n<tr><th>a<td>1\n</table>\n";
        assert_eq!(small_html(html), kept);
    }

    #[test]
    fn comments_and_spaces_go_and_texts_stay() {
        let toml = "# a\n\nkey = 1 # b\ntext = \"\"\"\n# stays\n\n  x = 1\n\"\"\"\n# c\none = \"\"\"x = 1\"\"\"\n# d\n\
                    list = [\n    \"a = b\",\n]\n[a.b]\nend = 2\n";
        let kept = "key=1 # b\ntext=\"\"\"\n# stays\n\n  x = 1\n\"\"\"\none=\"\"\"x = 1\"\"\"\nlist=[\n\"a = b\",\n]\n[a.b]\nend=2\n";
        assert_eq!(small_toml(toml), kept);
    }
}
