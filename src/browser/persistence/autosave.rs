//! Writes the document shortly after it changed, item by item.

use super::items::{KIT_LIST, SITE_LIST, store_nights, store_ticks};
use super::{OUTING, TAB_OUTING, recent};
use crate::browser::storage;
use crate::outing::document::{Document, ItemsChange, OutingId, SavedLists};
use crate::outing::share::query;

/// The document as this page wrote it last, and the one that is still to be written.
///
/// Only what changed here is written: another tab may have changed the rest.
#[derive(Debug)]
pub struct Autosave {
    written: Document,
    pending: Option<Document>,
}

impl Autosave {
    /// Of a page that found this stored.
    pub fn new(stored: &Document) -> Self {
        Self {
            written: stored.clone(),
            pending: None,
        }
    }

    /// Queues a document. Another outing that is still in the queue is written at once.
    ///
    /// # Errors
    ///
    /// A sentence where that could not be written.
    pub fn queue(&mut self, document: &Document) -> Result<(), String> {
        let other = self.pending.as_ref().map(|pending| pending.id);
        let result = match other {
            Some(id) if id != document.id => self.write(),
            _ => Ok(()),
        };
        self.pending = Some(document.clone());
        result
    }

    /// Writes what is queued.
    ///
    /// # Errors
    ///
    /// A sentence where something could not be written; it stays in the queue.
    pub fn write(&mut self) -> Result<(), String> {
        let Some(document) = self.pending.take() else {
            return Ok(());
        };
        let result = self.write_parts(&document);
        if result.is_err() {
            self.pending = Some(document);
        }
        result
    }

    /// Writes each part that changed, and notes it as written when it is.
    fn write_parts(&mut self, document: &Document) -> Result<(), String> {
        let written = &mut self.written;
        let kits = ItemsChange::between(&written.kits, &document.kits);
        KIT_LIST.add(&kits.added)?;
        KIT_LIST.remove(&kits.removed);
        written.kits.clone_from(&document.kits);
        let sites = ItemsChange::between(&written.sites, &document.sites);
        SITE_LIST.add(&sites.added)?;
        SITE_LIST.remove(&sites.removed);
        written.sites.clone_from(&document.sites);
        let nights = ItemsChange::between(&written.kept_nights, &document.kept_nights);
        store_nights(&nights)?;
        written.kept_nights.clone_from(&document.kept_nights);
        store_ticks(
            document.ticks & !written.ticks,
            written.ticks & !document.ticks,
        )?;
        written.ticks = document.ticks;
        let id = document.id;
        if written.outing != document.outing {
            let form = query::write(&document.outing);
            storage::set(OUTING, &form)?;
            recent::put(id, &form)?;
            written.outing.clone_from(&document.outing);
        }
        if written.id != id {
            // an outing that is only known under another identifier is not the one used last
            storage::tab_set(TAB_OUTING, &id.0.to_string());
            written.id = id;
        }
        Ok(())
    }

    /// Takes note of lists that another tab stored.
    pub fn lists_changed_elsewhere(&mut self, lists: &SavedLists) {
        self.written.kits.clone_from(&lists.kits);
        self.written.sites.clone_from(&lists.sites);
        self.written.kept_nights.clone_from(&lists.kept_nights);
        self.written.ticks = lists.ticks;
    }

    /// The identifier of the outing that this page wrote, if another tab changed it since, as may
    /// happen while the page is frozen.
    pub fn outing_changed_elsewhere(&self) -> Option<OutingId> {
        let stored = recent::get(self.written.id)?;
        (stored != self.written.outing).then_some(self.written.id)
    }
}
