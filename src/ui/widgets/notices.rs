//! Sentences the page has to say, above the screen.

use yew::prelude::*;

use crate::ui::state::action::Action;
use crate::ui::state::notices::{Notice, Notices, NoticesAction};
use crate::ui::widgets::dispatch::{Dispatch, on_click};

/// The sentences, newest first.
pub fn notices(notices: &Notices, dispatch: &Dispatch) -> Html {
    let button = |word: &'static str, action: Action| {
        let onclick = on_click(dispatch, action);
        html! { <button type="button" {onclick}>{ word }</button> }
    };
    let notice = |(place, notice): (usize, &Notice)| {
        let dismiss = NoticesAction::Dismiss(place).into();
        let (message, action) = match notice {
            Notice::NewVersion => (
                "A new version is ready. Nothing you typed is lost.".to_owned(),
                Some(("Use it now", NoticesAction::UseNewVersion.into())),
            ),
            Notice::OutingArrived { name, previous } => (
                ["An outing arrived: ", name].concat(),
                Some(("Back to yours", Action::ReturnTo(*previous))),
            ),
            Notice::Message(message) => (message.clone(), None),
        };
        // its name is all on the card
        let slim = matches!(notice, Notice::OutingArrived { .. }).then_some("slim");
        html! {
            <div class={classes!("notice", slim)}>
                <p>{ message }</p>
                { action.map(|(word, action)| button(word, action)) }
                { button("Dismiss", dismiss) }
            </div>
        }
    };
    let notices = notices.0.iter().enumerate().map(notice);
    html! { <div class="notices" role="status">{ for notices }</div> }
}
