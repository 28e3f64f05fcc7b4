//! The frame itself, with its stars ringed and its strokes drawn longer.

use std::rc::Rc;

use web_sys::{Element, HtmlCanvasElement};
use yew::prelude::*;

use crate::browser::frame_file;
use crate::browser::theme::Theme;
use crate::decimal::fixed;
use crate::outing::test_frame::border::Correction;
use crate::outing::test_frame::report::FrameReport;
use crate::ui::deferred;
use crate::ui::layout::Size;
use crate::ui::palette;
use crate::ui::state::derived::frame_drawing::FrameDrawing;
use crate::ui::text::test_frame as words;
use crate::ui::widgets::sky_canvas::{context_of, pixels};

/// A frame, and how it is shown.
#[derive(Properties)]
pub struct FramePictureProps {
    /// What was measured.
    pub report: Rc<FrameReport>,
    /// The picture, where the browser could decode it.
    pub shown: Option<HtmlCanvasElement>,
    /// The theme.
    pub theme: Theme,
    /// Room on the screen.
    pub room: Size,
    /// What was corrected of its border.
    pub correction: Rc<Correction>,
    /// Where a thumb that corrects it is reported: from where, and by how much, px of the picture;
    /// `None` where it scrolls.
    pub dragged: Option<Callback<(Pixels, Pixels)>>,
}

/// Px of the picture, to the right and down.
pub type Pixels = (f32, f32);

impl PartialEq for FramePictureProps {
    fn eq(&self, other: &Self) -> bool {
        Rc::ptr_eq(&self.report, &other.report)
            && self.shown == other.shown
            && self.theme == other.theme
            && self.room == other.room
            && self.correction == other.correction
            && self.dragged.is_some() == other.dragged.is_some()
    }
}

/// The picture. It is drawn on a canvas, where red is red alone, and needs no address of its own.
pub struct FramePicture {
    canvas: NodeRef,
    /// Where the thumb was last, px of the picture, while it is down.
    last: Option<Pixels>,
}

/// A thumb on it.
#[derive(Debug, Clone, Copy)]
pub enum Thumb {
    /// It went down.
    Down(Pixels),
    /// It moved.
    At(Pixels),
    /// It went up.
    Up,
}

impl Component for FramePicture {
    type Message = Thumb;
    type Properties = FramePictureProps;

    fn create(_: &Context<Self>) -> Self {
        Self {
            canvas: NodeRef::default(),
            last: None,
        }
    }

    fn update(&mut self, context: &Context<Self>, thumb: Thumb) -> bool {
        let at = match thumb {
            Thumb::At(at) => at,
            Thumb::Down(at) => {
                self.last = Some(at);
                return false;
            }
            Thumb::Up => {
                self.last = None;
                return false;
            }
        };
        if let (Some(from), Some(dragged)) = (self.last.replace(at), &context.props().dragged) {
            dragged.emit((from, (at.0 - from.0, at.1 - from.1)));
        }
        // the border follows from the state
        false
    }

    fn rendered(&mut self, context: &Context<Self>, _: bool) {
        let FramePictureProps { shown, theme, .. } = context.props();
        let tint = (*theme == Theme::Red).then(|| palette::star(Theme::Red));
        let Some(canvas) = self.canvas.cast::<HtmlCanvasElement>() else {
            return;
        };
        if let Some(context) = context_of(&canvas) {
            let (width, height) = (f64::from(canvas.width()), f64::from(canvas.height()));
            // the picture before may be there
            context.clear_rect(0.0, 0.0, width, height);
        }
        if let Some(shown) = shown {
            // where it cannot be drawn, its stars and strokes are
            let _ = frame_file::draw(shown, &canvas, tint);
        }
    }

    fn view(&self, context: &Context<Self>) -> Html {
        deferred::frame_picture(&self.canvas, context)
    }
}

/// A pointer on the drawing of a picture of this width.
fn thumb(event: &PointerEvent, width_px: u32, kind: fn(Pixels) -> Thumb) -> Option<Thumb> {
    // of two fingers one moves the border
    if !event.is_primary() {
        return None;
    }
    let target = event.target_dyn_into::<Element>()?;
    let drawing = target.closest(".drawing").ok()??;
    let place = drawing.get_bounding_client_rect();
    let scale = f64::from(width_px) / place.width().max(1.0);
    let at = |client: i32, start: f64| ((f64::from(client) - start) * scale) as f32;
    (event.buttons() != 0).then(|| {
        kind((
            at(event.client_x(), place.left()),
            at(event.client_y(), place.top()),
        ))
    })
}

/// The canvas, and what is drawn over it.
pub fn picture(canvas: &NodeRef, context: &Context<FramePicture>) -> Html {
    let props = context.props();
    let FramePictureProps {
        report,
        shown,
        room,
        correction,
        dragged,
        ..
    } = props;
    let drawing = FrameDrawing::new(report, correction, *room);
    let link = context.link();
    let width_px = report.size_px.0;
    let onpointerdown = link.batch_callback(move |event: PointerEvent| {
        if let Some(target) = event.target_dyn_into::<Element>() {
            // the thumb may leave the picture
            let _ = target.set_pointer_capture(event.pointer_id());
        }
        thumb(&event, width_px, Thumb::Down)
    });
    let onpointermove =
        link.batch_callback(move |event: PointerEvent| thumb(&event, width_px, Thumb::At));
    let up = link.callback(|_: PointerEvent| Thumb::Up);
    let Size { width, height } = drawing.size;
    let drawn = (
        !drawing.measured.is_empty(),
        !drawing.predicted.is_empty(),
        !drawing.knock.is_empty(),
    );
    html! {
        <figure class="frame-picture">
            <div class={classes!("stack", dragged.is_some().then_some("correcting"))}>
                <canvas
                    ref={canvas.clone()}
                    aria-hidden="true"
                    width={pixels(width).to_string()}
                    height={pixels(height).to_string()}
                />
                <svg
                    class="drawing"
                    role="img"
                    aria-label={words::picture(report)}
                    viewBox={drawing.size.view_box(1)}
                    width={fixed(width, 1)}
                    height={fixed(height, 1)}
                    {onpointerdown}
                    {onpointermove}
                    onpointerup={up.clone()}
                    onlostpointercapture={up}
                >
                    <path class="under thin" d={drawing.border.clone() + &drawing.rings} />
                    <path class="border" d={drawing.border} />
                    <path class="rings" d={drawing.rings} />
                    <path class="under" d={drawing.measured.clone() + &drawing.predicted + &drawing.knock} />
                    <path class="predicted" d={drawing.predicted} />
                    <path class="measured" d={drawing.measured} />
                    <path class="knock" d={drawing.knock} />
                </svg>
            </div>
            <figcaption class="quiet">
                { words::longer(drawing.factor, drawn) }
                if shown.is_none() {
                    <span>{ words::NOT_SHOWN }</span>
                }
            </figcaption>
        </figure>
    }
}
