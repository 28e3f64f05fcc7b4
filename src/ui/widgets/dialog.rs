//! A sheet that slides over the screen, with its way back under the thumb.

use crate::ui::state::routes::RouteAction;
use web_sys::HtmlDialogElement;
use yew::prelude::*;

use crate::ui::widgets::dispatch::{Dispatch, on_click};
use crate::ui::widgets::element::{all, button, el, say, text};

/// A sheet with this title, holding these things.
pub fn dialog(title: &'static str, children: Vec<Html>, dispatch: &Dispatch) -> Html {
    let children = all(children);
    // another title is another sheet, which opens at its top and takes the focus
    html! { <SheetFrame key={title} {title} {children} dispatch={dispatch.clone()} /> }
}

#[derive(Properties, PartialEq)]
struct SheetProps {
    title: &'static str,
    children: Html,
    dispatch: Dispatch,
}

/// The browser keeps the focus inside a sheet, closes it on Escape and gives
/// the focus back.
struct SheetFrame {
    dialog: NodeRef,
}

impl Component for SheetFrame {
    type Message = ();
    type Properties = SheetProps;

    fn create(_: &Context<Self>) -> Self {
        Self {
            dialog: NodeRef::default(),
        }
    }

    fn changed(&mut self, context: &Context<Self>, old: &SheetProps) -> bool {
        // one sheet in place of another starts at its top
        if context.props().title != old.title
            && let Some(dialog) = self.dialog.cast::<HtmlDialogElement>()
            && let Ok(Some(body)) = dialog.query_selector(".sheet-body")
        {
            body.set_scroll_top(0);
        }
        true
    }

    fn rendered(&mut self, _: &Context<Self>, first: bool) {
        if first && let Some(dialog) = self.dialog.cast::<HtmlDialogElement>() {
            // a browser without modal dialogs shows it as an ordinary one
            let _ = dialog.show_modal();
        }
    }

    fn destroy(&mut self, _: &Context<Self>) {
        // closed before it goes, so that the focus returns to where it was
        if let Some(dialog) = self.dialog.cast::<HtmlDialogElement>() {
            dialog.close();
        }
    }

    fn view(&self, context: &Context<Self>) -> Html {
        let SheetProps {
            title,
            children,
            dispatch,
        } = context.props();
        let oncancel = {
            let dispatch = dispatch.clone();
            Callback::from(move |event: Event| {
                // closed by the page, so that its state stays the only truth
                event.prevent_default();
                dispatch.emit(RouteAction::Close.into());
            })
        };
        let done = button(
            &[("class", "wide")],
            Vec::new(),
            on_click(dispatch, RouteAction::Close),
            vec![text("Done")],
        );
        let parts = all(vec![
            say("h2", &[("id", "sheet-title")], *title),
            el("div", &[("class", "sheet-body")], vec![children.clone()]),
            el("div", &[("class", "sheet-foot")], vec![done]),
        ]);
        html! {
            <dialog ref={self.dialog.clone()} class="sheet" aria-labelledby="sheet-title" {oncancel}>
                { parts }
            </dialog>
        }
    }
}
