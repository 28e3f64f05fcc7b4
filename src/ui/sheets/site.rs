//! The site: where the outing goes, by which clock, and places saved before.

use crate::ui::state::document::lists::ListsEdit;
use crate::ui::state::document::site::SiteEdit;
use crate::ui::state::site_sheet::SiteAction;
use crate::ui::widgets::text_field::About;
use yew::prelude::*;

use crate::browser::{gazetteer, geolocation, time_zone};
use crate::decimal::{fixed, plain};
use crate::outing::gazetteer::parse;
use crate::outing::night::local_time::TimeZones;
use crate::outing::plan::bounds::{LATITUDE, LONGITUDE, SITE_HEIGHT_M};
use crate::outing::plan::site::{Site, Zone};
use crate::outing::share::query::LONGEST_NAME;
use crate::ui::state::State;
use crate::ui::state::action::Action;
use crate::ui::state::site_sheet::GazetteerState;
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
    let site = &state.outing().site;
    let aim = format!(
        "The camera is taken to point at {}.",
        aim::aim_long(state.outing())
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
        located(state.site.location.as_deref(), dispatch),
        towns(state, dispatch),
        pasted(dispatch),
        coordinates(site, dispatch),
        zone(state, dispatch),
        save(state, dispatch),
        say(
            "p",
            &[("class", "legend")],
            gazetteer::with_gazetteer(|places| places.source().to_owned()).unwrap_or_default(),
        ),
    ];
    dialog("Site", parts, dispatch)
}

fn located(message: Option<&str>, dispatch: &Dispatch) -> Html {
    const REASON: &str = "Asked for only on this tap. Your place stays on this phone.";
    let tapped = {
        let dispatch = dispatch.clone();
        Callback::from(move |_| {
            let dispatch = dispatch.clone();
            geolocation::request_position(move |found| {
                dispatch.emit(SiteAction::Located(found).into())
            });
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
    let site = &state.outing().site;
    let typed = TextField {
        live: true,
        ..TextField::words(("town", "Find a town", ""), state.site.query.clone())
    };
    let read: Read = Callback::from(|text: String| Ok(SiteAction::Search(text).into()));
    let mut parts = vec![text_field(typed, read, dispatch)];
    if let GazetteerState::Failed(why) = &state.site.gazetteer {
        parts.push(say("p", &[("class", "told")], why.clone()));
    }
    let found = gazetteer::with_gazetteer(|places| {
        let found = places.search(&state.site.query, OFFERED);
        if found.is_empty() && !state.site.query.trim().is_empty() {
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
                let taken = on_click(dispatch, SiteAction::ChooseTown(Box::new(there)));
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

fn pasted(dispatch: &Dispatch) -> Html {
    let field_of = TextField::words(
        (
            "place",
            "Or a place as pasted: 46.52, 9.91 or geo:46.52,9.91",
            "",
        ),
        String::new(),
    );
    let read: Read = Callback::from(|typed: String| {
        let place = parse::read(&typed).map_err(|why| why.to_string())?;
        Ok(SiteEdit::Pasted(place).into())
    });
    text_field(field_of, read, dispatch)
}

/// A box for one part of the site.
fn part(
    about: About,
    value: String,
    read: fn(&str) -> Result<SiteEdit, String>,
    dispatch: &Dispatch,
) -> Html {
    let read: Read = Callback::from(move |typed: String| read(&typed).map(Action::from));
    text_field(TextField::words(about, value), read, dispatch)
}

fn coordinates(site: &Site, dispatch: &Dispatch) -> Html {
    let degrees = Stepper {
        name: "latitude, whole degrees",
        value: exposure::latitude(site.latitude),
        less: SiteEdit::StepLatitude(false).into(),
        more: SiteEdit::StepLatitude(true).into(),
        value_tapped: None,
    };
    all(vec![
        part(
            ("latitude", "Latitude, south negative or with S", "°"),
            plain(site.latitude.degrees()),
            |typed| LATITUDE.read_angle(typed).map(SiteEdit::Latitude),
            dispatch,
        ),
        stepper(degrees, dispatch),
        part(
            ("longitude", "Longitude, west negative or with W", "°"),
            plain(site.longitude.degrees()),
            |typed| LONGITUDE.read_longitude(typed).map(SiteEdit::Longitude),
            dispatch,
        ),
        part(
            ("height", "Height above the sea", "m"),
            plain(site.height_m),
            |typed| SITE_HEIGHT_M.read(typed).map(SiteEdit::Elevation),
            dispatch,
        ),
        part(
            ("site-name", "Name of the site", ""),
            site.name.clone(),
            |typed| Ok(SiteEdit::Name(typed.to_owned())),
            dispatch,
        ),
    ])
}

/// The clock in force, and the one of the nearest town where that differs.
fn zone(state: &State, dispatch: &Dispatch) -> Html {
    let site = &state.outing().site;
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
        |typed| {
            let zone = Zone::read(typed)?;
            if let Zone::Named(name) = &zone
                && time_zone::BrowserTimeZones
                    .offset_min(name, time_zone::now())
                    .is_none()
            {
                return Err("this browser does not know such a zone".to_owned());
            }
            Ok(SiteEdit::Zone(zone))
        },
        dispatch,
    );
    let nearest = gazetteer::with_gazetteer(|places| {
        let (place, km) = places.nearest(site.latitude, site.longitude)?;
        let zone = Zone::read(place.zone)
            .ok()
            .filter(|zone| *zone != site.zone)?;
        let word = format!("Take the clock of {}", place.name);
        let line = format!("{}, {} km away", place.zone, fixed(km, 0));
        let taken = on_click(dispatch, SiteEdit::Zone(zone));
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
    let saved = state.document().sites.contains(&state.outing().site);
    let (word, disabled) = if saved {
        ("Saved", vec![("disabled", String::new())])
    } else {
        ("Save this site", Vec::new())
    };
    button(
        &[("class", "wide")],
        disabled,
        on_click(dispatch, ListsEdit::SaveSite),
        vec![text(word)],
    )
}

fn saved_sites(state: &State, dispatch: &Dispatch) -> Html {
    let sites = &state.document().sites;
    if sites.is_empty() {
        return nothing();
    }
    let row = |(place, site): (usize, &Site)| {
        let line = night::site(site);
        let used = *site == state.outing().site;
        let name = if site.name.is_empty() {
            line.clone()
        } else {
            site.name.clone()
        };
        let remove = button(
            &[],
            vec![("aria-label", format!("remove {name}"))],
            on_click(dispatch, ListsEdit::RemoveSite(place)),
            vec![text("Remove")],
        );
        let take = option(
            &name,
            &site.zone.written(),
            used,
            on_click(dispatch, ListsEdit::UseSite(place)),
        );
        el("li", &[], vec![take, remove])
    };
    let rows = sites.iter().enumerate().map(row).collect();
    all(vec![
        say("h3", &[], "Saved"),
        el("ul", &[("class", "kits")], rows),
    ])
}
