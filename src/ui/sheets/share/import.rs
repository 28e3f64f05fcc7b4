//! What comes from another phone: a file opened, or a link pasted.

use std::rc::Rc;

use web_sys::{HtmlInputElement, HtmlTextAreaElement};
use yew::prelude::*;

use crate::browser::text_file;
use crate::outing::share::file::{self, SharedFile};
use crate::ui::state::share::ShareAction;
use crate::ui::widgets::dispatch::Dispatch;

const WHAT_HAPPENS: &str = "An outing takes the place of the one in use; kits and sites are added \
                            to your own.";

/// The ways in, and a sentence on what came in last.
pub fn import(message: Option<&str>, dispatch: &Dispatch) -> Html {
    html! {
        <>
            <div class="photo">
                <label class="wide" for="bundle">{ "Open a file" }</label>
                <input
                    id="bundle"
                    type="file"
                    accept=".txt,text/plain"
                    onchange={open_file(dispatch)}
                />
            </div>
            <div class="field after">
                <label for="pasted">{ "A link, pasted" }</label>
                <textarea id="pasted" rows="2" onchange={read_pasted(dispatch)} />
            </div>
            <p class="legend">{ WHAT_HAPPENS }</p>
            <p class="told" role="status">{ message.unwrap_or_default().to_owned() }</p>
        </>
    }
}

/// Reads the file that was chosen.
fn open_file(dispatch: &Dispatch) -> Callback<Event> {
    let dispatch = dispatch.clone();
    Callback::from(move |event: Event| {
        let Some(input) = event.target_dyn_into::<HtmlInputElement>() else {
            return;
        };
        if let Some(file) = input.files().and_then(|files| files.get(0)) {
            let dispatch = dispatch.clone();
            text_file::open(&file, move |text| {
                emit(&dispatch, text.and_then(|text| file::read(&text)));
            });
        }
        // without this, choosing the same file again would not be a change
        input.set_value("");
    })
}

/// Reads the text that was pasted.
fn read_pasted(dispatch: &Dispatch) -> Callback<Event> {
    let dispatch = dispatch.clone();
    Callback::from(move |event: Event| {
        let area = event.target_dyn_into::<HtmlTextAreaElement>();
        let text = area.map(|area| area.value()).unwrap_or_default();
        if !text.trim().is_empty() {
            emit(&dispatch, file::read(&text));
        }
    })
}

fn emit(dispatch: &Dispatch, read: Result<SharedFile, String>) {
    dispatch.emit(ShareAction::Import(Rc::new(read)).into());
}
