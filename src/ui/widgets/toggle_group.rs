//! One out of a few: large buttons side by side or one above another.

use yew::prelude::*;

use crate::ui::state::action::Action;
use crate::ui::widgets::dispatch::{Dispatch, on_click};
use crate::ui::widgets::element::{Fixed, aria_bool, button, el_with, say};

/// What a choice shows and reports.
pub struct ToggleGroup<'a> {
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
pub fn toggle_group(choice: &ToggleGroup<'_>, dispatch: &Dispatch) -> Html {
    let mut buttons = Vec::with_capacity(choice.options.len());
    for (place, (word, line, action)) in choice.options.iter().enumerate() {
        let chosen = choice.chosen == Some(place);
        buttons.push(option(
            word,
            line,
            chosen,
            on_click(dispatch, action.clone()),
        ));
    }
    let class: &'static [Fixed] = if choice.tall {
        &[("class", "choice tall"), ("role", "group")]
    } else {
        &[("class", "choice"), ("role", "group")]
    };
    let name = vec![("aria-label", choice.name.to_owned())];
    el_with("div", class, name, buttons)
}

/// One button of a choice.
pub fn option(word: &str, line: &str, chosen: bool, tapped: Callback<MouseEvent>) -> Html {
    let mut words = vec![say("span", &[("class", "word")], word.to_owned())];
    if !line.is_empty() {
        words.push(say("span", &[("class", "line")], line.to_owned()));
    }
    let pressed = vec![("aria-pressed", aria_bool(chosen).to_owned())];
    button(&[("class", "option")], pressed, tapped, words)
}
