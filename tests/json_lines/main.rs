//! The JSON-lines interface (`tests/answer`): every line gets an answer, or an error that names the
//! field it is about, and the interface's README is true.
#![cfg(not(target_arch = "wasm32"))]

#[path = "../answer/mod.rs"]
mod answer;
mod described;
mod invalid;
mod questions;

use questions::{KINDS, Kind, complete};
use serde_json::{Value, json};

/// The first keys of the paths an error may name.
const ERROR_FIELDS: [&str; 28] = [
    "sky",
    "pixel",
    "noise",
    "tracker",
    "frame",
    "tiles",
    "eye_m",
    "k",
    "site",
    "night",
    "time",
    "ridge_alt_deg",
    "ridge_line",
    "ridge_level_deg",
    "subject",
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

/// What is wrong with a reply, if anything: a reply has the question's id and either an answer, or
/// an error that names a field of the question.
fn fault(line: &str, answer: &Value) -> Option<String> {
    let question: Option<Value> = serde_json::from_str(line).ok();
    let id = question.as_ref().and_then(|question| question.get("id"));
    if answer["id"] != *id.unwrap_or(&Value::Null) {
        return Some(format!("the id is {}", answer["id"]));
    }
    let Some(error) = answer.get("error") else {
        let answered = [
            "points", "windows", "stars", "skyline", "sky", "pixel", "noise", "tracker",
        ]
        .iter()
        .any(|key| answer[*key].is_array() || answer[*key].is_object());
        return (!answered).then(|| "neither an answer nor an error".to_owned());
    };
    let (Some(error), Some(field)) = (error.as_str(), answer["field"].as_str()) else {
        return Some("an error without sentence or field".to_owned());
    };
    let named = ERROR_FIELDS.contains(&field.split('.').next().unwrap_or_default());
    let about_the_line = question.is_none_or(|question| !question.is_object());
    (named == about_the_line || error.len() < 5).then(|| format!("{field:?}: {error:?}"))
}

#[test]
fn complete_questions_are_answered() {
    for kind in KINDS {
        let line = complete(kind).to_string();
        let answer = answer::reply(&line);
        assert!(answer.get("error").is_none(), "{answer}");
        assert_eq!(fault(&line, &answer), None);
    }
}

/// A star behind the camera, or more than a right angle from the axis, has no place in the picture;
/// one off the sensor has.
#[test]
fn stars_behind_the_camera_have_no_place() {
    for projection in ["rectilinear", "stereographic", "equidistant", "equisolid"] {
        let mut question = complete(Kind::Stars);
        question["camera"]["projection"] = json!(projection);
        let star = question["stars"][0].clone();
        let in_front = answer::reply(&question.to_string())["stars"][0].clone();
        assert!(in_front["x_mm"].is_number(), "{in_front}");
        // the same star and its antipode, from a camera turned around
        question["pointing"] = json!({"az_deg": 350, "alt_deg": -25});
        question["stars"] = json!([star, {"ra_deg": 86.4, "dec_deg": 29.0}]);
        let answer = answer::reply(&question.to_string());
        let [behind, antipode] = [0, 1].map(|place| answer["stars"][place].clone());
        for key in ["x_mm", "y_mm", "x_px", "y_px"] {
            assert!(behind[key].is_null(), "{projection}: {behind}");
            assert!(antipode[key].is_number(), "{projection}: {antipode}");
        }
        assert_eq!(behind["az_deg"], in_front["az_deg"]);
    }
}

/// A pair within its limits is an error where the distorted radius stops increasing before the
/// corner: without k2, from k1 = −4/27 on. At the sensor's edge a star is where the polynomial puts
/// it.
#[test]
fn distortion_that_folds_the_picture_is_an_error() {
    let reply = |k1: Value, k2: Value| {
        let mut question = complete(Kind::Drift);
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
        let answer = reply(k1.clone(), k2.clone());
        assert_eq!(answer["field"].as_str(), field, "{k1} {k2}: {answer}");
    }
    // 20 mm: tan θ = r/20 and r (1 − 0.03 r²/468) = 18 at the right edge, where r = 18.399 28
    let mut question = complete(Kind::Drift);
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
