//! The part of the page that scrolls: each question keeps its own position.
//!
//! No component: Yew may draw a child's new content a task later than its parent's, and headline
//! and keys must never disagree.

use std::cell::Cell;
use std::rc::Rc;

use web_sys::Element;
use yew::prelude::*;

use crate::ui::state::routes::Screen;

/// Positions are kept for the four questions and More.
const SCREENS: usize = 5;

/// The element and its positions.
pub struct ScrollArea {
    area: NodeRef,
    tops: Rc<[Cell<i32>; SCREENS]>,
    /// The screen whose position the element has.
    shown: Screen,
    to_top: bool,
}

impl ScrollArea {
    /// Every screen at its top.
    pub fn new(shown: Screen) -> Self {
        Self {
            area: NodeRef::default(),
            tops: Rc::default(),
            shown,
            to_top: false,
        }
    }

    /// The screen goes to its top when it is next drawn.
    pub fn scroll_to_top(&mut self) {
        self.to_top = true;
    }

    /// The element with a screen in it.
    pub fn view(&self, screen: Screen, class: &'static str, content: Html) -> Html {
        let tops = Rc::clone(&self.tops);
        let onscroll = Callback::from(move |event: Event| {
            if let Some(area) = event.target_dyn_into::<Element>() {
                tops[screen as usize].set(area.scroll_top());
            }
        });
        html! { <main ref={self.area.clone()} {class} {onscroll}>{ content }</main> }
    }

    /// Brings back the position of a screen that has come into the element.
    pub fn rendered(&mut self, screen: Screen) {
        let Some(area) = self.area.cast::<Element>() else {
            return;
        };
        if std::mem::replace(&mut self.shown, screen) != screen {
            area.set_scroll_top(self.tops[screen as usize].get());
        }
        if std::mem::take(&mut self.to_top) {
            area.set_scroll_top(0);
        }
    }
}
