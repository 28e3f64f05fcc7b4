//! The site: where the outing goes, by which clock, and places saved before.

use yew::prelude::*;

use super::aim_words;
use super::choice::option;
use super::element::{all, button, el, nothing, say, text};
use super::field::{Field, Read, field};
use super::night_words as night;
use super::sheet::sheet;
use super::state::{Action, State, Towns};
use super::stepper::{Stepper, stepper};
use super::tap::{Send, tap};
use super::words;
use crate::angle::Angle;
use crate::decimal::{fixed, plain};
use crate::device::{clock, gazetteer, location};
use crate::outing::bounds::{LATITUDE, LONGITUDE, SITE_HEIGHT_M};
use crate::outing::clock::Clocks;
use crate::outing::form::LONGEST_NAME;
use crate::outing::place_text;
use crate::outing::site::{Site, Zone};

/// Towns offered for what is typed.
const OFFERED: usize = 6;

/// The sheet.
pub fn site_sheet(state: &State, send: &Send) -> Html {
    let site = &state.kept.outing.site;
    let aim = format!(
        "The camera is taken to point at {}.",
        aim_words::aim_long(&state.kept.outing)
    );
    let parts = vec![
        saved_sites(state, send),
        say("h3", &[], "In use"),
        say(
            "p",
            &[("class", "in-use"), ("role", "status")],
            night::site(site),
        ),
        say("p", &[], aim),
        located(state.place_told.as_deref(), send),
        towns(state, send),
        pasted(site, send),
        coordinates(site, send),
        zone(state, send),
        save(state, send),
        say(
            "p",
            &[("class", "legend")],
            gazetteer::ask(|places| places.source().to_owned()).unwrap_or_default(),
        ),
    ];
    sheet("Site", parts, send)
}

/// The site with something changed.
fn with(site: &Site, change: impl FnOnce(&mut Site)) -> Action {
    let mut site = site.clone();
    change(&mut site);
    Action::SiteEdited(Box::new(site))
}

fn located(told: Option<&str>, send: &Send) -> Html {
    const REASON: &str = "Asked for only on this tap. Your place stays on this phone.";
    let tapped = {
        let send = send.clone();
        Callback::from(move |_| {
            let send = send.clone();
            location::find(move |found| send.emit(Action::Located(found)));
        })
    };
    all(vec![
        button(
            &[("class", "wide")],
            Vec::new(),
            tapped,
            vec![text("Where this phone is")],
        ),
        say(
            "p",
            &[("class", "after"), ("role", "status")],
            told.unwrap_or(REASON).to_owned(),
        ),
    ])
}

fn towns(state: &State, send: &Send) -> Html {
    let site = &state.kept.outing.site;
    let typed = Field::words(("town", "Find a town", ""), state.sought.clone());
    let read: Read = Callback::from(|text: String| Ok(Action::TownSought(text)));
    let mut parts = vec![field(typed, read, send)];
    if let Towns::Missing(why) = &state.towns {
        parts.push(say("p", &[("class", "told")], why.clone()));
    }
    let found = gazetteer::ask(|places| {
        let found = places.search(&state.sought, OFFERED);
        if found.is_empty() && !state.sought.trim().is_empty() {
            return vec![say(
                "p",
                &[],
                "No town of that name in the list; type the place below.",
            )];
        }
        found
            .into_iter()
            .map(|place| {
                let there = Site {
                    name: place.name.chars().take(LONGEST_NAME).collect(),
                    latitude: place.latitude,
                    longitude: place.longitude,
                    height_m: 0.0,
                    zone: Zone::read(place.zone).unwrap_or_else(|_| site.zone.clone()),
                    ..Site::default()
                };
                let line = format!("{} · {}", place.country, night::coordinates(&there));
                let taken = tap(send, Action::TownTaken(Box::new(there)));
                option(place.name, &line, false, taken)
            })
            .collect()
    });
    parts.push(el(
        "div",
        &[("class", "choice tall")],
        found.unwrap_or_default(),
    ));
    all(parts)
}

fn pasted(site: &Site, send: &Send) -> Html {
    let field_of = Field::words(
        (
            "place",
            "Or a place as pasted: 46.52, 9.91 or geo:46.52,9.91",
            "",
        ),
        String::new(),
    );
    let site = site.clone();
    let read: Read = Callback::from(move |typed: String| {
        let place = place_text::read(&typed).map_err(|why| why.to_string())?;
        Ok(with(&site, |site| {
            let height_m = place.height_m.unwrap_or(site.height_m);
            site.move_to(place.latitude, place.longitude, height_m);
        }))
    });
    field(field_of, read, send)
}

/// A box for one part of the site.
fn part(
    (id, label, unit): (&'static str, &'static str, &'static str),
    value: String,
    site: &Site,
    take: fn(&mut Site, &str) -> Result<(), String>,
    send: &Send,
) -> Html {
    let field_of = Field::words((id, label, unit), value);
    let site = site.clone();
    let read: Read = Callback::from(move |typed: String| {
        let mut site = site.clone();
        take(&mut site, &typed)?;
        Ok(Action::SiteEdited(Box::new(site)))
    });
    field(field_of, read, send)
}

fn coordinates(site: &Site, send: &Send) -> Html {
    let latitude = site.latitude.degrees();
    let to = |whole: f64| {
        let held = whole.clamp(LATITUDE.least, LATITUDE.most);
        with(site, |site| site.latitude = Angle::from_degrees(held))
    };
    let degrees = Stepper {
        name: "latitude, whole degrees",
        value: words::latitude(site.latitude),
        less: to(latitude.ceil() - 1.0),
        more: to(latitude.floor() + 1.0),
        value_tapped: None,
    };
    all(vec![
        part(
            ("latitude", "Latitude, south negative or with S", "°"),
            plain(latitude),
            site,
            |site, typed| {
                LATITUDE
                    .read_angle(typed)
                    .map(|angle| site.latitude = angle)
            },
            send,
        ),
        stepper(degrees, send),
        part(
            ("longitude", "Longitude, west negative or with W", "°"),
            plain(site.longitude.degrees()),
            site,
            |site, typed| {
                LONGITUDE
                    .read_longitude(typed)
                    .map(|angle| site.longitude = angle)
            },
            send,
        ),
        part(
            ("height", "Height above the sea", "m"),
            plain(site.height_m),
            site,
            |site, typed| {
                SITE_HEIGHT_M
                    .read(typed)
                    .map(|height_m| site.height_m = height_m)
            },
            send,
        ),
        part(
            ("site-name", "Name of the site", ""),
            site.name.clone(),
            site,
            |site, typed| {
                site.name = typed.trim().chars().take(LONGEST_NAME).collect();
                Ok(())
            },
            send,
        ),
    ])
}

/// The clock in force, and the one of the nearest town where that differs.
fn zone(state: &State, send: &Send) -> Html {
    let site = &state.kept.outing.site;
    let now = match &site.zone {
        Zone::Fixed(minutes) => Some(*minutes),
        Zone::Named(name) => clock::BrowserClocks.offset_min(name, state.now),
    };
    let line = match now {
        Some(minutes) if matches!(site.zone, Zone::Fixed(_)) => {
            format!("Clock: {}, summer and winter.", night::utc(minutes))
        }
        Some(minutes) => format!(
            "Clock: {}, {} now.",
            site.zone.written(),
            night::utc(minutes)
        ),
        None => "This browser does not know the zone, so times are in UTC.".to_owned(),
    };
    let typed = part(
        (
            "zone",
            "Zone, such as Europe/Zurich, or hours from UTC, such as +2",
            "",
        ),
        site.zone.written(),
        site,
        |site, typed| {
            let zone = Zone::read(typed)?;
            if let Zone::Named(name) = &zone
                && clock::BrowserClocks
                    .offset_min(name, clock::now())
                    .is_none()
            {
                return Err("this browser does not know such a zone".to_owned());
            }
            site.zone = zone;
            Ok(())
        },
        send,
    );
    let nearest = gazetteer::ask(|places| {
        let (place, km) = places.nearest(site.latitude, site.longitude)?;
        let zone = Zone::read(place.zone)
            .ok()
            .filter(|zone| *zone != site.zone)?;
        let word = format!("Take the clock of {}", place.name);
        let line = format!("{}, {} km away", place.zone, fixed(km, 0));
        let taken = tap(send, with(site, |site| site.zone = zone));
        Some(option(&word, &line, false, taken))
    });
    all(vec![
        say("h3", &[], "Clock"),
        say("p", &[("role", "status")], line),
        el(
            "div",
            &[("class", "choice tall")],
            nearest.flatten().into_iter().collect(),
        ),
        typed,
    ])
}

fn save(state: &State, send: &Send) -> Html {
    let saved = state.kept.sites.contains(&state.kept.outing.site);
    let (word, disabled) = if saved {
        ("Saved", vec![("disabled", String::new())])
    } else {
        ("Save this site", Vec::new())
    };
    button(
        &[("class", "wide")],
        disabled,
        tap(send, Action::SiteSaved),
        vec![text(word)],
    )
}

fn saved_sites(state: &State, send: &Send) -> Html {
    let sites = &state.kept.sites;
    if sites.is_empty() {
        return nothing();
    }
    let row = |(place, site): (usize, &Site)| {
        let line = night::site(site);
        let used = *site == state.kept.outing.site;
        let name = if site.name.is_empty() {
            line.clone()
        } else {
            site.name.clone()
        };
        let remove = button(
            &[],
            vec![("aria-label", format!("remove {name}"))],
            tap(send, Action::SiteRemoved(place)),
            vec![text("Remove")],
        );
        let take = option(
            &name,
            &site.zone.written(),
            used,
            tap(send, Action::SiteTaken(place)),
        );
        el("li", &[], vec![take, remove])
    };
    let rows = sites.iter().enumerate().map(row).collect();
    all(vec![
        say("h3", &[], "Saved"),
        el("ul", &[("class", "kits")], rows),
    ])
}
