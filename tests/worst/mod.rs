//! The worst differences of each quantity, and the checked-in table of them.

pub mod read;

use std::collections::BTreeMap;
use std::fmt::Write;
use std::path::PathBuf;

const START: &str = "<!-- sky-table:start -->\n";
const END: &str = "<!-- sky-table:end -->";

/// Set to 1, it has the table written instead of compared.
const WRITE: &str = "TARNLIGHT_WRITE";

/// What was compared so far.
#[derive(Default)]
pub struct Worst {
    /// The case under comparison.
    pub id: String,
    rows: BTreeMap<&'static str, Row>,
}

#[derive(Default)]
struct Row {
    compared: usize,
    off: f64,
    id: String,
    /// The bar, where it is the same each time.
    bar: Option<f64>,
    /// The largest share of a bar that was used up.
    share: f64,
}

impl Worst {
    /// Notes a difference whose bar is always the same; fails where it is more.
    pub fn note(&mut self, quantity: &'static str, off: f64, allowed: f64) {
        self.note_of(quantity, off, allowed);
        if let Some(row) = self.rows.get_mut(quantity) {
            row.bar = Some(allowed);
        }
    }

    /// Notes a difference and fails where it is more than this once allowed.
    pub fn note_of(&mut self, quantity: &'static str, off: f64, allowed: f64) {
        let (off, id) = (off.abs(), &self.id);
        assert!(
            off <= allowed,
            "{id}: {quantity} is {off} off, {allowed} allowed"
        );
        let row = self.rows.entry(quantity).or_default();
        row.compared += 1;
        row.share = row.share.max(off / allowed);
        if off >= row.off {
            (row.off, row.id) = (off, id.clone());
        }
    }

    fn table(&self) -> String {
        let mut text =
            "\n| quantity | compared | worst | of what is allowed |\n|---|---:|---:|---:|\n"
                .to_owned();
        for (quantity, row) in &self.rows {
            let (compared, off) = (row.compared, figures(row.off));
            // a hundredth of it is as good as none
            let share = (row.share * 100.0).round();
            let _ = writeln!(text, "| {quantity} | {compared} | {off} | {share} % |");
        }
        text.push('\n');
        text
    }

    /// Prints the table and keeps the one beside the tests in step.
    pub fn keep(&self) {
        for (quantity, row) in &self.rows {
            println!(
                "{quantity}: {} in {}, {:?} allowed",
                row.off, row.id, row.bar
            );
        }
        let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/sky-table.md");
        let page = std::fs::read_to_string(&path).expect("tests/sky-table.md is there");
        let (before, rest) = page.split_once(START).expect("the start mark");
        let (written, after) = rest.split_once(END).expect("the end mark");
        let table = self.table();
        if std::env::var(WRITE).is_ok_and(|value| value == "1") {
            let page = format!("{before}{START}{table}{END}{after}");
            std::fs::write(&path, page).expect("tests/sky-table.md can be written");
            return;
        }
        assert!(
            written == table,
            "tests/sky-table.md is out of step with the code; read what changed after\n\
             {WRITE}=1 cargo test --test sky\n\nit should say:\n{table}"
        );
    }
}

/// Two figures: more would depend on the machine's sines.
fn figures(off: f64) -> String {
    if off < 1e-6 {
        return "0".to_owned();
    }
    let digits = (1.0 - off.log10().floor()).clamp(0.0, 6.0) as usize;
    format!("{off:.digits$}")
}
