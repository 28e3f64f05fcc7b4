//! The recent outings, each with its skyline, under a key of its own.

use crate::browser::{storage, time_zone};
use crate::outing::document::OutingId;
use crate::outing::plan::Outing;
use crate::outing::share::query;

/// Before the identifier in the key of a recent outing.
const PREFIX: &str = "tarnlight.recent.";

/// Maximum number of recent outings.
const MOST: usize = 20;

/// A recent outing.
#[derive(Debug, Clone, PartialEq)]
pub struct RecentOuting {
    /// Identifies it.
    pub id: OutingId,
    /// When it was changed last, ms since 1970.
    pub saved_ms: i64,
    /// Its latest state.
    pub outing: Outing,
}

/// Stores an outing in its written form under its identifier; the oldest are removed.
pub(super) fn put(id: OutingId, form: &str) -> Result<(), String> {
    let now_ms = time_zone::now().timestamp_millis();
    storage::set(&key(id), &format!("{now_ms} {form}"))?;
    for (old, _) in stored().into_iter().skip(MOST) {
        storage::remove(&[PREFIX, &old].concat());
    }
    Ok(())
}

/// The identifier of a recent outing with this written form; where there is none, it is
/// stored under the one given.
pub(super) fn id_for(id: OutingId, form: &str) -> OutingId {
    let stored = stored().into_iter();
    let same = stored.filter(|(_, text)| text.split_once(' ').is_some_and(|(_, it)| it == form));
    let known = same
        .filter_map(|(id, _)| id.parse().ok().map(OutingId))
        .next();
    known.unwrap_or_else(|| {
        // where nothing can be stored, nothing is overwritten either
        let _ = put(id, form);
        id
    })
}

/// The outing with an identifier.
pub(super) fn get(id: OutingId) -> Option<Outing> {
    read(id, &storage::get(&key(id))?).map(|recent| recent.outing)
}

/// The recent outings, the one changed last first. What cannot be read is left out.
pub fn list() -> Vec<RecentOuting> {
    let stored = stored().into_iter();
    stored
        .filter_map(|(id, text)| read(OutingId(id.parse().ok()?), &text))
        .collect()
}

/// The identifier in the key of a recent outing.
pub fn id_of_key(key: &str) -> Option<OutingId> {
    Some(OutingId(key.strip_prefix(PREFIX)?.parse().ok()?))
}

/// The key of a recent outing.
fn key(id: OutingId) -> String {
    format!("{PREFIX}{}", id.0)
}

/// Identifiers and texts, the one changed last first.
fn stored() -> Vec<(String, String)> {
    let mut stored = storage::with_prefix(PREFIX);
    stored.sort_by_key(|(_, text)| std::cmp::Reverse(saved_ms(text)));
    stored
}

fn saved_ms(text: &str) -> Option<i64> {
    text.split_once(' ')?.0.parse().ok()
}

fn read(id: OutingId, text: &str) -> Option<RecentOuting> {
    let plan = query::read(text.split_once(' ')?.1);
    (!plan.invalid).then_some(RecentOuting {
        id,
        saved_ms: saved_ms(text)?,
        outing: plan.outing,
    })
}
