//! The bar under the thumb, or the rail at a desk: the four questions, and the rest.

use yew::prelude::*;

use crate::ui::state::routes::{RouteAction, Screen};
use crate::ui::widgets::dispatch::{Dispatch, on_click};
use crate::ui::widgets::symbol::{Symbol, symbol};

/// The screens: the button's id, its word, its symbol.
const QUESTIONS: [(&str, &str, Symbol, Screen); 5] = [
    (
        "show-exposure",
        "How long?",
        Symbol::Trail,
        Screen::Exposure,
    ),
    ("show-night", "When?", Symbol::Bow, Screen::Night),
    ("show-framing", "Where?", Symbol::Frame, Screen::Framing),
    (
        "show-tracking",
        "Why track?",
        Symbol::Split,
        Screen::Tracking,
    ),
    ("show-more", "More", Symbol::Cairn, Screen::More),
];

/// The bar; a tap on the question shown is reported as well, and leads to its top.
pub fn question_bar(screen: Screen, to_top: &Callback<()>, dispatch: &Dispatch) -> Html {
    let question = |(id, word, sign, question): (&'static str, &'static str, Symbol, Screen)| {
        let shown = question == screen;
        let onclick = if shown {
            to_top.reform(|_: MouseEvent| ())
        } else {
            on_click(dispatch, RouteAction::Show(question))
        };
        let current = if shown { "page" } else { "false" };
        html! {
            <button {id} type="button" aria-current={current} {onclick}>
                { symbol(sign) }
                <span>{ word }</span>
            </button>
        }
    };
    html! {
        <nav class="questions" aria-label="questions">{ for QUESTIONS.map(question) }</nav>
    }
}
