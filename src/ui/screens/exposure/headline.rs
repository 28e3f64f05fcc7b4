//! The headline: all settings of the camera, the dial time the largest thing on the page.

use yew::prelude::*;

use crate::camera::dial::DialTime;
use crate::outing::exposure::Answer;
use crate::outing::night::local_time::Rounding;
use crate::outing::plan::{KeepSharp, Outing};
use crate::ui::screens::night::help::help;
use crate::ui::state::State;
use crate::ui::state::derived::Derived;
use crate::ui::state::derived::shot_plan::ShotPlan;
use crate::ui::text::exposure;
use crate::ui::text::night::time;
use crate::ui::text::units::f_stop;
use crate::ui::text::{field_card, windows};
use crate::ui::widgets::dispatch::Dispatch;

/// Marks so long are set smaller; longer ones still smaller.
const WIDE_MARK: usize = 2;
const WIDEST_MARK: usize = 4;

/// Ways to a window offered at the most.
const WAYS: usize = 2;

/// The settings; without a window greyed, the reason first.
pub fn headline(
    state: &State,
    derived: &Derived,
    (answer, plan): (&Answer, &ShotPlan),
    dispatch: &Dispatch,
) -> Html {
    let outing = state.outing();
    let (place, other, other_place) = places(outing, answer);
    let reason = reason(state, derived, dispatch);
    let class = classes!("shot", reason.is_some().then_some("greyed"));
    html! {
        <section {class} aria-labelledby="answer">
            { reason.unwrap_or_default() }
            <div class={classes!("settings", is_long(answer.dial()).then_some("long"))}>
                <p id="answer" class="main" aria-live="polite">
                    { figure(answer.dial(), true) }
                    <span class="fact quiet">{ place }</span>
                </p>
                <p class="other">
                    { figure(other, false) }
                    <span class="fact quiet">{ other_place }</span>
                </p>
                <p class="second">
                    <span>{ f_stop(outing.f_number) }</span>
                    <span>{ ["ISO\u{a0}", &field_card::iso(plan.iso)].concat() }</span>
                </p>
                <p class="fact frames">{ exposure::frames(&plan.series) }</p>
                { start(state, derived, plan) }
            </div>
        </section>
    }
}

/// What the dial time is for, and the other time of the pair: that of the whole frame, or where
/// the answer is for that, of the core.
fn places(outing: &Outing, answer: &Answer) -> (String, DialTime, String) {
    let subject = || match answer.target_at {
        Some(_) => exposure::target_short(answer.target).to_owned(),
        None => [exposure::target_short(answer.target), " out of frame"].concat(),
    };
    let keep = outing.keep_sharp;
    let place = match keep {
        KeepSharp::Core => subject(),
        _ => exposure::kept_sharp_short(keep, outing.subject),
    };
    match keep {
        KeepSharp::WholeFrame => (place, DialTime::new(answer.clean_core), subject()),
        _ => (
            place,
            DialTime::new(answer.clean_frame),
            "whole frame".to_owned(),
        ),
    }
}

/// Whether a time leaves no room for the other settings beside it.
fn is_long(time: DialTime) -> bool {
    exposure::dial(time).0.chars().count() > WIDE_MARK
}

fn figure(time: DialTime, large: bool) -> Html {
    let (mark, unit) = exposure::dial(time);
    let size = match mark.chars().count() {
        _ if !large => "",
        short if short < WIDE_MARK => "dial",
        wide if wide <= WIDEST_MARK => "dial wide",
        _ => "dial wordy",
    };
    html! { <span class={classes!("figure", size)}>{ mark }<small>{ unit }</small></span> }
}

/// Why the night has no window, and what would give one.
fn reason(state: &State, derived: &Derived, dispatch: &Dispatch) -> Option<Html> {
    let night = derived.night(state).night;
    let why = night.evening.usable.no_window_reason?;
    Some(html! {
        <>
            <p class="reason">{ windows::without(why, state.outing()) }</p>
            { help(state, derived, WAYS, dispatch) }
        </>
    })
}

/// When the frames are to be started; of no place there is no such time.
fn start(state: &State, derived: &Derived, plan: &ShotPlan) -> Html {
    if plan.window.is_none() || !state.outing().site.is_set() {
        return Html::default();
    }
    let word = match plan.start_by {
        Some(at) => {
            let start = derived.night(state).event(at, Rounding::Closing);
            ["start by\u{a0}", &time(start)].concat()
        }
        None => "longer than the window".to_owned(),
    };
    html! { <p class="fact start">{ word }</p> }
}
