//! Patches of sky, pixel for pixel.

use std::rc::Rc;

use wasm_bindgen::{Clamped, JsCast};
use web_sys::{CanvasRenderingContext2d, HtmlCanvasElement, ImageData};
use yew::prelude::*;

use crate::light::patch::SIDE;
use crate::ui::state::routes::Theme;
use crate::ui::widgets::element::el_with;

/// The place of a picture, which [`draw`] fills.
pub fn sample_images(label: String) -> Html {
    let about = vec![("aria-label", label)];
    let canvas: &[crate::ui::widgets::element::Fixed] =
        &[("width", "64"), ("height", "64"), ("role", "img")];
    el_with("canvas", canvas, about, Vec::new())
}

/// Draws pictures given as bytes into their places, as grey, or in red as red alone.
/// A browser that draws nothing leaves the places empty, and the words beside them.
pub fn draw(pictures: &[Rc<[u8]>], theme: Theme) {
    let document = web_sys::window().and_then(|window| window.document());
    let found = document.and_then(|document| document.query_selector_all(".way canvas").ok());
    let Some(places) = found else {
        return;
    };
    for (place, bytes) in (0..).zip(pictures) {
        let canvas = places.get(place).and_then(|canvas| canvas.dyn_into().ok());
        if let Some(canvas) = canvas {
            // see above
            let _ = drawn(&canvas, bytes, theme == Theme::Red);
        }
    }
}

/// Draws one.
fn drawn(canvas: &HtmlCanvasElement, bytes: &[u8], red: bool) -> Option<()> {
    let mut colours = Vec::with_capacity(4 * bytes.len());
    for byte in bytes {
        let other = if red { 0 } else { *byte };
        colours.extend_from_slice(&[*byte, other, other, u8::MAX]);
    }
    let width = u32::try_from(SIDE).ok()?;
    let picture = ImageData::new_with_u8_clamped_array(Clamped(&colours), width).ok()?;
    let context = canvas.get_context("2d").ok()??;
    let context: CanvasRenderingContext2d = context.dyn_into().ok()?;
    context.put_image_data(&picture, 0.0, 0.0).ok()
}
