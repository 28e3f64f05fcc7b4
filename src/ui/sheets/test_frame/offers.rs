//! What the outing can take of a frame, each with one tap, and with one taken back.

use yew::html::Scope;
use yew::prelude::*;

use super::{Message, TestFrameProps, TestFrameSheet};
use crate::outing::plan::Outing;
use crate::outing::test_frame::offers::{measured_lens, skyline_with, taken_frame};
use crate::outing::test_frame::report::FrameReport;
use crate::ui::state::action::Action;
use crate::ui::state::document::Edit;
use crate::ui::state::document::framing::FramingEdit;
use crate::ui::state::document::kit::KitEdit;
use crate::ui::state::document::ridge::RidgeEdit;
use crate::ui::state::test_frame::{Offer, TestFrame, TestFrameAction};
use crate::ui::text::frame_offers as words;

/// The keys.
pub fn offers(
    sheet: &TestFrame,
    report: &FrameReport,
    props: &TestFrameProps,
    link: &Scope<TestFrameSheet>,
) -> Html {
    let outing = &props.document.outing;
    let key = |offer, word, line: String, edit: Option<Edit>| {
        let taken = sheet.taken == Some(offer);
        let dispatch = props.dispatch.clone();
        let possible = edit.is_some() || taken;
        let onclick = link.callback(move |_: MouseEvent| {
            dispatch.emit(match (&edit, taken) {
                (Some(edit), false) => Action::Edit(edit.clone()),
                _ => Action::Undo,
            });
            Message::Do(TestFrameAction::Took((!taken).then_some(offer)))
        });
        html! {
            <button type="button" class="offer" id={id(offer)} disabled={!possible} {onclick}>
                <span class="word">{ if taken { "Undo" } else { word } }</span>
                <span class="line">{ if taken { word_taken(offer).to_owned() } else { line } }</span>
            </button>
        }
    };
    let (aim_line, aim) = aim(report, outing);
    let (lens_line, lens) = lens(report, outing);
    let (skyline_line, skyline) = skyline(report, outing);
    html! {
        <>
            <h3>{ "Take from it" }</h3>
            <div class="offers">
                { key(Offer::Aim, "Use this aim", aim_line, aim) }
                { key(Offer::Lens, "Use this lens", lens_line, lens) }
                { key(Offer::Skyline, "Use this skyline", skyline_line, skyline) }
            </div>
            <p class="quiet">
                { words::time(report.time) }
                { " " }
                { words::CLOCK_MATTERS }
            </p>
        </>
    }
}

const fn id(offer: Offer) -> &'static str {
    match offer {
        Offer::Aim => "use-aim",
        Offer::Lens => "use-lens",
        Offer::Skyline => "use-skyline",
        Offer::Clock => "use-clock",
    }
}

const fn word_taken(offer: Offer) -> &'static str {
    match offer {
        Offer::Aim => "this aim is in use",
        Offer::Lens => "this lens is in the kit",
        Offer::Skyline => "this skyline is the site's",
        Offer::Clock => "the clock is in the kit",
    }
}

fn aim(report: &FrameReport, outing: &Outing) -> (String, Option<Edit>) {
    match taken_frame(report) {
        Some(taken) => (
            words::aim(&taken),
            Some(Edit::Framing(FramingEdit::AsTaken(taken))),
        ),
        None => (words::no_aim(report, outing.site.is_set()).to_owned(), None),
    }
}

fn lens(report: &FrameReport, outing: &Outing) -> (String, Option<Edit>) {
    match measured_lens(report, &outing.kit) {
        Some(lens) => (words::lens(&lens), Some(Edit::Kit(KitEdit::Lens(lens)))),
        None => (words::no_lens(report).to_owned(), None),
    }
}

fn skyline(report: &FrameReport, outing: &Outing) -> (String, Option<Edit>) {
    match skyline_with(&outing.site.ridge, report) {
        Some(survey) => (
            words::skyline(report),
            Some(Edit::Ridge(RidgeEdit::Survey(survey))),
        ),
        None => (
            words::no_skyline(report, outing.site.is_set()).to_owned(),
            None,
        ),
    }
}
