//! From a question's line to its answer.

use serde_json::{Value, json};

use super::field::{Field, FieldError};
use super::{drift, frame, night, noise, pixel, sky, skyline, stars, tracker};

/// The answer to a line, or an error that names the field it is about.
pub fn reply(line: &str) -> Value {
    let question = serde_json::from_str(line).map_err(|why| FieldError {
        field: String::new(),
        message: format!("not JSON: {why}"),
    });
    let id = match &question {
        Ok(Value::Object(fields)) => fields.get("id").cloned(),
        _ => None,
    };
    let answer = question.and_then(|question| answer(&question));
    let mut reply = answer.unwrap_or_else(|error| json!(error));
    reply["id"] = json!(id);
    reply
}

/// What a question is about follows from the fields it has.
fn answer(question: &Value) -> Result<Value, FieldError> {
    let root = Field::root(question);
    if !question.is_object() {
        return Err(root.error("a question must be an object"));
    }
    let has = |field: &str| question.get(field).is_some();
    if has("frame") {
        return Ok(json!(frame::answer(&root)?));
    }
    if has("tiles") {
        return Ok(json!(skyline::answer(&root)?));
    }
    if has("sky") {
        return Ok(json!({ "sky": sky::answer(&root.at("sky"))? }));
    }
    if has("pixel") {
        return Ok(json!({ "pixel": pixel::answer(&root.at("pixel"))? }));
    }
    if has("noise") {
        return Ok(json!({ "noise": noise::answer(&root.at("noise"))? }));
    }
    if has("tracker") {
        return Ok(json!({ "tracker": tracker::answer(&root.at("tracker"))? }));
    }
    match (has("camera"), has("night")) {
        (true, false) if has("stars") => Ok(json!(stars::answer(&root)?)),
        (true, false) => Ok(json!(drift::answer(&root)?)),
        (false, true) => Ok(json!(night::answer(&root)?)),
        (true, true) => {
            let field = root.at("night");
            Err(field.error("ask about a camera or a night, not both"))
        }
        (false, false) => Err(root.at("camera").error("ask with camera or with night")),
    }
}
