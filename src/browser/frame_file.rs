//! Pictures that the browser decodes: to be shown, and for the worker where that cannot.

use js_sys::{Array, Reflect};
use wasm_bindgen::JsCast;
use wasm_bindgen_futures::{JsFuture, spawn_local};
use web_sys::{CanvasRenderingContext2d, File, HtmlCanvasElement, ImageBitmap};

/// Most pixels handed to the worker: what it measures in a few seconds.
const MOST_PIXELS: f64 = 24e6;

/// Longer side of a picture that is shown, px.
const SHOWN_PX: f64 = 1600.0;

const NOT_DECODED: &str = "this phone cannot open this picture; export it as JPEG";

/// A picture's pixels for the worker: red, green, blue and alpha of each, and its size.
pub struct Pixels {
    /// The pixels, as a file.
    pub file: File,
    /// Width and height, px.
    pub size: (u32, u32),
}

/// Decodes a file, in the size in which it is shown; `None` where the browser cannot.
pub fn shown(file: &File, done: impl FnOnce(Option<HtmlCanvasElement>) + 'static) {
    decode(file, move |bitmap| {
        done(bitmap.and_then(|bitmap| {
            let (width, height) = (f64::from(bitmap.width()), f64::from(bitmap.height()));
            canvas_of(&bitmap, (SHOWN_PX / width.max(height)).min(1.0))
        }));
    });
}

/// Decodes a file for the worker; or an error message.
pub fn pixels(file: &File, done: impl FnOnce(Result<Pixels, String>) + 'static) {
    decode(file, move |bitmap| {
        let pixels = bitmap.and_then(|bitmap| pixels_of(&bitmap));
        done(pixels.ok_or_else(|| NOT_DECODED.to_owned()));
    });
}

/// What draws on a canvas.
fn context_of(canvas: &HtmlCanvasElement) -> Option<CanvasRenderingContext2d> {
    canvas.get_context("2d").ok()??.dyn_into().ok()
}

/// Draws a picture over the whole of a canvas. `tint` leaves of its colours only this one.
pub fn draw(
    picture: &HtmlCanvasElement,
    canvas: &HtmlCanvasElement,
    tint: Option<&str>,
) -> Option<()> {
    let context = context_of(canvas)?;
    let (width, height) = (f64::from(canvas.width()), f64::from(canvas.height()));
    context.set_global_composite_operation("source-over").ok()?;
    context
        .draw_image_with_html_canvas_element_and_dw_and_dh(picture, 0.0, 0.0, width, height)
        .ok()?;
    if let Some(tint) = tint {
        context.set_global_composite_operation("multiply").ok()?;
        context.set_fill_style_str(tint);
        context.fill_rect(0.0, 0.0, width, height);
    }
    Some(())
}

fn decode(file: &File, done: impl FnOnce(Option<ImageBitmap>) + 'static) {
    let promise = web_sys::window().map(|window| window.create_image_bitmap_with_blob(file));
    let Some(Ok(promise)) = promise else {
        done(None);
        return;
    };
    spawn_local(async move {
        let bitmap = JsFuture::from(promise).await;
        done(bitmap.ok().and_then(|bitmap| bitmap.dyn_into().ok()));
    });
}

/// A bitmap on a canvas apart from the page, scaled; the bitmap's memory is given back.
fn canvas_of(bitmap: &ImageBitmap, scale: f64) -> Option<HtmlCanvasElement> {
    let document = web_sys::window()?.document()?;
    let canvas: HtmlCanvasElement = document.create_element("canvas").ok()?.dyn_into().ok()?;
    let scaled = |length: u32| (f64::from(length) * scale).floor().max(1.0);
    let (width, height) = (scaled(bitmap.width()), scaled(bitmap.height()));
    canvas.set_width(width as u32);
    canvas.set_height(height as u32);
    let drawn = context_of(&canvas)?
        .draw_image_with_image_bitmap_and_dw_and_dh(bitmap, 0.0, 0.0, width, height);
    bitmap.close();
    drawn.ok().map(|()| canvas)
}

fn pixels_of(bitmap: &ImageBitmap) -> Option<Pixels> {
    let count = f64::from(bitmap.width()) * f64::from(bitmap.height());
    let canvas = canvas_of(bitmap, (MOST_PIXELS / count).sqrt().min(1.0))?;
    let size = (canvas.width(), canvas.height());
    let data = context_of(&canvas)?
        .get_image_data(0.0, 0.0, f64::from(size.0), f64::from(size.1))
        .ok()?;
    // not copied into the program's memory, which would never shrink again
    let bytes = Reflect::get(&data, &"data".into()).ok()?;
    let file = File::new_with_u8_array_sequence(&Array::of1(&bytes), "pixels").ok()?;
    // the canvas's memory is given back at once
    canvas.set_width(0);
    Some(Pixels { file, size })
}
