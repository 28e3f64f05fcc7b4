//! The horizon strip at the head of every screen: the user's own skyline with the core's path,
//! core and Moon over it; the site's name and the time stand on it.

use std::rc::Rc;

use yew::prelude::*;

use crate::angle::Angle;
use crate::browser::geolocation;
use crate::decimal::fixed;
use crate::outing::plan::site::Site;
use crate::ui::deferred;
use crate::ui::layout::Size;
use crate::ui::state::State;
use crate::ui::state::derived::Derived;
use crate::ui::state::derived::horizon::{Horizon, HorizonBodies, StripPlace};
use crate::ui::state::derived::selected_night::{SelectedNight, days_of};
use crate::ui::state::routes::{RouteAction, Screen, Sheet};
use crate::ui::state::site_sheet::SiteAction;
use crate::ui::text::night as words;
use crate::ui::widgets::bodies::{core_sign, moon_disc};
use crate::ui::widgets::dispatch::{Dispatch, on_click};
use crate::ui::widgets::sky_canvas::SkyCanvas;
use crate::ui::widgets::svg_path::SvgPath;

/// Height of the ground under the level horizon, px: the compass letters stand in it.
const GROUND_PX: f64 = 24.0;

/// Radius of the Moon, and half length of the core's sign, px.
const MOON_PX: f64 = 7.0;
const CORE_PX: f64 = 11.0;

/// Height of the words in the upper corners, px; the frame's sides are drawn below it.
const WORDS_PX: f64 = 50.0;

/// Letters of the compass each this many degrees.
const LETTERS_DEG: f64 = 45.0;

/// The strip; nothing where the layout has none.
pub fn horizon_strip(state: &State, derived: &Derived, dispatch: &Dispatch) -> Html {
    let Some(size) = state.layout.strip() else {
        return Html::default();
    };
    let (horizon, bodies) = derived.horizon(state);
    let selected = derived.night(state);
    let site = &state.outing().site;
    let to_frame = on_click(dispatch, RouteAction::Show(Screen::Framing));
    let sky_size = Size {
        height: size.height - GROUND_PX,
        ..size
    };
    let outline = derived.frame_outline(state, &horizon);
    // flat until the part of the program that pictures the sky is there
    let image = if state.deferred_loaded {
        deferred::strip_sky(derived, state, &horizon, sky_size)
    } else {
        Rc::default()
    };
    let label = format!("horizon: {}", words::core_now(&selected));
    html! {
        <header class="strip">
            <button id="strip" class="open" type="button" aria-label={label} onclick={to_frame}>
                <SkyCanvas {image} size={sky_size} theme={state.display.theme} />
                <StripGround horizon={horizon.clone()} {size} />
                { moving_drawing((&horizon, &outline), &bodies, size) }
            </button>
            { place_and_time(site, &selected, dispatch) }
        </header>
    }
}

fn place_and_time(site: &Site, selected: &SelectedNight, dispatch: &Dispatch) -> Html {
    let clock = words::time(selected.local(days_of(selected.minute)));
    let is_set = site.is_set();
    let name = match (is_set, site.name.as_str()) {
        (false, _) => words::no_site(site),
        (true, "") => words::coordinates(site),
        (true, name) => name.to_owned(),
    };
    let place = html! {
        <>
            <span class="name">{ name }</span>
            <span class="quiet">{ words::night_short(selected.night.date) }</span>
        </>
    };
    let to_site = on_click(dispatch, RouteAction::Open(Sheet::Site));
    let to_night = on_click(dispatch, RouteAction::Show(Screen::Night));
    html! {
        <>
            if is_set {
                <button id="strip-site" class="where" type="button" onclick={to_site}>
                    { place }
                </button>
            } else {
                <div class="where">{ place }</div>
            }
            <button id="strip-time" class="at" type="button" onclick={to_night}>
                <span class="clock">{ clock }</span>
                <span class="quiet">{ words::now_or_planned(selected) }</span>
            </button>
            if !is_set {
                <button id="use-location" class="unset" type="button" onclick={locate(dispatch)}>
                    { "Use my location" }
                </button>
            }
        </>
    }
}

/// Asks for the phone's place, with the sheet open that says what came of it.
fn locate(dispatch: &Dispatch) -> Callback<MouseEvent> {
    let dispatch = dispatch.clone();
    Callback::from(move |_| {
        dispatch.emit(RouteAction::Open(Sheet::Site).into());
        let dispatch = dispatch.clone();
        geolocation::request_position(move |found| {
            dispatch.emit(SiteAction::Located(found).into());
        });
    })
}

/// Maps degrees of the strip to px.
struct Scale {
    across_px: f64,
    up_px: f64,
    level_px: f64,
}

impl Scale {
    fn new(horizon: &Horizon, size: Size) -> Self {
        let level_px = size.height - GROUND_PX;
        Self {
            across_px: size.width / horizon.span_deg,
            up_px: level_px / horizon.top_deg,
            level_px,
        }
    }

    fn place(&self, (across_deg, altitude_deg): StripPlace) -> (f64, f64) {
        (
            across_deg * self.across_px,
            self.level_px - altitude_deg * self.up_px,
        )
    }

    fn line(&self, pieces: &[Vec<StripPlace>]) -> String {
        let mut path = SvgPath::default();
        for piece in pieces {
            path.polyline(piece.iter().map(|place| self.place(*place)));
        }
        path.finish()
    }
}

/// What stays while the minute changes.
#[derive(Properties)]
struct GroundProps {
    horizon: Rc<Horizon>,
    size: Size,
}

impl PartialEq for GroundProps {
    fn eq(&self, other: &Self) -> bool {
        Rc::ptr_eq(&self.horizon, &other.horizon) && self.size == other.size
    }
}

/// Land, skyline, the subject's path and the letters of the compass.
#[component(StripGround)]
fn strip_ground(props: &GroundProps) -> Html {
    let GroundProps { horizon, size } = props;
    let scale = Scale::new(horizon, *size);
    let skyline = || horizon.skyline.iter().map(|place| scale.place(*place));
    let mut land = SvgPath::default();
    land.polyline(skyline())
        .line_to((size.width, size.height))
        .line_to((0.0, size.height));
    let mut line = SvgPath::default();
    line.polyline(skyline());
    let path = scale.line(&horizon.path);
    let windows = scale.line(&horizon.windows);
    html! {
        <svg class="drawing" viewBox={size.view_box(0)} aria-hidden="true">
            <path class="land" d={land.finish()} />
            <path class="path" d={path} />
            <path class="path glow" d={windows.clone()} />
            <path class="path clear" d={windows} />
            <path class="skyline" d={line.finish()} />
            { letters(horizon, &scale, *size) }
        </svg>
    }
}

/// What moves with the minute and the camera: the frame with this outline is cut out of the
/// strip, core and Moon stand on it.
fn moving_drawing(
    (horizon, outline): (&Horizon, &[Vec<StripPlace>]),
    bodies: &HorizonBodies,
    size: Size,
) -> Html {
    let scale = Scale::new(horizon, size);
    let cut = scale.line(outline);
    // all the strip but the frame
    let mut beyond = SvgPath::default();
    if !outline.is_empty() {
        let (right, foot) = (size.width, size.height);
        beyond.polyline([(0.0, 0.0), (right, 0.0), (right, foot), (0.0, foot)]);
    }
    let beyond = beyond.finish() + &cut;
    let moon = bodies.moon.map_or_else(Html::default, |moon| {
        moon_disc(scale.place(moon.place), MOON_PX, moon.lit, moon.lit_towards)
    });
    let core = bodies.core.map_or_else(Html::default, |place| {
        core_sign(scale.place(place), bodies.along_band, CORE_PX)
    });
    html! {
        <svg class="drawing" viewBox={size.view_box(0)} aria-hidden="true">
            <clipPath id="strip-sides">
                <rect y={fixed(WORDS_PX, 0)} width={fixed(size.width, 0)} height={fixed((scale.level_px - WORDS_PX).max(0.0), 0)} />
            </clipPath>
            <path class="beyond" d={beyond} />
            <path class="cut" clip-path="url(#strip-sides)" d={cut} />
            <g>{ moon }</g>
            <g>{ core }</g>
        </svg>
    }
}

fn letters(horizon: &Horizon, scale: &Scale, size: Size) -> Html {
    let letter = |step: u32| {
        let bearing = Angle::from_degrees(f64::from(step) * LETTERS_DEG);
        let x = horizon.across(bearing) * scale.across_px;
        let inside = (12.0..=size.width - 12.0).contains(&x);
        inside.then(|| {
            let y = size.height - 6.0;
            html! {
                <text class="caption" x={fixed(x, 1)} y={fixed(y, 1)} text-anchor="middle">
                    { words::compass(bearing) }
                </text>
            }
        })
    };
    html! { <g>{ for (0..8).filter_map(letter) }</g> }
}
