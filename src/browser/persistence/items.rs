//! Saved kits, sites, kept nights and ticks, each under a key of its own.
//!
//! The key of a kit or site is made from its contents, so that saving the same one in two
//! tabs stores it once; that of a kept night has its date. The text of a kit or site begins with the time it was saved, which orders the list.

use chrono::NaiveDate;

use super::{ASIDE, set_aside};
use crate::browser::{storage, time_zone};
use crate::outing::document::{ItemsChange, MOST_KEPT_NIGHTS, SavedLists};
use crate::outing::field::checklist;
use crate::outing::night::local_time::{format_date, read_date};
use crate::outing::plan::Outing;
use crate::outing::plan::kit::{Kit, MOST_KITS};
use crate::outing::plan::site::{MOST_SITES, Site};
use crate::outing::share::file::{kit_line, site_line};
use crate::outing::share::query;

/// Before the key of a kit.
const KIT: &str = "tarnlight.kit.";
/// Before the key of a site.
const SITE: &str = "tarnlight.site.";
/// Before the date of a kept night in its key.
const NIGHT: &str = "tarnlight.night.";
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
        let lines: Vec<_> = items.iter().map(self.line).collect();
        if lines.is_empty() {
            return;
        }
        for (suffix, text) in storage::with_prefix(self.prefix) {
            let stored = self.read(&text).map(|(_, item)| (self.line)(&item));
            if stored.is_ok_and(|line| lines.contains(&line)) {
                storage::remove(&[self.prefix, &suffix].concat());
            }
        }
    }

    fn key(&self, line: &str) -> String {
        format!("{}{:016x}", self.prefix, hash(line))
    }

    /// The items, newest first, each once.
    fn load(&self) -> Vec<T> {
        let stored = storage::with_prefix(self.prefix).into_iter();
        let mut read: Vec<_> = stored
            .filter_map(|(_, text)| self.read(&text).ok())
            .collect();
        read.sort_by_key(|(saved_ms, _)| std::cmp::Reverse(*saved_ms));
        let mut items: Vec<T> = Vec::new();
        for (_, item) in read {
            if !items.contains(&item) {
                items.push(item);
            }
        }
        items.truncate(self.most);
        items
    }

    /// Moves aside what cannot be read; how many there were.
    fn set_unreadable_aside(&self) -> usize {
        let mut moved = 0;
        for (suffix, text) in storage::with_prefix(self.prefix) {
            let key = [self.prefix, &suffix].concat();
            let unreadable = self.read(&text) == Err(Unread::Invalid) && !suffix.ends_with(ASIDE);
            if unreadable && set_aside(&key, &text) {
                storage::remove(&key);
                moved += 1;
            }
        }
        moved
    }

    fn read(&self, text: &str) -> Result<(i64, T), Unread> {
        let (saved_ms, line) = text.split_once(' ').ok_or(Unread::Invalid)?;
        let saved_ms = saved_ms.parse().map_err(|_| Unread::Invalid)?;
        // a line with more than is known here is read as far as it is known
        let plan = query::read(line);
        if plan.of_newer_version {
            return Err(Unread::Newer);
        }
        if plan.invalid {
            return Err(Unread::Invalid);
        }
        Ok((saved_ms, (self.part)(plan.outing)))
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
            messages.push(lost_message(lost, self.plural));
        }
        // where storing fails the older list is kept
        if self.add_lines(lines.into_iter()).is_ok() {
            storage::remove(older);
        }
    }
}

/// Why a stored item cannot be used.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Unread {
    /// A newer version of the page wrote it.
    Newer,
    /// It is damaged.
    Invalid,
}

fn lost_message(count: usize, plural: &str) -> String {
    format!("{count} saved {plural} could not be read")
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

/// Stores kept nights, and removes those that are kept no longer.
pub(super) fn store_nights(change: &ItemsChange<NaiveDate>) -> Result<(), String> {
    let key = |date: &NaiveDate| [NIGHT, &format_date(*date)].concat();
    for date in &change.added {
        storage::set(&key(date), "1")?;
    }
    for date in &change.removed {
        storage::remove(&key(date));
    }
    Ok(())
}

/// The kept nights in order; of more than there may be, as two tabs may store, the last.
fn kept_nights() -> Vec<NaiveDate> {
    let stored = storage::with_prefix(NIGHT).into_iter();
    let mut dates: Vec<_> = stored
        .filter_map(|(date, _)| read_date(&date).ok())
        .collect();
    dates.sort_unstable();
    dates.dedup();
    dates.split_off(dates.len().saturating_sub(MOST_KEPT_NIGHTS))
}

/// The saved lists as they are stored now; what cannot be read is left out.
pub fn load() -> SavedLists {
    let ticks = storage::with_prefix(TICK).into_iter();
    let bits = ticks.filter_map(|(id, _)| id.parse().ok().map(checklist::bit));
    SavedLists {
        kits: KIT_LIST.load(),
        sites: SITE_LIST.load(),
        kept_nights: kept_nights(),
        ticks: bits.fold(0, |all, bit| all | bit),
    }
}

/// Moves aside what cannot be read, with a message for each list that it was in.
pub(super) fn set_unreadable_aside(messages: &mut Vec<String>) {
    let lost = [
        (KIT_LIST.set_unreadable_aside(), KIT_LIST.plural),
        (SITE_LIST.set_unreadable_aside(), SITE_LIST.plural),
    ];
    for (count, plural) in lost {
        if count > 0 {
            messages.push(lost_message(count, plural));
        }
    }
}

/// Whether a key belongs to the saved lists.
pub fn is_list_key(key: &str) -> bool {
    [KIT, SITE, NIGHT, TICK]
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
        assert_eq!(KIT_LIST.read(&text), Ok((1_700_000_000_000, kit)));
        for text in ["", "1", "x v=1&mm=20", "1 v=1&mm=0", "1 <html>"] {
            assert_eq!(KIT_LIST.read(text), Err(Unread::Invalid), "{text:?}");
        }
        assert_eq!(KIT_LIST.read("1 v=99&mm=20"), Err(Unread::Newer));
    }
}
