//! How the offline copy stands, and how long the browser keeps what is stored.

use crate::browser::offline::CopyStatus;
use crate::browser::persistent_storage::Keeping;

/// What the page says of working without a signal.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Offline {
    /// The copy of the page.
    pub copy: CopyStatus,
    /// How long copy, kits and outings are kept.
    pub keeping: Keeping,
}

/// What was found out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum OfflineAction {
    /// How the copy stands.
    Copy(CopyStatus),
    /// How long things are kept.
    Keeping(Keeping),
}

impl Offline {
    /// Applies an action.
    pub fn reduce(&mut self, action: OfflineAction) {
        match action {
            OfflineAction::Copy(copy) => self.copy = copy,
            OfflineAction::Keeping(keeping) => self.keeping = keeping,
        }
    }

    /// Whether the copy is missing for a reason that passes.
    pub const fn failed(&self) -> bool {
        matches!(self.copy, CopyStatus::Failed(_))
    }
}
