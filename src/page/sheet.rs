//! A sheet that slides over the screen, with its way back under the thumb.

use web_sys::HtmlDialogElement;
use yew::prelude::*;

/// What a sheet holds.
#[derive(Properties, PartialEq)]
pub struct SheetProps {
    /// Its title.
    pub title: AttrValue,
    /// It was closed.
    pub onclose: Callback<()>,
    /// What it holds.
    pub children: Html,
}

/// A sheet. The browser keeps the focus inside it, closes it on Escape and
/// gives the focus back.
#[component]
pub fn SheetFrame(props: &SheetProps) -> Html {
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
    let oncancel = props.onclose.reform(|event: Event| event.prevent_default());
    let onclick = props.onclose.reform(|_: MouseEvent| ());
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
