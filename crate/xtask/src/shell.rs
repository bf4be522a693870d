//! Running other programs, and where things are.

use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use anyhow::{Context, Result, bail};

/// The root of the work tree.
pub fn root() -> PathBuf {
    let crates = Path::new(env!("CARGO_MANIFEST_DIR")).parent();
    crates.and_then(Path::parent).map(Path::to_path_buf).unwrap_or_default()
}

/// A command that starts in the root of the work tree.
pub fn command(program: &str) -> Command {
    let mut command = Command::new(program);
    command.current_dir(root());
    command
}

/// The cargo that runs this program.
pub fn cargo() -> Command {
    command(&std::env::var("CARGO").unwrap_or_else(|_| "cargo".into()))
}

/// Runs a command to its end; its output goes to the terminal.
///
/// # Errors
/// When it cannot be started or does not succeed; the message names the command.
pub fn run(command: &mut Command) -> Result<()> {
    let line = line_of(command);
    let status = command.status().with_context(|| format!("cannot start `{line}`"))?;
    if !status.success() {
        bail!("`{line}` failed ({status})");
    }
    Ok(())
}

/// Runs a command to its end and returns what it printed.
///
/// # Errors
/// As [`run`].
pub fn output(command: &mut Command) -> Result<String> {
    let line = line_of(command);
    let output =
        command.stderr(Stdio::inherit()).output().with_context(|| format!("cannot start `{line}`"))?;
    if !output.status.success() {
        bail!("`{line}` failed ({})", output.status);
    }
    Ok(String::from_utf8_lossy(&output.stdout).into_owned())
}

/// The first of these programs that is on the search path.
pub fn find_program(names: &[&str]) -> Option<PathBuf> {
    let path = std::env::var_os("PATH")?;
    names.iter().find_map(|name| {
        std::env::split_paths(&path).map(|folder| folder.join(name)).find(|file| file.is_file())
    })
}

/// A command as one would type it.
fn line_of(command: &Command) -> String {
    let program = Path::new(command.get_program()).file_name().unwrap_or(command.get_program());
    let mut line = program.to_string_lossy().into_owned();
    for argument in command.get_args() {
        line.push(' ');
        line.push_str(&argument.to_string_lossy());
    }
    line
}
