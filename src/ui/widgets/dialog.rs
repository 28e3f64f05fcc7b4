//! A sheet that slides over the screen, with the key that closes it at its head.
//!
//! Done does not leave a field in error: it goes to the field, whose sentence says why. Escape and
//! Back close the sheet in any case, and what could not be read is dropped.

use wasm_bindgen::JsCast;
use web_sys::{HtmlDialogElement, HtmlElement, HtmlInputElement};
use yew::prelude::*;

use crate::ui::state::routes::RouteAction;
use crate::ui::widgets::dispatch::Dispatch;

/// A sheet with this title and content.
pub fn dialog(title: &'static str, children: Vec<Html>, dispatch: &Dispatch) -> Html {
    let body = html! { <>{ for children }</> };
    keyed_dialog(title, body, Html::default(), dispatch)
}

/// A sheet with keys of its own at its foot.
pub fn keyed_dialog(title: &'static str, body: Html, keys: Html, dispatch: &Dispatch) -> Html {
    // another title is another sheet, which opens at its top and takes the focus
    html! {
        <SheetFrame key={title} {title} {body} {keys} dispatch={dispatch.clone()} />
    }
}

#[derive(Properties, PartialEq)]
struct SheetProps {
    title: &'static str,
    body: Html,
    keys: Html,
    dispatch: Dispatch,
}

/// A modal `<dialog>`: the browser keeps the focus inside it, fires `cancel` on
/// Escape and returns the focus when it closes.
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

    fn rendered(&mut self, _: &Context<Self>, first: bool) {
        if first && let Some(dialog) = self.dialog.cast::<HtmlDialogElement>() {
            // a browser without modal dialogs shows it as an ordinary one
            let _ = dialog.show_modal();
        }
    }

    fn destroy(&mut self, _: &Context<Self>) {
        // closed before it is removed, so that the focus returns to where it was
        if let Some(dialog) = self.dialog.cast::<HtmlDialogElement>() {
            dialog.close();
        }
    }

    fn view(&self, context: &Context<Self>) -> Html {
        let SheetProps {
            title,
            body,
            keys,
            dispatch,
        } = context.props();
        let oncancel = {
            let dispatch = dispatch.clone();
            Callback::from(move |event: Event| {
                // whether a sheet is open is the state's to decide, not the browser's
                event.prevent_default();
                dispatch.emit(RouteAction::Close.into());
            })
        };
        let onclick = {
            let (dialog, dispatch) = (self.dialog.clone(), dispatch.clone());
            Callback::from(move |_: MouseEvent| {
                let dialog = dialog.cast::<HtmlDialogElement>();
                if !dialog.is_some_and(|dialog| focus_invalid(&dialog)) {
                    dispatch.emit(RouteAction::Close.into());
                }
            })
        };
        html! {
            <dialog ref={self.dialog.clone()} class="sheet" aria-labelledby="sheet-title" {oncancel}>
                <div class="sheet-head">
                    <h2 id="sheet-title">{ *title }</h2>
                    <button id="sheet-done" type="button" {onclick}>{ "Done" }</button>
                </div>
                <div class="sheet-body" tabindex="0">{ body.clone() }</div>
                <div class="sheet-keys">{ keys.clone() }</div>
            </dialog>
        }
    }
}

/// Goes to the first field whose text cannot be read; whether there is one.
fn focus_invalid(dialog: &HtmlDialogElement) -> bool {
    let found = dialog.query_selector("[aria-invalid=true]");
    let Some(field) = found.ok().flatten() else {
        return false;
    };
    if let Ok(Some(folded)) = field.closest("details") {
        // "open" is a valid name, and a folded field cannot have the focus
        let _ = folded.set_attribute("open", "");
    }
    if let Some(input) = field.dyn_ref::<HtmlInputElement>() {
        input.select();
    }
    if let Ok(field) = field.dyn_into::<HtmlElement>() {
        // the sentence under the field stays in sight beside it
        let _ = field.focus();
    }
    true
}
