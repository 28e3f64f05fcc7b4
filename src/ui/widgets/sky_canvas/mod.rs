//! A picture of the sky on a canvas: its tones, and the stars in them.

pub mod paint;

use std::f64::consts::TAU;
use std::rc::Rc;

use wasm_bindgen::{Clamped, JsCast};
use web_sys::{CanvasRenderingContext2d, Document, HtmlCanvasElement, ImageData};
use yew::prelude::*;

use crate::browser::theme::Theme;
use crate::outing::sky_picture::{PictureStar, SkyTones};
use crate::ui::deferred;
use crate::ui::layout::Size;
use crate::ui::palette::{self, Shading};

/// Most canvas pixels a CSS pixel: stars are sharp on dense screens, and a larger canvas is not
/// told apart.
const MAX_DENSITY: f64 = 2.0;

/// Radius of a star of magnitude 0, CSS px, and by how much a magnitude less widens it.
const STAR_PX: f64 = 1.9;
const STAR_STEP_PX: f64 = 0.3;
/// Radius of the faintest ones.
const LEAST_STAR_PX: f64 = 0.55;

/// In pictures whose shorter side is less than this, CSS px, stars are drawn smaller, down to a share.
const SMALL_PX: f64 = 100.0;
const LEAST_SHARE: f64 = 0.45;

/// A picture of the sky.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SkyImage {
    /// The tones.
    pub tones: SkyTones,
    /// The stars.
    pub stars: Vec<PictureStar>,
}

/// A picture and how it is shown.
#[derive(Properties)]
pub struct SkyCanvasProps {
    /// The picture.
    pub image: Rc<SkyImage>,
    /// Size on the screen.
    pub size: Size,
    /// The theme.
    pub theme: Theme,
}

impl PartialEq for SkyCanvasProps {
    fn eq(&self, other: &Self) -> bool {
        Rc::ptr_eq(&self.image, &other.image)
            && self.size == other.size
            && self.theme == other.theme
    }
}

/// The canvas. It is drawn anew when another picture is given, and not looked at by screen
/// readers: what it shows is told by the picture it is part of.
pub struct SkyCanvas {
    canvas: NodeRef,
    /// The tones, before they are enlarged: kept, since another canvas is dear.
    tones: Option<HtmlCanvasElement>,
}

impl Component for SkyCanvas {
    type Message = ();
    type Properties = SkyCanvasProps;

    fn create(_: &Context<Self>) -> Self {
        Self {
            canvas: NodeRef::default(),
            tones: None,
        }
    }

    fn rendered(&mut self, context: &Context<Self>, _: bool) {
        if let Some(canvas) = self.canvas.cast::<HtmlCanvasElement>() {
            // a canvas that cannot be drawn on stays empty; lines and words lie over it
            let _ = self.draw(&canvas, context.props());
        }
    }

    fn view(&self, context: &Context<Self>) -> Html {
        let Size { width, height } = context.props().size;
        html! {
            <canvas
                ref={self.canvas.clone()}
                class="sky"
                aria-hidden="true"
                width={pixels(width).to_string()}
                height={pixels(height).to_string()}
            />
        }
    }
}

fn density() -> f64 {
    let ratio = web_sys::window().map_or(1.0, |window| window.device_pixel_ratio());
    ratio.clamp(1.0, MAX_DENSITY)
}

/// Canvas pixels of a length, CSS px.
pub fn pixels(length_px: f64) -> u32 {
    (length_px * density()).round().max(1.0) as u32
}

/// What draws on a canvas.
pub fn context_of(canvas: &HtmlCanvasElement) -> Option<CanvasRenderingContext2d> {
    canvas.get_context("2d").ok()??.dyn_into().ok()
}

/// A canvas apart from the page.
pub fn canvas_apart(document: &Document) -> Option<HtmlCanvasElement> {
    document.create_element("canvas").ok()?.dyn_into().ok()
}

/// Paints tones on a canvas apart from the page, for a picture of this size on the screen. Image
/// data are not scaled when they are put on a canvas, a canvas is.
pub fn paint(
    canvas: &HtmlCanvasElement,
    tones: &SkyTones,
    look: (Theme, Shading),
    size: Size,
) -> Option<()> {
    let css = |length: f64| length.round().max(1.0) as usize;
    // there are no tones before the deferred part of the program is loaded
    if tones.values.is_empty() {
        return None;
    }
    let painted = deferred::painted(tones, look, (css(size.width), css(size.height)));
    let (width, height) = (painted.width as u32, painted.height as u32);
    let data = ImageData::new_with_u8_clamped_array(Clamped(&painted.rgba), width).ok()?;
    // a size that is set empties the canvas, also when it is the same
    if (canvas.width(), canvas.height()) != (width, height) {
        canvas.set_width(width);
        canvas.set_height(height);
    }
    context_of(canvas)?.put_image_data(&data, 0.0, 0.0).ok()
}

impl SkyCanvas {
    fn draw(&mut self, canvas: &HtmlCanvasElement, props: &SkyCanvasProps) -> Option<()> {
        let SkyCanvasProps { image, size, theme } = props;
        let look = (*theme, Shading::Sky);
        let tones = match self.tones.take() {
            Some(tones) => tones,
            None => canvas_apart(&canvas.owner_document()?)?,
        };
        let small = self.tones.insert(tones);
        paint(small, &image.tones, look, *size)?;
        let context = context_of(canvas)?;
        let (width, height) = (f64::from(canvas.width()), f64::from(canvas.height()));
        // dots and lines keep their edges, tones run into one another
        context.set_image_smoothing_enabled(*theme == Theme::Dusk);
        context
            .draw_image_with_html_canvas_element_and_dw_and_dh(small, 0.0, 0.0, width, height)
            .ok()?;
        context.set_fill_style_str(palette::star(*theme));
        let unit = width / size.width.max(1.0);
        // in a small picture as large ones would hide the Milky Way
        let smaller = (size.width.min(size.height) / SMALL_PX).clamp(LEAST_SHARE, 1.0);
        // one path for all: filling it is dearer than adding to it
        context.begin_path();
        for star in &image.stars {
            let radius =
                (STAR_PX - STAR_STEP_PX * f64::from(star.magnitude)).max(LEAST_STAR_PX) * smaller;
            let (x, y) = (f64::from(star.x) * width, f64::from(star.y) * height);
            context.move_to(x + radius * unit, y);
            context.arc(x, y, radius * unit, 0.0, TAU).ok()?;
        }
        context.fill();
        Some(())
    }
}
