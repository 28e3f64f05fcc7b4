//! One out of many: the phone's own list.

use std::rc::Rc;

use web_sys::HtmlSelectElement;
use yew::html::onchange;
use yew::prelude::*;
use yew::virtual_dom::VTag;

use crate::ui::state::action::Action;
use crate::ui::widgets::dispatch::Dispatch;
use crate::ui::widgets::element::{el, el_with, text};

/// What a list shows and reports.
pub struct Select {
    /// Identifies the list in the document.
    pub id: &'static str,
    /// Label.
    pub label: &'static str,
    /// The words, and what each means when chosen; nothing for a word that
    /// only says how things stand.
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
        let mut option = VTag::new("option");
        // the property, since the attribute means nothing once somebody has chosen
        option.add_property("selected", place == chosen);
        option.add_child(text(word));
        shown.push(option.into());
        actions.push(action);
    }
    let dispatch = dispatch.clone();
    let chosen_from_list = Callback::from(move |event: Event| {
        let list = event.target_dyn_into::<HtmlSelectElement>();
        let place = list.and_then(|list| usize::try_from(list.selected_index()).ok());
        let action = place.and_then(|place| actions.get(place).cloned().flatten());
        if let Some(action) = action {
            dispatch.emit(action);
        }
    });
    let mut list = VTag::new("select");
    list.add_attribute("id", id);
    list.add_listener(Rc::new(onchange::Wrapper::new(chosen_from_list)));
    list.add_children(shown);
    let label_for = vec![("for", id.to_owned())];
    let parts = vec![
        el_with("label", &[], label_for, vec![text(label)]),
        list.into(),
    ];
    el("div", &[("class", "field")], parts)
}
