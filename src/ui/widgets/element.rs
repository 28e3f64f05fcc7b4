//! Elements of the document, built by plain functions.
//!
//! Views are written with `html!`; these functions remain for views that are
//! not converted yet.

use std::rc::Rc;

use yew::html::{onchange, onclick};
use yew::prelude::*;
use yew::virtual_dom::{VTag, VText};

pub use crate::ui::widgets::aria::aria_bool;

/// An attribute that never changes.
pub type Fixed = (&'static str, &'static str);

/// An attribute worked out while drawing.
pub type Changing = (&'static str, String);

/// An element with attributes that never change.
pub fn el(tag: &'static str, fixed: &'static [Fixed], children: Vec<Html>) -> Html {
    build(tag, fixed, Vec::new(), children).into()
}

/// An element with attributes of both kinds.
pub fn el_with(
    tag: &'static str,
    fixed: &'static [Fixed],
    changing: Vec<Changing>,
    children: Vec<Html>,
) -> Html {
    build(tag, fixed, changing, children).into()
}

/// A button.
pub fn button(
    fixed: &'static [Fixed],
    changing: Vec<Changing>,
    tapped: Callback<MouseEvent>,
    children: Vec<Html>,
) -> Html {
    let mut tag = build("button", fixed, changing, children);
    tag.add_attribute("type", "button");
    tag.add_listener(Rc::new(onclick::Wrapper::new(tapped)));
    tag.into()
}

/// A box that holds this text, where one is given, and reports when what is in
/// it was changed by hand.
pub fn entry(
    tag: &'static str,
    fixed: &'static [Fixed],
    holding: Option<String>,
    changed: Callback<Event>,
) -> Html {
    let mut tag = build(tag, fixed, Vec::new(), Vec::new());
    tag.set_value(holding.map(AttrValue::from));
    tag.add_listener(Rc::new(onchange::Wrapper::new(changed)));
    tag.into()
}

/// A text.
pub fn text(text: impl Into<AttrValue>) -> Html {
    VText::new(text).into()
}

/// An element that holds nothing but a text.
pub fn say(tag: &'static str, fixed: &'static [Fixed], message: impl Into<AttrValue>) -> Html {
    el(tag, fixed, vec![text(message)])
}

/// Nothing at all.
pub fn nothing() -> Html {
    Html::default()
}

/// Several things one after another.
pub fn all(things: Vec<Html>) -> Html {
    things.into_iter().collect()
}

fn build(
    tag: &'static str,
    fixed: &'static [Fixed],
    changing: Vec<Changing>,
    children: Vec<Html>,
) -> VTag {
    let mut tag = VTag::new(tag);
    for (key, value) in fixed {
        tag.add_attribute(key, *value);
    }
    for (key, value) in changing {
        tag.add_attribute(key, value);
    }
    tag.add_children(children);
    tag
}
