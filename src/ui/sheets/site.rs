//! The site: where the outing goes, by which clock, and places saved before.

use yew::prelude::*;

use crate::angle::Angle;
use crate::browser::{gazetteer, geolocation, time_zone};
use crate::decimal::{fixed, plain};
use crate::outing::gazetteer::parse;
use crate::outing::night::local_time::TimeZones;
use crate::outing::plan::bounds::{LATITUDE, LONGITUDE, SITE_HEIGHT_M};
use crate::outing::plan::site::{Site, Zone};
use crate::outing::share::query::LONGEST_NAME;
use crate::ui::state::action::Action;
use crate::ui::state::{State, Towns};
use crate::ui::text::aim;
use crate::ui::text::exposure;
use crate::ui::text::night;
use crate::ui::widgets::dialog::dialog;
use crate::ui::widgets::dispatch::{Dispatch, on_click};
use crate::ui::widgets::element::{all, button, el, nothing, say, text};
use crate::ui::widgets::stepper::{Stepper, stepper};
use crate::ui::widgets::text_field::{Read, TextField, text_field};
use crate::ui::widgets::toggle_group::option;

/// Towns offered for what is typed.
const OFFERED: usize = 6;

/// The sheet.
pub fn site_sheet(state: &State, dispatch: &Dispatch) -> Html {
    let site = &state.kept.outing.site;
    let aim = format!(
        "The camera is taken to point at {}.",
        aim::aim_long(&state.kept.outing)
    );
    let parts = vec![
        saved_sites(state, dispatch),
        say("h3", &[], "In use"),
        say(
            "p",
            &[("class", "in-use"), ("role", "status")],
            night::site(site),
        ),
        say("p", &[], aim),
        located(state.place_message.as_deref(), dispatch),
        towns(state, dispatch),
        pasted(site, dispatch),
        coordinates(site, dispatch),
        zone(state, dispatch),
        save(state, dispatch),
        say(
            "p",
            &[("class", "legend")],
            gazetteer::ask(|places| places.source().to_owned()).unwrap_or_default(),
        ),
    ];
    dialog("Site", parts, dispatch)
}

/// The site with something changed.
fn with(site: &Site, change: impl FnOnce(&mut Site)) -> Action {
    let mut site = site.clone();
    change(&mut site);
    Action::SiteEdited(Box::new(site))
}

fn located(message: Option<&str>, dispatch: &Dispatch) -> Html {
    const REASON: &str = "Asked for only on this tap. Your place stays on this phone.";
    let tapped = {
        let dispatch = dispatch.clone();
        Callback::from(move |_| {
            let dispatch = dispatch.clone();
            geolocation::find(move |found| dispatch.emit(Action::Located(found)));
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
            message.unwrap_or(REASON).to_owned(),
        ),
    ])
}

fn towns(state: &State, dispatch: &Dispatch) -> Html {
    let site = &state.kept.outing.site;
    let typed = TextField {
        live: true,
        ..TextField::words(("town", "Find a town", ""), state.sought.clone())
    };
    let read: Read = Callback::from(|text: String| Ok(Action::TownSought(text)));
    let mut parts = vec![text_field(typed, read, dispatch)];
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
                let taken = on_click(dispatch, Action::TownTaken(Box::new(there)));
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

fn pasted(site: &Site, dispatch: &Dispatch) -> Html {
    let field_of = TextField::words(
        (
            "place",
            "Or a place as pasted: 46.52, 9.91 or geo:46.52,9.91",
            "",
        ),
        String::new(),
    );
    let site = site.clone();
    let read: Read = Callback::from(move |typed: String| {
        let place = parse::read(&typed).map_err(|why| why.to_string())?;
        Ok(with(&site, |site| {
            let height_m = place.height_m.unwrap_or(site.height_m);
            site.move_to(place.latitude, place.longitude, height_m);
        }))
    });
    text_field(field_of, read, dispatch)
}

/// A box for one part of the site.
fn part(
    (id, label, unit): (&'static str, &'static str, &'static str),
    value: String,
    site: &Site,
    take: fn(&mut Site, &str) -> Result<(), String>,
    dispatch: &Dispatch,
) -> Html {
    let field_of = TextField::words((id, label, unit), value);
    let site = site.clone();
    let read: Read = Callback::from(move |typed: String| {
        let mut site = site.clone();
        take(&mut site, &typed)?;
        Ok(Action::SiteEdited(Box::new(site)))
    });
    text_field(field_of, read, dispatch)
}

fn coordinates(site: &Site, dispatch: &Dispatch) -> Html {
    let latitude = site.latitude.degrees();
    let to = |whole: f64| {
        let held = whole.clamp(LATITUDE.least, LATITUDE.most);
        with(site, |site| site.latitude = Angle::from_degrees(held))
    };
    let degrees = Stepper {
        name: "latitude, whole degrees",
        value: exposure::latitude(site.latitude),
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
            dispatch,
        ),
        stepper(degrees, dispatch),
        part(
            ("longitude", "Longitude, west negative or with W", "°"),
            plain(site.longitude.degrees()),
            site,
            |site, typed| {
                LONGITUDE
                    .read_longitude(typed)
                    .map(|angle| site.longitude = angle)
            },
            dispatch,
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
            dispatch,
        ),
        part(
            ("site-name", "Name of the site", ""),
            site.name.clone(),
            site,
            |site, typed| {
                site.name = typed.trim().chars().take(LONGEST_NAME).collect();
                Ok(())
            },
            dispatch,
        ),
    ])
}

/// The clock in force, and the one of the nearest town where that differs.
fn zone(state: &State, dispatch: &Dispatch) -> Html {
    let site = &state.kept.outing.site;
    let now = match &site.zone {
        Zone::Fixed(minutes) => Some(*minutes),
        Zone::Named(name) => time_zone::BrowserTimeZones.offset_min(name, state.now),
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
                && time_zone::BrowserTimeZones
                    .offset_min(name, time_zone::now())
                    .is_none()
            {
                return Err("this browser does not know such a zone".to_owned());
            }
            site.zone = zone;
            Ok(())
        },
        dispatch,
    );
    let nearest = gazetteer::ask(|places| {
        let (place, km) = places.nearest(site.latitude, site.longitude)?;
        let zone = Zone::read(place.zone)
            .ok()
            .filter(|zone| *zone != site.zone)?;
        let word = format!("Take the clock of {}", place.name);
        let line = format!("{}, {} km away", place.zone, fixed(km, 0));
        let taken = on_click(dispatch, with(site, |site| site.zone = zone));
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

fn save(state: &State, dispatch: &Dispatch) -> Html {
    let saved = state.kept.sites.contains(&state.kept.outing.site);
    let (word, disabled) = if saved {
        ("Saved", vec![("disabled", String::new())])
    } else {
        ("Save this site", Vec::new())
    };
    button(
        &[("class", "wide")],
        disabled,
        on_click(dispatch, Action::SiteSaved),
        vec![text(word)],
    )
}

fn saved_sites(state: &State, dispatch: &Dispatch) -> Html {
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
            on_click(dispatch, Action::SiteRemoved(place)),
            vec![text("Remove")],
        );
        let take = option(
            &name,
            &site.zone.written(),
            used,
            on_click(dispatch, Action::SiteTaken(place)),
        );
        el("li", &[], vec![take, remove])
    };
    let rows = sites.iter().enumerate().map(row).collect();
    all(vec![
        say("h3", &[], "Saved"),
        el("ul", &[("class", "kits")], rows),
    ])
}
