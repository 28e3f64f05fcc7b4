//! One out of a few: large buttons side by side or one above another.

use yew::prelude::*;

/// What a choice shows.
pub struct Choice<'a> {
    /// What is chosen, for a screen reader.
    pub name: &'static str,
    /// The words on the buttons, and a smaller line under each.
    pub options: &'a [(&'a str, &'a str)],
    /// Which one is in force, if one is.
    pub chosen: Option<usize>,
    /// Whether they stand one above another.
    pub tall: bool,
}

/// One out of a few; `onchoose` is told which was tapped.
pub fn choice(choice: &Choice<'_>, onchoose: &Callback<usize>) -> Html {
    let button = |(place, (word, line)): (usize, &(&str, &str))| {
        let onclick = onchoose.reform(move |_: MouseEvent| place);
        let chosen = choice.chosen == Some(place);
        html! {
            <button type="button" class="option" aria-pressed={chosen.to_string()} {onclick}>
                <span class="word">{ *word }</span>
                if !line.is_empty() {
                    <span class="line">{ *line }</span>
                }
            </button>
        }
    };
    html! {
        <div class={classes!("choice", choice.tall.then_some("tall"))} role="group" aria-label={choice.name}>
            { for choice.options.iter().enumerate().map(button) }
        </div>
    }
}
