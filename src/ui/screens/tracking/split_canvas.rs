//! The patch of sky, one side as a tripod gives it, the other as a tracker does, each camera pixel
//! enlarged by the same whole number.

use std::rc::Rc;

use web_sys::HtmlCanvasElement;
use yew::prelude::*;

use crate::browser::theme::Theme;
use crate::light::sample_image::{HEIGHT, WIDTH};
use crate::outing::sky_picture::SkyTones;
use crate::ui::layout::Size;
use crate::ui::palette::Shading;
use crate::ui::widgets::sky_canvas::{canvas_apart, context_of, paint, pixels};

/// How many px wide a camera pixel is drawn in a picture of this size: as few as fill it.
pub fn enlargement(size: Size) -> f64 {
    let to_fill = (size.width / WIDTH as f64).max(size.height / HEIGHT as f64);
    to_fill.ceil().max(1.0)
}

/// The middle of a patch, as much as a picture of this size shows.
fn cropped(tones: &[u8], size: Size) -> SkyTones {
    let scale = enlargement(size);
    let fits = |length: f64, most: usize| ((length / scale).ceil() as usize).clamp(1, most);
    let (width, height) = (fits(size.width, WIDTH), fits(size.height, HEIGHT));
    let (left, top) = ((WIDTH - width) / 2, (HEIGHT - height) / 2);
    // row by row: byte by byte this took a quarter of the screen's first opening
    let mut values = Vec::with_capacity(width * height);
    for row in tones.chunks(WIDTH).skip(top).take(height) {
        values.extend_from_slice(row.get(left..left + width).unwrap_or_default());
    }
    SkyTones {
        width,
        height,
        values,
    }
}

/// What is shown.
#[derive(Properties)]
pub struct SplitCanvasProps {
    /// Tones of the patch left and right of the split; none before they are drawn.
    pub sides: Option<[Rc<[u8]>; 2]>,
    /// Where the picture is split, 0 to 1 from the left.
    pub split: f64,
    /// Size on the screen.
    pub size: Size,
    /// The theme.
    pub theme: Theme,
}

impl SplitCanvasProps {
    /// Whether both have the same pictures, split or not.
    fn same_sides(&self, other: &Self) -> bool {
        let same = match (&self.sides, &other.sides) {
            (Some(one), Some(other)) => one.iter().zip(other).all(|(a, b)| Rc::ptr_eq(a, b)),
            (one, other) => one.is_none() && other.is_none(),
        };
        same && self.size == other.size && self.theme == other.theme
    }
}

impl PartialEq for SplitCanvasProps {
    fn eq(&self, other: &Self) -> bool {
        self.same_sides(other) && self.split == other.split
    }
}

/// The canvas. Both sides are painted once and kept: moving the split only copies them.
pub struct SplitCanvas {
    canvas: NodeRef,
    painted: Option<[HtmlCanvasElement; 2]>,
}

impl Component for SplitCanvas {
    type Message = ();
    type Properties = SplitCanvasProps;

    fn create(_: &Context<Self>) -> Self {
        Self {
            canvas: NodeRef::default(),
            painted: None,
        }
    }

    fn changed(&mut self, context: &Context<Self>, before: &Self::Properties) -> bool {
        if !context.props().same_sides(before) {
            self.painted = None;
        }
        true
    }

    fn rendered(&mut self, context: &Context<Self>, _: bool) {
        // a canvas that cannot be drawn on stays empty; the words over it tell the same
        let _ = self.draw(context.props());
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

impl SplitCanvas {
    fn draw(&mut self, props: &SplitCanvasProps) -> Option<()> {
        let canvas = self.canvas.cast::<HtmlCanvasElement>()?;
        let context = context_of(&canvas)?;
        let (width, height) = (f64::from(canvas.width()), f64::from(canvas.height()));
        let Some([left, right]) = &props.sides else {
            context.clear_rect(0.0, 0.0, width, height);
            return None;
        };
        if self.painted.is_none() {
            let document = canvas.owner_document()?;
            let look = (props.theme, Shading::Pixels);
            let painted = |side: &[u8]| {
                let canvas = canvas_apart(&document)?;
                paint(&canvas, &cropped(side, props.size), look, props.size)?;
                Some(canvas)
            };
            self.painted = Some([painted(left)?, painted(right)?]);
        }
        let at = props.split * width;
        // pixels of the camera have edges
        context.set_image_smoothing_enabled(false);
        for (side, from, to) in [(0, 0.0, at), (1, at, width)] {
            let painted = &self.painted.as_ref()?[side];
            // what the last camera pixels have too many lies beyond the edge
            let scale = if props.theme == Theme::Red {
                width / f64::from(painted.width())
            } else {
                enlargement(props.size) * width / props.size.width
            };
            let shown = (to - from) / scale;
            if shown > 0.0 {
                context
                    .draw_image_with_html_canvas_element_and_sw_and_sh_and_dx_and_dy_and_dw_and_dh(
                        painted,
                        from / scale,
                        0.0,
                        shown,
                        height / scale,
                        from,
                        0.0,
                        to - from,
                        height,
                    )
                    .ok()?;
            }
        }
        Some(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A camera pixel is a whole number of px, and the patch fills every picture.
    #[test]
    fn the_patch_fills_every_picture() {
        let tones: Vec<u8> = (0..WIDTH * HEIGHT)
            .map(|place| (place % 251) as u8)
            .collect();
        for (width, height, want) in [
            (320.0, 140.0, 1.0),
            (360.0, 206.0, 1.0),
            (618.0, 240.0, 2.0),
            (1496.0, 560.0, 4.0),
        ] {
            let size = Size { width, height };
            let scale = enlargement(size);
            assert_eq!(scale, want, "{width}×{height}");
            let shown = cropped(&tones, size);
            assert!(shown.width as f64 * scale >= width, "{width}×{height}");
            assert!(shown.height as f64 * scale >= height, "{width}×{height}");
            assert_eq!(shown.values.len(), shown.width * shown.height);
            let (left, top) = ((WIDTH - shown.width) / 2, (HEIGHT - shown.height) / 2);
            assert_eq!(shown.values[0], tones[top * WIDTH + left]);
        }
    }
}
