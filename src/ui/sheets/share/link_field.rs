//! The outing's link as text, and a button that copies it.

use yew::prelude::*;

use crate::browser::clipboard;
use crate::ui::state::share::ShareAction;
use crate::ui::widgets::dispatch::Dispatch;

/// Identifies the box with the link in the document.
const LINK: &str = "link";

const NOT_COPIED: &str = "This browser does not copy by itself: the link is marked now; hold it \
                          and copy.";

/// The link; `copied` is whether it could be copied, once that was asked for.
pub fn link_field(link: &str, copied: Option<bool>, dispatch: &Dispatch) -> Html {
    let link = AttrValue::from(link.to_owned());
    let onclick = {
        let (dispatch, link) = (dispatch.clone(), link.clone());
        Callback::from(move |_| {
            let dispatch = dispatch.clone();
            clipboard::copy(&link, LINK, move |copied| {
                dispatch.emit(ShareAction::LinkCopied(copied).into());
            });
        })
    };
    let message = match copied {
        None => "",
        Some(true) => "Copied.",
        Some(false) => NOT_COPIED,
    };
    html! {
        <>
            <textarea
                id={LINK}
                aria-label="link to this outing"
                rows="2"
                readonly=true
                value={link}
            />
            <button type="button" class="wide after" {onclick}>{ "Copy the link" }</button>
            <p class="told" role="status">{ message }</p>
        </>
    }
}
