//! The figures of the last release, with what they were measured on and of.

use std::path::Path;
use std::process::Command;

use serde_json::{Value, json};

use super::timing::Timing;

/// What the figures were measured on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Machine {
    /// The processor's model.
    pub processor: String,
    /// The browser and its version.
    pub browser: String,
}

/// What the page's tests look for, in this order.
const BROWSERS: [&str; 3] = ["chromium", "chromium-browser", "google-chrome"];

/// What stands for a name that is not known.
const UNKNOWN: &str = "unknown";

impl Machine {
    /// The machine that this runs on.
    pub fn here() -> Self {
        // Linux tells it there, for each core
        let processors = std::fs::read_to_string("/proc/cpuinfo").unwrap_or_default();
        let model = processors
            .lines()
            .find_map(|line| line.strip_prefix("model name")?.split_once(": "));
        let version = BROWSERS
            .iter()
            .find_map(|name| printed(name, &["--version"]));
        Self {
            processor: model.map_or(UNKNOWN, |(_, name)| name).to_owned(),
            browser: version.map_or(UNKNOWN.to_owned(), |version| {
                // a package may add where it comes from
                let words: Vec<&str> = version.split(' ').take(2).collect();
                words.join(" ")
            }),
        }
    }
}

/// The commit that is checked out, and whether files differ from it.
fn commit_here() -> String {
    let commit = printed("git", &["rev-parse", "--short=10", "HEAD"]);
    let changed = printed("git", &["status", "--porcelain", "--untracked-files=no"]);
    let mark = changed.map_or("", |_| " and changes");
    commit.unwrap_or_else(|| UNKNOWN.to_owned()) + mark
}

/// What a command prints, without the blanks at its ends; `None` where that is nothing, and where it
/// fails.
fn printed(command: &str, arguments: &[&str]) -> Option<String> {
    let output = Command::new(command).args(arguments).output().ok()?;
    let text = String::from_utf8(output.stdout).ok()?;
    let text = text.trim();
    (output.status.success() && !text.is_empty()).then(|| text.to_owned())
}

/// Figures that are kept.
#[derive(Debug, Clone, PartialEq)]
pub struct Baseline {
    /// The commit they were measured of.
    pub commit: String,
    /// What they were measured on.
    pub machine: Machine,
    /// The figures, in the order of the table.
    pub timings: Vec<Timing>,
}

impl Baseline {
    /// Without any figure yet, of the commit that is checked out and on this machine.
    pub fn begun_here() -> Self {
        Self {
            commit: commit_here(),
            machine: Machine::here(),
            timings: Vec::new(),
        }
    }

    /// As it was written to a file.
    ///
    /// # Errors
    ///
    /// A sentence where it cannot be read, or lacks something.
    pub fn read(path: &Path) -> Result<Self, String> {
        let text =
            std::fs::read_to_string(path).map_err(|why| format!("{}: {why}", path.display()))?;
        Self::from_text(&text).ok_or_else(|| format!("{} is no baseline", path.display()))
    }

    fn from_text(text: &str) -> Option<Self> {
        let value: Value = serde_json::from_str(text).ok()?;
        let name = |key: &str| value[key].as_str().map(str::to_owned);
        let timings = value["timings"].as_array()?.iter();
        Some(Self {
            commit: name("commit")?,
            machine: Machine {
                processor: name("processor")?,
                browser: name("browser")?,
            },
            timings: timings.map(Timing::from_json).collect::<Option<_>>()?,
        })
    }

    /// As it is written to a file: a line a figure, so that a change of one is seen.
    pub fn to_text(&self) -> String {
        let timings = self.timings.iter();
        let lines: Vec<_> = timings
            .map(|timing| format!("    {}", timing.to_json()))
            .collect();
        let [commit, processor, browser] =
            [&self.commit, &self.machine.processor, &self.machine.browser].map(|name| json!(name));
        format!(
            "{{\n  \"commit\": {commit},\n  \"processor\": {processor},\n  \"browser\": {browser},\n  \
             \"timings\": [\n{}\n  ]\n}}\n",
            lines.join(",\n")
        )
    }
}

#[cfg(test)]
mod tests {
    use super::super::timing::Column;
    use super::*;

    #[test]
    fn what_is_written_is_read() {
        let baseline = Baseline {
            commit: "abc".to_owned(),
            machine: Machine {
                processor: "a \"fast\" one".to_owned(),
                browser: "Browser 1.2".to_owned(),
            },
            timings: vec![
                Timing {
                    name: "a press".to_owned(),
                    column: Column::SlowedSix,
                    seconds: 0.125,
                },
                Timing {
                    name: "season".to_owned(),
                    column: Column::Native,
                    seconds: 2.0,
                },
            ],
        };
        assert_eq!(Baseline::from_text(&baseline.to_text()), Some(baseline));
        assert_eq!(Baseline::from_text("{}"), None);
    }

    #[test]
    fn the_kept_one_can_be_read() {
        let kept = Path::new(env!("CARGO_MANIFEST_DIR")).join("../benches/baseline.json");
        let kept = Baseline::read(&kept).expect("it is whole");
        assert!(kept.timings.len() > 20, "{}", kept.timings.len());
    }
}
