//! What the night is planned about: one of the subjects.

use yew::prelude::*;

use crate::sky::subject::Subject;
use crate::ui::state::document::night::NightEdit;
use crate::ui::text::subject::{capitalised, note};
use crate::ui::widgets::dispatch::{Dispatch, on_click};
use crate::ui::widgets::toggle_group::option;

/// A choice of subjects.
#[derive(Debug, Clone, PartialEq, Properties)]
pub struct SubjectChoiceProps {
    /// The one in force.
    pub chosen: Subject,
    /// The ones offered, with the line under each; where it is empty, what each is.
    #[prop_or_else(|| Subject::ALL.map(|subject| (subject, String::new())).into())]
    pub offered: Vec<(Subject, String)>,
    /// Receives [`NightEdit::Subject`].
    pub dispatch: Dispatch,
}

/// A labelled group of buttons, one a subject.
#[component(SubjectChoice)]
pub fn subject_choice(props: &SubjectChoiceProps) -> Html {
    let button = |(subject, line): &(Subject, String)| {
        let line = if line.is_empty() {
            note(*subject)
        } else {
            line
        };
        let onclick = on_click(&props.dispatch, NightEdit::Subject(*subject));
        option(
            &capitalised(*subject),
            line,
            props.chosen == *subject,
            onclick,
        )
    };
    html! {
        <div class="choice tall" role="group" aria-label="subject">
            { for props.offered.iter().map(button) }
        </div>
    }
}
