//! One out of a few: large buttons side by side or one above another.

use yew::prelude::*;

use super::state::Action;
use super::tap::{Send, tap};

/// What a choice shows and reports.
pub struct Choice<'a> {
    /// What is chosen, for a screen reader.
    pub name: &'static str,
    /// The word on each button, a smaller line under it, and what its tap means.
    pub options: &'a [(&'a str, &'a str, Action)],
    /// Which one is in force, if one is.
    pub chosen: Option<usize>,
    /// Whether they stand one above another.
    pub tall: bool,
}

/// One out of a few.
pub fn choice(choice: &Choice<'_>, send: &Send) -> Html {
    let mut buttons = Vec::with_capacity(choice.options.len());
    for (place, (word, line, action)) in choice.options.iter().enumerate() {
        let chosen = choice.chosen == Some(place);
        buttons.push(option(word, line, chosen, tap(send, action.clone())));
    }
    html! {
        <div class={if choice.tall { "choice tall" } else { "choice" }} role="group" aria-label={choice.name}>
            { buttons }
        </div>
    }
}

/// One button of a choice.
pub fn option(word: &str, line: &str, chosen: bool, onclick: Callback<MouseEvent>) -> Html {
    html! {
        <button type="button" class="option" aria-pressed={said(chosen)} {onclick}>
            <span class="word">{ word.to_owned() }</span>
            if !line.is_empty() {
                <span class="line">{ line.to_owned() }</span>
            }
        </button>
    }
}

/// A yes or no as attributes want it.
pub const fn said(yes: bool) -> &'static str {
    if yes { "true" } else { "false" }
}
