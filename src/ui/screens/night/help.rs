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

/// A way to a window: what it is, how long a window it gives, and what a tap on it does.
pub struct Way {
    value: String,
    caption: String,
    action: Action,
}

impl Way {
    fn new(value: String, minutes: f64, action: impl Into<Action>) -> Self {
        Self {
            value,
            caption: night::length(minutes),
            action: action.into(),
        }
    }
}

/// The keys, so many at the most; none where nothing helps.
pub fn help(state: &State, derived: &Derived, most: usize, dispatch: &Dispatch) -> Html {
    let ways = ways(state, derived, most);
    let key = |way: Way| {
        html! {
            <button type="button" class="value-key" onclick={on_click(dispatch, way.action)}>
                <span class="step-word">{ way.value }</span>
                <span class="step-caption">{ way.caption }</span>
            </button>
        }
    };
    if ways.is_empty() {
        return Html::default();
    }
    html! { <div class="ways">{ for ways.into_iter().map(key) }</div> }
}

/// The ways, so many at the most; none for a night that has a window.
pub fn ways(state: &State, derived: &Derived, most: usize) -> Vec<Way> {
    let Some(help) = derived.no_window_help(state) else {
        return Vec::new();
    };
    let limits = state.outing().limits;
    let mut lighter = Vec::new();
    if let Some((darkness, minutes)) = help.darkness {
        let word = [windows::darkness_limit(darkness).0, " darkness"].concat();
        lighter.push(Way::new(word, minutes, NightEdit::Darkness(darkness)));
    }
    if let Some(minutes) = help.any_moon_min {
        let word = windows::moon_limit(MoonLimit::Any).0.to_owned();
        lighter.push(Way::new(word, minutes, NightEdit::Moon(MoonLimit::Any)));
    }
    // several limits together, where none of them is enough
    if lighter.is_empty()
        && let Some((easier, minutes)) = &help.easier_limits
        && easier.least_core != limits.least_core
        && easier.darkness == limits.darkness
        && easier.moon == limits.moon
    {
        let edit = NightEdit::LeastHeight(easier.least_core);
        lighter.push(Way::new(windows::least(easier), *minutes, edit));
    }
    let next = help.next.as_ref().map(|next| {
        let word = night::night_from(next.date, derived.tonight(state));
        Way::new(word, next.minutes, NightEdit::Date(next.date))
    });
    let subjects = derived.subjects_up(state);
    let subjects = subjects.iter().map(|up| {
        let edit = NightEdit::Subject(up.subject);
        Way::new(capitalised(up.subject), up.minutes(), edit)
    });
    of_each_kind(lighter, next, subjects.take(SUBJECTS).collect(), most)
}

/// So many ways at the most, of each kind one as far as there is room: what is left out is another
/// subject first, then another limit.
fn of_each_kind<T>(
    mut limits: Vec<T>,
    night: Option<T>,
    mut subjects: Vec<T>,
    most: usize,
) -> Vec<T> {
    let room = most.saturating_sub(usize::from(night.is_some()));
    subjects.truncate(room.saturating_sub(limits.len()).max(1));
    limits.truncate(room.saturating_sub(subjects.len()).max(1));
    let mut ways: Vec<T> = limits.into_iter().chain(night).chain(subjects).collect();
    ways.truncate(most);
    ways
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn of_each_kind_one_is_offered() {
        let all = |most| {
            let (limits, subjects) = (vec!["12°", "any Moon"], vec!["Scutum", "Cygnus"]);
            of_each_kind(limits, Some("next"), subjects, most)
        };
        assert_eq!(all(6), ["12°", "any Moon", "next", "Scutum", "Cygnus"]);
        assert_eq!(all(4), ["12°", "any Moon", "next", "Scutum"]);
        assert_eq!(all(3), ["12°", "next", "Scutum"]);
        assert_eq!(all(2), ["12°", "next"]);
        assert!(of_each_kind::<u8>(vec![], None, vec![], 3).is_empty());
        assert_eq!(of_each_kind(vec![1, 2, 3], None, vec![], 2), [1, 2]);
    }
}
