//! Sentences the page has to say, each until it is dismissed.

use yew::prelude::*;

use super::state::{Action, Notice};
use crate::device::offline;

/// All sentences, newest first.
pub fn notices(notices: &[Notice], send: &Callback<Action>) -> Html {
    let notices = notices.iter().enumerate().map(|(place, notice)| {
        let dismiss = send.reform(move |_: MouseEvent| Action::NoticeDismissed(place));
        let (sentence, action) = match notice {
            Notice::Said(sentence) => (sentence.as_str(), html! {}),
            Notice::NewVersion => (
                "A new version is ready. Nothing you typed is lost.",
                html! {
                    <button type="button" onclick={|_: MouseEvent| offline::take_over()}>
                        { "Use it now" }
                    </button>
                },
            ),
        };
        html! {
            <div class="notice">
                <p>{ sentence }</p>
                { action }
                <button type="button" onclick={dismiss}>{ "Dismiss" }</button>
            </div>
        }
    });
    html! { <div class="notices" role="status">{ for notices }</div> }
}
