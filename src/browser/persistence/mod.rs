//! What survives the page: the outing, recent outings, kits, sites, kept nights and ticks.
//!
//! Saved kits, sites, kept nights, ticks and outings are stored under a key each, so that two tabs that save at
//! the same time both succeed. All of it has the one written form ([`query`]). A text that cannot
//! be read is reported and moved to another key, where it can be recovered by hand.

mod autosave;
mod items;
mod recent;

pub use autosave::Autosave;
pub use items::{is_list_key, load as load_lists};
pub use recent::{RecentOuting, id_of_key as recent_id_of_key, list as recent_outings};

use super::{page_load, storage, time_zone};
use crate::angle::Angle;
use crate::outing::document::{Document, OutingId};
use crate::outing::plan::Outing;
use crate::outing::plan::site::{Site, Zone};
use crate::outing::share::query;

/// Where the outing used last, in any tab, is stored.
const OUTING: &str = "tarnlight.outing";

/// Where a tab keeps the identifier of its outing.
const TAB_OUTING: &str = "tarnlight.outing-id";

/// Suffix of the key that an unreadable text is moved to.
const ASIDE: &str = ".aside";

/// What a page starts with.
pub struct Restored {
    /// The outing used last in any tab, or this tab's own after a reload, and the saved lists.
    pub document: Document,
    /// The outing of this tab, when it was closed and opened again and another one was used since.
    pub tab_outing: Option<(OutingId, Outing)>,
    /// Whether no outing was stored, so that there is none to return to.
    pub first_start: bool,
    /// What could not be read.
    pub messages: Vec<String>,
}

/// Reads what was stored; `id` is for an outing that has none yet.
pub fn restore(id: OutingId) -> Restored {
    let mut messages = Vec::new();
    items::adopt_older_lists(&mut messages);
    items::set_unreadable_aside(&mut messages);
    let lists = items::load();
    let mut document = Document {
        id,
        outing: last_used_outing(&mut messages),
        kits: lists.kits,
        sites: lists.sites,
        kept_nights: lists.kept_nights,
        ticks: lists.ticks,
    };
    let mut tab_outing = None;
    match outing_of_tab() {
        Some((id, outing)) if outing == document.outing || page_load::is_reload() => {
            (document.id, document.outing) = (id, outing);
        }
        Some(other) => tab_outing = Some(other),
        None => {
            if let Some(form) = storage::get(OUTING) {
                document.id = recent::id_for(id, &form);
                storage::tab_set(TAB_OUTING, &document.id.0.to_string());
            }
        }
    }
    Restored {
        document,
        tab_outing,
        first_start: storage::get(OUTING).is_none(),
        messages,
    }
}

/// The outing used last; the default one where there is none.
fn last_used_outing(messages: &mut Vec<String>) -> Outing {
    let Some(text) = storage::get(OUTING) else {
        let mut outing = Outing::default();
        outing.site = first_site(outing.site);
        return outing;
    };
    let plan = query::read(&text);
    if !plan.errors.is_empty() {
        set_aside(OUTING, &text);
        messages.push(
            "what was kept here could not be read; the usual values stand in for it".to_owned(),
        );
    }
    plan.outing
}

/// The outing this tab had when it was reloaded, or closed and opened again.
fn outing_of_tab() -> Option<(OutingId, Outing)> {
    let id = OutingId(storage::tab_get(TAB_OUTING)?.parse().ok()?);
    Some((id, recent::get(id)?))
}

/// The site of a first start: on the meridian of the phone's own clock.
fn first_site(usual: Site) -> Site {
    let Some((zone, offset_min)) = time_zone::own_zone() else {
        return usual;
    };
    Site {
        longitude: Angle::from_degrees(f64::from(offset_min) / 4.0),
        zone: if zone == "UTC" {
            Zone::Fixed(0)
        } else {
            Zone::Named(zone)
        },
        ..usual
    }
}

/// Copies a text that could not be read in full to where it can be recovered by hand; whether
/// that could be stored.
fn set_aside(key: &str, text: &str) -> bool {
    storage::set(&[key, ASIDE].concat(), text).is_ok()
}
