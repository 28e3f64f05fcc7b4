//! What a stack on a tripod is worth against a tracker, lens by lens.
//!
//! The table is in `tests/stack-table.md`; a test keeps it in step with the code.
#![cfg(not(target_arch = "wasm32"))]

use std::fmt::Write;
use std::path::PathBuf;

use chrono::NaiveDate;
use tarnlight::outing::exposure::by_focal_length::ExposureCurves;
use tarnlight::outing::exposure::sky_brightness::{SkyBrightness, SkyBrightnessModel};
use tarnlight::outing::exposure::tracker_gain::{Compared, with_best_body};
use tarnlight::outing::night::site_sky::SiteSky;
use tarnlight::outing::plan::Outing;

/// Set to 1, it has the table written instead of compared.
const WRITE: &str = "TARNLIGHT_WRITE";

const FOCAL_MM: [f64; 8] = [14.0, 20.0, 24.0, 35.0, 50.0, 85.0, 135.0, 200.0];

/// f-numbers of the table.
const F_NUMBERS: [f64; 2] = [1.8, 2.8];

/// The usual outing (36° N, the core at its highest) on a moonless night, at an f-number.
fn outing(f_number: f64) -> Outing {
    Outing {
        f_number,
        ..Outing::default()
    }
}

fn sky(outing: &Outing) -> SkyBrightness {
    // new Moon on 4 June 2027; the core is highest there at 0:50 by the Sun
    let date = NaiveDate::from_ymd_opt(2027, 6, 4).expect("a date");
    let site_sky = SiteSky::over(&outing.site, outing.subject, date, 1);
    SkyBrightnessModel::at(&site_sky, (date, 0.53)).towards(outing.pointing().exposed_for())
}

fn compared(outing: &Outing, focal_mm: f64) -> Compared {
    let tracked = ExposureCurves::new(outing).tracked(outing, focal_mm);
    let best = with_best_body(outing);
    Compared::new(outing, best.as_ref(), focal_mm, &sky(outing), tracked)
}

fn table() -> String {
    let mut table = "\
# A stack on the tripod against a tracker

Ten minutes by the clock on the core at its highest over 36° N (25° up, a sky of 21.6 overhead, no Moon),
with 24 megapixels full frame, two pixels of trail and a usual tracker: what `tests/stack_table.rs` makes of
the same functions as the page. Ranges are for a read noise of 1.2 to 2.5 e⁻ and 0.3 to 1 s between frames;
numbers of frames in ten minutes for the second of each. *Times less* is the signal to noise of the stack
against that of the tracked frames; *to match* is how many frames of the stack's length reach what the
tracker does in ten minutes.
"
    .to_owned();
    for f_number in F_NUMBERS {
        write!(
            table,
            "\n## f/{f_number}\n\n\
             | lens | clean time | frames in ten minutes | tracked frames | times less | to match | by the clock |\n\
             |---:|---:|---:|---:|---:|---:|---:|\n"
        )
        .expect("a text takes any line");
        let outing = outing(f_number);
        for focal_mm in FOCAL_MM {
            let compared = compared(&outing, focal_mm);
            let ways = &compared.strategies;
            let stack = ways.stack.settings.series;
            let tracked = ways.tracked.settings.series;
            let (few, many) = compared.matching().expect("a number of frames");
            let (least, most) = compared.gain();
            writeln!(
                table,
                "| {focal_mm} mm | {:.2} s | {} × {} s | {} × {} s | {least:.2}–{most:.2} | {}–{} | {:.0}–{:.0} min |",
                ways.clean.seconds().expect("a limit"),
                stack.frames,
                stack.shutter.mark(),
                tracked.frames,
                tracked.shutter.mark(),
                few.frames,
                many.frames,
                few.lasts_s / 60.0,
                many.lasts_s / 60.0,
            )
            .expect("a text takes any line");
        }
    }
    table
}

#[test]
fn the_written_table_is_what_the_code_says() {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/stack-table.md");
    if std::env::var(WRITE).is_ok_and(|value| value == "1") {
        std::fs::write(&path, table()).expect("tests/stack-table.md can be written");
    }
    let written = std::fs::read_to_string(&path).expect("tests/stack-table.md is there");
    assert_eq!(written, table(), "write it anew with {WRITE}=1");
}

/// Common practice: to some 24 mm a stack does, beyond some 85 mm a tracker is needed, the more so
/// the slower the lens.
#[test]
fn longer_and_slower_lenses_lose_more() {
    let mut before = [0.0; 2];
    for focal_mm in FOCAL_MM {
        let ranges = F_NUMBERS.map(|f_number| compared(&outing(f_number), focal_mm).gain());
        assert!(ranges[1].0 > ranges[0].0, "{focal_mm} mm: {ranges:?}");
        let gains = ranges.map(|(_, most)| most);
        assert!(gains[1] > gains[0], "{focal_mm} mm: {gains:?}");
        for (gain, before) in gains.iter().zip(&before) {
            // whole frames and a second between them make it waver by some per cent
            assert!(
                gain > &(0.9 * before),
                "{focal_mm} mm: {gain} after {before}"
            );
        }
        before = gains;
        assert!(
            focal_mm > 24.0 || gains[1] < 1.5,
            "{focal_mm} mm: {gains:?}"
        );
        assert!(
            focal_mm < 85.0 || gains[1] > 1.5,
            "{focal_mm} mm: {gains:?}"
        );
    }
}
