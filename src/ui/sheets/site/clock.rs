//! The clock of the site, and the one of the nearest town where that differs.

use chrono::{DateTime, Utc};
use yew::prelude::*;

use crate::browser::gazetteer;
use crate::browser::time_zone::{self, BrowserTimeZones};
use crate::decimal::fixed;
use crate::outing::night::local_time::TimeZones;
use crate::outing::plan::site::{Site, Zone};
use crate::ui::sheets::site::site_field;
use crate::ui::state::State;
use crate::ui::state::document::site::SiteEdit;
use crate::ui::text::night;
use crate::ui::widgets::dispatch::{Dispatch, on_click};
use crate::ui::widgets::toggle_group::option;

/// The clock, whose it is, and how to set another.
pub fn clock(state: &State, dispatch: &Dispatch) -> Html {
    let site = &state.outing().site;
    let whose = if state.clock_is_the_sites() {
        "Clock of the site"
    } else {
        "Clock of this phone, until a site is set"
    };
    let about = (
        "zone",
        "Another zone: Europe/Zurich, or hours from UTC: +2",
        "",
    );
    html! {
        <>
            <p class="in-use after" role="status">
                { whose }
                { ": " }
                { clock_message(&site.zone, state.now) }
            </p>
            { site_field(about, site.zone.written(), read_zone, dispatch) }
        </>
    }
}

fn clock_message(zone: &Zone, now: DateTime<Utc>) -> String {
    match zone {
        Zone::Fixed(minutes) => format!("{}, summer and winter.", night::utc(*minutes)),
        Zone::Named(name) => match BrowserTimeZones.offset_min(name, now) {
            Some(minutes) => format!("{}, {} now.", zone.written(), night::utc(minutes)),
            None => "UTC, since this browser does not know the zone.".to_owned(),
        },
    }
}

/// Reads a zone that the browser knows, or an offset from UTC.
fn read_zone(typed: &str) -> Result<SiteEdit, String> {
    let zone = Zone::read(typed)?;
    if let Zone::Named(name) = &zone
        && BrowserTimeZones
            .offset_min(name, time_zone::now())
            .is_none()
    {
        return Err("this browser does not know such a zone".to_owned());
    }
    Ok(SiteEdit::Zone(zone))
}

/// The zone of the town nearest to the site, where it is another: a site that has moved abroad keeps its
/// clock until another is taken.
pub fn nearest_clock(site: &Site, dispatch: &Dispatch) -> Html {
    let offer = site.is_set().then(|| other_clock(site, dispatch)).flatten();
    html! { <div class="choice tall">{ offer }</div> }
}

fn other_clock(site: &Site, dispatch: &Dispatch) -> Option<Html> {
    gazetteer::with_gazetteer(|places| {
        let (town, km) = places.nearest(site.latitude, site.longitude)?;
        let zone = Zone::read(town.zone).ok()?;
        if zone == site.zone {
            return None;
        }
        let word = format!("Take the clock of {}", town.name);
        let line = format!("{}, {} km away", town.zone, fixed(km, 0));
        let take = on_click(dispatch, SiteEdit::Zone(zone));
        Some(option(&word, &line, false, take))
    })
    .flatten()
}
