//! Saved kits, sites and ticks, each under a key of its own.
//!
//! The key of a kit or site is made from its contents, so that saving the same one in two
//! tabs stores it once. Its text begins with the time it was saved, which orders the list.

use super::{ASIDE, set_aside};
use crate::browser::{storage, time_zone};
use crate::outing::document::SavedLists;
use crate::outing::field::checklist;
use crate::outing::plan::Outing;
use crate::outing::plan::kit::{Kit, MOST_KITS};
use crate::outing::plan::site::{MOST_SITES, Site};
use crate::outing::share::file::{kit_line, site_line};
use crate::outing::share::query;

/// Before the key of a kit.
const KIT: &str = "tarnlight.kit.";
/// Before the key of a site.
const SITE: &str = "tarnlight.site.";
/// Before the key of a tick.
const TICK: &str = "tarnlight.tick.";
/// Where older versions stored all kits, one a line.
const KITS: &str = "tarnlight.kits";
/// Where older versions stored all sites, one a line.
const SITES: &str = "tarnlight.sites";
/// Where older versions stored all ticks, by their numbers.
const TICKS: &str = "tarnlight.ticks";

/// A list whose items are stored one by one.
pub(super) struct List<T> {
    prefix: &'static str,
    /// Plural noun for messages.
    plural: &'static str,
    most: usize,
    line: fn(&T) -> String,
    part: fn(Outing) -> T,
}

/// The saved kits.
pub(super) const KIT_LIST: List<Kit> = List {
    prefix: KIT,
    plural: "kits",
    most: MOST_KITS,
    line: kit_line,
    part: |outing| outing.kit,
};

/// The saved sites.
pub(super) const SITE_LIST: List<Site> = List {
    prefix: SITE,
    plural: "sites",
    most: MOST_SITES,
    line: site_line,
    part: |outing| outing.site,
};

impl<T: PartialEq> List<T> {
    /// Stores items, the first as the newest.
    pub(super) fn add(&self, items: &[T]) -> Result<(), String> {
        self.add_lines(items.iter().map(self.line))
    }

    /// Stores items in their written form. A line with more than is known here stays as it is.
    fn add_lines(&self, lines: impl Iterator<Item = String>) -> Result<(), String> {
        let now_ms = time_zone::now().timestamp_millis();
        for (place, line) in (0..).zip(lines) {
            storage::set(&self.key(&line), &format!("{} {line}", now_ms - place))?;
        }
        Ok(())
    }

    /// Removes items.
    pub(super) fn remove(&self, items: &[T]) {
        if items.is_empty() {
            return;
        }
        for (suffix, text) in storage::with_prefix(self.prefix) {
            let item = self.read(&text).map(|(_, item)| item);
            if item.is_some_and(|item| items.contains(&item)) {
                storage::remove(&[self.prefix, &suffix].concat());
            }
        }
    }

    fn key(&self, line: &str) -> String {
        format!("{}{:016x}", self.prefix, hash(line))
    }

    /// The items, newest first, and how many could not be read.
    fn load(&self) -> (Vec<T>, usize) {
        let (mut items, mut lost) = (Vec::new(), 0);
        for (suffix, text) in storage::with_prefix(self.prefix) {
            if suffix.ends_with(ASIDE) {
                continue;
            }
            match self.read(&text) {
                Some(item) => items.push(item),
                None => {
                    let key = [self.prefix, &suffix].concat();
                    set_aside(&key, &text);
                    storage::remove(&key);
                    lost += 1;
                }
            }
        }
        items.sort_by_key(|(saved_ms, _)| std::cmp::Reverse(*saved_ms));
        let items = items.into_iter().map(|(_, item)| item).take(self.most);
        (items.collect(), lost)
    }

    fn read(&self, text: &str) -> Option<(i64, T)> {
        let (saved_ms, line) = text.split_once(' ')?;
        // unknown keys in a line are ignored
        let plan = query::read(line);
        let item = (!plan.invalid).then(|| (self.part)(plan.outing))?;
        Some((saved_ms.parse().ok()?, item))
    }

    /// Stores the items of an older version's list one by one.
    fn adopt(&self, older: &'static str, messages: &mut Vec<String>) {
        let Some(text) = storage::get(older) else {
            return;
        };
        let (mut lines, mut lost) = (Vec::new(), 0);
        for line in text.lines().take(self.most) {
            if query::read(line).invalid {
                lost += 1;
            } else {
                lines.push(line.to_owned());
            }
        }
        if lost > 0 {
            set_aside(older, &text);
            messages.push(self.lost(lost));
        }
        // where storing fails the older list is kept
        if self.add_lines(lines.into_iter()).is_ok() {
            storage::remove(older);
        }
    }

    fn lost(&self, count: usize) -> String {
        format!("{count} saved {} could not be read", self.plural)
    }
}

/// Stores and removes ticks, given as bits.
pub(super) fn store_ticks(ticked: u64, unticked: u64) -> Result<(), String> {
    for id in 0..u64::BITS {
        let key = format!("{TICK}{id}");
        let bit = checklist::bit(id);
        if ticked & bit != 0 {
            storage::set(&key, "1")?;
        }
        if unticked & bit != 0 {
            storage::remove(&key);
        }
    }
    Ok(())
}

/// The saved lists as they are stored now.
pub fn load() -> SavedLists {
    load_reporting(&mut Vec::new())
}

/// The saved lists, and what could not be read of them.
pub(super) fn load_reporting(messages: &mut Vec<String>) -> SavedLists {
    let (kits, lost_kits) = KIT_LIST.load();
    let (sites, lost_sites) = SITE_LIST.load();
    if lost_kits > 0 {
        messages.push(KIT_LIST.lost(lost_kits));
    }
    if lost_sites > 0 {
        messages.push(SITE_LIST.lost(lost_sites));
    }
    let ticks = storage::with_prefix(TICK).into_iter();
    let bits = ticks.filter_map(|(id, _)| id.parse().ok().map(checklist::bit));
    SavedLists {
        kits,
        sites,
        ticks: bits.fold(0, |all, bit| all | bit),
    }
}

/// Whether a key belongs to the saved lists.
pub fn is_list_key(key: &str) -> bool {
    [KIT, SITE, TICK]
        .iter()
        .any(|prefix| key.starts_with(prefix))
}

/// Converts the lists of older versions, which stored each under one key.
pub(super) fn adopt_older_lists(messages: &mut Vec<String>) {
    KIT_LIST.adopt(KITS, messages);
    SITE_LIST.adopt(SITES, messages);
    if let Some(text) = storage::get(TICKS)
        && store_ticks(checklist::read(&text), 0).is_ok()
    {
        storage::remove(TICKS);
    }
}

/// The 64-bit FNV-1a hash of a text.
///
/// Source: G. Fowler, L. C. Noll, K.-P. Vo, *The FNV Non-Cryptographic Hash Algorithm*
/// (constants from memory).
fn hash(text: &str) -> u64 {
    const OFFSET_BASIS: u64 = 0xCBF2_9CE4_8422_2325;
    const PRIME: u64 = 0x0100_0000_01B3;
    text.bytes().fold(OFFSET_BASIS, |hash, byte| {
        (hash ^ u64::from(byte)).wrapping_mul(PRIME)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Published test values of FNV-1a, 64 bits (from memory).
    #[test]
    fn the_hash_is_fnv_1a() {
        assert_eq!(hash(""), 0xCBF2_9CE4_8422_2325);
        assert_eq!(hash("a"), 0xAF63_DC4C_8601_EC8C);
        assert_eq!(hash("foobar"), 0x8594_4171_F739_67E8);
    }

    #[test]
    fn an_item_is_read_with_its_time() {
        let kit = Kit::default();
        let text = format!("1700000000000 {}", kit_line(&kit));
        assert_eq!(KIT_LIST.read(&text), Some((1_700_000_000_000, kit)));
        for text in ["", "1", "x v=1&mm=20", "1 v=1&mm=0", "1 <html>"] {
            assert_eq!(KIT_LIST.read(text), None, "{text:?}");
        }
    }
}
