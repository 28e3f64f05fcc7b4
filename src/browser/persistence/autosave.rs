//! Stores the changes of the document, item by item.

use super::items::{KIT_LIST, SITE_LIST, store_ticks};
use super::{OUTING, TAB_OUTING, recent};
use crate::browser::storage;
use crate::outing::document::{Document, ItemsChange, OutingId, SavedLists};
use crate::outing::share::query;

/// The document this page stored last, and the one still to be stored.
///
/// Only what changed here is written: another tab may have changed the rest.
#[derive(Debug)]
pub struct Autosave {
    stored: Document,
    pending: Option<Document>,
}

impl Autosave {
    /// For a page that loaded this document.
    pub fn new(stored: &Document) -> Self {
        Self {
            stored: stored.clone(),
            pending: None,
        }
    }

    /// Sets the document to be stored.
    pub fn note(&mut self, document: &Document) {
        self.pending = Some(document.clone());
    }

    /// Stores what is pending; an error message where it cannot be.
    pub fn write(&mut self) -> Result<(), String> {
        let Some(document) = self.pending.take() else {
            return Ok(());
        };
        let kits = ItemsChange::between(&self.stored.kits, &document.kits);
        let sites = ItemsChange::between(&self.stored.sites, &document.sites);
        KIT_LIST.remove(&kits.removed);
        KIT_LIST.add(&kits.added)?;
        SITE_LIST.remove(&sites.removed);
        SITE_LIST.add(&sites.added)?;
        store_ticks(
            document.ticks & !self.stored.ticks,
            self.stored.ticks & !document.ticks,
        )?;
        let (id, outing) = (document.id, &document.outing);
        if (id, outing) != (self.stored.id, &self.stored.outing) {
            let form = query::write(outing);
            storage::set(OUTING, &form)?;
            recent::put(id, &form)?;
            storage::tab_set(TAB_OUTING, &id.0.to_string());
        }
        self.stored = document;
        Ok(())
    }

    /// Updates the stored lists to those another tab stored.
    pub fn rebase(&mut self, lists: &SavedLists) {
        self.stored.kits.clone_from(&lists.kits);
        self.stored.sites.clone_from(&lists.sites);
        self.stored.ticks = lists.ticks;
    }

    /// Whether a key is that of this page's own recent outing.
    pub fn owns(&self, key: &str) -> bool {
        key == recent::key(self.stored.id)
    }

    /// The identifier of the outing stored last.
    pub fn id(&self) -> OutingId {
        self.stored.id
    }
}
