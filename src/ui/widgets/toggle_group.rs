//! One out of a few: large buttons side by side or one above another.

use yew::prelude::*;

use crate::ui::state::action::Action;
use crate::ui::widgets::aria::aria_bool;
use crate::ui::widgets::dispatch::{Dispatch, on_click};

/// What a group shows and reports.
pub struct ToggleGroup<'a> {
    /// What is chosen, for a screen reader.
    pub name: &'static str,
    /// The word on each button, a smaller line under it, and what its tap reports.
    pub options: &'a [(&'a str, &'a str, Action)],
    /// Which one is in force, if one is.
    pub chosen: Option<usize>,
    /// Whether they stand one above another.
    pub tall: bool,
}

/// One out of a few.
pub fn toggle_group(group: &ToggleGroup<'_>, dispatch: &Dispatch) -> Html {
    buttons(
        group,
        if group.tall { "choice tall" } else { "choice" },
        dispatch,
    )
}

/// One out of several short words, as many in a line as there is room for.
pub fn chips(group: &ToggleGroup<'_>, dispatch: &Dispatch) -> Html {
    buttons(group, "choice chips", dispatch)
}

fn buttons(group: &ToggleGroup<'_>, class: &'static str, dispatch: &Dispatch) -> Html {
    let options = group.options.iter().enumerate();
    let button = |(place, (word, line, action)): (usize, &(&str, &str, Action))| {
        let chosen = group.chosen == Some(place);
        option(word, line, chosen, on_click(dispatch, action.clone()))
    };
    html! {
        <div {class} role="group" aria-label={group.name}>{ for options.map(button) }</div>
    }
}

/// One button of a choice.
pub fn option(word: &str, line: &str, chosen: bool, onclick: Callback<MouseEvent>) -> Html {
    html! {
        <button type="button" class="option" aria-pressed={aria_bool(chosen)} {onclick}>
            <span class="word">{ word }</span>
            if !line.is_empty() {
                <span class="line">{ line }</span>
            }
        </button>
    }
}
