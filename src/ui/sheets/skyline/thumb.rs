//! The strip as a control: a tap sets a sighting, a thumb or the arrow keys move it.

use web_sys::{Element, KeyboardEvent, PointerEvent};
use yew::prelude::*;

use super::Strip;
use crate::angle::Angle;
use crate::land::ridge::Sighting;
use crate::ui::layout::Size;
use crate::ui::state::skyline::{PullAction, SkylineAction};
use crate::ui::widgets::dispatch::Dispatch;

/// The thumb stands so far below the point it moves, px: what is moved stays in sight.
pub const THUMB_PX: f64 = 56.0;

/// A touch this near a sighting takes hold of it, px.
const NEAR_PX: f64 = 14.0;

/// A thumb that moves by less is at rest, px; a sighting keeps its bearing for a little more, since
/// heights are what is pulled most.
const REST_PX: f64 = 5.0;
const BEARING_REST_PX: f64 = 12.0;

/// Where bearings and heights are on the picture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scale {
    /// Bearing at the left edge, degrees.
    pub left_deg: f64,
    /// Px a degree of bearing.
    pub across_px: f64,
    /// Px a degree of height.
    pub up_px: f64,
    /// The level horizon from the upper edge, px.
    pub level_px: f64,
}

impl Scale {
    /// Degrees from the left edge and of height, as px.
    pub fn place(&self, (across_deg, height_deg): (f64, f64)) -> (f64, f64) {
        (
            across_deg * self.across_px,
            self.level_px - height_deg * self.up_px,
        )
    }

    /// A bearing, px from the left edge.
    pub fn x(&self, bearing: Angle) -> f64 {
        (bearing.degrees() - self.left_deg).rem_euclid(360.0) * self.across_px
    }
}

/// What the control is and shows.
#[derive(Properties, PartialEq)]
pub struct ThumbProps {
    pub size: Size,
    pub scale: Scale,
    pub strip: Strip,
    /// Height of the line at the bearing looked at.
    pub value: AttrValue,
    /// Height and bearing as a screen reader speaks them.
    pub spoken: AttrValue,
    pub drawn: Html,
    pub dispatch: Dispatch,
}

/// Where a pointer went down, and whether it has moved since, in height and in bearing.
struct Down {
    client: (f64, f64),
    moved: bool,
    turned: bool,
}

pub struct Thumb {
    down: Option<Down>,
}

pub enum ThumbMessage {
    Down(PointerEvent),
    Moved(f64, f64),
    Up,
}

impl Thumb {
    /// The action of a pointer that goes down.
    fn press(&mut self, event: &PointerEvent, props: &ThumbProps) -> Option<PullAction> {
        let target: Element = event.target_dyn_into()?;
        let drawing = target.closest("[role=slider]").ok()??;
        // a pointer that leaves the drawing goes on pulling
        let _ = drawing.set_pointer_capture(event.pointer_id());
        let bounds = drawing.get_bounding_client_rect();
        let client = (f64::from(event.client_x()), f64::from(event.client_y()));
        self.down = Some(Down {
            client,
            moved: false,
            turned: false,
        });
        // an arrow of a mouse hides nothing
        let lift_px = if event.pointer_type() == "mouse" {
            0.0
        } else {
            THUMB_PX
        };
        let Scale {
            left_deg,
            across_px,
            up_px,
            level_px,
        } = props.scale;
        let bearing_deg = left_deg + (client.0 - bounds.left()) / across_px;
        let height_deg = (level_px - (client.1 - bounds.top() - lift_px)) / up_px;
        let place = Sighting {
            bearing: Angle::from_degrees(bearing_deg.rem_euclid(360.0)),
            height: Angle::from_degrees(height_deg),
        };
        Some(PullAction::Press(place, NEAR_PX / across_px))
    }

    /// The action of a pointer that moved here.
    fn drag(&mut self, (x, y): (f64, f64), scale: Scale) -> Option<PullAction> {
        let down = self.down.as_mut()?;
        let (right_px, up_px) = (x - down.client.0, down.client.1 - y);
        down.moved |= right_px.hypot(up_px) > REST_PX;
        down.turned |= right_px.abs() > BEARING_REST_PX;
        let right_px = if down.turned { right_px } else { 0.0 };
        let drag = PullAction::Drag(right_px / scale.across_px, up_px / scale.up_px);
        down.moved.then_some(drag)
    }
}

impl Component for Thumb {
    type Message = ThumbMessage;
    type Properties = ThumbProps;

    fn create(_: &Context<Self>) -> Self {
        Self { down: None }
    }

    fn update(&mut self, context: &Context<Self>, message: ThumbMessage) -> bool {
        let props = context.props();
        let action = match message {
            ThumbMessage::Down(event) => self.press(&event, props),
            ThumbMessage::Moved(x, y) => self.drag((x, y), props.scale),
            ThumbMessage::Up => self.down.take().map(|_| PullAction::Release),
        };
        if let Some(action) = action {
            props.dispatch.emit(SkylineAction::Pull(action).into());
        }
        false
    }

    fn view(&self, context: &Context<Self>) -> Html {
        let ThumbProps {
            size,
            strip,
            value,
            spoken,
            drawn,
            dispatch,
            ..
        } = context.props();
        let link = context.link();
        let onpointerdown = link.callback(ThumbMessage::Down);
        let onpointermove = link.batch_callback(|event: PointerEvent| {
            let (x, y) = (f64::from(event.client_x()), f64::from(event.client_y()));
            (event.buttons() != 0).then_some(ThumbMessage::Moved(x, y))
        });
        let released = link.callback(|_: PointerEvent| ThumbMessage::Up);
        let onkeydown = {
            let (strip, dispatch) = (*strip, dispatch.clone());
            Callback::from(move |event: KeyboardEvent| {
                let action = match event.key().as_str() {
                    "ArrowLeft" => strip.turned(-1.0),
                    "ArrowRight" => strip.turned(1.0),
                    "ArrowUp" => strip.raised(1.0),
                    "ArrowDown" => strip.raised(-1.0),
                    "PageUp" => strip.raised(10.0),
                    "PageDown" => strip.raised(-10.0),
                    _ => return,
                };
                event.prevent_default();
                dispatch.emit(action.into());
            })
        };
        let (width, height) = (size.width.round(), size.height.round());
        html! {
            <svg
                id="skyline-strip"
                class="drawing"
                role="slider"
                tabindex="0"
                aria-label="height of the skyline"
                aria-orientation="vertical"
                aria-valuemin="-10"
                aria-valuemax="89"
                aria-valuenow={value.clone()}
                aria-valuetext={spoken.clone()}
                viewBox={size.view_box(0)}
                width={width.to_string()}
                height={height.to_string()}
                {onpointerdown}
                {onpointermove}
                onpointerup={released.clone()}
                onlostpointercapture={released}
                {onkeydown}
            >
                { drawn.clone() }
            </svg>
        }
    }
}
