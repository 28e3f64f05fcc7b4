//! The table: what is timed against where, each figure beside its ratio to the one kept.

use super::timing::{Column, Timing, words};

/// What stands where there is no figure.
const NONE: &str = "–";

/// Characters of a figure, and of a ratio.
const FIGURE: usize = 12;
const RATIO: usize = 7;

/// A table of the timings of now, each with its ratio to the one kept. What stands in one of both
/// alone has a row, too; columns without a figure are left out.
pub fn table(now: &[Timing], kept: &[Timing]) -> String {
    let names = names(now.iter().chain(kept));
    let width = names.iter().map(|name| name.chars().count()).max();
    let width = width.unwrap_or_default();
    let filled = |column: &Column| now.iter().chain(kept).any(|it| it.column == *column);
    let columns: Vec<Column> = Column::ALL.into_iter().filter(filled).collect();
    let mut lines = vec![row(
        &format!("{:width$}", ""),
        columns
            .iter()
            .map(|column| (column.name().to_owned(), "ratio".to_owned())),
    )];
    for name in names {
        let cells = columns.iter().map(|column| {
            let [now, kept] = [now, kept].map(|timings| find(timings, name, *column));
            let ratio = now
                .zip(kept)
                .map(|(now, kept)| format!("{:.2}", now / kept));
            let figure = now.map(words);
            (
                figure.unwrap_or_else(|| NONE.to_owned()),
                ratio.unwrap_or_else(|| NONE.to_owned()),
            )
        });
        lines.push(row(&format!("{name:width$}"), cells));
    }
    lines.join("\n") + "\n"
}

fn row(name: &str, cells: impl Iterator<Item = (String, String)>) -> String {
    cells.fold(name.to_owned(), |line, (figure, ratio)| {
        format!("{line} {figure:>FIGURE$}{ratio:>RATIO$}")
    })
}

/// The names, each once, in the order of their first mention.
fn names<'a>(timings: impl Iterator<Item = &'a Timing>) -> Vec<&'a str> {
    let mut names: Vec<&str> = Vec::new();
    for timing in timings {
        if !names.contains(&timing.name.as_str()) {
            names.push(&timing.name);
        }
    }
    names
}

/// The last figure of this name and column, s: what is timed again counts anew.
fn find(timings: &[Timing], name: &str, column: Column) -> Option<f64> {
    let mut timings = timings.iter().rev();
    let timing = timings.find(|it| it.name == name && it.column == column);
    timing.map(|timing| timing.seconds)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn timing(name: &str, column: Column, seconds: f64) -> Timing {
        Timing {
            name: name.to_owned(),
            column,
            seconds,
        }
    }

    /// The words of each line, the name's joined.
    fn cells(table: &str) -> Vec<Vec<&str>> {
        let lines = table.lines();
        lines
            .map(|line| line.split("  ").map(str::trim).filter(|it| !it.is_empty()))
            .map(Iterator::collect)
            .collect()
    }

    #[test]
    fn each_figure_stands_beside_its_ratio() {
        let kept = [
            timing("a press", Column::Chromium, 0.010),
            timing("a press", Column::SlowedFour, 0.050),
            timing("season", Column::Native, 0.004),
        ];
        let now = [
            timing("season", Column::Native, 0.003),
            timing("season", Column::Chromium, 0.0055),
            timing("a press", Column::Chromium, 9.0),
            timing("a press", Column::Chromium, 0.015),
            timing("a press", Column::SlowedFour, 0.0505),
        ];
        let table = table(&now, &kept);
        assert_eq!(
            cells(&table),
            [
                vec![
                    "native",
                    "ratio",
                    "Chromium",
                    "ratio",
                    "Chromium ×4",
                    "ratio"
                ],
                vec!["season", "3.00 ms", "0.75", "5.50 ms", NONE, NONE, NONE],
                vec!["a press", NONE, NONE, "15.0 ms", "1.50", "50.5 ms", "1.01"],
            ],
            "{table}"
        );
        let widths: Vec<_> = table.lines().map(|line| line.chars().count()).collect();
        assert!(widths.iter().all(|width| *width == widths[0]), "{table}");
    }

    #[test]
    fn what_is_new_or_gone_has_a_dash() {
        let table = table(
            &[timing("new", Column::Native, 1e-6)],
            &[timing("gone", Column::Native, 1e-6)],
        );
        assert_eq!(
            cells(&table),
            [
                vec!["native", "ratio"],
                vec!["new", "1.00 µs", NONE],
                vec!["gone", NONE, NONE],
            ],
            "{table}"
        );
    }
}
