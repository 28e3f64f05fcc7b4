//! Shot windows of a year at four sites, against an independent library over a numerical ephemeris.
//!
//! The questions go through the JSON-lines interface (`tests/answer`). The reference, how it was
//! made and why the tolerance is what it is: `tests/reference/README.md`.
#![cfg(not(target_arch = "wasm32"))]

mod answer;

use serde_json::{Value, json};

const YEAR: &str = include_str!("reference/shot_windows.json");

/// Moon limits the reference has, by the interface's words for them, and how far an end of a window
/// may be off, s: what `tests/sky.rs` allows to Sun and core, and to the Moon.
const LIMITS: [(&str, f64); 2] = [("any", 2.0), ("none", 5.0)];

fn number(value: &Value, key: &str) -> f64 {
    let number = value[key].as_f64();
    number.unwrap_or_else(|| panic!("no number {key:?} in {value}"))
}

fn list<'a>(value: &'a Value, key: &str) -> &'a [Value] {
    let list = value[key].as_array();
    list.unwrap_or_else(|| panic!("no list {key:?} in {value}"))
}

fn word<'a>(value: &'a Value, key: &str) -> &'a str {
    let word = value[key].as_str();
    word.unwrap_or_else(|| panic!("no word {key:?} in {value}"))
}

fn question(site: &Value, night: &Value, limit: &str) -> Value {
    let (name, date) = (word(site, "name"), word(night, "date_lmt"));
    let mut question = json!({
        "id": format!("{name}, {date}, Moon {limit}"),
        "site": {
            "lat_deg": site["lat_deg"],
            "lon_deg": site["lon_deg"],
            "elev_m": site["elev_m"],
        },
        "night": {"date_lmt": date},
        "darkness_deg": site["darkness_deg"],
        "least_core_deg": site["least_core_deg"],
        "moon": limit,
    });
    if number(site, "ridge_level_deg") > 0.0 {
        question["ridge_level_deg"] = site["ridge_level_deg"].clone();
    }
    question
}

/// The farthest an end of the night's windows is off, s.
fn compare_night(answer: &Value, want: &[Value], tolerance_s: f64) -> f64 {
    let id = &answer["id"];
    assert!(answer.get("error").is_none(), "{answer}");
    let got = list(answer, "shot_windows");
    assert_eq!(got.len(), want.len(), "{id}: {got:?}, want {want:?}");
    assert_eq!(answer["no_window"].is_string(), want.is_empty(), "{id}");
    let mut worst_s = 0.0_f64;
    for (got, want) in got.iter().zip(want) {
        for (place, key) in ["start_s", "end_s"].into_iter().enumerate() {
            let want_s = want[place].as_f64().expect("a number of seconds");
            let off_s = number(got, key) - want_s;
            assert!(
                off_s.abs() <= tolerance_s,
                "{id}: {key} is {off_s} s off, want {want_s}"
            );
            worst_s = worst_s.max(off_s.abs());
        }
        let length_s = number(got, "end_s") - number(got, "start_s");
        let minutes = number(got, "minutes");
        assert!((minutes * 60.0 - length_s).abs() < 1e-6, "{id}: {got}");
    }
    worst_s
}

fn compare_year(name: &str) {
    let year: Value = serde_json::from_str(YEAR).expect("the reference is JSON");
    let sites = list(&year, "sites");
    let site = sites.iter().find(|site| word(site, "name") == name);
    let site = site.unwrap_or_else(|| panic!("no site {name:?}"));
    let nights = list(site, "nights");
    assert_eq!(nights.len(), 365, "{name}: nights in the reference");
    for (limit, tolerance_s) in LIMITS {
        let (mut with_windows, mut worst_s) = (0, 0.0_f64);
        for night in nights {
            // a stretch of about 300 s may be a window to one side and too short to the other
            assert!(night.get("near_limit").is_none(), "{name}: {night}");
            let want = list(night, limit);
            let answer = answer::reply(&question(site, night, limit).to_string());
            worst_s = worst_s.max(compare_night(&answer, want, tolerance_s));
            with_windows += usize::from(!want.is_empty());
        }
        assert_eq!(site["nights_with_windows"][limit], json!(with_windows));
        println!("{name}, Moon {limit}: {with_windows} nights, {worst_s:.2} s off at most");
    }
}

/// 36° N at 2100 m, dark below −18°, the core above 5°.
#[test]
fn windows_of_the_high_desert_in_the_north() {
    compare_year("high desert in the north");
}

/// 46.5° N at 2240 m, dark below −18°, the core above a ridge of 8° all round.
#[test]
fn windows_of_the_alpine_valley() {
    compare_year("alpine valley under a ridge");
}

/// 57° N at 300 m, dark below −12°, the core above the flat horizon.
#[test]
fn windows_of_the_hill_in_the_far_north() {
    compare_year("hill in the far north");
}

/// 23° S at 2400 m, dark below −15°, the core above 10°.
#[test]
fn windows_of_the_high_desert_in_the_south() {
    compare_year("high desert in the south");
}
