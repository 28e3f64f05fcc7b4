//! The frame as a picture: what the sensor would hold, on the sky as it is at the minute looked
//! at.

use std::rc::Rc;

use yew::prelude::*;

use crate::decimal::fixed;
use crate::outing::framing::scene::Place;
use crate::ui::layout::{LayoutKind, Size};
use crate::ui::screens::framing::draggable::{DragTarget, Draggable};
use crate::ui::screens::framing::drawing::{FrameDrawing, haze, small_drawing};
use crate::ui::screens::framing::wide_view::WideView;
use crate::ui::state::State;
use crate::ui::state::derived::Derived;
use crate::ui::state::derived::scene::FramedScene;
use crate::ui::state::derived::sky_images::Grain;
use crate::ui::state::routes::Screen;
use crate::ui::text::framing as words;
use crate::ui::widgets::dispatch::Dispatch;
use crate::ui::widgets::labels::Rect;
use crate::ui::widgets::sky_canvas::{SkyCanvas, SkyImage};

/// What a headline takes of the picture's upper corners, px: aim and settings.
const AIM_PX: (f64, f64) = (236.0, 112.0);
const SETTINGS_PX: (f64, f64) = (116.0, 84.0);

/// What the keys take of its foot, px.
const KEYS_PX: f64 = 72.0;

/// The frame in the middle of a picture of this size, as large as it fits, with what lies beyond
/// it dimmed; a pointer drags the sky, arrow keys turn the camera.
pub fn frame_picture(state: &State, derived: &Derived, dispatch: &Dispatch, size: Size) -> Html {
    let (outing, selected, answer) = (state.outing(), derived.night(state), derived.answer(state));
    let wide = WideView::new(answer.view, size);
    let scene = derived.scene(state, wide.view);
    let drift_map = state
        .framing
        .drift_map
        .then(|| derived.drift_map(state, answer.shutter()));
    let drawing = FrameDrawing {
        wide: &wide,
        scene: &scene,
        selected: &selected,
        drift_map: drift_map.as_deref(),
        covered: covered(state, size),
    };
    let target = DragTarget {
        at: (selected.night.date, selected.minute),
        frame: outing.pointing().frame,
        across_deg: (wide.view.sensor.width_mm / wide.view.lens.focal_mm).to_degrees(),
    };
    let core = core_in_frame(&scene, &wide);
    html! {
        <div class="frame">
            <SkyCanvas
                image={derived.frame_sky(state, wide.view, size, Grain::Fine)}
                {size}
                theme={state.display.theme}
            />
            <Draggable
                label={words::view(outing, &selected, core)}
                {size}
                {target}
                dispatch={dispatch.clone()}
            >
                { haze() }
                { drawing.draw() }
            </Draggable>
        </div>
    }
}

/// The core's place in shares of the frame; `None` outside it.
pub fn core_in_frame(scene: &FramedScene, wide: &WideView) -> Option<Place> {
    wide.in_frame(scene.sky.core?)
}

/// What lies over the picture: on a phone headline and keys do.
fn covered(state: &State, Size { width, height }: Size) -> Vec<Rect> {
    if state.routes.screen != Screen::Framing || state.layout.has_column() {
        return Vec::new();
    }
    let corner = |x: f64, (width, height): (f64, f64)| Rect {
        x,
        y: 0.0,
        width,
        height,
    };
    let keys = Rect {
        x: 0.0,
        y: height - KEYS_PX,
        width,
        height: KEYS_PX,
    };
    vec![
        corner(0.0, AIM_PX),
        corner(width - SETTINGS_PX.0, SETTINGS_PX),
        keys,
    ]
}

/// A small picture of any frame: its land, path and bodies over its sky. `size` has the frame's
/// shape.
pub fn framed(
    scene: &FramedScene,
    image: Rc<SkyImage>,
    size: Size,
    state: &State,
    label: String,
) -> Html {
    let wide = WideView::new(scene.view, size);
    html! {
        <div class="frame small">
            <SkyCanvas {image} {size} theme={state.display.theme} />
            <svg
                class="framed"
                role="img"
                aria-label={label}
                viewBox={size.view_box(1)}
                width={fixed(size.width, 1)}
                height={fixed(size.height, 1)}
            >
                { haze() }
                { small_drawing(scene, &wide) }
            </svg>
        </div>
    }
}

/// Where frame and night stand beside or under one another: the room of each, px.
pub struct StageParts {
    /// Of the frame.
    pub frame: Size,
    /// Of the night; `None` where there is no room.
    pub night: Option<Size>,
}

/// Least share of a desk's stage that the night takes, and height of the night under a tablet's
/// frame, px.
const NIGHT_SHARE: f64 = 0.4;
const NIGHT_PX: f64 = 200.0;
const GAP_PX: f64 = 8.0;

/// How frame and night share the stage.
pub fn stage_parts(kind: LayoutKind, stage: Size, aspect_ratio: f64) -> StageParts {
    match kind {
        LayoutKind::Phone | LayoutKind::Side => StageParts {
            frame: stage,
            night: None,
        },
        LayoutKind::Tablet => {
            let fitted = stage.width / aspect_ratio;
            let height = fitted
                .max(stage.height / 2.0)
                .min(stage.height - NIGHT_PX - GAP_PX)
                .max(NIGHT_PX / 2.0);
            StageParts {
                frame: Size { height, ..stage },
                night: Some(Size {
                    height: stage.height - height - GAP_PX,
                    ..stage
                }),
            }
        }
        LayoutKind::Desk => {
            let most = stage.width * (1.0 - NIGHT_SHARE);
            let width = (stage.height * aspect_ratio).min(most);
            StageParts {
                frame: Size { width, ..stage },
                night: Some(Size {
                    width: stage.width - width - GAP_PX,
                    ..stage
                }),
            }
        }
    }
}
