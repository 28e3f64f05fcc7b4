//! A sheet that slides over the screen, with its way back under the thumb.

use web_sys::HtmlDialogElement;
use yew::prelude::*;

use super::element::all;
use super::state::Action;
use super::tap::{Send, tap};

/// A sheet with this title, holding these things.
pub fn sheet(title: &'static str, children: Vec<Html>, send: &Send) -> Html {
    let children = all(children);
    html! { <SheetFrame {title} {children} send={send.clone()} /> }
}

#[derive(Properties, PartialEq)]
struct SheetProps {
    title: AttrValue,
    children: Html,
    send: Send,
}

/// The browser keeps the focus inside a sheet, closes it on Escape and gives
/// the focus back.
#[component]
fn SheetFrame(props: &SheetProps) -> Html {
    let dialog = use_node_ref();
    {
        let dialog = dialog.clone();
        use_effect_with((), move |()| {
            let element = dialog.cast::<HtmlDialogElement>();
            if let Some(element) = &element
                && !element.open()
            {
                // a browser without modal dialogs shows it as an ordinary one
                let _ = element.show_modal();
            }
            move || {
                if let Some(element) = element {
                    element.close();
                }
            }
        });
    }
    let oncancel = {
        let send = props.send.clone();
        Callback::from(move |event: Event| {
            // closed by the page, so that its state stays the only truth
            event.prevent_default();
            send.emit(Action::SheetClosed);
        })
    };
    let onclick = tap(&props.send, Action::SheetClosed);
    html! {
        <dialog ref={dialog} class="sheet" aria-labelledby="sheet-title" {oncancel}>
            <h2 id="sheet-title">{ &props.title }</h2>
            <div class="sheet-body">{ props.children.clone() }</div>
            <div class="sheet-foot">
                <button type="button" class="wide" {onclick}>{ "Done" }</button>
            </div>
        </dialog>
    }
}
