//! What stands below the window's lower edge when a screen opens. Its first drawing waits until what is
//! in sight has been painted; from then on it is drawn like everything else.

use yew::prelude::*;

use crate::browser::paint;

/// The content.
#[derive(Debug, PartialEq, Properties)]
pub struct BelowFoldProps {
    /// What is drawn once the rest has been painted.
    #[prop_or_default]
    pub children: Html,
}

/// Content whose first drawing waits. Another screen's needs a key of its own.
pub struct BelowFold {
    due: bool,
}

impl Component for BelowFold {
    type Message = ();
    type Properties = BelowFoldProps;

    fn create(context: &Context<Self>) -> Self {
        let link = context.link().clone();
        paint::after_next(move || link.send_message(()));
        Self { due: false }
    }

    fn update(&mut self, _: &Context<Self>, (): ()) -> bool {
        self.due = true;
        true
    }

    fn view(&self, context: &Context<Self>) -> Html {
        if self.due {
            context.props().children.clone()
        } else {
            Html::default()
        }
    }
}
