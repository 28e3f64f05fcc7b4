//! The frame itself, with its stars ringed and its strokes drawn longer.

use std::rc::Rc;

use web_sys::HtmlCanvasElement;
use yew::prelude::*;

use crate::browser::frame_file;
use crate::browser::theme::Theme;
use crate::decimal::fixed;
use crate::outing::test_frame::report::FrameReport;
use crate::ui::deferred;
use crate::ui::layout::Size;
use crate::ui::palette;
use crate::ui::state::derived::frame_drawing::FrameDrawing;
use crate::ui::text::test_frame as words;
use crate::ui::widgets::sky_canvas::pixels;

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
}

impl PartialEq for FramePictureProps {
    fn eq(&self, other: &Self) -> bool {
        Rc::ptr_eq(&self.report, &other.report)
            && self.shown == other.shown
            && self.theme == other.theme
            && self.room == other.room
    }
}

/// The picture. It is drawn on a canvas, where red is red alone, and needs no address of its own.
pub struct FramePicture {
    canvas: NodeRef,
}

impl Component for FramePicture {
    type Message = ();
    type Properties = FramePictureProps;

    fn create(_: &Context<Self>) -> Self {
        Self {
            canvas: NodeRef::default(),
        }
    }

    fn rendered(&mut self, context: &Context<Self>, _: bool) {
        let FramePictureProps { shown, theme, .. } = context.props();
        let tint = (*theme == Theme::Red).then(|| palette::star(Theme::Red));
        if let (Some(canvas), Some(shown)) = (self.canvas.cast::<HtmlCanvasElement>(), shown) {
            // where it cannot be drawn, its stars and strokes are
            let _ = frame_file::draw(shown, &canvas, tint);
        }
    }

    fn view(&self, context: &Context<Self>) -> Html {
        deferred::frame_picture(&self.canvas, context.props())
    }
}

/// The canvas, and what is drawn over it.
pub fn picture(canvas: &NodeRef, props: &FramePictureProps) -> Html {
    let FramePictureProps {
        report,
        shown,
        room,
        ..
    } = props;
    let drawing = FrameDrawing::new(report, *room);
    let Size { width, height } = drawing.size;
    let strokes = report.zones.iter().any(|zone| zone.predicted.is_some());
    html! {
        <figure class="frame-picture">
            <div class="stack">
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
                    viewBox={format!("0 0 {} {}", fixed(width, 1), fixed(height, 1))}
                    width={fixed(width, 1)}
                    height={fixed(height, 1)}
                >
                    <path class="border" d={drawing.border} />
                    <path class="rings" d={drawing.rings} />
                    <path class="under" d={drawing.measured.clone() + &drawing.predicted} />
                    <path class="predicted" d={drawing.predicted} />
                    <path class="measured" d={drawing.measured} />
                </svg>
            </div>
            <figcaption class="quiet">
                if strokes {
                    { words::longer(drawing.factor) }
                }
                if shown.is_none() {
                    <span>{ words::NOT_SHOWN }</span>
                }
            </figcaption>
        </figure>
    }
}
