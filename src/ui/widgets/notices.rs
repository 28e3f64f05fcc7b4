//! Sentences the page shows until they are dismissed.

use yew::prelude::*;

use crate::ui::state::Notice;
use crate::ui::state::action::Action;
use crate::ui::widgets::dispatch::{Dispatch, on_click};

/// All sentences, newest first.
pub fn notices(notices: &[Notice], dispatch: &Dispatch) -> Html {
    let notices = notices.iter().enumerate();
    html! {
        <div class="notices" role="status">
            { for notices.map(|(place, shown)| notice(place, shown, dispatch)) }
        </div>
    }
}

fn notice(place: usize, notice: &Notice, dispatch: &Dispatch) -> Html {
    let (sentence, remedy) = match notice {
        Notice::Said(sentence) => (sentence.clone(), Html::default()),
        Notice::NewVersion => (
            "A new version is ready. Nothing you typed is lost.".to_owned(),
            word_button("Use it now", Action::NewVersionTaken, dispatch),
        ),
    };
    html! {
        <div class="notice">
            <p>{ sentence }</p>
            { remedy }
            { word_button("Dismiss", Action::NoticeDismissed(place), dispatch) }
        </div>
    }
}

fn word_button(word: &'static str, action: Action, dispatch: &Dispatch) -> Html {
    html! { <button type="button" onclick={on_click(dispatch, action)}>{ word }</button> }
}
