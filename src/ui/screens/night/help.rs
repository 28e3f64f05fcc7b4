//! What would give a night without a window one: each a key.

use yew::prelude::*;

use crate::outing::plan::limits::MoonLimit;
use crate::ui::state::State;
use crate::ui::state::action::Action;
use crate::ui::state::derived::Derived;
use crate::ui::state::document::night::NightEdit;
use crate::ui::text::subject::capitalised;
use crate::ui::text::{night, windows};
use crate::ui::widgets::dispatch::{Dispatch, on_click};

/// Other subjects offered at the most.
const SUBJECTS: usize = 2;

/// The keys, so many at the most; none where nothing helps.
pub fn help(state: &State, derived: &Derived, most: usize, dispatch: &Dispatch) -> Html {
    let Some(help) = derived.no_window_help(state) else {
        return Html::default();
    };
    let limits = state.outing().limits;
    let mut ways: Vec<(String, String, Action)> = Vec::new();
    if let Some((darkness, minutes)) = help.darkness {
        let edit = NightEdit::Darkness(darkness).into();
        let word = windows::darkness_limit(darkness).0.to_owned();
        ways.push((word, night::length(minutes), edit));
    }
    if let Some(minutes) = help.any_moon_min {
        let word = windows::moon_limit(MoonLimit::Any).0.to_owned();
        let edit = NightEdit::Moon(MoonLimit::Any).into();
        ways.push((word, night::length(minutes), edit));
    }
    // several limits together, where none of them is enough
    if ways.is_empty()
        && let Some((easier, minutes)) = &help.easier_limits
        && easier.least_core != limits.least_core
        && easier.darkness == limits.darkness
        && easier.moon == limits.moon
    {
        let edit = NightEdit::LeastHeight(easier.least_core).into();
        ways.push((windows::least(easier), night::length(*minutes), edit));
    }
    if let Some(next) = &help.next {
        let edit = NightEdit::Date(next.date).into();
        ways.push((
            night::night_short(next.date),
            night::length(next.minutes),
            edit,
        ));
    }
    // where there is room for more than a limit and a night, another subject is among them
    let subjects = derived.subjects_up(state);
    if most > 2 && ways.len() >= most && !subjects.is_empty() {
        ways.drain(1..2 + ways.len() - most);
    }
    for up in subjects.iter().take(SUBJECTS) {
        let edit = NightEdit::Subject(up.subject).into();
        ways.push((capitalised(up.subject), night::length(up.minutes()), edit));
    }
    let key = |(value, caption, action): (String, String, Action)| {
        html! {
            <button type="button" class="value-key" onclick={on_click(dispatch, action)}>
                <span class="step-word">{ value }</span>
                <span class="step-caption">{ caption }</span>
            </button>
        }
    };
    html! { <div class="ways">{ for ways.into_iter().take(most).map(key) }</div> }
}
