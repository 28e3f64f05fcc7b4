//! The phone's tilt and compass bearing, from its orientation sensor.
//!
//! Started only on a tap: some browsers require a permission that only a tap can request. The
//! angles are those of the W3C's Device Orientation Event Specification: rotations about the
//! vertical, then the short edge, then the long edge.

use std::cell::Cell;

use gloo_events::EventListener;
use js_sys::{Function, Promise, Reflect};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::{JsFuture, spawn_local};

/// Least time between two readings, ms: sensors report sixty times a second.
const MIN_INTERVAL_MS: f64 = 150.0;

/// The phone's orientation.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DeviceTilt {
    /// Altitude its long edge points to, degrees.
    pub height_deg: f64,
    /// Compass bearing it points to, degrees; `None` without a compass.
    pub compass_deg: Option<f64>,
}

/// The subscription; dropping it ends it.
pub struct TiltSensor {
    _listeners: [EventListener; 2],
}

/// Starts listening, and requests permission where that is needed. `failed` gets an error message
/// where there is no sensor.
pub fn listen(
    tilted: impl Fn(DeviceTilt) + Clone + 'static,
    failed: impl FnOnce(String) + 'static,
) -> Option<TiltSensor> {
    let window = web_sys::window()?;
    let kind = Reflect::get(&window, &"DeviceOrientationEvent".into()).ok()?;
    if kind.is_undefined() {
        failed("this browser does not tell how the phone is held; type the sighting".to_owned());
        return None;
    }
    let request_permission = Reflect::get(&kind, &"requestPermission".into()).ok();
    if let Some(request_permission) = request_permission
        .and_then(|request_permission| request_permission.dyn_into::<Function>().ok())
    {
        let promise = request_permission.call0(&kind).ok();
        let promise = promise.and_then(|it| it.dyn_into::<Promise>().ok());
        spawn_local(async move {
            let answer = match promise {
                Some(promise) => JsFuture::from(promise).await.ok(),
                None => None,
            };
            if answer.and_then(|answer| answer.as_string()).as_deref() != Some("granted") {
                let message = "the phone's sensor is not allowed for this page; type the sighting";
                failed(message.to_owned());
            }
        });
    }
    // the first event is absolute; the second is only relative on some phones
    let listeners = ["deviceorientationabsolute", "deviceorientation"].map(|kind| {
        let tilted = tilted.clone();
        let last_ms = Cell::new(f64::NEG_INFINITY);
        EventListener::new(&window, kind, move |event| {
            if event.time_stamp() - last_ms.get() < MIN_INTERVAL_MS {
                return;
            }
            last_ms.set(event.time_stamp());
            if let Some(tilt) = read(event, kind == "deviceorientationabsolute") {
                tilted(tilt);
            }
        })
    });
    Some(TiltSensor {
        _listeners: listeners,
    })
}

fn read(event: &JsValue, absolute: bool) -> Option<DeviceTilt> {
    let number = |key: &str| {
        let value = Reflect::get(event, &key.into()).ok()?.as_f64();
        value.filter(|value| value.is_finite())
    };
    let height_deg = number("beta")?.to_radians().sin().asin().to_degrees();
    let truly = absolute || Reflect::get(event, &"absolute".into()).ok()? == JsValue::TRUE;
    let by_turn = number("alpha").filter(|_| truly);
    let compass_deg =
        number("webkitCompassHeading").or_else(|| by_turn.map(|turn| (360.0 - turn) % 360.0));
    Some(DeviceTilt {
        height_deg,
        compass_deg,
    })
}
