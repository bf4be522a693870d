//! Builds, serves and tests Trialplate: `cargo xtask …`.

mod bench;
mod bless;
mod bundle;
mod edition;
mod minify;
mod needs;
mod optimise;
mod pictures;
mod serve;
mod shell;
mod test;
mod wasm_target;

use std::process::ExitCode;

use clap::{Parser, Subcommand};

/// Build, serve, test and bench Trialplate.
#[derive(Parser)]
#[command(name = "cargo xtask", bin_name = "cargo xtask")]
struct Arguments {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    /// Build the page and serve it on this machine only
    Serve {
        /// Port to listen on; 0 takes any free one [default: 8000 or the next free one]
        #[arg(long)]
        port: Option<u16>,
        /// Serve what the last build left in dist/
        #[arg(long)]
        no_build: bool,
    },
    /// Make dist/: a folder that any static host can serve
    Build,
    /// Run every check, or only the named ones
    Test {
        /// Steps to run [default: all, in this order]
        #[arg(value_enum)]
        steps: Vec<test::Step>,
    },
    /// Measure speed here and write docs/bench.md
    Bench,
    /// Make the pictures of the README and of the page "the model and its limits" anew
    Pictures,
    /// Make the golden digests anew, after a wanted change of the physics
    Bless,
}

fn main() -> ExitCode {
    match run(Arguments::parse().command) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            // In words, whatever RUST_BACKTRACE says: nearly all errors here are about the machine, not this code.
            eprintln!("{error:#}");
            ExitCode::FAILURE
        }
    }
}

fn run(command: Command) -> anyhow::Result<()> {
    match command {
        Command::Serve { port, no_build } => {
            if !no_build {
                bundle::build(bundle::Scripts::AsWritten)?;
            }
            serve::serve(port)
        }
        Command::Build => bundle::build(bundle::Scripts::Small),
        Command::Test { steps } => test::run(&steps),
        Command::Bench => bench::run(),
        Command::Pictures => pictures::run(),
        Command::Bless => bless::run(),
    }
}
