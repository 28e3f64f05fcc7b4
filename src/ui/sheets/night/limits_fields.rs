//! What must hold for a shot window: darkness, the core's least height, the Moon.

use yew::prelude::*;

use crate::angle::Angle;
use crate::outing::plan::bounds::LEAST_CORE;
use crate::outing::plan::limits::{DarknessLimit, Limits, MoonLimit};
use crate::ui::state::document::night::NightEdit;
use crate::ui::text::windows;
use crate::ui::widgets::dispatch::Dispatch;
use crate::ui::widgets::stepper::{Stepper, stepper};
use crate::ui::widgets::toggle_group::{ToggleGroup, toggle_group};

/// Limits for the Moon in the order shown.
const MOONS: [MoonLimit; 3] = [MoonLimit::Any, MoonLimit::Harmless, MoonLimit::None];

/// Millionths of a degree in one.
const MILLIONTHS: f64 = 1e6;

/// Step of the least height, degrees.
const STEP_DEG: f64 = 1.0;

/// How dark it must be and how high the subject; `tall` where there is room for what each means.
pub fn darkness_and_height(limits: &Limits, tall: bool, dispatch: &Dispatch) -> Html {
    html! {
        <>
            <h3>{ "Darkness: Sun below horizon" }</h3>
            { darkness(limits.darkness, tall, dispatch) }
            <h3>{ "Least height" }</h3>
            { least_height(limits, dispatch) }
        </>
    }
}

fn darkness(chosen: DarknessLimit, tall: bool, dispatch: &Dispatch) -> Html {
    let options = DarknessLimit::ALL.map(|limit| {
        let (word, meaning) = windows::darkness_limit(limit);
        let meaning = if tall { meaning } else { "" };
        (word, meaning, NightEdit::Darkness(limit).into())
    });
    let group = ToggleGroup {
        name: "darkness limit",
        options: &options,
        chosen: DarknessLimit::ALL.iter().position(|limit| *limit == chosen),
        tall: false,
    };
    toggle_group(&group, dispatch)
}

/// How high the subject must stand at the least.
pub fn least_height(limits: &Limits, dispatch: &Dispatch) -> Html {
    let set_to = |degrees: f64| {
        let within = degrees.clamp(LEAST_CORE.least, LEAST_CORE.most);
        NightEdit::LeastHeight(Angle::from_degrees(within)).into()
    };
    // Degrees converted from radians differ from whole ones by a rounding error, which must not
    // turn a step into none.
    let least_deg = (limits.least_core.degrees() * MILLIONTHS).round() / MILLIONTHS;
    let least = Stepper {
        name: "least height",
        value: windows::least(limits),
        less: set_to((least_deg / STEP_DEG).ceil() * STEP_DEG - STEP_DEG),
        more: set_to((least_deg / STEP_DEG).floor() * STEP_DEG + STEP_DEG),
        caption: "least height",
        value_tapped: None,
    };
    stepper(least, dispatch)
}

/// How much Moon is put up with; `tall` where there is room for what each means.
pub fn moon_choice(limits: &Limits, tall: bool, dispatch: &Dispatch) -> Html {
    let words = MOONS.map(windows::moon_limit);
    let option = |place: usize| {
        let (word, meaning) = &words[place];
        let meaning = if tall { meaning.as_str() } else { "" };
        (*word, meaning, NightEdit::Moon(MOONS[place]).into())
    };
    let moons = ToggleGroup {
        name: "Moon put up with",
        options: &[option(0), option(1), option(2)],
        chosen: MOONS.iter().position(|limit| *limit == limits.moon),
        tall,
    };
    toggle_group(&moons, dispatch)
}
