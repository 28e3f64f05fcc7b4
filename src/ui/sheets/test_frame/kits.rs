//! The kit against which a picture is measured, where several are saved.

use yew::prelude::*;

use crate::outing::document::Document;
use crate::outing::test_frame::kit_choice::suggested;
use crate::outing::test_frame::report::FrameReport;
use crate::ui::sheets::kit::{kit_word, own_lenses};
use crate::ui::text::test_frame as words;
use crate::ui::widgets::dispatch::Dispatch;

/// From so many saved kits on there is something to choose.
const SEVERAL: usize = 2;

/// The kits as chips, and which one the file points to.
pub fn kits(document: &Document, report: Option<&FrameReport>, dispatch: &Dispatch) -> Html {
    if document.kits.len() < SEVERAL {
        return Html::default();
    }
    let notes = report.map(|report| &report.notes);
    let hint = notes.and_then(|notes| {
        let place = suggested(notes, &document.kits, &document.outing.kit)?;
        Some(words::of_kit(notes, &kit_word(&document.kits[place])))
    });
    html! {
        <div class="frame-kits" id="frame-kits">
            <p class="quiet">{ words::AGAINST }</p>
            { own_lenses(document, dispatch) }
            if let Some(hint) = hint {
                <p role="status">{ hint }</p>
            }
        </div>
    }
}
