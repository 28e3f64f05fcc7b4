//! A card with a title, and what unfolds in it.

use yew::prelude::*;

/// A card.
pub fn card(title: impl Into<AttrValue>, content: Html) -> Html {
    html! {
        <section class="card">
            <h2>{ title.into() }</h2>
            { content }
        </section>
    }
}

/// Content that unfolds under a summary.
pub fn details(summary: impl Into<AttrValue>, content: Html) -> Html {
    html! {
        <details>
            <summary>{ summary.into() }</summary>
            { content }
        </details>
    }
}

/// A paragraph for each text.
pub fn paragraphs(texts: impl IntoIterator<Item: Into<AttrValue>>) -> Html {
    let paragraph = |text| html! { <p>{ text }</p> };
    let texts = texts.into_iter().map(Into::<AttrValue>::into);
    texts.map(paragraph).collect()
}
