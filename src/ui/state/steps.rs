//! Steps of the history: edits, the ways back and forth, and the minute that follows the clock.
//! Each ends what was only tried on the document before.

use chrono::NaiveDate;

use crate::outing::document::Document;
use crate::ui::state::State;
use crate::ui::state::document::Edit;
use crate::ui::state::document::exposure::ExposureEdit;
use crate::ui::state::document::kit::KitEdit;
use crate::ui::state::document::lists::ListsEdit;
use crate::ui::state::document::night::{NightEdit, present_minute};
use crate::ui::state::history::History;
use crate::ui::text::share::outing_name;

impl State {
    pub(super) fn edit_if_any(&mut self, edit: Option<Edit>) {
        if let Some(edit) = edit {
            self.edit(edit);
        }
    }

    /// Edits the document: a step of the history, where something changes.
    pub(super) fn edit(&mut self, edit: Edit) {
        let kind = edit.kind();
        let came = matches!(edit, Edit::Open(..) | Edit::Import(..));
        // a lens that is chosen is the one to look at, also where it was in use already
        if matches!(
            edit,
            Edit::Kit(KitEdit::FocalLength(_)) | Edit::Lists(ListsEdit::UseKit(_))
        ) {
            self.tracking.tried_mm = None;
        }
        // minutes are spent on a stack
        self.tracking.stacked |= matches!(
            edit,
            Edit::Exposure(ExposureEdit::TotalTime(_) | ExposureEdit::StepTotalTime(_))
        );
        let to_now = matches!(edit, Edit::Night(NightEdit::Now(_)));
        self.night.live |= to_now;
        let before = self.history.document().clone();
        let mut document = Document::clone(&before);
        edit.apply(&mut document);
        if !to_now {
            self.end_live(&before, &document);
        }
        if self.night.live {
            // the site may have moved
            let to = self.present(&document);
            set_minute(&mut document, to);
        }
        if document == *before {
            return;
        }
        if document.id != before.id {
            let name = outing_name(&document.outing);
            self.notices.outing_arrived(name, before.id);
        }
        self.history.record(document, kind);
        // what came by itself has a notice with its own way back
        if !came {
            self.deck.offers_undo = true;
            self.deck.edits = self.deck.edits.wrapping_add(1);
        }
        self.end_trials(&before);
    }

    /// Goes through the history.
    pub(super) fn travel(&mut self, go: fn(&mut History)) {
        let before = self.history.document().clone();
        go(&mut self.history);
        self.deck.offers_undo = false;
        let document = self.history.document().clone();
        self.end_live(&before, &document);
        if self.document().id != before.id {
            self.notices.retire_arrivals();
        }
        self.end_trials(&before);
    }

    /// What was tried is over when the document changes.
    fn end_trials(&mut self, before: &Document) {
        self.exposure.tried_thirds = 0;
        if self.outing().site.on_earth() != before.outing.site.on_earth() {
            self.skyline.site_moved();
        }
        let focal_mm = |document: &Document| document.outing.kit.lens.focal_mm;
        if focal_mm(self.document()) != focal_mm(before) {
            self.tracking.tried_mm = None;
        }
    }

    /// Another outing, night or minute is looked at: the page no longer follows the clock.
    fn end_live(&mut self, before: &Document, after: &Document) {
        let looked_at = |document: &Document| (document.id, minute_of(document));
        self.night.live &= looked_at(before) == looked_at(after);
    }

    /// Moves the minute looked at to the present, in all steps since it was asked for.
    pub(super) fn follow_clock(&mut self) {
        let (from, to) = (minute_of(self.document()), self.present(self.document()));
        if self.night.live && from != to {
            self.history.rewrite_where(
                |document| minute_of(document) == from,
                |document| set_minute(document, to),
            );
        }
    }

    /// The night and minute of the present at a document's site.
    fn present(&self, document: &Document) -> ChosenMinute {
        let (date, minute) = present_minute(self.now, document.outing.site.longitude);
        (Some(date), Some(minute))
    }
}

/// The night and the minute of an outing, as far as they are chosen.
type ChosenMinute = (Option<NaiveDate>, Option<u16>);

fn minute_of(document: &Document) -> ChosenMinute {
    (document.outing.night, document.outing.minute)
}

fn set_minute(document: &mut Document, to: ChosenMinute) {
    (document.outing.night, document.outing.minute) = to;
}
