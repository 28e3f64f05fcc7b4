//! The bar under the thumb, or the rail at a desk: the four questions, and the rest.

use yew::prelude::*;

use crate::ui::state::routes::{RouteAction, Screen};
use crate::ui::text::offline::NO_COPY;
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
///
/// More has a mark while there is no offline copy for a reason that can be read there.
pub fn question_bar(
    screen: Screen,
    marked: bool,
    to_top: &Callback<()>,
    dispatch: &Dispatch,
) -> Html {
    let question = |(id, word, sign, question): (&'static str, &'static str, Symbol, Screen)| {
        let shown = question == screen;
        let onclick = if shown {
            to_top.reform(|_: MouseEvent| ())
        } else {
            on_click(dispatch, RouteAction::Show(question))
        };
        let class = (marked && question == Screen::More).then_some("marked");
        let current = if shown { "page" } else { "false" };
        html! {
            <button {id} {class} type="button" aria-current={current} {onclick}>
                { symbol(sign) }
                <span>{ word }</span>
                if marked && question == Screen::More {
                    <span class="unseen">{ NO_COPY }</span>
                }
            </button>
        }
    };
    html! {
        <nav class="questions" aria-label="questions">{ for QUESTIONS.map(question) }</nav>
    }
}
