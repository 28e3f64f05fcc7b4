//! Prints the table that `make bench` ends with, or keeps its figures as those of a release.
//!
//! `timings BASELINE FILE...` reads what the benches and the page's tests wrote and printed, and
//! prints each figure beside its ratio to the one in the baseline. `timings --begin ORIGIN` notes
//! commit and machine before something is timed; `timings --keep ORIGIN BASELINE FILE...` writes the
//! figures to the baseline, as of that commit and machine.

mod baseline;
mod reading;
mod table;
mod timing;

use std::path::Path;
use std::process::ExitCode;

use baseline::{Baseline, Machine};
use timing::Timing;

const USAGE: &str = "timings [--keep ORIGIN] BASELINE FILE..., or timings --begin ORIGIN";

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    match run(&arguments) {
        Ok(text) => {
            print!("{text}");
            ExitCode::SUCCESS
        }
        Err(why) => {
            eprintln!("{why}");
            ExitCode::FAILURE
        }
    }
}

/// What is to be printed.
fn run(arguments: &[String]) -> Result<String, String> {
    let (origin, baseline, files) = match arguments {
        [option, origin] if option == "--begin" => {
            return written(Path::new(origin), &Baseline::begun_here()).map(|()| String::new());
        }
        [option, origin, baseline, files @ ..] if option == "--keep" => {
            (Some(Path::new(origin)), baseline, files)
        }
        [baseline, files @ ..] => (None, baseline, files),
        [] => return Err(USAGE.to_owned()),
    };
    let baseline = Path::new(baseline);
    let mut now = Vec::new();
    for file in files {
        let text = std::fs::read_to_string(file).map_err(|why| format!("{file}: {why}"))?;
        now.extend(reading::timings_in(&text));
    }
    if now.is_empty() {
        return Err("nothing was timed: run make bench".to_owned());
    }
    match origin {
        Some(origin) => kept(baseline, Baseline::read(origin)?, now),
        None => Ok(compared(&now, &Baseline::read(baseline)?)),
    }
}

/// Keeps timings with what they were measured of and on.
fn kept(path: &Path, begun: Baseline, timings: Vec<Timing>) -> Result<String, String> {
    let baseline = Baseline { timings, ..begun };
    written(path, &baseline)?;
    Ok(format!(
        "{} timings of {} are kept in {}\n",
        baseline.timings.len(),
        baseline.commit,
        path.display()
    ))
}

fn written(path: &Path, baseline: &Baseline) -> Result<(), String> {
    std::fs::write(path, baseline.to_text()).map_err(|why| format!("{}: {why}", path.display()))
}

/// The table, and what its ratios are to.
fn compared(now: &[Timing], kept: &Baseline) -> String {
    let machine = &kept.machine;
    let mut text = table::table(now, &kept.timings);
    text += &format!(
        "\nEach ratio is to the figure of {}, on {} with {}.\n",
        kept.commit, machine.processor, machine.browser
    );
    let here = Machine::here();
    if here != *machine {
        text += &format!(
            "This is {} with {}: compare the ratios with each other, not with 1.\n",
            here.processor, here.browser
        );
    }
    text
}
