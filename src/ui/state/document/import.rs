//! What a file holds, taken into the document.

use crate::outing::document::{Document, OutingId};
use crate::outing::plan::kit::{Kit, MOST_KITS};
use crate::outing::plan::site::{MOST_SITES, Site};
use crate::outing::share::file::{ImportCounts, SharedFile, kit_line, new_items, site_line};

/// What becomes of a file's contents.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ImportReport {
    /// Whether the file holds an outing.
    pub outing: bool,
    /// Its kits.
    pub kits: ImportCounts,
    /// Its sites.
    pub sites: ImportCounts,
}

impl ImportReport {
    /// What taking a file into a document does.
    pub fn new(document: &Document, file: &SharedFile) -> Self {
        Self {
            outing: file.outing.is_some(),
            kits: new_kits(document, file).1,
            sites: new_sites(document, file).1,
        }
    }
}

/// Takes a file in: its outing comes into use, its new kits and sites stand first.
pub(super) fn apply(document: &mut Document, id: OutingId, file: &SharedFile) {
    let (kits, sites) = (new_kits(document, file).0, new_sites(document, file).0);
    document.kits.splice(0..0, kits);
    document.sites.splice(0..0, sites);
    if let Some(outing) = &file.outing {
        document.id = id;
        document.outing.clone_from(outing);
    }
}

fn new_kits(document: &Document, file: &SharedFile) -> (Vec<Kit>, ImportCounts) {
    new(&document.kits, &file.kits, kit_line, MOST_KITS)
}

fn new_sites(document: &Document, file: &SharedFile) -> (Vec<Site>, ImportCounts) {
    new(&document.sites, &file.sites, site_line, MOST_SITES)
}

/// The items of a file that are new, as far as there is room for them.
fn new<T: Clone>(
    saved: &[T],
    imported: &[T],
    line: fn(&T) -> String,
    most: usize,
) -> (Vec<T>, ImportCounts) {
    let lines = |items: &[T]| items.iter().map(line).collect::<Vec<_>>();
    let (places, counts) = new_items(&lines(saved), &lines(imported), most);
    let items = places.into_iter().map(|place| imported[place].clone());
    (items.collect(), counts)
}
