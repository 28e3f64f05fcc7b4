//! One out of many: the phone's own list.

use web_sys::HtmlSelectElement;
use yew::prelude::*;
use yew::virtual_dom::{VTag, VText};

use crate::ui::state::action::Action;
use crate::ui::widgets::dispatch::Dispatch;

/// What a list shows and reports.
pub struct Select {
    /// Identifies the list in the document.
    pub id: &'static str,
    /// Label.
    pub label: &'static str,
    /// The words, and what choosing each reports; `None` for a word that only
    /// names the present state.
    pub options: Vec<(String, Option<Action>)>,
    /// Which one is in force.
    pub chosen: usize,
}

/// One out of many.
pub fn select(select: Select, dispatch: &Dispatch) -> Html {
    let Select {
        id,
        label,
        options,
        chosen,
    } = select;
    let mut shown: Vec<Html> = Vec::with_capacity(options.len());
    let mut actions = Vec::with_capacity(options.len());
    for (place, (word, action)) in options.into_iter().enumerate() {
        // The property, since the attribute has no effect once somebody has chosen; `html!` has
        // no form for a boolean property.
        let mut option = VTag::new("option");
        option.add_property("selected", place == chosen);
        option.add_child(VText::new(word).into());
        shown.push(option.into());
        actions.push(action);
    }
    let dispatch = dispatch.clone();
    let onchange = Callback::from(move |event: Event| {
        let list = event.target_dyn_into::<HtmlSelectElement>();
        let place = list.and_then(|list| usize::try_from(list.selected_index()).ok());
        let action = place.and_then(|place| actions.get(place).cloned().flatten());
        if let Some(action) = action {
            dispatch.emit(action);
        }
    });
    html! {
        <div class="field">
            <label for={id}>{ label }</label>
            <select {id} {onchange}>{ for shown }</select>
        </div>
    }
}
