//! The drawing of the view through the lens as a control: a thumb drags the
//! sky, arrow keys turn the camera.

use chrono::NaiveDate;
use web_sys::{Element, KeyboardEvent, PointerEvent};
use yew::prelude::*;

use crate::camera::frame::Frame;
use crate::decimal::fixed;
use crate::ui::layout::Size;
use crate::ui::state::action::Action;
use crate::ui::state::document::framing::FramingEdit;
use crate::ui::state::views::FramingAction;
use crate::ui::widgets::dispatch::Dispatch;

/// What the drawing stands for.
#[derive(Clone, Copy, PartialEq)]
pub struct DragTarget {
    /// The night and minute it is drawn for.
    pub at: (NaiveDate, u16),
    /// Where the camera points.
    pub frame: Frame,
    /// Degrees of sky across the drawing, at its middle.
    pub across_deg: f64,
}

impl DragTarget {
    /// The camera turned by so many degrees to the right and up.
    pub fn turned(&self, right_deg: f64, up_deg: f64) -> Action {
        FramingEdit::Turn {
            at: self.at,
            right_deg,
            up_deg,
        }
        .into()
    }

    /// The camera after a pointer moved by so many pixels to the right and down on a drawing of
    /// this width: the sky moves with the pointer.
    fn dragged(&self, moved_px: (f64, f64), width_px: f64) -> Option<Action> {
        let px_deg = self.across_deg / width_px;
        let (right_deg, up_deg) = (-moved_px.0 * px_deg, moved_px.1 * px_deg);
        // near the zenith a turn moves the sky by little
        let level = self.frame.tilt.cos().max(0.1);
        // a drawing that is not laid out has no width, and its degrees a pixel are not finite
        let moved = (right_deg != 0.0 || up_deg != 0.0) && width_px > 0.0;
        moved.then(|| self.turned(right_deg / level, up_deg))
    }
}

#[derive(Properties, PartialEq)]
pub(super) struct DraggableProps {
    /// Describes the picture to a screen reader.
    pub label: AttrValue,
    /// Size on the screen.
    pub size: Size,
    pub target: DragTarget,
    pub dispatch: Dispatch,
    pub children: Html,
}

/// An `svg` that can be dragged.
pub(super) struct Draggable {
    /// Where the pointer was last, CSS pixels, while it is pressed.
    last: Option<(f64, f64)>,
    /// Whether the state was told that it is being dragged.
    dragging: bool,
}

/// What a pointer did on the drawing.
pub(super) enum Pointer {
    /// It went down or moved.
    Moved(PointerMoved),
    /// It went up, or something else took it.
    Released,
}

/// A pointer that went down or moved.
pub(super) struct PointerMoved {
    went_down: bool,
    pressed: bool,
    at: (f64, f64),
    /// Width of the drawing, CSS pixels.
    width_px: f64,
}

impl Component for Draggable {
    type Message = Pointer;
    type Properties = DraggableProps;

    fn create(_: &Context<Self>) -> Self {
        Self {
            last: None,
            dragging: false,
        }
    }

    fn update(&mut self, context: &Context<Self>, pointer: Pointer) -> bool {
        let DraggableProps {
            target, dispatch, ..
        } = context.props();
        let Pointer::Moved(pointer) = pointer else {
            self.last = None;
            if std::mem::take(&mut self.dragging) {
                dispatch.emit(FramingAction::Drag(false).into());
            }
            return false;
        };
        let at = pointer.at;
        let last = std::mem::replace(&mut self.last, pointer.pressed.then_some(at));
        if pointer.pressed
            && !pointer.went_down
            && let Some(last) = last
            && let Some(action) = target.dragged((at.0 - last.0, at.1 - last.1), pointer.width_px)
        {
            if !std::mem::replace(&mut self.dragging, true) {
                dispatch.emit(FramingAction::Drag(true).into());
            }
            dispatch.emit(action);
        }
        // the drawing follows from the state the action leads to
        false
    }

    fn view(&self, context: &Context<Self>) -> Html {
        let DraggableProps {
            label,
            size,
            target,
            dispatch,
            children,
            ..
        } = context.props();
        let link = context.link();
        let released = link.callback(|_: PointerEvent| Pointer::Released);
        let onkeydown = {
            let (target, dispatch) = (*target, dispatch.clone());
            Callback::from(move |event: KeyboardEvent| {
                if let Some((right_deg, up_deg)) = turn_of_key(&event) {
                    event.prevent_default();
                    dispatch.emit(target.turned(right_deg, up_deg));
                }
            })
        };
        html! {
            <svg
                id="frame"
                class="framed"
                role="application"
                aria-roledescription="view through the lens"
                tabindex="0"
                aria-label={label}
                viewBox={size.view_box(1)}
                width={fixed(size.width, 1)}
                height={fixed(size.height, 1)}
                onpointerdown={link.batch_callback(|event| pointer_moved(&event, true))}
                onpointermove={link.batch_callback(|event| pointer_moved(&event, false))}
                onpointerup={released.clone()}
                onlostpointercapture={released}
                {onkeydown}
            >
                { children.clone() }
            </svg>
        }
    }
}

fn pointer_moved(event: &PointerEvent, went_down: bool) -> Option<Pointer> {
    let target = event.target_dyn_into::<Element>()?;
    let drawing = target.closest(".framed").ok()??;
    if went_down {
        // a mouse that leaves the drawing goes on dragging, as a finger does without capture
        let _ = drawing.set_pointer_capture(event.pointer_id());
    }
    Some(Pointer::Moved(PointerMoved {
        went_down,
        pressed: event.buttons() != 0,
        at: (f64::from(event.client_x()), f64::from(event.client_y())),
        width_px: drawing.get_bounding_client_rect().width(),
    }))
}

/// Degrees to the right and up by which a key turns the camera: arrows by one, with the shift
/// key by ten.
fn turn_of_key(event: &KeyboardEvent) -> Option<(f64, f64)> {
    let by = if event.shift_key() { 10.0 } else { 1.0 };
    match event.key().as_str() {
        "ArrowLeft" => Some((-by, 0.0)),
        "ArrowRight" => Some((by, 0.0)),
        "ArrowUp" => Some((0.0, by)),
        "ArrowDown" => Some((0.0, -by)),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::angle::Angle;
    use crate::ui::state::document::Edit;

    fn target(tilt_deg: f64) -> DragTarget {
        DragTarget {
            at: (NaiveDate::default(), 300),
            frame: Frame {
                bearing: Angle::from_degrees(10.0),
                tilt: Angle::from_degrees(tilt_deg),
                roll: Angle::from_degrees(0.0),
            },
            across_deg: 60.0,
        }
    }

    /// Bearing and tilt after a drag by so many pixels on a drawing of 300, degrees.
    fn after(tilt_deg: f64, moved_px: (f64, f64)) -> Option<(f64, f64)> {
        let target = target(tilt_deg);
        match target.dragged(moved_px, 300.0)? {
            Action::Edit(Edit::Framing(FramingEdit::Turn {
                right_deg, up_deg, ..
            })) => {
                let frame = target.frame.turned(right_deg, up_deg);
                Some((frame.bearing.degrees(), frame.tilt.degrees()))
            }
            _ => None,
        }
    }

    #[test]
    fn the_sky_moves_with_the_pointer() {
        // 0.2° a pixel: the camera turns against the finger across, and rises as it moves down
        for (tilt_deg, moved_px, (bearing_deg, now_deg)) in [
            (0.0, (25.0, 0.0), (5.0, 0.0)),
            (0.0, (100.0, 0.0), (350.0, 0.0)),
            (0.0, (0.0, 50.0), (10.0, 10.0)),
            (60.0, (-50.0, 0.0), (30.0, 60.0)),
            (85.0, (0.0, 50.0), (10.0, 90.0)),
        ] {
            let got = after(tilt_deg, moved_px).expect("a turn");
            let close = (got.0 - bearing_deg).abs() < 1e-9 && (got.1 - now_deg).abs() < 1e-9;
            assert!(close, "{moved_px:?} at {tilt_deg}°: {got:?}");
        }
    }

    #[test]
    fn nothing_turns_without_a_move_or_a_width() {
        assert_eq!(after(20.0, (0.0, 0.0)), None);
        for moved_px in [(0.0, 0.0), (5.0, 5.0)] {
            assert!(
                target(20.0).dragged(moved_px, 0.0).is_none(),
                "{moved_px:?}"
            );
        }
    }
}
