//! What must hold for a shot window: darkness, the core's least height, the Moon.

use crate::ui::state::document::night::NightEdit;
use yew::prelude::*;

use crate::angle::Angle;
use crate::outing::plan::bounds::LEAST_CORE;
use crate::outing::plan::limits::{DarknessLimit, Limits, MoonLimit};
use crate::ui::text::windows;
use crate::ui::widgets::dispatch::Dispatch;
use crate::ui::widgets::element::{all, say};
use crate::ui::widgets::stepper::{Stepper, stepper};
use crate::ui::widgets::toggle_group::{ToggleGroup, toggle_group};

/// Limits for the Moon in the order shown.
const MOONS: [MoonLimit; 3] = [MoonLimit::Any, MoonLimit::Harmless, MoonLimit::None];

/// Millionths of a degree in one.
const MILLIONTHS: f64 = 1e6;

/// Step of the least height, degrees.
const STEP_DEG: f64 = 1.0;

/// How dark it must be and how high the core; `tall` where there is room for what each means.
pub fn darkness_and_height(limits: &Limits, tall: bool, dispatch: &Dispatch) -> Html {
    let darkness = DarknessLimit::ALL.map(|darkness| {
        let (word, means) = windows::darkness_limit(darkness);
        let means = if tall { means } else { "" };
        (word, means, NightEdit::Darkness(darkness).into())
    });
    let to = |degrees: f64| {
        let within = degrees.clamp(LEAST_CORE.least, LEAST_CORE.most);
        NightEdit::LeastHeight(Angle::from_degrees(within)).into()
    };
    // an angle's degrees are off by a rounding, which must not keep a step from being one
    let least_deg = (limits.least_core.degrees() * MILLIONTHS).round() / MILLIONTHS;
    let least = Stepper {
        name: "least height of the core",
        value: windows::least(limits),
        less: to((least_deg / STEP_DEG).ceil() * STEP_DEG - STEP_DEG),
        more: to((least_deg / STEP_DEG).floor() * STEP_DEG + STEP_DEG),
        value_tapped: None,
    };
    let place = DarknessLimit::ALL
        .iter()
        .position(|limit| *limit == limits.darkness);
    let darkness = ToggleGroup {
        name: "darkness limit",
        options: &darkness,
        chosen: place,
        tall: false,
    };
    all(vec![
        say("h3", &[], "Darkness: Sun below horizon"),
        toggle_group(&darkness, dispatch),
        say("h3", &[], "Least height of the core"),
        stepper(least, dispatch),
    ])
}

/// How much Moon is put up with; `tall` where there is room for what each means.
pub fn moon_choice(limits: &Limits, tall: bool, dispatch: &Dispatch) -> Html {
    let moon_words = MOONS.map(windows::moon_limit);
    let moon = |place: usize| {
        let (word, means) = &moon_words[place];
        let means = if tall { means.as_str() } else { "" };
        (*word, means, NightEdit::Moon(MOONS[place]).into())
    };
    let moons = ToggleGroup {
        name: "Moon put up with",
        options: &[moon(0), moon(1), moon(2)],
        chosen: MOONS.iter().position(|limit| *limit == limits.moon),
        tall,
    };
    toggle_group(&moons, dispatch)
}
