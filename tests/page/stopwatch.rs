//! Times things in the page, as fast as the machine is and slowed down; each median is printed, and
//! written where the table of `make bench` is made from.

use std::fs::OpenOptions;
use std::io::Write;

use serde_json::{Value, json};

use super::phone::Phone;

/// How many times the page's scripts take as long, and the column of the table: the machine as it
/// is, about a phone of the middle class, and a cheap one.
pub const SPEEDS: [(u32, &str); 3] = [(1, "Chromium"), (4, "Chromium ×4"), (6, "Chromium ×6")];

/// The first two, for what takes long.
pub const TWO_SPEEDS: [(u32, &str); 2] = [SPEEDS[0], SPEEDS[1]];

/// The file to which a line of JSON is added for each figure.
const FILE: &str = "TARNLIGHT_TIMINGS";

/// Clocks in the page. A change is one of the document, seen before it is painted.
const CLOCKS: &str = "
    const all = {subtree: true, childList: true, characterData: true, attributes: true};
    // when a change is the first after which a condition holds
    window.timeOf = (holds, within = document) => new Promise(done => {
        new MutationObserver((_, seen) => {
            if (!holds()) return;
            seen.disconnect();
            done(performance.now());
        }).observe(within, all);
    });
    // from the choice of the next file to a change after which a condition holds
    window.timeFromChoice = holds => new Promise(done => {
        addEventListener('change', async () => {
            const start = performance.now();
            done(await timeOf(holds) - start);
        }, {capture: true, once: true});
    });
    // from an input to its last change, which may come in several tasks; NaN where there is none
    window.timeOfChanges = async input => {
        const [quiet, given] = [40, 500];
        let end = NaN;
        const seen = new MutationObserver(() => { end = performance.now(); });
        seen.observe(document.querySelector('.page'), all);
        const start = performance.now();
        input();
        let told;
        do {
            told = end;
            await new Promise(done => setTimeout(done, quiet));
        } while (end !== told && !(Number.isNaN(end) && performance.now() - start > given));
        seen.disconnect();
        return end - start;
    };";

/// A phone whose page has the clocks.
pub async fn timed_phone() -> Phone {
    let phone = Phone::new(360, 780).await;
    phone.add_init_script(CLOCKS).await;
    phone
}

/// Makes the page's scripts take so many times as long; Chromium slows no worker by it.
pub async fn slow_down(phone: &Phone, times: u32) {
    phone
        .cdp("Emulation.setCPUThrottlingRate", json!({"rate": times}))
        .await;
}

/// A time that a script returned, ms.
pub fn milliseconds(value: &Value) -> f64 {
    value.as_f64().expect("a time: something has changed")
}

/// Prints the median of times, ms, and the time that 95 % of them are under, and writes the median
/// to the file for the table.
pub fn record(name: &str, column: &str, mut times_ms: Vec<f64>) {
    let count = times_ms.len();
    assert!(count > 0, "{name} was timed");
    times_ms.sort_by(f64::total_cmp);
    let (median_ms, slow_ms) = (times_ms[count / 2], times_ms[count * 95 / 100]);
    println!("{name}, {column}: median {median_ms:.2} ms of {count}, 95 % under {slow_ms:.2} ms");
    let Some(path) = std::env::var_os(FILE) else {
        return;
    };
    let figure = json!({"name": name, "column": column, "unit": "ms", "value": median_ms});
    let file = OpenOptions::new().create(true).append(true).open(path);
    let written = file.and_then(|mut file| writeln!(file, "{figure}"));
    written.expect("the file of timings can be written");
}
