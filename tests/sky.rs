//! Events, windows and places against a numerical ephemeris, for 60 nights from 70° N to 67° S.
//!
//! The questions go through the JSON-lines interface (`tests/answer`). The reference, how it was
//! made and why each bar is where it is: `tests/reference/README.md`. How close the answers come is
//! in `tests/sky-table.md`, which a test keeps in step.
#![cfg(not(target_arch = "wasm32"))]

mod answer;
mod worst;

use serde_json::{Value, json};
use worst::Worst;
use worst::read::{apart_s, instant, number, pairs, rows, turned};

const CASES: &str = include_str!("reference/ephemeris_cases.json");

/// How far an event may be off: seconds, or the seconds in which a body moving slowly through the
/// line changes its height by so many arcseconds, whichever is more.
#[derive(Clone, Copy)]
struct Bar {
    seconds: f64,
    arcsec: f64,
}

const CORE: Bar = Bar {
    seconds: 1.0,
    arcsec: 0.5,
};
const SUN: Bar = Bar {
    seconds: 2.0,
    arcsec: 6.0,
};
const MOON: Bar = Bar {
    seconds: 5.0,
    arcsec: 10.0,
};

/// The Sun's altitude may be off by more than its events: 8″ is 0.6 s of its motion.
const SUN_HEIGHT_ARCSEC: f64 = 8.0;

/// For its margin the reference takes the Moon's radius in the middle of the night. By the turning
/// point it has changed by up to this at these sites: the turning Earth brings a site nearer by as
/// much as the Earth's diameter (33″, from nadir to zenith), and half a day of the Moon's path is
/// 7″.
const RADIUS_CHANGE_ARCSEC: f64 = 30.0;

/// Degrees the sky turns in a second.
const TURN_DEG: f64 = 15.041_07 / 3600.0;

/// Half of the last printed digit of a height or a bearing of an event, degrees.
const LAST_DIGIT_DEG: f64 = 0.5e-4;

/// Half of the last printed digit of an instant, s; ours is printed to a tenth too.
const TENTH_S: f64 = 0.1;

impl Bar {
    fn seconds_at(self, rate_deg_per_min: f64) -> f64 {
        let arcsec_a_second = rate_deg_per_min.abs() * 60.0;
        // a meridian passage has no rate of height
        if arcsec_a_second < 0.01 {
            return self.seconds;
        }
        self.seconds.max(self.arcsec / arcsec_a_second)
    }
}

fn cases() -> Vec<Value> {
    let file: Value = serde_json::from_str(CASES).expect("the reference is JSON");
    let cases = rows(&file, "cases").to_vec();
    assert_eq!(cases.len(), 60, "cases in the reference");
    cases
}

/// Computes a case, with UT1 − UTC or without.
fn asked(case: &Value, with_dut1: bool) -> Value {
    let column = |rows: &[Value], key: &str| rows.iter().map(|row| row[key].clone()).collect();
    let ridges: Vec<Value> = column(rows(&case["core"], "ridge"), "alt_deg");
    let instants: Vec<Value> = column(rows(case, "instants"), "utc");
    let mut question = json!({
        "id": case["id"],
        "site": case["site"],
        "night": {"date_lmt": case["night"]["date_lmt"]},
        "ridge_alt_deg": ridges,
        "instants": instants,
    });
    if with_dut1 {
        question["time"] = json!({"dut1_s": case["time"]["dut1_s"]});
    }
    let answer = answer::reply(&question.to_string());
    assert_eq!(answer["id"], case["id"], "{answer}");
    assert!(answer.get("error").is_none(), "{answer}");
    answer
}

#[test]
fn every_answer_is_the_references() {
    let mut worst = Worst::default();
    for case in cases() {
        let answer = asked(&case, true);
        worst.id = case["id"].as_str().expect("an id").to_owned();
        compare_night(&mut worst, &answer, &case);
        compare_core(&mut worst, &answer["core"], &case["core"]);
        compare_sun(&mut worst, &answer["sun"], &case["sun"]);
        compare_moon(&mut worst, &answer["moon"], &case["moon"]);
        compare_windows(&mut worst, &answer["windows"], &case["windows"]);
        for (got, want) in pairs(&answer, &case, "instants", &worst.id.clone()) {
            compare_instant(&mut worst, got, want);
        }
    }
    worst.keep();
}

fn compare_night(worst: &mut Worst, got: &Value, want: &Value) {
    for key in ["start_utc", "end_utc"] {
        let off = apart_s(&got["night"], &want["night"], key);
        worst.note("noon, s", off, TENTH_S);
    }
    let key = "tt_minus_utc_s";
    let clocks = [got, want].map(|value| number(&value["time"], key));
    assert!((clocks[0] - clocks[1]).abs() < 1e-9, "{}", worst.id);
}

fn compare_core(worst: &mut Worst, got: &Value, want: &Value) {
    for key in ["geometric", "apparent"] {
        let name = "core and horizon, s";
        compare_block(worst, name, CORE, &got[key], &want[key]);
        for (got, want) in pairs(got, want, "ridge", &worst.id.clone()) {
            assert_eq!(number(got, "alt_deg"), number(want, "alt_deg"));
            compare_block(worst, "core and ridge, s", CORE, &got[key], &want[key]);
        }
        let margin = |value: &Value| number(&value[key], "closest_extremum_margin_deg");
        if core_turns_within(want) {
            let off = (margin(got) - margin(want)) * 3600.0;
            worst.note("core's nearest to the line, ″", off, CORE.arcsec);
        }
    }
    for key in ["upper_transit", "lower_transit"] {
        compare_events(worst, "core on the meridian, s", CORE, got, want, key);
    }
    for key in ["max_alt_geom_deg", "min_alt_geom_deg"] {
        let off = (number(got, key) - number(want, key)) * 3600.0;
        worst.note("core highest and lowest, ″", off, CORE.arcsec);
    }
}

/// Whether both turning points lie well within the night; near its ends one may be listed by one
/// side and not by the other.
fn core_turns_within(core: &Value) -> bool {
    const EDGE_S: f64 = 900.0;
    let turns = ["upper_transit", "lower_transit"].map(|key| rows(core, key));
    let all = turns.iter().all(|turns| turns.len() == 1);
    let within = |turn: &Value| (EDGE_S..86_400.0 - EDGE_S).contains(&number(turn, "t_s"));
    all && turns.iter().all(|turns| turns.iter().all(within))
}

fn compare_sun(worst: &mut Worst, got: &Value, want: &Value) {
    for key in ["rise_set", "civil", "nautical", "astronomical"] {
        let name = match key {
            "rise_set" => "sunset and sunrise, s",
            _ => "twilights, s",
        };
        compare_block(worst, name, SUN, &got[key], &want[key]);
    }
    // where it lies still its time means little: only its height is compared
    for (got, want) in pairs(got, want, "min_alt", &worst.id.clone()) {
        assert_eq!(got["kind"], want["kind"], "{}", worst.id);
        let off = number(got, "alt_geom_deg") - number(want, "alt_geom_deg");
        worst.note("Sun lowest, ″", off * 3600.0, SUN_HEIGHT_ARCSEC);
    }
}

fn compare_moon(worst: &mut Worst, got: &Value, want: &Value) {
    let (block, name) = ("rise_set", "moonrise and moonset, s");
    compare_block(worst, name, MOON, &got[block], &want[block]);
    let (key, name) = ("upper_transit", "Moon on the meridian, s");
    compare_events(worst, name, MOON, got, want, key);
    if moon_turns_within(want) {
        let margin = |value: &Value| number(&value[block], "closest_extremum_margin_deg");
        let off = (margin(got) - margin(want)) * 3600.0;
        let allowed = MOON.arcsec + RADIUS_CHANGE_ARCSEC;
        worst.note("Moon's nearest to the line, ″", off, allowed);
    }
}

/// Whether all of the Moon's turning points lie well within the night or well outside. They are
/// computed from its upper transits and half a lunar day on either side; its motion in declination
/// shifts them by up to a quarter of an hour at these latitudes.
fn moon_turns_within(moon: &Value) -> bool {
    const EDGE_S: f64 = 3600.0;
    const HALF_LUNAR_DAY_S: f64 = 44_714.0;
    let transits = rows(moon, "upper_transit");
    let well_off = |transit: &Value| {
        [-HALF_LUNAR_DAY_S, 0.0, HALF_LUNAR_DAY_S]
            .map(|by_s| number(transit, "t_s") + by_s)
            .into_iter()
            .all(|at_s| at_s.abs().min((at_s - 86_400.0).abs()) > EDGE_S)
    };
    !transits.is_empty() && transits.iter().all(well_off)
}

fn compare_block(worst: &mut Worst, name: &'static str, bar: Bar, got: &Value, want: &Value) {
    for key in ["state", "label", "at_start", "grazing"] {
        assert_eq!(got[key], want[key], "{}: {name}: {key}", worst.id);
    }
    compare_events(worst, name, bar, got, want, "events");
}

fn compare_events(
    worst: &mut Worst,
    name: &'static str,
    bar: Bar,
    got: &Value,
    want: &Value,
    key: &str,
) {
    for (got, want) in pairs(got, want, key, &worst.id.clone()) {
        assert_eq!(got["kind"], want["kind"], "{}: {name}", worst.id);
        let rate = number(want, "rate_deg_per_min");
        let allowed = bar.seconds_at(rate);
        worst.note_of(name, number(got, "t_s") - number(want, "t_s"), allowed);

        let arcsec_deg = bar.arcsec / 3600.0;
        let height = number(want, "alt_geom_deg");
        let off = number(got, "alt_geom_deg") - height;
        worst.note("height of an event, °", off, arcsec_deg + LAST_DIGIT_DEG);
        // later the sky has turned on
        let bearing = turned(number(got, "az_deg"), number(want, "az_deg"));
        let off = bearing * height.to_radians().cos();
        let turned_deg = allowed * TURN_DEG + arcsec_deg + LAST_DIGIT_DEG;
        worst.note_of("bearing of an event, °", off, turned_deg);
        let off = number(got, "rate_deg_per_min") - rate;
        worst.note("rate of an event, °/min", off, 1e-4);

        for (key, name) in [("utc", "by UTC, s"), ("local", "by the site's clock, s")] {
            worst.note_of(name, apart_s(got, want, key), allowed + TENTH_S);
        }
        let offsets = [got, want].map(|event| *instant(event, "local").offset());
        assert_eq!(offsets[0], offsets[1], "{}: {name}: {got}", worst.id);
        assert_eq!(instant(got, "local"), instant(got, "utc"), "{}", worst.id);
    }
}

fn compare_windows(worst: &mut Worst, got: &Value, want: &Value) {
    let mut compare = |name, bar: Bar, got: &Value, want: &Value, key: &str| {
        for (got, want) in pairs(got, want, key, &worst.id.clone()) {
            for end in ["start_s", "end_s"] {
                worst.note(name, number(got, end) - number(want, end), bar.seconds);
            }
            for end in ["start_utc", "end_utc"] {
                let off = apart_s(got, want, end);
                worst.note_of("ends of windows by UTC, s", off, bar.seconds + TENTH_S);
            }
            let length = number(got, "end_s") - number(got, "start_s");
            let off = number(got, "minutes") * 60.0 - length;
            worst.note("length of a window against its ends, s", off, 1e-6);
        }
    };
    for key in ["dark", "dark_core_up"] {
        compare("ends of windows, s", SUN, got, want, key);
    }
    for key in ["dark_core_up_moon_down", "dark_moon_down"] {
        let name = "ends of windows without the Moon, s";
        compare(name, MOON, got, want, key);
    }
    let key = "dark_core_above_ridge_apparent";
    for (got, want) in pairs(got, want, key, "ridges") {
        assert_eq!(number(got, "alt_deg"), number(want, "alt_deg"));
        compare("ends of windows, s", SUN, got, want, "intervals");
    }
}

fn compare_instant(worst: &mut Worst, got: &Value, want: &Value) {
    for key in ["utc", "local"] {
        assert_eq!(instant(got, key), instant(want, key), "{}", worst.id);
    }
    let off = number(got, "t_s") - number(want, "t_s");
    worst.note("an instant asked for, s", off, TENTH_S);
    for (body, height, across, as_seen, arcsec) in [
        (
            "core",
            "core's height, ″",
            "core's bearing, ″",
            "core's height as it looks, ″",
            CORE.arcsec,
        ),
        (
            "sun",
            "Sun's height, ″",
            "Sun's bearing, ″",
            "Sun's height as it looks, ″",
            SUN_HEIGHT_ARCSEC,
        ),
        (
            "moon",
            "Moon's height, ″",
            "Moon's bearing, ″",
            "Moon's height as it looks, ″",
            MOON.arcsec,
        ),
    ] {
        let (got, want) = (&got[body], &want[body]);
        let true_deg = number(want, "alt_geom_deg");
        let off = number(got, "alt_geom_deg") - true_deg;
        worst.note(height, off * 3600.0, arcsec);
        let off = turned(number(got, "az_deg"), number(want, "az_deg"));
        let level = true_deg.to_radians().cos();
        worst.note(across, off * level * 3600.0, arcsec);
        let key = "alt_apparent_deg";
        assert_eq!(got[key].is_null(), want[key].is_null(), "{}", worst.id);
        if !want[key].is_null() {
            let off = number(got, key) - number(want, key);
            worst.note(as_seen, off * 3600.0, arcsec);
        }
    }
    for (key, name, scale, allowed) in [
        ("illuminated_fraction", "lit share", 1.0, 0.001),
        (
            "illuminated_fraction_topo",
            "lit share from the site",
            1.0,
            0.001,
        ),
        ("phase_angle_deg", "phase angle, °", 1.0, 0.02),
        (
            "phase_angle_topo_deg",
            "phase angle from the site, °",
            1.0,
            0.02,
        ),
        ("distance_geo_km", "Moon's distance, km", 1.0, 60.0),
        (
            "distance_topo_km",
            "Moon's distance from the site, km",
            1.0,
            60.0,
        ),
        ("semidiameter_topo_deg", "Moon's radius, ″", 3600.0, 0.3),
        (
            "separation_from_core_deg",
            "Moon from core, ″",
            3600.0,
            MOON.arcsec,
        ),
    ] {
        let off = number(&got["moon"], key) - number(&want["moon"], key);
        worst.note(name, off * scale, allowed);
    }
    let key = "elongation_longitude_deg";
    let off = turned(number(&got["moon"], key), number(&want["moon"], key));
    worst.note("Moon from Sun in longitude, ″", off * 3600.0, 15.0);
    for key in ["gmst_h", "gast_h", "last_h"] {
        let hours = number(&got["sidereal"], key) - number(&want["sidereal"], key);
        let off = turned(0.0, hours * 15.0) / 15.0;
        worst.note("sidereal time, s", off * 3600.0, 0.01);
    }
}

/// With UTC taken for UT1 star events are late by UT1 − UTC, and by nothing else.
#[test]
fn utc_taken_for_ut1_makes_star_events_late_by_their_difference() {
    let mut compared = 0;
    for case in cases() {
        let dut1_s = number(&case["time"], "dut1_s");
        let answer = asked(&case, false);
        let (got, want) = (&answer["core"]["geometric"], &case["core"]["geometric"]);
        for (got, want) in pairs(got, want, "events", "without UT1") {
            let late = number(got, "t_s") - number(want, "t_s");
            let id = &case["id"];
            assert!((late - dut1_s).abs() < 0.015, "{id}: {late} s, {dut1_s}");
            compared += usize::from(dut1_s.abs() > 0.03);
        }
    }
    assert!(compared >= 20, "{compared} events with a difference to see");
}
