//! Ten thousand spoilt questions: the door for referees answers each, or names what is wrong with it.
#![cfg(not(target_arch = "wasm32"))]

mod answer;

use std::collections::BTreeSet;

use proptest::prelude::*;
use serde_json::{Value, json};

const LINES: u32 = 10_000;

/// What an error may be about: the first step of a field's path.
const FIELDS: [&str; 26] = [
    "sky",
    "pixel",
    "noise",
    "tracker",
    "tiles",
    "eye_m",
    "k",
    "site",
    "night",
    "time",
    "ridge_alt_deg",
    "ridge_line",
    "ridge_level_deg",
    "darkness_deg",
    "least_core_deg",
    "moon",
    "core",
    "instants",
    "camera",
    "pointing",
    "exposure_s",
    "points",
    "site_lat_deg",
    "stars",
    "utc",
    "refraction",
];

/// What a question can be about.
#[derive(Debug, Clone, Copy)]
enum Kind {
    Night,
    Drift,
    Stars,
    Sky,
    Pixel,
    Noise,
    Tracker,
    Skyline,
}

const KINDS: [Kind; 8] = [
    Kind::Night,
    Kind::Drift,
    Kind::Stars,
    Kind::Sky,
    Kind::Pixel,
    Kind::Noise,
    Kind::Tracker,
    Kind::Skyline,
];

/// Kinds that are spoilt a thousandfold; a skyline takes too long for that, and its tiles are spoilt
/// in a test of their own.
const QUICK: usize = 7;

/// A question of each kind with every field it can have.
fn whole(kind: Kind) -> Value {
    let camera = json!({"sensor_w_mm": 36, "sensor_h_mm": 24, "pixel_pitch_um": 5.95,
        "focal_mm": 20, "projection": "rectilinear", "k1": -0.03, "k2": 0.2});
    let pointing = json!({"az_deg": 170, "alt_deg": 25, "roll_deg": 3});
    let site = json!({"lat_deg": 46.52, "lon_deg": 8.4, "elev_m": 2000, "tz": "Europe/Zurich",
        "extinction": 0.2, "zenith_v": 21.4});
    match kind {
        Kind::Night => json!({
            "id": 7,
            "site": site,
            "night": {"date_lmt": "2026-06-14"},
            "time": {"dut1_s": -0.1},
            "ridge_alt_deg": [4.5],
            "ridge_line": [[150, 8.5], {"az_deg": 190, "alt_deg": 3}],
            "ridge_level_deg": 2,
            "darkness_deg": 15,
            "least_core_deg": 6,
            "moon": "any",
            "core": {"ridge": [{"alt_deg": 9}]},
            "instants": ["2026-06-14T23:10:00Z", {"utc": "2026-06-15T01:00:00+02:00"}],
        }),
        Kind::Sky => json!({
            "id": "moonlit",
            "sky": {"zenith_v": 21.6, "alt_deg": 25, "height_m": 1000, "extinction": 0.2,
                "sun_alt_deg": -16, "sun_separation_deg": 70,
                "moon": {"alt_deg": 30, "phase_angle_deg": 90, "separation_deg": 60,
                    "distance_km": 384400}},
        }),
        Kind::Pixel => json!({
            "id": "pixel",
            "pixel": {"surface_v": 21.5, "pitch_um": 6, "f_number": 2.8, "transmitted": 0.9,
                "quantum": 0.5, "exposure_s": 20, "iso": 3200},
        }),
        Kind::Noise => json!({
            "id": "stack",
            "noise": {"signal_e_s": 0.3, "sky_e_s": 1.5, "dark_e_s": 0.05, "read_noise_e": 2.5,
                "frames": 30, "each_s": 10, "excess": 0.1, "against_s": 120, "wanted": 4},
        }),
        Kind::Tracker => json!({
            "id": "tracker",
            "tracker": {"lat_deg": 40, "az_deg": 180, "alt_deg": 21, "azimuth_error_deg": 0.1,
                "altitude_error_deg": 0.1, "periodic_arcsec": 25, "period_s": 600,
                "rate": "full", "exposure_s": 60, "phase_deg": 0, "allowed_arcsec": 13,
                "share": 0.8},
        }),
        Kind::Skyline => json!({
            "id": "valley",
            "site": {"lat_deg": 36.58225, "lon_deg": -84.220333},
            "tiles": [concat!(env!("CARGO_MANIFEST_DIR"), "/tests/reference/ground.tif")],
            "eye_m": 400,
            "k": 0.13,
        }),
        Kind::Drift => json!({
            "id": "corner",
            "camera": camera,
            "pointing": pointing,
            "site_lat_deg": 46.5,
            "exposure_s": 20,
            "points": [{"name": "centre", "x_mm": 0, "y_mm": 0}],
        }),
        Kind::Stars => json!({
            "id": null,
            "site": site,
            "utc": "2026-06-14T23:10:00Z",
            "time": {"dut1_s": -0.1},
            "camera": camera,
            "pointing": pointing,
            "refraction": true,
            "stars": [{"name": "core", "ra_deg": 266.4168, "dec_deg": -29.0078}],
        }),
    }
}

/// Values nobody should put there.
fn odd() -> impl Strategy<Value = Value> {
    let numbers = prop_oneof![
        any::<f64>().prop_map(|number| json!(number)),
        any::<i64>().prop_map(|number| json!(number)),
        (-400.0..400.0).prop_map(|number| json!(number)),
        prop::sample::select(vec![
            0.0, -0.0, 1e-308, 1e308, -90.0, 90.0, 360.0, 1000.0, 86_400.0
        ])
        .prop_map(|number| json!(number)),
    ];
    let texts = prop::sample::select(vec![
        "",
        " ",
        "equisolid",
        "stereographic",
        "equidistant",
        "Europe/Nowhere",
        "America/St_Johns",
        "1950-01-01",
        "2100-12-31",
        "2101-01-01",
        "2026-02-30",
        "-0001-01-01",
        "+262142-12-31",
        "1950-01-01T00:00:00Z",
        "2100-12-31T23:59:60Z",
        "2026-06-14T23:10:00",
        "999999999999999999999",
        "NaN",
        "\u{0}\u{202e}🌌",
    ]);
    let plain = prop_oneof![
        4 => numbers,
        3 => texts.prop_map(|text| json!(text)),
        1 => any::<String>().prop_map(|text| json!(text)),
        1 => any::<bool>().prop_map(|truth| json!(truth)),
        1 => Just(Value::Null),
    ];
    plain.prop_recursive(3, 8, 3, |inner| {
        prop_oneof![
            prop::collection::vec(inner.clone(), 0..3).prop_map(Value::Array),
            prop::collection::hash_map("[a-z_]{0,8}", inner, 0..3).prop_map(|fields| json!(fields)),
        ]
    })
}

/// Something done to a question before or after it is written down.
#[derive(Debug, Clone)]
enum Spoil {
    Replace(usize, Value),
    Remove(usize),
    Cut(usize, usize),
    Insert(usize, String),
}

fn spoils() -> impl Strategy<Value = Vec<Spoil>> {
    let one = prop_oneof![
        6 => (any::<usize>(), odd()).prop_map(|(at, odd)| Spoil::Replace(at, odd)),
        1 => any::<usize>().prop_map(Spoil::Remove),
        1 => (any::<usize>(), 1..6_usize).prop_map(|(at, length)| Spoil::Cut(at, length)),
        1 => (any::<usize>(), "[-0-9eE.,:{}\\[\\]\"a-z]{1,4}")
            .prop_map(|(at, text)| Spoil::Insert(at, text)),
    ];
    prop::collection::vec(one, 1..4)
}

/// Paths of all that is in a value, itself first.
fn pointers(value: &Value, path: &str, found: &mut Vec<String>) {
    found.push(path.to_owned());
    match value {
        Value::Object(object) => {
            for (key, value) in object {
                pointers(value, &format!("{path}/{key}"), found);
            }
        }
        Value::Array(list) => {
            for (place, value) in list.iter().enumerate() {
                pointers(value, &format!("{path}/{place}"), found);
            }
        }
        _ => (),
    }
}

fn invalid(mut question: Value, spoils: &[Spoil]) -> String {
    let chosen = |question: &Value, at: usize| {
        let mut found = Vec::new();
        pointers(question, "", &mut found);
        found.swap_remove(at % found.len())
    };
    for spoil in spoils {
        match spoil {
            Spoil::Replace(at, odd) => {
                let path = chosen(&question, *at);
                if let Some(place) = question.pointer_mut(&path) {
                    *place = odd.clone();
                }
            }
            Spoil::Remove(at) => {
                let path = chosen(&question, *at);
                let (parent, key) = path.rsplit_once('/').unwrap_or_default();
                if let Some(Value::Object(object)) = question.pointer_mut(parent) {
                    object.remove(key);
                }
            }
            _ => (),
        }
    }
    let mut letters: Vec<char> = question.to_string().chars().collect();
    for spoil in spoils {
        let length = letters.len();
        match spoil {
            Spoil::Cut(at, many) => {
                let from = at % (length + 1);
                letters.drain(from..(from + many).min(length));
            }
            Spoil::Insert(at, text) => {
                let from = at % (length + 1);
                letters.splice(from..from, text.chars());
            }
            _ => (),
        }
    }
    letters.into_iter().collect()
}

/// What is wrong with an answer, if anything.
fn fault(line: &str, answer: &Value) -> Option<String> {
    let question: Option<Value> = serde_json::from_str(line).ok();
    let id = question.as_ref().and_then(|question| question.get("id"));
    if answer["id"] != *id.unwrap_or(&Value::Null) {
        return Some(format!("the id is {}", answer["id"]));
    }
    let Some(error) = answer.get("error") else {
        let message = [
            "points", "windows", "stars", "skyline", "sky", "pixel", "noise", "tracker",
        ]
        .iter()
        .any(|key| answer[*key].is_array() || answer[*key].is_object());
        return (!message).then(|| "neither an answer nor an error".to_owned());
    };
    let (Some(error), Some(field)) = (error.as_str(), answer["field"].as_str()) else {
        return Some("an error without words or field".to_owned());
    };
    let named = FIELDS.contains(&field.split('.').next().unwrap_or_default());
    let of_the_whole = question.is_none_or(|question| !question.is_object());
    (named == of_the_whole || error.len() < 5).then(|| format!("{field:?}: {error:?}"))
}

#[test]
fn whole_questions_are_answered() {
    for kind in KINDS {
        let line = whole(kind).to_string();
        let answer = answer::reply(&line);
        assert!(answer.get("error").is_none(), "{answer}");
        assert_eq!(fault(&line, &answer), None);
    }
}

/// Behind the camera, and more than a right angle from the axis, no lens has an image; off the sensor
/// a place is told.
#[test]
fn stars_beyond_the_lens_have_no_place() {
    for projection in ["rectilinear", "stereographic", "equidistant", "equisolid"] {
        let mut question = whole(Kind::Stars);
        question["camera"]["projection"] = json!(projection);
        let star = question["stars"][0].clone();
        let there = answer::reply(&question.to_string())["stars"][0].clone();
        assert!(there["x_mm"].is_number(), "{there}");
        // the same star from the other side
        question["pointing"] = json!({"az_deg": 350, "alt_deg": -25});
        question["stars"] = json!([star, {"ra_deg": 86.4, "dec_deg": 29.0}]);
        let answer = answer::reply(&question.to_string());
        let [behind, before] = [0, 1].map(|place| answer["stars"][place].clone());
        for key in ["x_mm", "y_mm", "x_px", "y_px"] {
            assert!(behind[key].is_null(), "{projection}: {behind}");
            assert!(before[key].is_number(), "{projection}: {before}");
        }
        assert_eq!(behind["az_deg"], there["az_deg"]);
    }
}

/// The keys an answer has at any depth.
fn keys(value: &Value, found: &mut BTreeSet<String>) {
    match value {
        Value::Object(object) => {
            for (key, value) in object {
                found.insert(key.clone());
                keys(value, found);
            }
        }
        Value::Array(list) => list.iter().for_each(|value| keys(value, found)),
        _ => (),
    }
}

/// What DEVELOPERS.md says of the door.
fn described() -> &'static str {
    let page = include_str!("../DEVELOPERS.md");
    let (_, section) = page
        .split_once("## A door for referees")
        .expect("a section");
    section.split("\n## ").next().unwrap_or_default()
}

/// The first number of a row's field as the question has it, or its list's only element.
fn place<'a>(question: &'a mut Value, path: &str) -> Option<&'a mut Value> {
    let place = question.pointer_mut(&format!("/{}", path.replace('.', "/")))?;
    let place = if place.is_array() {
        place.get_mut(0)?
    } else {
        place
    };
    place.is_number().then_some(place)
}

/// Every field with limits is answered at both of them, and refused by its name beyond.
#[test]
fn the_limits_are_as_described() {
    let mut tried = 0;
    for row in described().lines().filter(|line| line.starts_with("| `")) {
        let columns: Vec<_> = row.trim_matches('|').split(" | ").collect();
        let [fields, _, from, to] = columns[..] else {
            continue;
        };
        let limit = |text: &str| text.trim().replace('−', "-").replace(' ', "").parse().ok();
        let (Some(from), Some(to)) = (limit(from), limit(to)) else {
            continue;
        };
        for field in fields.split('`').skip(1).step_by(2) {
            for (value, within) in [
                (from, true),
                (to, true),
                (from - 0.01 * f64::abs(to), false),
                (to + 0.01 * f64::abs(to), false),
            ] {
                let asked = KINDS.into_iter().find_map(|kind| {
                    let mut question = whole(kind);
                    // dates have limits too, but are no numbers
                    *place(&mut question, field)? = json!(value);
                    Some(question)
                });
                let Some(question) = asked else {
                    continue;
                };
                let answer = answer::reply(&question.to_string());
                let error = answer.get("error").map(|_| answer["field"].clone());
                let named = error.as_ref().and_then(Value::as_str);
                let named = named.is_some_and(|named| named.starts_with(field));
                assert!(within == error.is_none(), "{field} at {value}: {error:?}");
                assert!(within || named, "{field} at {value}: {error:?}");
                tried += 1;
            }
        }
    }
    assert_eq!(tried, 4 * 61, "limits tried");
}

/// A pair within its limits is refused where the picture would fold back before the corner: with k2
/// left out, from k1 = −4/27 on. At the sensor's edge a star is where the polynomial puts it.
#[test]
fn distortion_is_taken_or_refused_by_name() {
    let asked = |k1: Value, k2: Value| {
        let mut question = whole(Kind::Drift);
        question["camera"]["k1"] = k1;
        question["camera"]["k2"] = k2;
        answer::reply(&question.to_string())
    };
    for (k1, k2, field) in [
        (json!(-0.03), json!(null), None),
        (json!(null), json!(0.5), None),
        (json!(-0.148), json!(0), None),
        (json!(-0.149), json!(0), Some("camera.k1")),
        (json!(0.5), json!(-0.5), Some("camera.k1")),
        (json!(0), json!(-0.51), Some("camera.k2")),
        (json!(0), json!(0.51), Some("camera.k2")),
        (json!("barrel"), json!(0), Some("camera.k1")),
    ] {
        let answer = asked(k1.clone(), k2.clone());
        assert_eq!(answer["field"].as_str(), field, "{k1} {k2}: {answer}");
    }
    // 20 mm: tan θ = r/20 and r (1 − 0.03 r²/468) = 18 at the right edge, where r = 18.399 28
    let mut question = whole(Kind::Drift);
    question["camera"]["k2"] = json!(0);
    question["points"] = json!([{"x_mm": 18, "y_mm": 0}]);
    let answer = answer::reply(&question.to_string());
    let theta_deg = answer["points"][0]["theta_deg"].as_f64();
    let want = (18.399_28_f64 / 20.0).atan().to_degrees();
    assert!(
        (theta_deg.expect("a number") - want).abs() < 1e-4,
        "{theta_deg:?}"
    );
}

/// The examples of DEVELOPERS.md are answered, and every field of the answers is described there.
#[test]
fn the_door_is_described_as_it_is() {
    let section = described();
    let lines = section.lines().filter_map(|line| line.strip_prefix("    "));
    let (errors, questions): (Vec<_>, Vec<_>) = lines.partition(|line| line.contains("\"error\""));
    assert_eq!(questions.len(), 8, "an example of each kind");
    let mut message = BTreeSet::new();
    for question in questions {
        let answer = answer::reply(question);
        assert!(answer.get("error").is_none(), "{question}: {answer}");
        keys(&answer, &mut message);
    }
    message.insert("outside_projection".to_owned());
    keys(&json!(KINDS.map(whole)), &mut message);
    assert!(message.len() > 60, "{message:?}");
    for key in message {
        let written = [format!("`{key}`"), format!("`{key}."), format!(".{key}`")];
        let named = written.iter().any(|written| section.contains(written));
        assert!(named, "{key} is not described");
    }
    let wrong = json!({"id": "b", "site": {"lat_deg": 91}, "night": {}});
    let described: Vec<Value> = errors
        .into_iter()
        .map(|line| serde_json::from_str(line).expect("JSON"))
        .collect();
    assert_eq!(described, [answer::reply(&wrong.to_string())]);
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: LINES,
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn spoilt_questions_get_an_answer_or_an_error(kind in prop::sample::select(&KINDS[..QUICK]), spoils in spoils()) {
        let line = invalid(whole(kind), &spoils);
        let answer = answer::reply(&line);
        prop_assert_eq!(fault(&line, &answer), None, "{}: {}", line, answer);
    }
}
