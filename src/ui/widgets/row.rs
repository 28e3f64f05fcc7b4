//! Keys in a row.

use yew::prelude::*;

use crate::ui::state::action::Action;
use crate::ui::widgets::dispatch::{Dispatch, on_click};

/// A key with this id and word.
pub fn key(
    id: &'static str,
    word: &'static str,
    action: impl Into<Action>,
    dispatch: &Dispatch,
) -> Html {
    let onclick = on_click(dispatch, action);
    html! { <button {id} type="button" {onclick}>{ word }</button> }
}

/// A key with a value and a small word under it.
pub fn value_key(
    id: &'static str,
    (value, caption): (String, &'static str),
    action: impl Into<Action>,
    dispatch: &Dispatch,
) -> Html {
    let onclick = on_click(dispatch, action);
    html! {
        <button {id} type="button" class="value-key" {onclick}>
            <span class="step-word">{ value }</span>
            <span class="step-caption">{ caption }</span>
        </button>
    }
}

/// Keys side by side, each as wide as the others.
pub fn row(keys: impl IntoIterator<Item = Html>) -> Html {
    html! { <div class="row">{ for keys }</div> }
}
