//! The 500 rule against the exact drift, and what the trade takes for granted.
//!
//! The table is in `tests/rules-table.md`; a test keeps it in step with the code.
#![cfg(not(target_arch = "wasm32"))]

use std::fmt::Write;
use std::path::PathBuf;

use tarnlight::angle::Angle;
use tarnlight::camera::clean_time::centre_clean_time;
use tarnlight::camera::dial::Shutter;
use tarnlight::camera::drift::centre_speed_um_s;
use tarnlight::camera::rules::Rule;
use tarnlight::camera::sensor::{FORMATS, Sensor};
use tarnlight::outing::exposure::{Answer, RuleRow};
use tarnlight::outing::plan::Outing;
use tarnlight::outing::plan::pointing::Pointing;

const FOCAL_MM: [f64; 7] = [14.0, 20.0, 24.0, 35.0, 50.0, 85.0, 135.0];

/// Bodies of the table: format, millions of pixels.
const BODIES: [(&str, f64); 4] = [
    ("full frame", 24.0),
    ("full frame", 45.0),
    ("APS-C, 1.5 ×", 24.0),
    ("Four Thirds", 20.0),
];

const START: &str = "<!-- rules-table:start -->\n";
const END: &str = "<!-- rules-table:end -->";

/// Set to 1, it has the table written instead of compared.
const WRITE: &str = "TARNLIGHT_WRITE";

/// The usual outing (36° N, level, the core in the middle at its highest, two pixels) with a body
/// and a focal length.
fn outing(sensor: Sensor, focal_mm: f64) -> Outing {
    let mut outing = Outing::default();
    outing.frame = Some(Pointing::at(outing.subject, outing.site.latitude).frame);
    outing.kit.sensor = sensor;
    outing.kit.lens.focal_mm = focal_mm;
    outing
}

fn answer(sensor: Sensor, focal_mm: f64) -> Answer {
    Answer::compute(&outing(sensor, focal_mm))
}

fn body(name: &str, megapixels: f64) -> Sensor {
    let format = FORMATS.iter().find(|format| format.name == name);
    format.expect("a format by that name").sensor(megapixels)
}

fn full_frame() -> Sensor {
    body("full frame", 24.0)
}

fn row(answer: &Answer, rule: Rule) -> RuleRow {
    let row = answer.rules.iter().find(|row| row.rule == Some(rule));
    *row.expect("every rule has a row")
}

fn seconds(answer: &Answer, rule: Rule) -> f64 {
    row(answer, rule).seconds.expect("the rule gives a time")
}

/// The trail a rule leaves of a star on the celestial equator in the middle of the frame, µm.
fn left_at_the_equator_um(answer: &Answer, rule: Rule) -> f64 {
    let speed = centre_speed_um_s(answer.view.lens.focal_mm, Angle::ZERO);
    seconds(answer, rule) * speed
}

fn table() -> String {
    let mut text = String::new();
    for (format, megapixels) in BODIES {
        let sensor = body(format, megapixels);
        let pitch = sensor.pitch_um();
        let _ = write!(
            text,
            "\n### {format}, {megapixels} megapixels ({pitch:.2} µm)\n\n\
             | focal length | 500 rule | leaves at δ 0, centre | at the core | in the worst place \
             | 2 px at the core, exactly | on the dial |\n\
             |---:|---:|---:|---:|---:|---:|---:|\n"
        );
        for focal_mm in FOCAL_MM {
            let answer = answer(sensor, focal_mm);
            let rule = row(&answer, Rule::FiveHundred);
            let px = |value: Option<f64>| format!("{:.1} px", value.expect("a trail"));
            let _ = writeln!(
                text,
                "| {focal_mm} mm | {:.1} s | {} | {} | {} | {:.1} s | {} s |",
                seconds(&answer, Rule::FiveHundred),
                px(Some(
                    left_at_the_equator_um(&answer, Rule::FiveHundred) / pitch
                )),
                px(rule.centre_px),
                px(rule.worst_px),
                answer.clean.seconds().expect("a moving star"),
                answer
                    .dial()
                    .shutter()
                    .map_or_else(String::new, Shutter::mark),
            );
        }
    }
    text.push('\n');
    text
}

#[test]
fn the_written_table_is_what_the_code_says() {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/rules-table.md");
    let page = std::fs::read_to_string(&path).expect("tests/rules-table.md is there");
    let (before, rest) = page.split_once(START).expect("the start mark");
    let (written, after) = rest.split_once(END).expect("the end mark");
    let table = table();
    if std::env::var(WRITE).is_ok_and(|value| value == "1") {
        let page = format!("{before}{START}{table}{END}{after}");
        std::fs::write(&path, page).expect("tests/rules-table.md can be written");
        return;
    }
    assert!(
        written == table,
        "tests/rules-table.md is out of step with the code; read what changed after\n\
         {WRITE}=1 cargo test --test rules_table\n\nit should say:\n{table}"
    );
}

/// Computed from R · ω · 1000 / crop: 36.46, 29.17 and 21.88 µm on full frame, whatever the focal
/// length.
#[test]
fn the_crop_rules_allow_a_fixed_trail() {
    let rules = [
        (Rule::FiveHundred, 36.46),
        (Rule::FourHundred, 29.17),
        (Rule::ThreeHundred, 21.88),
    ];
    for (format, megapixels) in BODIES {
        let sensor = body(format, megapixels);
        for focal_mm in FOCAL_MM {
            for (rule, want) in rules {
                let answer = answer(sensor, focal_mm);
                let got = left_at_the_equator_um(&answer, rule) * sensor.crop_factor();
                assert!(
                    (got - want).abs() < 6e-3,
                    "{format}, {focal_mm} mm, {rule:?}: {got} µm, want {want} µm"
                );
            }
        }
    }
}

/// The same trail in pixels of 6.0 and of 4.35 µm, computed from the definition.
#[test]
fn finer_pixels_show_more_of_the_same_trail() {
    let answer = answer(full_frame(), 24.0);
    for (rule, coarse, fine) in [
        (Rule::FiveHundred, 6.08, 8.38),
        (Rule::FourHundred, 4.86, 6.71),
        (Rule::ThreeHundred, 3.65, 5.03),
    ] {
        let trail = left_at_the_equator_um(&answer, rule);
        assert!((trail / 6.0 - coarse).abs() < 6e-3, "{rule:?}: {trail} µm");
        assert!((trail / 4.35 - fine).abs() < 6e-3, "{rule:?}: {trail} µm");
    }
}

/// Two pixels of 4.35 µm at declination 0, computed from the definition.
#[test]
fn two_pixels_take_what_they_take() {
    for (focal_mm, want) in [
        (24.0, 4.97),
        (50.0, 2.39),
        (85.0, 1.40),
        (135.0, 0.88),
        (200.0, 0.60),
    ] {
        let time = centre_clean_time(focal_mm, Angle::ZERO, 2.0 * 4.35);
        let got = time.seconds().expect("a moving star");
        assert!(
            (got - want).abs() < 6e-3,
            "{focal_mm} mm: {got} s, want {want} s"
        );
    }
}

/// Common practice: "full frame and 20 mm, 25 seconds".
#[test]
fn the_500_rule_gives_25_s_at_20_mm() {
    let got = seconds(&answer(full_frame(), 20.0), Rule::FiveHundred);
    assert!((got - 25.0).abs() < 1e-9, "{got} s");
}

/// Common practice: 14, 24 and 35 mm are the usual choices for the core from a tripod, with
/// shutters of several seconds; past 135 mm one or two seconds are left and people use a tracker.
#[test]
fn the_usual_lenses_are_usable_and_long_ones_are_not() {
    let dial_s = |focal_mm| {
        let shutter = answer(full_frame(), focal_mm).dial().shutter();
        shutter.expect("a setting").exact_s()
    };
    for focal_mm in [14.0, 24.0, 35.0] {
        let seconds = dial_s(focal_mm);
        assert!((5.0..15.0).contains(&seconds), "{focal_mm} mm: {seconds} s");
    }
    for focal_mm in [135.0, 200.0, 300.0] {
        let seconds = dial_s(focal_mm);
        assert!(seconds < 2.0, "{focal_mm} mm: {seconds} s");
    }
}

/// Common practice: the wider the lens, the longer the shutter may stay open. True of the middle;
/// in the corners a rectilinear lens wider than its sensor's half diagonal (21.6 mm on full frame)
/// gives time back, as f + r²/f is for a star that moves outwards at the distance r.
#[test]
fn the_wider_the_lens_the_longer_the_time() {
    for (format, megapixels) in BODIES {
        let sensor = body(format, megapixels);
        for pair in FOCAL_MM.windows(2) {
            let (wide, long) = (answer(sensor, pair[0]), answer(sensor, pair[1]));
            assert!(
                wide.clean_core.seconds() > long.clean_core.seconds(),
                "{format}: {pair:?} mm"
            );
            for rule in Rule::ALL {
                assert!(
                    seconds(&wide, rule) > seconds(&long, rule),
                    "{format}, {rule:?}: {pair:?} mm"
                );
            }
        }
    }
    let frame_s = |focal_mm| {
        let time = answer(full_frame(), focal_mm).clean_frame;
        time.seconds().expect("a moving star")
    };
    assert!(frame_s(24.0) > frame_s(35.0), "above the half diagonal");
    assert!(frame_s(10.0) < frame_s(14.0), "below it");
}

/// Common practice: the 500 rule was made for film and is too long for today's sensors, most of
/// all in the corners of wide lenses. No body of the table comes within two pixels by it, not
/// even at the core, and finer pixels make it worse.
#[test]
fn the_500_rule_is_too_long_for_pixels() {
    for (format, megapixels) in BODIES {
        for focal_mm in FOCAL_MM {
            let answer = answer(body(format, megapixels), focal_mm);
            let rule = row(&answer, Rule::FiveHundred);
            let (core, worst) = (
                rule.centre_px.expect("a trail"),
                rule.worst_px.expect("a trail"),
            );
            assert!(
                core > 2.0 && worst > core,
                "{format}, {focal_mm} mm: {core} and {worst} px"
            );
        }
    }
    let wide = row(&answer(full_frame(), 14.0), Rule::FiveHundred);
    let (core, worst) = (
        wide.centre_px.expect("a trail"),
        wide.worst_px.expect("a trail"),
    );
    assert!(
        worst > 2.0 * core,
        "14 mm: {core} px at the core, {worst} px in the corner"
    );
}
