//! Prints the table that `make bench` ends with, or keeps its figures as those of a release.
//!
//! `timings BASELINE FILE...` reads what the benches and the page's tests wrote and printed, and
//! prints each figure beside its ratio to the one in the baseline. `timings --keep BASELINE FILE...`
//! writes them to the baseline instead.

mod baseline;
mod reading;
mod table;
mod timing;

use std::path::Path;
use std::process::ExitCode;

use baseline::{Baseline, Machine, commit_here};
use timing::Timing;

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
    let (keep, arguments) = match arguments.split_first() {
        Some((first, others)) if first == "--keep" => (true, others),
        _ => (false, arguments),
    };
    let Some((baseline, files)) = arguments.split_first() else {
        return Err("timings [--keep] BASELINE FILE...".to_owned());
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
    if keep {
        write(baseline, now)
    } else {
        Ok(compared(&now, &Baseline::read(baseline)?))
    }
}

/// Keeps timings as those of the commit that is checked out.
fn write(path: &Path, timings: Vec<Timing>) -> Result<String, String> {
    let baseline = Baseline {
        commit: commit_here(),
        machine: Machine::here(),
        timings,
    };
    std::fs::write(path, baseline.to_text()).map_err(|why| format!("{}: {why}", path.display()))?;
    Ok(format!(
        "{} timings of {} are kept in {}\n",
        baseline.timings.len(),
        baseline.commit,
        path.display()
    ))
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
