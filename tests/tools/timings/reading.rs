//! Timings found in what programs print: lines of JSON, of the page and of the WebAssembly, and the
//! tables of `divan`, of the benches.

use serde_json::Value;

use super::timing::{Column, Timing, seconds};

/// The timings in a text, in its order. All other lines are passed over.
pub fn timings_in(text: &str) -> Vec<Timing> {
    let mut groups = Vec::new();
    let timings = text
        .lines()
        .filter_map(|line| json_in(line).or_else(|| row_in(line, &mut groups)));
    timings.collect()
}

/// A timing as JSON, which a browser's console may have put words before.
fn json_in(line: &str) -> Option<Timing> {
    let json = line.get(line.find('{')?..=line.rfind('}')?)?;
    Timing::from_json(&serde_json::from_str::<Value>(json).ok()?)
}

/// The median in a row of a table of benches, which stands in a tree: the name of a bench with
/// arguments is in a row of its own before theirs, here the last of `groups`.
fn row_in(line: &str, groups: &mut Vec<String>) -> Option<Timing> {
    const BRANCH: &str = "─ ";
    // iterations, samples, mean, median, slowest, and the name with the fastest
    let cells: Vec<&str> = line.rsplitn(6, '│').collect();
    let [_, _, _, median, _, head] = cells[..] else {
        return None;
    };
    let (branch, named) = head.split_at(head.find(BRANCH)? + BRANCH.len());
    // each level is three characters wide
    let depth = branch.chars().count() / 3 - 1;
    let name = named.split("  ").next()?.trim().replace('_', " ");
    groups.truncate(depth);
    groups.push(name);
    let (value, unit) = median.trim().split_once(' ')?;
    Some(Timing {
        name: groups.join(", "),
        column: Column::Native,
        seconds: seconds(value.parse().ok()?, unit)?,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// As `divan` prints it.
    const BENCHES: &str = "\
Timer precision: 20 ns
drift                   fastest       │ slowest       │ median        │ mean          │ samples │ iters
├─ answer               305.1 µs      │ 480.9 µs      │ 310.2 µs      │ 315.9 µs      │ 100     │ 100
├─ drift_map                          │               │               │               │         │
│  ├─ FisheyeAtTheCore  1.2 ms        │ 2.1 ms        │ 1.25 ms       │ 1.301 ms      │ 100     │ 100
│  ╰─ WideAtThePole     99.1 ns       │ 120 ns        │ 101.5 ns      │ 102 ns        │ 100     │ 6400
╰─ trial                1.001 s       │ 1.2 s         │ 1.1 s         │ 1.1 s         │ 5       │ 5
";

    fn figures(text: &str) -> Vec<(String, Column, f64)> {
        let timings = timings_in(text).into_iter();
        timings
            .map(|timing| (timing.name, timing.column, timing.seconds))
            .collect()
    }

    #[test]
    fn medians_of_benches_are_read_with_their_arguments() {
        let native = |name: &str, seconds| (name.to_owned(), Column::Native, seconds);
        let want = [
            native("answer", 310.2e-6),
            native("drift map, FisheyeAtTheCore", 1.25e-3),
            native("drift map, WideAtThePole", 101.5e-9),
            native("trial", 1.1),
        ];
        let got = figures(BENCHES);
        assert_eq!(got.len(), want.len(), "{got:?}");
        for (got, want) in got.iter().zip(want) {
            assert_eq!((&got.0, got.1), (&want.0, want.1));
            assert!((got.2 / want.2 - 1.0).abs() < 1e-12, "{got:?}, {want:?}");
        }
    }

    #[test]
    fn json_is_read_wherever_it_stands_in_its_line() {
        let text = "running 1 test
console.log div contained: {\"name\":\"season\",\"column\":\"Chromium\",\"unit\":\"ms\",\"value\":6.5}
{\"name\":\"a press\",\"column\":\"Chromium ×4\",\"unit\":\"ms\",\"value\":12}
{\"name\":\"cut off\",\"column\":
} {
test a_year ... ok";
        let got: Vec<_> = figures(text)
            .into_iter()
            .map(|one| (one.0, one.1))
            .collect();
        let want = [
            ("season".to_owned(), Column::Chromium),
            ("a press".to_owned(), Column::SlowedFour),
        ];
        assert_eq!(got, want);
    }
}
