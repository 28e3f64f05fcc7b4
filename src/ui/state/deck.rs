//! The deck under the thumb: whether it is drawn up, and whether an edit can be taken back there.

/// The deck.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct DeckView {
    /// Whether all inputs of the screen are shown.
    pub drawn_up: bool,
    /// Whether the key that takes back the last edit is shown.
    pub offers_undo: bool,
    /// Counts the edits: each shows the key anew.
    pub edits: u32,
}

/// What changes it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DeckAction {
    /// It is drawn up, or put back.
    DrawUp(bool),
    /// The key that takes back the last edit is shown no longer.
    HideUndo,
}

impl DeckView {
    /// Applies an action.
    pub fn reduce(&mut self, action: DeckAction) {
        match action {
            DeckAction::DrawUp(drawn_up) => self.drawn_up = drawn_up,
            DeckAction::HideUndo => self.offers_undo = false,
        }
    }
}
