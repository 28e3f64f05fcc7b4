//! The part of the page that scrolls: each question keeps its own position.

use std::cell::Cell;

use web_sys::Element;
use yew::prelude::*;

use crate::ui::state::routes::Screen;

/// Positions are kept for the four questions and More.
const SCREENS: usize = 5;

/// What scrolls.
#[derive(Properties, PartialEq)]
pub struct ScrollAreaProps {
    /// Which screen is shown.
    pub screen: Screen,
    /// Class of the element.
    pub class: AttrValue,
    /// Counts the wishes to go to the top.
    pub to_top: u32,
    /// The content.
    pub children: Html,
}

/// The element.
pub struct ScrollArea {
    area: NodeRef,
    tops: [Cell<i32>; SCREENS],
    /// The screen whose position is to be brought back once it is drawn.
    restore: Option<Screen>,
    rewind: bool,
}

impl Component for ScrollArea {
    type Message = i32;
    type Properties = ScrollAreaProps;

    fn create(_: &Context<Self>) -> Self {
        Self {
            area: NodeRef::default(),
            tops: Default::default(),
            restore: None,
            rewind: false,
        }
    }

    fn changed(&mut self, context: &Context<Self>, before: &Self::Properties) -> bool {
        let props = context.props();
        if before.screen != props.screen {
            self.restore = Some(props.screen);
        }
        self.rewind = before.to_top != props.to_top;
        true
    }

    fn update(&mut self, context: &Context<Self>, top: i32) -> bool {
        self.tops[context.props().screen as usize].set(top);
        false
    }

    fn rendered(&mut self, _: &Context<Self>, _: bool) {
        let Some(area) = self.area.cast::<Element>() else {
            return;
        };
        if let Some(screen) = self.restore.take() {
            area.set_scroll_top(self.tops[screen as usize].get());
        }
        if std::mem::take(&mut self.rewind) {
            area.set_scroll_top(0);
        }
    }

    fn view(&self, context: &Context<Self>) -> Html {
        let ScrollAreaProps {
            class, children, ..
        } = context.props();
        let onscroll = context.link().batch_callback(|event: Event| {
            let area = event.target_dyn_into::<Element>()?;
            Some(area.scroll_top())
        });
        html! {
            <main ref={self.area.clone()} class={class.clone()} {onscroll}>
                { children.clone() }
            </main>
        }
    }
}
