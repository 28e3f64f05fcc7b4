//! A patch of sky, pixel for pixel.

use std::rc::Rc;

use wasm_bindgen::{Clamped, JsCast};
use web_sys::{CanvasRenderingContext2d, HtmlCanvasElement, ImageData};
use yew::prelude::*;

use super::state::Look;
use crate::light::patch::SIDE;

/// A picture given as bytes, lit by the look; empty until there is one.
pub fn patch_view(bytes: Option<Rc<[u8]>>, look: Look, label: String) -> Html {
    html! { <PatchView {bytes} red={look == Look::Red} {label} /> }
}

#[derive(Properties, PartialEq)]
struct PatchProps {
    bytes: Option<Rc<[u8]>>,
    red: bool,
    label: String,
}

/// The canvas it is drawn on.
struct PatchView {
    canvas: NodeRef,
}

impl Component for PatchView {
    type Message = ();
    type Properties = PatchProps;

    fn create(_: &Context<Self>) -> Self {
        Self {
            canvas: NodeRef::default(),
        }
    }

    fn rendered(&mut self, context: &Context<Self>, _: bool) {
        let PatchProps { bytes, red, .. } = context.props();
        if let (Some(bytes), Some(canvas)) = (bytes, self.canvas.cast()) {
            // a browser that draws nothing leaves the place empty, and the words beside it
            let _ = drawn(&canvas, bytes, *red);
        }
    }

    fn view(&self, context: &Context<Self>) -> Html {
        let side = SIDE.to_string();
        html! {
            <canvas
                ref={self.canvas.clone()}
                width={side.clone()}
                height={side}
                role="img"
                aria-label={context.props().label.clone()}
            />
        }
    }
}

/// Draws the bytes as grey, or as red alone.
fn drawn(canvas: &HtmlCanvasElement, bytes: &[u8], red: bool) -> Option<()> {
    let colour = |byte: &u8| {
        let other = if red { 0 } else { *byte };
        [*byte, other, other, u8::MAX]
    };
    let colours: Vec<u8> = bytes.iter().flat_map(colour).collect();
    let width = u32::try_from(SIDE).ok()?;
    let picture = ImageData::new_with_u8_clamped_array(Clamped(&colours), width).ok()?;
    let context = canvas.get_context("2d").ok()??;
    let context: CanvasRenderingContext2d = context.dyn_into().ok()?;
    context.put_image_data(&picture, 0.0, 0.0).ok()
}
