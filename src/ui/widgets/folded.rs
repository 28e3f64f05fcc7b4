//! What unfolds under a summary. On a screen it is a third of all elements and mostly folded: while
//! something changes and none of it is unfolded, it is neither made nor compared with what stands.

use web_sys::Element;
use yew::prelude::*;

/// The content, and whether it is due.
#[derive(Debug, PartialEq, Properties)]
pub struct FoldedProps {
    /// Whether the content is to be drawn; what was drawn last stays otherwise.
    pub due: bool,
    /// The content, where it is due.
    #[prop_or_default]
    pub children: Html,
}

/// Content that unfolds. Another screen's needs a key of its own.
pub struct Folded;

impl Component for Folded {
    type Message = ();
    type Properties = FoldedProps;

    fn create(_: &Context<Self>) -> Self {
        Self
    }

    fn changed(&mut self, context: &Context<Self>, _: &FoldedProps) -> bool {
        context.props().due
    }

    fn view(&self, context: &Context<Self>) -> Html {
        context.props().children.clone()
    }
}

/// Whether anything in an element is unfolded.
pub fn has_unfolded(area: &NodeRef) -> bool {
    let area = area.cast::<Element>();
    let open = area.and_then(|area| area.query_selector("details[open]").ok().flatten());
    open.is_some()
}
