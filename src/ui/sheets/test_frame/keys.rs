//! Keys of Test frame: those that open a file, stop, or correct the border; and what is said of a picture
//! that is not measured.

use web_sys::{File, HtmlInputElement};
use yew::html::Scope;
use yew::prelude::*;

use super::{Message, TestFrameSheet};
use crate::ui::sheets::PICTURE_FILES;
use crate::ui::state::test_frame::{Phase, TestFrame, TestFrameAction};
use crate::ui::text::test_frame as words;

/// Keys that let a thumb correct the border of sky and ground, and take that back.
pub(super) fn border_keys(sheet: &TestFrame, link: &Scope<TestFrameSheet>) -> Html {
    let report = sheet.report.as_ref();
    if report.is_none_or(|report| report.border.is_empty() || report.solution.is_err()) {
        return Html::default();
    }
    let key = |id: &'static str, word, action: TestFrameAction| {
        let onclick = link.callback(move |_: MouseEvent| Message::Do(action.clone()));
        html! { <button {id} type="button" class="wide" {onclick}>{ word }</button> }
    };
    let word = if sheet.corrects {
        "The skyline is right"
    } else {
        "Correct the skyline"
    };
    html! {
        <div class="border-keys">
            if sheet.corrects {
                <p>{ words::CORRECT }</p>
            }
            { key("correct-border", word, TestFrameAction::Correct(!sheet.corrects)) }
            if !sheet.correction.is_none() {
                { key("border-as-measured", "As measured", TestFrameAction::BorderAsMeasured) }
            }
        </div>
    }
}

/// A key that opens a file.
pub(super) fn file_key(id: &'static str, word: &'static str, open: &Callback<File>) -> Html {
    let open = open.clone();
    let onchange = Callback::from(move |event: Event| {
        let Some(input) = event.target_dyn_into::<HtmlInputElement>() else {
            return;
        };
        let file = input.files().and_then(|files| files.get(0));
        // the same file again is a change
        input.set_value("");
        if let Some(file) = file {
            open.emit(file);
        }
    });
    html! {
        <div class="photo">
            <label class="wide" for={id}>{ word }</label>
            <input {id} type="file" accept={PICTURE_FILES} {onchange} />
        </div>
    }
}

/// What the key that opens a picture says.
pub(super) const fn key_word(sheet: &TestFrame) -> &'static str {
    match sheet.report {
        None => "Open a picture",
        Some(_) => "Open another picture",
    }
}

/// Puts the frame away, and with it the stars in the loupes.
pub(super) fn put_away_key(sheet: &TestFrame, link: &Scope<TestFrameSheet>) -> Html {
    if sheet.report.is_none() || sheet.phase == Phase::Measuring {
        return Html::default();
    }
    let onclick = link.callback(|_: MouseEvent| Message::Do(TestFrameAction::PutAway));
    html! {
        <button id="put-away" type="button" class="wide" {onclick}>{ "Put this picture away" }</button>
    }
}

/// What is said of the picture opened last, while it is not measured.
pub(super) fn phase_line(sheet: &TestFrame, link: &Scope<TestFrameSheet>) -> Html {
    match &sheet.phase {
        Phase::Empty => html! { <p>{ words::INVITATION }</p> },
        Phase::Failed(why) => html! {
            <p class="told" role="status">
                { why }
                if sheet.report.is_some() {
                    { words::BEFORE }
                }
            </p>
        },
        Phase::Measured => Html::default(),
        Phase::Measuring => html! {
            <div class="row waits" role="status">
                <span>{ words::stage(sheet.stage) }</span>
                { stop_key(link) }
            </div>
        },
    }
}

/// Ends the measuring of a picture, or the reading of a code.
pub(super) fn stop_key(link: &Scope<TestFrameSheet>) -> Html {
    let onclick = link.callback(|_: MouseEvent| Message::Do(TestFrameAction::Stopped));
    html! { <button id="stop-frame" type="button" {onclick}>{ "Stop" }</button> }
}
