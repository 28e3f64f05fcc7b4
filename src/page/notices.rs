//! Sentences the page has to say, each until it is dismissed.

use yew::prelude::*;

use super::state::{Action, Notice};
use super::tap::{Send, tap};

/// All sentences, newest first.
pub fn notices(notices: &[Notice], send: &Send) -> Html {
    let notice = |(place, notice): (usize, &Notice)| {
        let (sentence, button) = match notice {
            Notice::Said(sentence) => (sentence.clone(), html! {}),
            Notice::NewVersion => (
                "A new version is ready. Nothing you typed is lost.".to_owned(),
                html! {
                    <button type="button" onclick={tap(send, Action::NewVersionTaken)}>
                        { "Use it now" }
                    </button>
                },
            ),
        };
        html! {
            <div class="notice">
                <p>{ sentence }</p>
                { button }
                <button type="button" onclick={tap(send, Action::NoticeDismissed(place))}>
                    { "Dismiss" }
                </button>
            </div>
        }
    };
    html! {
        <div class="notices" role="status">{ for notices.iter().enumerate().map(notice) }</div>
    }
}
