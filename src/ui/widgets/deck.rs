//! The row under the thumb: the screen's controls, the sheets, undo and redo, the questions.

use yew::prelude::*;

use crate::ui::state::action::Action;
use crate::ui::state::history::History;
use crate::ui::state::routes::{RouteAction, Screen, Sheet};
use crate::ui::widgets::dispatch::{Dispatch, on_click};

/// Sheets that every screen leads to: the button's id and word.
const SHEETS: [(&str, &str, Sheet); 4] = [
    ("open-kit", "Kit", Sheet::Kit),
    ("open-site", "Site", Sheet::Site),
    ("open-card", "Card", Sheet::FieldCard),
    ("open-display", "Display", Sheet::Display),
];

/// The screens by their questions: the button's id and word.
const QUESTIONS: [(&str, &str, Screen); 4] = [
    ("show-exposure", "How long?", Screen::Exposure),
    ("show-night", "When?", Screen::Night),
    ("show-framing", "Where?", Screen::Framing),
    ("show-tracking", "Why track?", Screen::Tracking),
];

/// The deck.
pub fn deck(controls: Html, screen: Screen, history: &History, dispatch: &Dispatch) -> Html {
    let sheet = |(id, word, sheet): (&'static str, &'static str, Sheet)| {
        let onclick = on_click(dispatch, RouteAction::Open(sheet));
        html! { <button {id} type="button" {onclick}>{ word }</button> }
    };
    let step = |id: &'static str, word: &'static str, action: Action, possible: bool| {
        let onclick = on_click(dispatch, action);
        html! { <button {id} type="button" disabled={!possible} {onclick}>{ word }</button> }
    };
    let question = |(id, word, question): (&'static str, &'static str, Screen)| {
        let onclick = on_click(dispatch, RouteAction::Show(question));
        let current = if question == screen { "page" } else { "false" };
        html! { <button {id} type="button" aria-current={current} {onclick}>{ word }</button> }
    };
    html! {
        <nav class="deck" aria-label="inputs, sheets and questions">
            { controls }
            <div class="doors">
                { for SHEETS.into_iter().map(sheet) }
                { step("undo", "Undo", Action::Undo, history.can_undo()) }
                { step("redo", "Redo", Action::Redo, history.can_redo()) }
            </div>
            <div class="questions">{ for QUESTIONS.into_iter().map(question) }</div>
        </nav>
    }
}
