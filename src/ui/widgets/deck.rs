//! The row under the thumb: the screen's controls, the sheets, undo and redo, the questions.

use yew::prelude::*;

use crate::ui::state::action::Action;
use crate::ui::state::history::History;
use crate::ui::state::routes::{RouteAction, Screen, Sheet};
use crate::ui::widgets::dispatch::{Dispatch, on_click};

/// Sheets that every screen leads to.
const SHEETS: [(&str, Sheet); 4] = [
    ("Kit", Sheet::Kit),
    ("Site", Sheet::Site),
    ("Card", Sheet::FieldCard),
    ("Display", Sheet::Display),
];

/// The screens by their questions.
const QUESTIONS: [(&str, Screen); 4] = [
    ("How long?", Screen::Exposure),
    ("When?", Screen::Night),
    ("Where?", Screen::Framing),
    ("Why track?", Screen::Tracking),
];

/// The deck.
pub fn deck(controls: Html, screen: Screen, history: &History, dispatch: &Dispatch) -> Html {
    let sheet = |(word, sheet): (&'static str, Sheet)| {
        let onclick = on_click(dispatch, RouteAction::Open(sheet));
        html! { <button type="button" {onclick}>{ word }</button> }
    };
    let step = |word: &'static str, action: Action, possible: bool| {
        let onclick = on_click(dispatch, action);
        html! { <button type="button" disabled={!possible} {onclick}>{ word }</button> }
    };
    let question = |(word, question): (&'static str, Screen)| {
        let onclick = on_click(dispatch, RouteAction::Show(question));
        let current = if question == screen { "page" } else { "false" };
        html! { <button type="button" aria-current={current} {onclick}>{ word }</button> }
    };
    html! {
        <nav class="deck" aria-label="inputs, sheets and questions">
            { controls }
            <div class="doors">
                { for SHEETS.into_iter().map(sheet) }
                { step("Undo", Action::Undo, history.can_undo()) }
                { step("Redo", Action::Redo, history.can_redo()) }
            </div>
            <div class="questions">{ for QUESTIONS.into_iter().map(question) }</div>
        </nav>
    }
}
