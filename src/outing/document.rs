//! The document: the outing, saved kits and sites, kept nights, ticks of the checklists.

use chrono::NaiveDate;

use super::plan::Outing;
use super::plan::kit::Kit;
use super::plan::site::Site;

/// Identifies an outing in the list of recent ones, across edits of it.
///
/// An edit keeps the identifier; an imported outing gets a new one, so that it never overwrites the
/// one in use.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Default)]
pub struct OutingId(pub u64);

impl OutingId {
    /// The next identifier, by SplitMix64.
    ///
    /// Source: G. L. Steele, D. Lea, C. H. Flood, *Fast Splittable Pseudorandom Number
    /// Generators*, OOPSLA 2014, fig. 14 (constants from memory).
    pub fn next(self) -> Self {
        const GOLDEN_GAMMA: u64 = 0x9E37_79B9_7F4A_7C15;
        let mut z = self.0.wrapping_add(GOLDEN_GAMMA);
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        Self(z ^ (z >> 31))
    }
}

/// Most kept nights.
pub const MOST_KEPT_NIGHTS: usize = 40;

/// Everything that is stored, and that undo restores.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Document {
    /// Identifies the outing in use.
    pub id: OutingId,
    /// The outing in use.
    pub outing: Outing,
    /// Saved kits, newest first.
    pub kits: Vec<Kit>,
    /// Saved sites, newest first.
    pub sites: Vec<Site>,
    /// Kept nights by the dates of their noons, in order and each once, for whatever site is in
    /// use.
    pub kept_nights: Vec<NaiveDate>,
    /// Ticked lines, a bit for each number of [`checklist`](super::field::checklist).
    pub ticks: u64,
}

/// The saved lists as they are stored, which other tabs may have changed.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SavedLists {
    /// Saved kits, newest first.
    pub kits: Vec<Kit>,
    /// Saved sites, newest first.
    pub sites: Vec<Site>,
    /// Kept nights, as in [`Document::kept_nights`].
    pub kept_nights: Vec<NaiveDate>,
    /// Ticked lines, as in [`Document::ticks`].
    pub ticks: u64,
}

/// A change of the saved lists from one state to another, item by item, so that it can be
/// applied to any other state of them.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ListsChange {
    kits: ItemsChange<Kit>,
    sites: ItemsChange<Site>,
    kept_nights: ItemsChange<NaiveDate>,
    ticked: u64,
    unticked: u64,
}

/// Items added, newest first, and removed.
#[derive(Debug, Clone, PartialEq)]
pub struct ItemsChange<T> {
    /// Added items.
    pub added: Vec<T>,
    /// Removed items.
    pub removed: Vec<T>,
}

impl<T> Default for ItemsChange<T> {
    fn default() -> Self {
        Self {
            added: Vec::new(),
            removed: Vec::new(),
        }
    }
}

impl<T: PartialEq + Clone> ItemsChange<T> {
    /// The change from one list to another, apart from order.
    pub fn between(before: &[T], after: &[T]) -> Self {
        let lacking = |from: &[T], other: &[T]| -> Vec<T> {
            let lacking = from.iter().filter(|item| !other.contains(item));
            lacking.cloned().collect()
        };
        Self {
            added: lacking(after, before),
            removed: lacking(before, after),
        }
    }

    /// Applies the change; added items go in front.
    pub fn apply(&self, items: &mut Vec<T>) {
        items.retain(|item| !self.removed.contains(item));
        let new = self.added.iter().filter(|item| !items.contains(item));
        let new: Vec<T> = new.cloned().collect();
        items.splice(0..0, new);
    }
}

impl ListsChange {
    /// The change from a document's lists to the stored ones.
    pub fn between(document: &Document, stored: &SavedLists) -> Self {
        Self {
            kits: ItemsChange::between(&document.kits, &stored.kits),
            sites: ItemsChange::between(&document.sites, &stored.sites),
            kept_nights: ItemsChange::between(&document.kept_nights, &stored.kept_nights),
            ticked: stored.ticks & !document.ticks,
            unticked: document.ticks & !stored.ticks,
        }
    }

    /// Whether there is no change.
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }

    /// Applies the change to a document's lists.
    pub fn apply(&self, document: &mut Document) {
        self.kits.apply(&mut document.kits);
        self.sites.apply(&mut document.sites);
        self.kept_nights.apply(&mut document.kept_nights);
        document.kept_nights.sort_unstable();
        document.ticks = (document.ticks | self.ticked) & !self.unticked;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn kit(name: &str) -> Kit {
        Kit {
            name: name.to_owned(),
            ..Kit::default()
        }
    }

    fn night(day: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(2027, 6, day).expect("a date")
    }

    #[test]
    fn a_change_elsewhere_is_applied_to_any_state_of_the_lists() {
        let document = Document {
            kits: vec![kit("a"), kit("b")],
            kept_nights: vec![night(5), night(6)],
            ticks: 0b0110,
            ..Document::default()
        };
        let stored = SavedLists {
            kits: vec![kit("c"), kit("b")],
            sites: vec![Site::default()],
            kept_nights: vec![night(5), night(9)],
            ticks: 0b1010,
        };
        let change = ListsChange::between(&document, &stored);
        let mut earlier = Document {
            kits: vec![kit("own"), kit("a")],
            kept_nights: vec![night(6), night(20)],
            ticks: 0b0100_0000,
            ..Document::default()
        };
        change.apply(&mut earlier);
        assert_eq!(earlier.kits, [kit("c"), kit("own")]);
        assert_eq!(earlier.sites, [Site::default()]);
        assert_eq!(earlier.kept_nights, [night(9), night(20)]);
        assert_eq!(earlier.ticks, 0b0100_1000);
        let mut same = document.clone();
        change.apply(&mut same);
        assert!(ListsChange::between(&same, &stored).is_empty());
    }

    #[test]
    fn identifiers_do_not_repeat() {
        let mut ids = vec![OutingId(7)];
        for _ in 0..1000 {
            ids.push(ids[ids.len() - 1].next());
        }
        ids.sort();
        ids.dedup();
        assert_eq!(ids.len(), 1001);
    }
}
