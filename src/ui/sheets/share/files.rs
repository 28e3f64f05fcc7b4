//! The outing, and the saved kits and sites, as files for other phones.

use std::rc::Rc;

use yew::prelude::*;

use crate::browser::share_file;
use crate::outing::document::Document;
use crate::outing::share::file;
use crate::ui::state::notices::{Notice, NoticesAction};
use crate::ui::widgets::dispatch::Dispatch;

/// A button for each file.
pub fn files(document: &Rc<Document>, dispatch: &Dispatch) -> Html {
    let no_lists = document.kits.is_empty() && document.sites.is_empty();
    let share_outing = share_on_click(
        "tarnlight-outing.txt",
        |document| file::write_outing(&document.outing),
        document,
        dispatch,
    );
    let share_lists = share_on_click(
        "tarnlight-kits-and-sites.txt",
        |document| file::write_lists(&document.kits, &document.sites),
        document,
        dispatch,
    );
    let lists_word = if no_lists {
        "No kits or sites are saved"
    } else {
        "All kits and sites as one file"
    };
    html! {
        <>
            <button type="button" class="wide after" onclick={share_outing}>
                { "This outing as a file" }
            </button>
            <button type="button" class="wide after" disabled={no_lists} onclick={share_lists}>
                { lists_word }
            </button>
        </>
    }
}

/// A handler of clicks that shares a part of the document as a file of this name.
fn share_on_click(
    name: &'static str,
    write: fn(&Document) -> String,
    document: &Rc<Document>,
    dispatch: &Dispatch,
) -> Callback<MouseEvent> {
    let (document, dispatch) = (document.clone(), dispatch.clone());
    Callback::from(move |_| {
        let dispatch = dispatch.clone();
        share_file::share_text(name, "text/plain", &write(&document), move |error| {
            dispatch.emit(NoticesAction::Show(Notice::Message(error)).into());
        });
    })
}
