//! Undo and redo: the states of the document in a session, and which of them is in use.

use std::rc::Rc;

use super::document::EditKind;
use crate::outing::document::{Document, OutingId};

/// The states of the document since the page was opened.
///
/// Edits of one kind in a row make one step, as when a stepper is held. The number of steps
/// is not limited.
#[derive(Debug, Clone)]
pub struct History {
    steps: Vec<Rc<Document>>,
    /// The step in use.
    cursor: usize,
    /// The kind of the edits that made the step in use, while they may go on.
    run: Option<EditKind>,
}

impl History {
    /// A history that begins here.
    pub fn new(document: Document) -> Self {
        Self {
            steps: vec![Rc::new(document)],
            cursor: 0,
            run: None,
        }
    }

    /// The document in use.
    pub fn document(&self) -> &Rc<Document> {
        &self.steps[self.cursor]
    }

    /// Takes up an edited document. What was undone before can no longer be redone.
    pub fn record(&mut self, document: Document, kind: Option<EditKind>) {
        self.steps.truncate(self.cursor + 1);
        let continues = kind.is_some() && kind == self.run;
        if continues {
            self.steps[self.cursor] = Rc::new(document);
        } else {
            self.steps.push(Rc::new(document));
            self.cursor += 1;
        }
        self.run = kind;
    }

    /// Ends the run of edits: the next one is a step of its own.
    pub fn end_run(&mut self) {
        self.run = None;
    }

    /// Whether there is a step to undo.
    pub fn can_undo(&self) -> bool {
        self.cursor > 0
    }

    /// Whether there is a step to redo.
    pub fn can_redo(&self) -> bool {
        self.cursor + 1 < self.steps.len()
    }

    /// Goes one step back, if there is one.
    pub fn undo(&mut self) {
        self.cursor = self.cursor.saturating_sub(1);
        self.run = None;
    }

    /// Goes one step forward, if there is one.
    pub fn redo(&mut self) {
        if self.can_redo() {
            self.cursor += 1;
        }
        self.run = None;
    }

    /// The last step, up to the one in use, whose outing has this identifier.
    pub fn last_of(&self, id: OutingId) -> Option<&Rc<Document>> {
        let mut earlier = self.steps[..=self.cursor].iter().rev();
        earlier.find(|document| document.id == id)
    }

    /// Gives an outing another identifier in every step that holds it.
    pub fn rename_outing(&mut self, from: OutingId, to: OutingId) {
        for step in &mut self.steps {
            if step.id == from {
                Rc::make_mut(step).id = to;
            }
        }
    }

    /// Changes the steps for which something holds, so that neither undo nor redo takes the
    /// change back. Other steps stay the same ones.
    pub fn rewrite_where(
        &mut self,
        holds: impl Fn(&Document) -> bool,
        change: impl Fn(&mut Document),
    ) {
        for step in self.steps.iter_mut().filter(|step| holds(step)) {
            change(Rc::make_mut(step));
        }
    }

    /// Changes every step, so that neither undo nor redo takes the change back.
    pub fn rewrite(&mut self, change: impl Fn(&mut Document)) {
        self.rewrite_where(|_| true, change);
    }
}

/// Steps are compared by identity: each edit makes a new one.
impl PartialEq for History {
    fn eq(&self, other: &Self) -> bool {
        self.cursor == other.cursor
            && self.run == other.run
            && self.steps.len() == other.steps.len()
            && self
                .steps
                .iter()
                .zip(&other.steps)
                .all(|(one, another)| Rc::ptr_eq(one, another))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ticked(ticks: u64) -> Document {
        Document {
            ticks,
            ..Document::default()
        }
    }

    #[test]
    fn runs_make_one_step_and_steps_have_no_end() {
        let mut history = History::new(ticked(0));
        for ticks in 1..=3 {
            history.record(ticked(ticks), Some(EditKind::Tick));
        }
        for ticks in 4..1000 {
            history.record(ticked(ticks), None);
        }
        for ticks in (3..999).rev() {
            history.undo();
            assert_eq!(history.document().ticks, ticks);
        }
        history.undo();
        assert_eq!((history.document().ticks, history.can_undo()), (0, false));
        history.undo();
        history.redo();
        assert_eq!(history.document().ticks, 3);
        assert!(history.can_redo());
        // an edit after an undo is not one run with the edits before it
        history.record(ticked(7), Some(EditKind::Tick));
        assert!(!history.can_redo());
        history.undo();
        assert_eq!(history.document().ticks, 3);
    }

    #[test]
    fn a_rewrite_reaches_what_is_undone() {
        let mut history = History::new(ticked(0));
        history.record(ticked(1), None);
        history.undo();
        history.rewrite(|document| document.ticks |= 8);
        assert_eq!(history.document().ticks, 8);
        history.redo();
        assert_eq!(history.document().ticks, 9);
    }
}
