//! Sentences shown until they are dismissed.

use crate::outing::document::OutingId;

/// Most plain sentences shown at once.
const MOST: usize = 3;

/// A sentence to show until it is dismissed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Notice {
    /// Something to know.
    Message(String),
    /// Another outing took the place of the one in use.
    OutingArrived {
        /// What it is called.
        name: String,
        /// The outing before, which can be returned to.
        previous: OutingId,
    },
    /// A new version of the page waits to be used.
    NewVersion,
}

/// What changes the sentences shown.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NoticesAction {
    /// One more.
    Show(Notice),
    /// One is dismissed, by its place.
    Dismiss(usize),
    /// The waiting version is to be used.
    UseNewVersion,
}

/// The sentences shown, newest first.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Notices(pub Vec<Notice>);

impl Notices {
    /// Applies an action.
    pub fn reduce(&mut self, action: NoticesAction) {
        match action {
            NoticesAction::Show(notice) => self.show(notice),
            NoticesAction::Dismiss(place) if place < self.0.len() => {
                self.0.remove(place);
            }
            NoticesAction::Dismiss(_) => {}
            NoticesAction::UseNewVersion => {
                self.0.retain(|notice| *notice != Notice::NewVersion);
            }
        }
    }

    /// Shows one more; the oldest plain sentence gives way.
    pub fn show(&mut self, notice: Notice) {
        if !self.0.contains(&notice) {
            self.0.insert(0, notice);
            let mut messages = 0;
            self.0.retain(|notice| {
                messages += usize::from(matches!(notice, Notice::Message(_)));
                messages <= MOST || !matches!(notice, Notice::Message(_))
            });
        }
    }

    /// Shows a plain sentence.
    pub fn message(&mut self, message: impl Into<String>) {
        self.show(Notice::Message(message.into()));
    }

    /// Announces an outing; of several only the last is of use.
    pub fn outing_arrived(&mut self, name: String, previous: OutingId) {
        self.retire_arrivals();
        self.show(Notice::OutingArrived { name, previous });
    }

    /// Takes away what was announced of outings.
    pub fn retire_arrivals(&mut self) {
        self.0
            .retain(|notice| !matches!(notice, Notice::OutingArrived { .. }));
    }
}
