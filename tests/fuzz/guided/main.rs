//! Searches for harmful input with the compiler's coverage, by LLVM's libFuzzer.
//!
//! `FUZZ_TARGET` names the target. Its seeds and regressions are written into the folder `FUZZ_CORPUS`
//! first, which libFuzzer then fills with input that reaches more of the program.
#![no_main]

#[allow(
    dead_code,
    reason = "the interface has answers that only other tests ask for"
)]
#[path = "../../answer/mod.rs"]
mod answer;
#[allow(dead_code, reason = "what an input took is told by libFuzzer")]
#[path = "../targets/mod.rs"]
mod targets;
#[allow(dead_code, reason = "other tests make more of it")]
#[path = "../../tiles/mod.rs"]
mod tiles;

use std::path::Path;
use std::sync::OnceLock;
use std::{env, fs};

use libfuzzer_sys::fuzz_target;
use targets::{ALL, Target};

static CHOSEN: OnceLock<&'static Target> = OnceLock::new();

fn setting(name: &str) -> String {
    env::var(name).unwrap_or_else(|_| panic!("{name} is not set: run make fuzz"))
}

/// Chooses the target and writes its seeds.
fn start() -> &'static Target {
    static TARGETS: [Target; ALL.len()] = ALL;
    let name = setting("FUZZ_TARGET");
    let target = TARGETS.iter().find(|target| target.name == name);
    let target = target.unwrap_or_else(|| panic!("there is no target {name}"));
    let corpus = setting("FUZZ_CORPUS");
    for (place, seed) in (target.seeds)().iter().enumerate() {
        fs::write(Path::new(&corpus).join(format!("seed-{place}")), seed)
            .expect("the folder is there");
    }
    target
}

fuzz_target!(
    init: {
        CHOSEN.get_or_init(start);
    },
    |input: &[u8]| {
        CHOSEN.get_or_init(start).check(input);
    }
);
