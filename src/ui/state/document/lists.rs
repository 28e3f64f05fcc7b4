//! Edits of the saved kits and sites, of the kept nights and of the ticks.

use chrono::{Datelike, NaiveDate};

use super::kit::KitEdit;
use super::site::SiteEdit;
use crate::outing::document::{Document, MOST_KEPT_NIGHTS};
use crate::outing::field::checklist;
use crate::outing::plan::kit::MOST_KITS;
use crate::outing::plan::site::MOST_SITES;
use crate::outing::share::file::{kit_line, site_line};
use crate::outing::share::query;
use crate::sky::moment::YEARS;

/// An edit of the saved lists.
#[derive(Debug, Clone)]
pub enum ListsEdit {
    /// The kit in use is saved.
    SaveKit,
    /// A saved kit takes the place of the one in use, by its place in the list.
    UseKit(usize),
    /// A saved kit is removed.
    RemoveKit(usize),
    /// The site in use is saved.
    SaveSite,
    /// A saved site takes the place of the one in use.
    UseSite(usize),
    /// A saved site is removed.
    RemoveSite(usize),
    /// A night is kept, by the date of its noon; nothing changes where as many are kept as may be,
    /// or the date is outside the years covered.
    KeepNight(NaiveDate),
    /// A night is kept no longer.
    DropNight(NaiveDate),
    /// A line of a checklist is ticked, or no longer, by its number.
    Tick(u32, bool),
    /// The ticks of a checklist are cleared, by their bits.
    ClearTicks(u64),
}

impl ListsEdit {
    /// Applies the edit.
    pub(super) fn apply(self, document: &mut Document) {
        let Document {
            outing,
            kits,
            sites,
            kept_nights,
            ticks,
            ..
        } = document;
        match self {
            // in the accuracy of the written form, so that it equals what is stored
            Self::SaveKit => {
                outing.kit = query::read(&kit_line(&outing.kit)).outing.kit;
                save(kits, &outing.kit, MOST_KITS);
            }
            Self::SaveSite => {
                outing.site = query::read(&site_line(&outing.site)).outing.site;
                save(sites, &outing.site, MOST_SITES);
            }
            Self::UseKit(place) => {
                if let Some(kit) = kits.get(place) {
                    KitEdit::Use(Box::new(kit.clone())).apply(outing);
                }
            }
            Self::UseSite(place) => {
                if let Some(site) = sites.get(place) {
                    SiteEdit::Use(Box::new(site.clone())).apply(&mut outing.site);
                }
            }
            Self::RemoveKit(place) => remove(kits, place),
            Self::RemoveSite(place) => remove(sites, place),
            Self::KeepNight(date) => {
                if let Err(place) = kept_nights.binary_search(&date)
                    && kept_nights.len() < MOST_KEPT_NIGHTS
                    && YEARS.contains(&date.year())
                {
                    kept_nights.insert(place, date);
                }
            }
            Self::DropNight(date) => kept_nights.retain(|kept| *kept != date),
            Self::Tick(id, ticked) => {
                let bit = checklist::bit(id);
                *ticks = if ticked { *ticks | bit } else { *ticks & !bit };
            }
            Self::ClearTicks(bits) => *ticks &= !bits,
        }
    }
}

/// Puts an item in front of a list that holds each item once.
fn save<T: PartialEq + Clone>(items: &mut Vec<T>, item: &T, most: usize) {
    items.retain(|saved| saved != item);
    items.insert(0, item.clone());
    items.truncate(most);
}

fn remove<T>(items: &mut Vec<T>, place: usize) {
    if place < items.len() {
        items.remove(place);
    }
}
