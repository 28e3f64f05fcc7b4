//! The size of the window, and of the reader's text.

use gloo_events::EventListener;

/// The text size that browsers start with, px.
const USUAL_TEXT_PX: f64 = 16.0;

/// The window.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Viewport {
    /// Width, CSS px.
    pub width_px: f64,
    /// Height, CSS px.
    pub height_px: f64,
    /// Text size chosen in the browser over the usual one.
    pub text_scale: f64,
}

/// Usual phone held upright.
impl Default for Viewport {
    fn default() -> Self {
        Self {
            width_px: 360.0,
            height_px: 780.0,
            text_scale: 1.0,
        }
    }
}

/// The window as it is; the default where the browser does not tell.
pub fn read() -> Viewport {
    let usual = Viewport::default();
    let Some(window) = web_sys::window() else {
        return usual;
    };
    let length = |value: Result<wasm_bindgen::JsValue, _>| {
        let length = value.ok().and_then(|value| value.as_f64());
        length.filter(|length| length.is_finite() && *length > 0.0)
    };
    Viewport {
        width_px: length(window.inner_width()).unwrap_or(usual.width_px),
        height_px: length(window.inner_height()).unwrap_or(usual.height_px),
        text_scale: text_px(&window).unwrap_or(USUAL_TEXT_PX) / USUAL_TEXT_PX,
    }
}

/// Text size of the document's root, px.
fn text_px(window: &web_sys::Window) -> Option<f64> {
    let root = window.document()?.document_element()?;
    let style = window.get_computed_style(&root).ok()??;
    let size = style.get_property_value("font-size").ok()?;
    let size: f64 = size.strip_suffix("px")?.parse().ok()?;
    (size.is_finite() && size > 0.0).then_some(size)
}

/// Reports the window whenever its size changes; dropping the listener ends it.
pub fn listen(resized: impl Fn(Viewport) + 'static) -> Option<EventListener> {
    let window = web_sys::window()?;
    Some(EventListener::new(&window, "resize", move |_| {
        resized(read());
    }))
}
