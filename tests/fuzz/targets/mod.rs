//! What is tried with hostile input: one file a target. Each says what sound input looks like, and
//! what must hold for any bytes at all.

mod files;
mod frames;
mod links;
mod messages;
mod photos;
mod places;
mod tables;
mod tiles;

use std::time::{Duration, Instant};

use peak_alloc::PeakAlloc;

#[global_allocator]
static MEMORY: PeakAlloc = PeakAlloc;

/// An input may take this long: a hundred times what the slowest take on an idle machine, so that a
/// busy one is no failure.
const LONGEST: Duration = Duration::from_secs(30);

/// One way into the page from outside.
pub struct Target {
    /// Its name, and that of its folder of regressions.
    pub name: &'static str,
    /// Sound input, from which mutations start.
    pub seeds: fn() -> Vec<Vec<u8>>,
    /// Takes any bytes; panics where something does not hold.
    pub run: fn(&[u8]),
    /// What an input may take of memory.
    pub memory: MemoryLimit,
}

/// Memory in proportion to the input.
pub struct MemoryLimit {
    /// Bytes that even an empty input may take.
    pub least: usize,
    /// Bytes for each byte of input, beyond that.
    pub per_byte: usize,
    /// Most bytes in any case.
    pub most: usize,
}

/// What an input took.
#[derive(Debug, Clone, Copy)]
pub struct Taken {
    pub time: Duration,
    pub bytes: usize,
}

const MB: usize = 1 << 20;

/// All targets.
pub const ALL: [Target; 8] = [
    links::TARGET,
    files::TARGET,
    places::TARGET,
    tables::TARGET,
    tiles::TARGET,
    photos::TARGET,
    frames::TARGET,
    messages::TARGET,
];

impl Target {
    /// Tries an input: panics where it does harm, or takes too long or too much.
    ///
    /// Memory is counted in the whole process: no two inputs may be tried at a time.
    pub fn check(&self, input: &[u8]) -> Taken {
        let before = MEMORY.current_usage();
        MEMORY.reset_peak_usage();
        let start = Instant::now();
        (self.run)(input);
        let time = start.elapsed();
        let bytes = MEMORY.peak_usage().saturating_sub(before);
        let MemoryLimit {
            least,
            per_byte,
            most,
        } = self.memory;
        let allowed = most.min(least + per_byte * input.len());
        assert!(
            bytes <= allowed,
            "{}: {bytes} bytes of memory for {} of input, allowed are {allowed}",
            self.name,
            input.len(),
        );
        assert!(time <= LONGEST, "{}: took {time:?}", self.name);
        Taken { time, bytes }
    }
}

/// Input as text: what is not UTF-8 arrives as the mark for that, as in the browser.
fn text(input: &[u8]) -> String {
    String::from_utf8_lossy(input).into_owned()
}
