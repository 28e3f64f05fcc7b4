//! Samples of sky, pixel for pixel.

use std::rc::Rc;

use wasm_bindgen::{Clamped, JsCast};
use web_sys::{CanvasRenderingContext2d, HtmlCanvasElement, ImageData};
use yew::prelude::*;

use crate::browser::theme::Theme;
use crate::light::sample_image::SIDE;

/// What a sample shows.
#[derive(Properties, PartialEq)]
pub struct SampleImageProps {
    /// What it is, for a screen reader.
    pub label: AttrValue,
    /// Brightness of each pixel, once it was drawn.
    pub pixels: Option<Rc<[u8]>>,
    /// In red, grey is shown as red.
    pub theme: Theme,
}

/// A sample of sky on a canvas.
#[function_component]
pub fn SampleImage(props: &SampleImageProps) -> Html {
    let canvas = use_node_ref();
    {
        let canvas = canvas.clone();
        use_effect_with(
            (props.pixels.clone(), props.theme),
            move |(pixels, theme)| {
                if let (Some(canvas), Some(pixels)) = (canvas.cast(), pixels) {
                    // a browser that draws nothing leaves the canvas empty, and the words beside it
                    let _ = paint(&canvas, pixels, *theme == Theme::Red);
                }
            },
        );
    }
    html! { <canvas ref={canvas} width="64" height="64" role="img" aria-label={&props.label} /> }
}

fn paint(canvas: &HtmlCanvasElement, pixels: &[u8], red: bool) -> Option<()> {
    let mut colours = Vec::with_capacity(4 * pixels.len());
    for pixel in pixels {
        let other = if red { 0 } else { *pixel };
        colours.extend_from_slice(&[*pixel, other, other, u8::MAX]);
    }
    let width = u32::try_from(SIDE).ok()?;
    let image = ImageData::new_with_u8_clamped_array(Clamped(&colours), width).ok()?;
    let context = canvas.get_context("2d").ok()??;
    let context: CanvasRenderingContext2d = context.dyn_into().ok()?;
    context.put_image_data(&image, 0.0, 0.0).ok()
}
