//! Hostile input: whatever the bytes, each way into the page ends in time, within memory in
//! proportion to them, and with a value or a sentence.
//!
//! Inputs that once did harm are kept in `regressions`, in a folder for each target. `make fuzz`
//! searches for more with the compiler's coverage, see `guided`; here mutations are drawn from a
//! seed, for as many seconds a target as `FUZZ_SECONDS` says.
#![cfg(not(target_arch = "wasm32"))]

#[allow(
    dead_code,
    reason = "the interface has answers that only other tests ask for"
)]
#[path = "../answer/mod.rs"]
mod answer;
mod mutate;
mod targets;
#[allow(dead_code, reason = "other tests make more of it")]
#[path = "../tiles/mod.rs"]
mod tiles;

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};
use std::{env, fs};

use mutate::Mutator;
use targets::{ALL, Taken, Target};

/// Seconds for each target without `FUZZ_SECONDS`.
const SECONDS: u64 = 4;

/// Mutations start from this seed, and each has the next one.
const FIRST_SEED: u64 = 0x7461_726E;

fn regressions(target: &Target) -> PathBuf {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fuzz/regressions");
    folder.join(target.name)
}

/// Inputs kept for a target, by name; none where it has no folder.
fn kept(target: &Target) -> Vec<(PathBuf, Vec<u8>)> {
    let folder = fs::read_dir(regressions(target)).into_iter().flatten();
    let mut kept: Vec<_> = folder
        .map(|entry| entry.expect("a file").path())
        .map(|path| {
            (
                path.clone(),
                fs::read(&path).expect("a file that can be read"),
            )
        })
        .collect();
    kept.sort();
    kept
}

fn seconds() -> Duration {
    let asked = env::var("FUZZ_SECONDS").ok();
    let seconds = asked.map(|text| text.parse().expect("FUZZ_SECONDS is a number"));
    Duration::from_secs(seconds.unwrap_or(SECONDS))
}

/// What the inputs of a target took at most, and how many there were.
#[derive(Default)]
struct Most {
    count: u64,
    slowest: Duration,
    largest: usize,
}

impl Most {
    fn add(&mut self, taken: Taken) {
        self.count += 1;
        self.slowest = self.slowest.max(taken.time);
        self.largest = self.largest.max(taken.bytes);
    }
}

/// Tries mutations until the time is over, at least a hundred; the harmful one is written down.
fn search(target: &Target, time: Duration) -> Most {
    let mut inputs = (target.seeds)();
    inputs.extend(kept(target).into_iter().map(|(_, bytes)| bytes));
    let mut most = Most::default();
    let start = Instant::now();
    for seed in FIRST_SEED.. {
        if start.elapsed() >= time && most.count >= 100 {
            break;
        }
        let input = Mutator::new(seed).mutated(&inputs);
        match catch_unwind(AssertUnwindSafe(|| target.check(&input))) {
            Ok(taken) => most.add(taken),
            Err(_) => {
                let folder = regressions(target);
                fs::create_dir_all(&folder).expect("the folder can be made");
                let path = folder.join(format!("seed-{seed}"));
                fs::write(&path, &input).expect("the folder takes it");
                panic!("{}: seed {seed}, kept as {}", target.name, path.display());
            }
        }
    }
    most
}

/// One test for all: memory is counted in the whole process.
#[test]
fn no_input_does_harm() {
    for target in &ALL {
        let mut first = Most::default();
        for input in (target.seeds)() {
            first.add(target.check(&input));
        }
        for (path, input) in kept(target) {
            println!("{}", path.display());
            first.add(target.check(&input));
        }
        let start = Instant::now();
        let most = search(target, seconds());
        let rate = most.count as f64 / start.elapsed().as_secs_f64();
        println!(
            "{:9} {:9} mutations, {rate:8.0} a second; slowest {:?}, most memory {} kB; \
             {} seeds and regressions",
            target.name,
            most.count,
            most.slowest.max(first.slowest),
            most.largest.max(first.largest) / 1024,
            first.count,
        );
    }
}
