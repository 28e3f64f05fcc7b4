//! Sharing: a code, a link and files for other phones, what comes from them, and the outings
//! used lately.

mod code;
mod files;
mod import;
mod link_field;
mod recent;

pub use code::{labelled_squares, left_out, squares};

use yew::prelude::*;

use crate::browser::url_hash;
use crate::outing::share::query;
use crate::ui::state::State;
use crate::ui::widgets::dialog::dialog;
use crate::ui::widgets::dispatch::Dispatch;
use recent::RecentOutings;

/// The sheet.
pub fn share_sheet(state: &State, dispatch: &Dispatch) -> Html {
    let (document, share) = (state.history.document(), &state.share);
    let form = query::write(&document.outing);
    let drawn = share.code_of(&form);
    let link = url_hash::link(&form);
    let content = html! {
        <>
            { code::code(drawn) }
            { link_field::link_field(&link, share.copied, dispatch) }
            { files::files(document, dispatch) }
            <h3>{ "From another phone" }</h3>
            { import::import(share.message.as_deref(), dispatch) }
            <RecentOutings id={document.id} {form} dispatch={dispatch.clone()} />
        </>
    };
    dialog("Share", vec![content], dispatch)
}
