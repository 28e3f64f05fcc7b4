//! Sentences the page has to say, each until it is dismissed.

use yew::prelude::*;

use crate::ui::state::Notice;
use crate::ui::state::action::Action;
use crate::ui::widgets::dispatch::{Dispatch, on_click};
use crate::ui::widgets::element::{button, el, nothing, say, text};

/// All sentences, newest first.
pub fn notices(notices: &[Notice], dispatch: &Dispatch) -> Html {
    let tap_button = |word, action| {
        button(
            &[],
            Vec::new(),
            on_click(dispatch, action),
            vec![text(word)],
        )
    };
    let notice = |(place, notice): (usize, &Notice)| {
        let (sentence, first) = match notice {
            Notice::Said(sentence) => (sentence.clone(), nothing()),
            Notice::NewVersion => (
                "A new version is ready. Nothing you typed is lost.".to_owned(),
                tap_button("Use it now", Action::NewVersionTaken),
            ),
        };
        let parts = vec![
            say("p", &[], sentence),
            first,
            tap_button("Dismiss", Action::NoticeDismissed(place)),
        ];
        el("div", &[("class", "notice")], parts)
    };
    let notices = notices.iter().enumerate().map(notice).collect();
    el("div", &[("class", "notices"), ("role", "status")], notices)
}
