//! Sentences the page has to say, above the screen: one line with its keys, the newest; each that
//! is dismissed gives way to the one before.

use yew::prelude::*;

use crate::ui::state::action::Action;
use crate::ui::state::notices::{Notice, Notices, NoticesAction};
use crate::ui::widgets::dispatch::{Dispatch, on_click};

/// The newest sentence.
pub fn notices(notices: &Notices, dispatch: &Dispatch) -> Html {
    let button = |word: &'static str, action: Action| {
        let onclick = on_click(dispatch, action);
        html! { <button type="button" {onclick}>{ word }</button> }
    };
    let notice = |(place, notice): (usize, &Notice)| {
        let dismiss = NoticesAction::Dismiss(place).into();
        let mut class = "notice";
        let (message, action) = match notice {
            Notice::NewVersion => {
                // nobody asked for it
                class = "notice small";
                let action: Action = NoticesAction::UseNewVersion.into();
                ("New version".to_owned(), Some(("Use it now", action)))
            }
            Notice::OutingArrived { name, previous } => (
                ["An outing arrived: ", name].concat(),
                Some(("Back to yours", Action::ReturnTo(*previous))),
            ),
            Notice::Message(message) => (message.clone(), None),
        };
        // its name is all on the card
        let slim = matches!(notice, Notice::OutingArrived { .. }).then_some("slim");
        html! {
            <div class={classes!(class, slim)}>
                <p>{ message }</p>
                { action.map_or_else(Html::default, |(word, action)| button(word, action)) }
                { button("Dismiss", dismiss) }
            </div>
        }
    };
    // one at a time: together they would push the answer out of sight
    let newest = notices.0.iter().enumerate().take(1).map(notice);
    html! { <div class="notices" role="status">{ for newest }</div> }
}
