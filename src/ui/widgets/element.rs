//! Elements of the pictures and headlines, built by plain functions. All other views are written
//! with `html!`.

use yew::prelude::*;
use yew::virtual_dom::{VTag, VText};

/// An attribute that never changes.
pub type Fixed = (&'static str, &'static str);

/// An attribute computed while drawing.
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
