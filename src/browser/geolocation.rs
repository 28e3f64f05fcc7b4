//! The phone's position. Requested only on a tap; it never leaves the phone.

use js_sys::{Function, Object, Reflect};
use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};

use crate::angle::Angle;
use crate::outing::gazetteer::parse::Coordinates;

/// Time limit for a fix, ms.
const TIMEOUT_MS: f64 = 20_000.0;

/// Requests the position and reports it, or an error message.
pub fn request_position(done: impl Fn(Result<Coordinates, String>) + Clone + 'static) {
    let missing = {
        let done = done.clone();
        move || {
            done(Err(
                "this browser does not tell where the phone is".to_owned()
            ))
        }
    };
    if start_request(done).is_none() {
        missing();
    }
}

fn start_request(done: impl Fn(Result<Coordinates, String>) + Clone + 'static) -> Option<()> {
    let navigator: JsValue = web_sys::window()?.navigator().into();
    let geolocation = Reflect::get(&navigator, &"geolocation".into()).ok()?;
    let get = Reflect::get(&geolocation, &"getCurrentPosition".into()).ok()?;
    let get: Function = get.dyn_into().ok()?;
    let found = {
        let done = done.clone();
        Closure::once_into_js(move |position: JsValue| {
            let read = read(&position);
            done(read.ok_or_else(|| "the phone gave a place that cannot be read".to_owned()));
        })
    };
    let failed = Closure::once_into_js(move |error: JsValue| done(Err(sentence(&error))));
    let options = Object::new();
    Reflect::set(&options, &"enableHighAccuracy".into(), &true.into()).ok()?;
    Reflect::set(&options, &"timeout".into(), &TIMEOUT_MS.into()).ok()?;
    get.call3(&geolocation, &found, &failed, &options).ok()?;
    Some(())
}

fn read(position: &JsValue) -> Option<Coordinates> {
    let coordinates = Reflect::get(position, &"coords".into()).ok()?;
    let number = |key: &str| {
        let value = Reflect::get(&coordinates, &key.into()).ok()?.as_f64();
        value.filter(|value| value.is_finite())
    };
    Some(Coordinates {
        latitude: Angle::from_degrees(number("latitude")?),
        longitude: Angle::from_degrees(number("longitude")?),
        height_m: number("altitude"),
    })
}

/// The error message for a code of the W3C's Geolocation API.
fn sentence(error: &JsValue) -> String {
    let code = Reflect::get(error, &"code".into())
        .ok()
        .and_then(|code| code.as_f64());
    let message = match code.map(|code| code as u8) {
        Some(1) => {
            "location is not allowed for this page; allow it in the browser, or type the place"
        }
        Some(3) => "the phone found no fix in 20 seconds; try under open sky, or type the place",
        _ => "the phone cannot tell where it is now; type the place",
    };
    message.to_owned()
}
