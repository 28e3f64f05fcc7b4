//! Passing it on: a code, a link and files for other phones, and what comes from
//! them.

use crate::browser::url_hash;
use crate::ui::state::State;
use crate::ui::state::notices::NoticesAction;
use std::rc::Rc;

use web_sys::{HtmlInputElement, HtmlTextAreaElement};
use yew::prelude::*;

use crate::browser::{clipboard, share_file, text_file};
use crate::outing::document::Document;
use crate::outing::share::qr::QUIET;
use crate::outing::share::short_link::LeftOut;
use crate::outing::share::{file, query};
use crate::ui::state::notices::Notice;
use crate::ui::state::share::{CodeImage, DrawnCode, ShareAction};
use crate::ui::text::exposure;
use crate::ui::widgets::dialog::dialog;
use crate::ui::widgets::dispatch::Dispatch;
use crate::ui::widgets::element::{Fixed, all, button, el, el_with, entry, nothing, say, text};

const SCAN: &str = "Point another phone's camera at it. A phone that has opened this page before \
                    needs no signal for it.";

const IN: &str = "Open a file from another phone, or paste a link. An outing takes the place of \
                  the one in use; kits and sites are added to your own.";

const UNCOPIED: &str = "This browser does not copy by itself: the link is marked now; hold it and \
                        copy.";

/// The sheet.
pub fn share_sheet(state: &State, dispatch: &Dispatch) -> Html {
    let (kept, share) = (state.document(), &state.share);
    let form = query::write(&kept.outing);
    // an older code is not shown for an outing that has changed since
    let drawn = share.code.as_deref().filter(|drawn| drawn.made_for == form);
    let parts = vec![
        code(drawn),
        say("h3", &[], "As a link"),
        as_link(&url_hash::link(&form), share.copied, dispatch),
        say("h3", &[], "As a file"),
        as_files(kept, dispatch),
        say("h3", &[], "From another phone"),
        coming_in(share.message.as_deref(), dispatch),
    ];
    dialog("Pass it on", parts, dispatch)
}

/// The code, and what it lacks.
fn code(drawn: Option<&DrawnCode>) -> Html {
    let Some(drawn) = drawn else {
        return say("p", &[("role", "status")], "Drawing the code …");
    };
    match &drawn.picture {
        Ok(picture) => all(vec![
            squares(picture),
            say("p", &[("class", "after")], SCAN),
            left_out(drawn.left_out),
        ]),
        Err(why) => say("p", &[("class", "told"), ("role", "status")], why.clone()),
    }
}

/// The squares of a code.
pub fn squares(picture: &CodeImage) -> Html {
    let quiet = QUIET as f64;
    let whole = picture.side as f64 + 2.0 * quiet;
    let mut view = String::new();
    for number in [-quiet, -quiet, whole, whole] {
        crate::decimal::put(&mut view, number, 0);
        view.push(' ');
    }
    let dark = el_with("path", &[], vec![("d", picture.path.clone())], Vec::new());
    el_with(
        "svg",
        &[
            ("class", "code"),
            ("role", "img"),
            ("aria-label", "QR code of the link to this outing"),
        ],
        vec![("viewBox", view)],
        vec![dark],
    )
}

/// What the code lacks, in a sentence.
pub fn left_out(left_out: LeftOut) -> Html {
    let message = match left_out {
        LeftOut::Nothing => return nothing(),
        LeftOut::Detail(within) => format!(
            "The skyline is drawn to {} in the code; the link has all of it.",
            exposure::degrees(within)
        ),
        LeftOut::Skyline => {
            "The skyline does not fit into the code; the link has all of it.".to_owned()
        }
        LeftOut::Names => {
            "The skyline and the names do not fit into the code; the link has them.".to_owned()
        }
    };
    say("p", &[("class", "in-use")], message)
}

/// The link as text, and a button that copies it.
fn as_link(link: &str, copied: Option<bool>, dispatch: &Dispatch) -> Html {
    let tapped = {
        let (dispatch, link) = (dispatch.clone(), link.to_owned());
        Callback::from(move |_| {
            let dispatch = dispatch.clone();
            clipboard::copy(&link, "link", move |copied| {
                dispatch.emit(ShareAction::LinkCopied(copied).into());
            });
        })
    };
    let message = match copied {
        None => "",
        Some(true) => "Copied.",
        Some(false) => UNCOPIED,
    };
    let copy = vec![text("Copy the link")];
    all(vec![
        entry("textarea", LINK, Some(link.to_owned()), Callback::noop()),
        button(&[("class", "wide after")], Vec::new(), tapped, copy),
        say("p", &[("class", "told"), ("role", "status")], message),
    ])
}

/// The box that shows the link.
const LINK: &[Fixed] = &[
    ("id", "link"),
    ("aria-label", "link to this outing"),
    ("rows", "3"),
    ("readonly", ""),
];

/// The two files to hand over.
fn as_files(kept: &Document, dispatch: &Dispatch) -> Html {
    let file =
        |name: &'static str, word: &'static str, write: fn(&Document) -> String, empty: bool| {
            let (kept, dispatch) = (kept.clone(), dispatch.clone());
            let tapped = Callback::from(move |_| {
                let message = dispatch.clone();
                share_file::share_text(name, "text/plain", &write(&kept), move |sentence| {
                    message.emit(NoticesAction::Show(Notice::Message(sentence)).into());
                });
            });
            let state = if empty {
                vec![("disabled", String::new())]
            } else {
                Vec::new()
            };
            button(&[("class", "wide after")], state, tapped, vec![text(word)])
        };
    let none = kept.kits.is_empty() && kept.sites.is_empty();
    all(vec![
        file(
            "tarnlight-outing.txt",
            "This outing as a file",
            |kept| file::write_outing(&kept.outing),
            false,
        ),
        file(
            "tarnlight-kits-and-sites.txt",
            if none {
                "No kits or sites are saved"
            } else {
                "All kits and sites as one file"
            },
            |document| file::write_lists(&document.kits, &document.sites),
            none,
        ),
    ])
}

/// A file opened or a link pasted, and what it held.
fn coming_in(message: Option<&str>, dispatch: &Dispatch) -> Html {
    let opened = {
        let dispatch = dispatch.clone();
        Callback::from(move |event: Event| {
            let input = event.target_dyn_into::<HtmlInputElement>();
            let Some(input) = input else { return };
            let file = input.files().and_then(|files| files.get(0));
            if let Some(file) = file {
                let dispatch = dispatch.clone();
                text_file::open(&file, move |text| {
                    let read = text.and_then(|text| file::read(&text));
                    dispatch.emit(ShareAction::Import(Rc::new(read)).into());
                });
            }
            // so that the same file can be opened again
            input.set_value("");
        })
    };
    let pasted = {
        let dispatch = dispatch.clone();
        Callback::from(move |event: Event| {
            let area = event.target_dyn_into::<HtmlTextAreaElement>();
            let text = area.map(|area| area.value()).unwrap_or_default();
            if !text.trim().is_empty() {
                let read = file::read(&text);
                dispatch.emit(ShareAction::Import(Rc::new(read)).into());
            }
        })
    };
    let open = vec![
        say(
            "label",
            &[("class", "wide"), ("for", "bundle")],
            "Open a file",
        ),
        entry("input", FILE, None, opened),
    ];
    let paste = vec![
        say("label", &[("for", "pasted")], "A link, pasted"),
        entry("textarea", &[("id", "pasted"), ("rows", "2")], None, pasted),
    ];
    let message = message.unwrap_or_default().to_owned();
    all(vec![
        say("p", &[], IN),
        el("div", &[("class", "photo")], open),
        el("div", &[("class", "field after")], paste),
        say("p", &[("class", "told"), ("role", "status")], message),
    ])
}

/// The box that opens a file.
const FILE: &[Fixed] = &[
    ("id", "bundle"),
    ("type", "file"),
    ("accept", ".txt,text/plain"),
];
