//! What distortion does to a corner's trail.
//!
//! The table is in `tests/distortion-table.md`; a test keeps it in step with the code, whose drift
//! `tests/distortion.rs` checks.
#![cfg(not(target_arch = "wasm32"))]

use std::fmt::Write;
use std::path::PathBuf;

use tarnlight::camera::view::SensorPoint;
use tarnlight::outing::exposure::Answer;
use tarnlight::outing::plan::pointing::Pointing;
use tarnlight::outing::plan::{KeepSharp, Outing};

const START: &str = "<!-- distortion-table:start -->\n";
const END: &str = "<!-- distortion-table:end -->";

/// Set to 1, it has the table written instead of compared.
const WRITE: &str = "TARNLIGHT_WRITE";

fn core_in_the_middle() -> Outing {
    let outing = Outing::default();
    Outing {
        frame: Some(Pointing::at(outing.subject, outing.site.latitude).frame),
        ..outing
    }
}

/// The usual outing (36° N, level, the core in the middle at its highest, two pixels over the whole
/// frame) behind a lens.
fn answer(focal_mm: f64, k1: f64) -> Answer {
    let mut outing = Outing {
        keep_sharp: KeepSharp::WholeFrame,
        ..core_in_the_middle()
    };
    outing.kit.lens.focal_mm = focal_mm;
    outing.kit.lens.distortion.k1 = k1;
    Answer::compute(&outing)
}

const CORNER: SensorPoint = SensorPoint {
    x_mm: 18.0,
    y_mm: 12.0,
};

/// The ideal lens's dial time at the core, s, and the trail it leaves in an upper corner, pixels.
fn corner_px(focal_mm: f64, k1: f64) -> (f64, f64) {
    let mut core = core_in_the_middle();
    core.kit.lens.focal_mm = focal_mm;
    let seconds = Answer::compute(&core).shutter().exact_s();
    let view = answer(focal_mm, k1).view;
    let trail_um = view.trail_um(CORNER, seconds).expect("a trail");
    (seconds, trail_um / view.sensor.pitch_um())
}

fn table() -> String {
    let mut text =
        "\n| focal length | k1 | the corner shows | open for | trail in an upper corner \
                    | against the ideal lens | 2 px over the whole frame | on the dial |\n\
                    |---:|---:|---:|---:|---:|---:|---:|---:|\n"
            .to_owned();
    for focal_mm in [14.0, 20.0, 35.0] {
        for k1 in [0.0, -0.03, -0.08, 0.03] {
            let (seconds, pixels) = corner_px(focal_mm, k1);
            let (_, ideal) = corner_px(focal_mm, 0.0);
            let answer = answer(focal_mm, k1);
            let off_axis = answer.view.off_axis_at(CORNER).expect("an image");
            let dial = answer.dial().shutter().expect("a setting");
            let against = if k1 == 0.0 {
                "–".to_owned()
            } else {
                format!("{:+.1} %", (pixels / ideal - 1.0) * 100.0)
            };
            let _ = writeln!(
                text,
                "| {focal_mm} mm | {k1} | {:.1}° | {seconds:.1} s | {pixels:.2} px | {against} \
                 | {:.2} s | {} s |",
                off_axis.degrees(),
                answer.clean.seconds().expect("a moving star"),
                dial.mark(),
            );
        }
    }
    text = text.replace('-', "−").replace("−−−:", "---:");
    text.push('\n');
    text
}

#[test]
fn the_written_table_is_what_the_code_says() {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/distortion-table.md");
    let page = std::fs::read_to_string(&path).expect("tests/distortion-table.md is there");
    let (before, rest) = page.split_once(START).expect("the start mark");
    let (written, after) = rest.split_once(END).expect("the end mark");
    let table = table();
    if std::env::var(WRITE).is_ok_and(|value| value == "1") {
        let page = format!("{before}{START}{table}{END}{after}");
        std::fs::write(&path, page).expect("tests/distortion-table.md can be written");
        return;
    }
    assert!(
        written == table,
        "tests/distortion-table.md is out of step with the code; read what changed after\n\
         {WRITE}=1 cargo test --test distortion_table\n\nit should say:\n{table}"
    );
}
