//! Events, windows and places against an independent ephemeris, for 60 nights from 70° N to 67° S.
//!
//! The questions go through the door for referees (`tests/answer`), so what is compared here is
//! what a referee would be told. The reference and how it was made: `tests/reference/README.md`.
//! The worst differences are kept in `tests/sky-table.md`; a test keeps that in step.
#![cfg(not(target_arch = "wasm32"))]

use std::collections::BTreeMap;
use std::fmt::Write;
use std::path::PathBuf;

use serde_json::{Value, json};

#[path = "answer/drift.rs"]
mod drift;
#[path = "answer/night.rs"]
mod night;
#[path = "answer/question.rs"]
mod question;
#[path = "answer/reply.rs"]
mod reply;

const CASES: &str = include_str!("reference/ephemeris_cases.json");

/// Set to 1, it has the table written instead of compared.
const WRITE: &str = "TARNLIGHT_WRITE";

/// The promise for each kind of event: seconds, and the arcseconds of height that excuse more
/// where the body moves slowly through the line.
const CORE: (f64, f64) = (1.0, 0.5);
const SUN: (f64, f64) = (2.0, 6.0);
const MOON: (f64, f64) = (5.0, 10.0);

/// Seconds of a meridian passage, whose rate of height means nothing.
const PASSAGE_S: f64 = 5.0;

/// The worst differences, by quantity: value and where.
#[derive(Default)]
struct Worst(BTreeMap<&'static str, (f64, String)>);

impl Worst {
    /// Notes a difference and fails where it is more than allowed.
    fn note(&mut self, quantity: &'static str, off: f64, allowed: f64, place: &str) {
        assert!(
            off.abs() <= allowed,
            "{place}: {quantity} is {off} off, {allowed} allowed"
        );
        let entry = self.0.entry(quantity).or_insert((0.0, String::new()));
        if off.abs() >= entry.0 {
            *entry = (off.abs(), place.to_owned());
        }
    }
}

fn cases() -> Vec<Value> {
    let file: Value = serde_json::from_str(CASES).expect("the reference is JSON");
    let cases = file["cases"].as_array().expect("a list").clone();
    assert_eq!(cases.len(), 60, "cases in the reference");
    cases
}

fn number(value: &Value, key: &str) -> f64 {
    value[key]
        .as_f64()
        .unwrap_or_else(|| panic!("no number {key} in {value}"))
}

fn rows<'a>(value: &'a Value, key: &str) -> &'a [Value] {
    value[key]
        .as_array()
        .unwrap_or_else(|| panic!("no list {key} in {value}"))
}

/// Asks what a case asks, with or without the difference of UT1 and UTC.
fn asked(case: &Value, with_dut1: bool) -> Value {
    let mut question = json!({
        "id": case["id"],
        "site": case["site"],
        "night": {"date_lmt": case["night"]["date_lmt"]},
        "ridge_alt_deg": rows(&case["core"], "ridge").iter().map(|row| row["alt_deg"].clone()).collect::<Vec<_>>(),
        "instants": rows(case, "instants").iter().map(|row| row["utc"].clone()).collect::<Vec<_>>(),
    });
    if with_dut1 {
        question["time"] = json!({"dut1_s": case["time"]["dut1_s"]});
    }
    let answer = reply::reply(&question.to_string());
    assert_eq!(answer["id"], case["id"], "{answer}");
    assert!(answer.get("error").is_none(), "{answer}");
    answer
}

/// Degrees between two bearings.
fn turned(a: f64, b: f64) -> f64 {
    (a - b + 180.0).rem_euclid(360.0) - 180.0
}

fn compare_events(
    worst: &mut Worst,
    quantity: &'static str,
    (seconds, arcsec): (f64, f64),
    got: &[Value],
    want: &[Value],
    place: &str,
) {
    let kinds = |events: &[Value]| {
        events
            .iter()
            .map(|event| event["kind"].clone())
            .collect::<Vec<_>>()
    };
    assert_eq!(kinds(got), kinds(want), "{place}: {quantity}");
    for (got, want) in got.iter().zip(want) {
        let rate = number(want, "rate_deg_per_min").abs() * 60.0; // arcsec a second
        let allowed = if rate > 0.0 {
            seconds.max(arcsec / rate)
        } else {
            PASSAGE_S
        };
        worst.note(
            quantity,
            number(got, "t_s") - number(want, "t_s"),
            allowed,
            place,
        );
        let bearing = turned(number(got, "az_deg"), number(want, "az_deg"));
        let level = number(want, "alt_geom_deg").to_radians().cos();
        // a body late by the seconds allowed has turned on by a quarter of an arcminute for each
        worst.note(
            "bearing of an event, °",
            bearing * level,
            0.005 * allowed.max(1.0),
            place,
        );
        let (got, want) = (&got["local"], &want["local"]);
        let offset = |local: &Value| local.as_str().map(|text| text[text.len() - 6..].to_owned());
        assert_eq!(
            offset(got),
            offset(want),
            "{place}: {quantity}: {got}, {want}"
        );
    }
}

fn compare_block(
    worst: &mut Worst,
    quantity: &'static str,
    tolerance: (f64, f64),
    got: &Value,
    want: &Value,
    place: &str,
) {
    for key in ["state", "label", "at_start", "grazing"] {
        assert_eq!(got[key], want[key], "{place}: {quantity}: {key}");
    }
    compare_events(
        worst,
        quantity,
        tolerance,
        rows(got, "events"),
        rows(want, "events"),
        place,
    );
}

#[test]
fn events_are_those_of_the_reference() {
    let mut worst = Worst::default();
    for case in cases() {
        compare_case(&mut worst, &case);
    }
    let table = table(&worst);
    println!("{table}");
    keep(&table);
}

fn compare_case(worst: &mut Worst, case: &Value) {
    let answer = asked(case, true);
    let id = case["id"].as_str().expect("an id");
    for key in ["geometric", "apparent"] {
        let (got, want) = (&answer["core"][key], &case["core"][key]);
        compare_block(worst, "core and horizon, s", CORE, got, want, id);
        let ridges = rows(&answer["core"], "ridge")
            .iter()
            .zip(rows(&case["core"], "ridge"));
        for (got, want) in ridges {
            compare_block(worst, "core and ridge, s", CORE, &got[key], &want[key], id);
        }
    }
    for key in ["upper_transit", "lower_transit"] {
        let (got, want) = (rows(&answer["core"], key), rows(&case["core"], key));
        compare_events(worst, "core on the meridian, s", CORE, got, want, id);
    }
    for key in ["max_alt_geom_deg", "min_alt_geom_deg"] {
        let off = number(&answer["core"], key) - number(&case["core"], key);
        worst.note("core highest and lowest, ″", off * 3600.0, 0.5, id);
    }
    for (key, quantity) in [
        ("rise_set", "sunset and sunrise, s"),
        ("civil", "twilights, s"),
        ("nautical", "twilights, s"),
        ("astronomical", "twilights, s"),
    ] {
        compare_block(
            worst,
            quantity,
            SUN,
            &answer["sun"][key],
            &case["sun"][key],
            id,
        );
    }
    let (got, want) = (&answer["sun"]["min_alt"], &case["sun"]["min_alt"]);
    let lowest = |value: &Value| number(&value[0], "alt_geom_deg");
    worst.note(
        "Sun lowest, ″",
        (lowest(got) - lowest(want)) * 3600.0,
        8.0,
        id,
    );
    let (got, want) = (&answer["moon"], &case["moon"]);
    compare_block(
        worst,
        "moonrise and moonset, s",
        MOON,
        &got["rise_set"],
        &want["rise_set"],
        id,
    );
    let (got, want) = (rows(got, "upper_transit"), rows(want, "upper_transit"));
    compare_events(worst, "Moon on the meridian, s", MOON, got, want, id);
    compare_windows(worst, &answer["windows"], &case["windows"], id);
    for (got, want) in rows(&answer, "instants").iter().zip(rows(case, "instants")) {
        compare_instant(worst, got, want, id);
    }
}

fn compare_windows(worst: &mut Worst, got: &Value, want: &Value, place: &str) {
    let mut compare = |key: &str, got: &Value, want: &Value| {
        let lists = [got, want].map(|list| list.as_array().expect("a list"));
        assert_eq!(
            lists[0].len(),
            lists[1].len(),
            "{place}: {key}: {got}, {want}"
        );
        for (got, want) in lists[0].iter().zip(lists[1]) {
            for end in ["start_s", "end_s"] {
                worst.note(
                    "ends of windows, s",
                    number(got, end) - number(want, end),
                    5.0,
                    place,
                );
            }
        }
    };
    for key in [
        "dark",
        "dark_core_up",
        "dark_core_up_moon_down",
        "dark_moon_down",
    ] {
        compare(key, &got[key], &want[key]);
    }
    let key = "dark_core_above_ridge_apparent";
    for (got, want) in rows(got, key).iter().zip(rows(want, key)) {
        assert_eq!(number(got, "alt_deg"), number(want, "alt_deg"), "{place}");
        compare(key, &got["intervals"], &want["intervals"]);
    }
}

fn compare_instant(worst: &mut Worst, got: &Value, want: &Value, place: &str) {
    for (body, height, across, arcsec) in [
        ("core", "core's height, ″", "core's bearing, ″", 0.5),
        ("sun", "Sun's height, ″", "Sun's bearing, ″", 8.0),
        ("moon", "Moon's height, ″", "Moon's bearing, ″", 10.0),
    ] {
        let (got, want) = (&got[body], &want[body]);
        let off = number(got, "alt_geom_deg") - number(want, "alt_geom_deg");
        worst.note(height, off * 3600.0, arcsec, place);
        let level = number(want, "alt_geom_deg").to_radians().cos();
        let off = turned(number(got, "az_deg"), number(want, "az_deg")) * level;
        worst.note(across, off * 3600.0, arcsec, place);
        assert_eq!(
            got["alt_apparent_deg"].is_null(),
            want["alt_apparent_deg"].is_null(),
            "{place}"
        );
        if !want["alt_apparent_deg"].is_null() {
            let off = number(got, "alt_apparent_deg") - number(want, "alt_apparent_deg");
            worst.note("height as it looks, ″", off * 3600.0, arcsec, place);
        }
    }
    let (moon, of_moon) = (&got["moon"], &want["moon"]);
    for (key, quantity, scale, allowed) in [
        ("illuminated_fraction", "lit share", 1.0, 0.001),
        ("illuminated_fraction_topo", "lit share", 1.0, 0.001),
        ("phase_angle_deg", "phase angle, °", 1.0, 0.02),
        // the reference's distance holds the Earth's way in the light's time
        ("distance_geo_km", "Moon's distance, km", 1.0, 60.0),
        ("distance_topo_km", "Moon's distance, km", 1.0, 60.0),
        ("semidiameter_topo_deg", "Moon's radius, ″", 3600.0, 0.3),
        (
            "separation_from_core_deg",
            "Moon from core, ″",
            3600.0,
            10.0,
        ),
    ] {
        let off = number(moon, key) - number(of_moon, key);
        worst.note(quantity, off * scale, allowed, place);
    }
    let key = "elongation_longitude_deg";
    let off = turned(number(moon, key), number(of_moon, key));
    worst.note("Moon from Sun in longitude, ″", off * 3600.0, 15.0, place);
    for key in ["gmst_h", "gast_h", "last_h"] {
        let hours = number(&got["sidereal"], key) - number(&want["sidereal"], key);
        let off = turned(hours * 15.0, 0.0) / 15.0;
        worst.note("sidereal time, s", off * 3600.0, 0.01, place);
    }
}

/// With UTC taken for UT1 star events come late by UT1 less UTC, and by nothing else.
#[test]
fn utc_taken_for_ut1_makes_star_events_late_by_their_difference() {
    let mut compared = 0;
    for case in cases() {
        let dut1_s = number(&case["time"], "dut1_s");
        let answer = asked(&case, false);
        let [got, want] = [&answer, &case].map(|value| rows(&value["core"]["geometric"], "events"));
        assert_eq!(got.len(), want.len(), "{}", case["id"]);
        for (got, want) in got.iter().zip(want) {
            let late = number(got, "t_s") - number(want, "t_s");
            assert!(
                (late - dut1_s).abs() < 0.1,
                "{}: {late} s late, want {dut1_s}",
                case["id"]
            );
            compared += usize::from(dut1_s != 0.0);
        }
    }
    assert!(compared > 10, "{compared} events with a difference to see");
}

fn table(worst: &Worst) -> String {
    let mut text = "| quantity | worst difference |\n|---|---|\n".to_owned();
    for (quantity, (off, _)) in &worst.0 {
        // two figures: more would hang on the machine's sines
        let digits = (1.0 - off.max(1e-9).log10().floor()).clamp(0.0, 6.0) as usize;
        writeln!(text, "| {quantity} | {off:.digits$} |").expect("a String takes all");
    }
    text
}

/// Keeps the table beside the tests in step.
fn keep(table: &str) {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/sky-table.md");
    let text = format!(
        "# Worst differences from the reference\n\n60 nights of 2024 to 2040, from 70° N to 67° S; \
         made by `tests/sky.rs` (TARNLIGHT_WRITE=1 writes it anew). The reference is described in \
         `tests/reference/README.md`. Times are compared with UT1 less UTC given.\n\n{table}"
    );
    if std::env::var(WRITE).is_ok_and(|set| set == "1") {
        std::fs::write(&path, text).expect("the table is written");
    } else {
        let kept = std::fs::read_to_string(&path).expect("tests/sky-table.md");
        assert_eq!(
            kept, text,
            "run again with {WRITE}=1 and look at what changed"
        );
    }
}
