//! What the outing can take of a frame, each with one tap, and with one taken back.

use yew::html::Scope;
use yew::prelude::*;

use super::by_skyline::by_skyline;
use super::clock::which_clock;
use super::{Message, TestFrameProps, TestFrameSheet};
use crate::angle::Angle;
use crate::astrometry::skyline_clock::ClockMisfit;
use crate::outing::document::Document;
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

/// The keys, with what is asked of the clock on which two of them depend; nothing where the stars are not
/// identified.
pub fn offers(
    sheet: &TestFrame,
    (report, misfit): (&FrameReport, Option<ClockMisfit>),
    props: &TestFrameProps,
    link: &Scope<TestFrameSheet>,
) -> Html {
    if report.solution.is_err() {
        return Html::default();
    }
    let outing = &props.document.outing;
    let key = |(offer, id): (Offer, &'static str), word, line: String, edit: Option<Edit>| {
        let in_use = edit
            .as_ref()
            .is_some_and(|edit| is_in_use(edit, &props.document));
        let dispatch = props.dispatch.clone();
        let possible = edit.is_some() && !in_use;
        let onclick = link.callback(move |_: MouseEvent| {
            if let Some(edit) = &edit {
                dispatch.emit(Action::Edit(edit.clone()));
            }
            Message::Do(TestFrameAction::Took(Some(offer)))
        });
        let class = classes!("offer", in_use.then_some("in-use"));
        html! {
            <button type="button" {class} {id} disabled={!possible} {onclick}>
                <span class="word">{ word }</span>
                <span class="offer-fact">
                    if in_use {
                        { "✓ in use: " }
                    }
                    { line }
                </span>
            </button>
        }
    };
    let (aim_line, aim) = aim(report, outing);
    let (lens_line, lens) = lens(report, outing);
    let (skyline_line, skyline) = skyline((report, &sheet.skyline()), outing);
    let aimed = aim.is_some();
    html! {
        <>
            <h3>{ "Take from it" }</h3>
            { by_skyline(report, misfit, link) }
            { which_clock(sheet, report, &props.document, link) }
            <div class="offers">
                { key((Offer::Aim, "use-aim"), "Use this aim", aim_line, aim) }
                { key((Offer::Lens, "use-lens"), "Use this lens", lens_line, lens) }
                { key((Offer::Skyline, "use-skyline"), "Use this skyline", skyline_line, skyline) }
            </div>
            { undo(sheet.taken, link) }
            if aimed {
                <p class="quiet">
                    if sheet.is_timed_by_skyline(outing.kit.body.clock) {
                        { words::BY_SKYLINE }
                    } else {
                        { words::time(report.time) }
                    }
                    { " " }
                    { words::CLOCK_MATTERS }
                </p>
            }
        </>
    }
}

/// Whether an edit would change nothing.
fn is_in_use(edit: &Edit, document: &Document) -> bool {
    let mut edited = document.clone();
    edit.clone().apply(&mut edited);
    edited == *document
}

/// Takes back what was taken last.
fn undo(taken: Option<Offer>, link: &Scope<TestFrameSheet>) -> Html {
    let word = match taken {
        Some(Offer::Aim) => "Undo: aim",
        Some(Offer::Lens) => "Undo: lens",
        Some(Offer::Skyline) => "Undo: skyline",
        Some(Offer::ClockBySkyline) => "Undo: clock",
        // undone where it was taken
        Some(Offer::Clock) | None => return Html::default(),
    };
    let onclick = link.callback(|_: MouseEvent| Message::Undo);
    html! { <button type="button" class="wide" id="undo-offer" {onclick}>{ word }</button> }
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

fn skyline(
    (report, skyline): (&FrameReport, &[(Angle, Angle)]),
    outing: &Outing,
) -> (String, Option<Edit>) {
    match skyline_with(&outing.site.ridge, skyline) {
        Some(survey) => (
            words::skyline(skyline),
            Some(Edit::Ridge(RidgeEdit::Survey(survey))),
        ),
        None => (
            words::no_skyline(report, outing.site.is_set()).to_owned(),
            None,
        ),
    }
}
