//! A line asked, a line answered.

use serde_json::{Value, json};

use super::question::{Bad, bad};
use super::{drift, light, night, skyline, stars};

/// Answers one line. A question with `night` is about a night; one with `camera`
/// about stars in a picture if it has `stars`, about drift if not; one with
/// `tiles` about a skyline; one with `sky`, `pixel`, `noise` or `tracker` about light. An error
/// names the field it is about.
pub fn reply(line: &str) -> Value {
    let question: Value = match serde_json::from_str(line) {
        Ok(question) => question,
        Err(why) => return json!({"id": null, "field": "", "error": format!("not JSON: {why}")}),
    };
    let id = question.get("id").cloned().unwrap_or(Value::Null);
    match answered(&question) {
        Ok(mut answer) => {
            answer["id"] = id;
            answer
        }
        Err(Bad { field, message }) => json!({"id": id, "field": field, "error": message}),
    }
}

/// Questions about light, by the part they have.
type Answer = fn(&Value) -> Result<Value, Bad>;
const LIGHT: [(&str, Answer); 4] = [
    ("sky", light::sky),
    ("pixel", light::pixel),
    ("noise", light::noise),
    ("tracker", light::tracker),
];

fn answered(question: &Value) -> Result<Value, Bad> {
    if !question.is_object() {
        return Err(bad("", "a question must be an object"));
    }
    if question.get("tiles").is_some() {
        return skyline::answer(question);
    }
    for (about, answer) in LIGHT {
        if question.get(about).is_some() {
            return answer(question);
        }
    }
    match (question.get("camera"), question.get("night")) {
        (Some(_), None) if question.get("stars").is_some() => stars::answer(question),
        (Some(_), None) => drift::answer(question),
        (None, Some(_)) => night::answer(question),
        (Some(_), Some(_)) => Err(bad("night", "ask about a camera or a night, not both")),
        (None, None) => Err(bad("camera", "ask with camera or with night")),
    }
}
