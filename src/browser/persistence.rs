//! What survives the page: the outing, the kits, the ticks and the look.
//!
//! All of it is kept in the one written form ([`form`]): the outing as a line,
//! the kits as a line each. Rubbish in its place gives a sentence and the usual
//! values; what stood there is put under another key, where it can be got at by
//! hand.

use gloo_events::EventListener;

use crate::angle::Angle;
use crate::browser::{storage, time_zone, url_hash};
use crate::outing::field::checklist;
use crate::outing::plan::Outing;
use crate::outing::plan::kit::MOST_KITS;
use crate::outing::plan::site::{MOST_SITES, Site, Zone};
use crate::outing::share::file::{kit_line, site_line};
use crate::outing::share::query;
use crate::ui::state::action::Action;
use crate::ui::state::document::Document;
use crate::ui::state::routes::Theme;
use crate::ui::state::{Notice, State};

/// Where the outing is kept.
const OUTING: &str = "tarnlight.outing";
/// Where the kits are kept, a line each.
const KITS: &str = "tarnlight.kits";
/// Where the sites are kept, a line each.
const SITES: &str = "tarnlight.sites";
/// Where the ticks are kept, by their numbers.
const TICKS: &str = "tarnlight.ticks";
/// Where the look is kept; the page's first script reads it before painting.
const LOOK: &str = "tarnlight.look";
/// After the key of a text that could not be read: where that is put aside.
const ASIDE: &str = ".aside";

/// The state the page starts with: the address before what was kept, what was
/// kept before the usual.
pub fn restored() -> State {
    let mut notices = Vec::new();
    let kept = kept(&mut notices);
    let theme = storage::get(LOOK).and_then(|word| look_named(&word));
    let state = State::new(kept, theme.unwrap_or(Theme::Dusk), notices);
    let state = state.after(Action::ClockRead(time_zone::now()));
    // arrives like any other, so that undo brings back what was kept
    match url_hash::link() {
        Some(link) => state.after(Action::Arrived(Box::new(link))),
        None => state,
    }
}

fn kept(notices: &mut Vec<Notice>) -> Document {
    let mut outing = Outing::default();
    outing.site = first_site(&outing.site);
    if let Some(text) = storage::get(OUTING) {
        let reading = query::read(&text);
        if !reading.errors.is_empty() {
            put_aside(OUTING, &text);
            let message = "what was kept here could not be read; the usual values stand in for it";
            notices.push(Notice::Said(message.to_owned()));
        }
        outing = reading.outing;
    }
    let (kits, lost_kits) = listed(KITS, MOST_KITS, "kits");
    let (sites, lost_sites) = listed(SITES, MOST_SITES, "sites");
    notices.extend(lost_kits.into_iter().chain(lost_sites));
    Document {
        outing,
        kits: kits.into_iter().map(|outing| outing.kit).collect(),
        sites: sites.into_iter().map(|outing| outing.site).collect(),
        ticks: storage::get(TICKS).map_or(0, |text| checklist::read(&text)),
    }
}

/// The site of a first start: on the meridian of the phone's own clock.
fn first_site(usual: &Site) -> Site {
    let Some((zone, offset_min)) = time_zone::own_zone() else {
        return usual.clone();
    };
    Site {
        longitude: Angle::from_degrees(f64::from(offset_min) / 4.0),
        zone: if zone == "UTC" {
            Zone::Fixed(0)
        } else {
            Zone::Named(zone)
        },
        ..usual.clone()
    }
}

/// The outings of a list, a line each, and what to say of those lost.
fn listed(key: &str, most: usize, what: &str) -> (Vec<Outing>, Option<Notice>) {
    let Some(text) = storage::get(key) else {
        return (Vec::new(), None);
    };
    let (mut outings, mut lines, mut lost) = (Vec::new(), Vec::new(), 0);
    for line in text.lines().take(most) {
        // a line that says more than is known here is kept as it is
        let reading = query::read(line);
        if reading.invalid {
            lost += 1;
        } else {
            outings.push(reading.outing);
            lines.push(line);
        }
    }
    let message = (lost > 0).then(|| {
        put_aside(key, &text);
        // what is told once need not be told at every start
        let _ = storage::set(key, &lines.join("\n"));
        Notice::Said(format!("{lost} saved {what} could not be read"))
    });
    (outings, message)
}

/// Puts a text that could not be read in full where it can be got at by hand.
fn put_aside(key: &str, text: &str) {
    // nothing is to be done when even that cannot be kept
    let _ = storage::set(&[key, ASIDE].concat(), text);
}

/// What this page has to write, and what it wrote last.
///
/// What did not change here is not written: another page may have changed it.
#[derive(Debug)]
pub struct Autosave {
    unwritten: Option<Document>,
    written: Document,
}

impl Autosave {
    /// Of a page that found this written.
    pub fn new(written: &Document) -> Self {
        Self {
            unwritten: None,
            written: written.clone(),
        }
    }

    /// Notes what is to be written.
    pub fn note(&mut self, kept: &Document) {
        self.unwritten = Some(kept.clone());
    }

    /// Writes what is noted, and puts the outing into the address. While the page is
    /// being left, browsers no longer take a change of its address.
    pub fn write(&mut self, leaving: bool) -> Result<(), String> {
        let Some(kept) = self.unwritten.take() else {
            return Ok(());
        };
        if !leaving {
            url_hash::write(&query::write(&kept.outing));
        }
        store(&kept, &self.written)?;
        self.written = kept;
        Ok(())
    }
}

fn store(kept: &Document, last: &Document) -> Result<(), String> {
    storage::set(OUTING, &query::write(&kept.outing))?;
    if kept.kits != last.kits {
        let kits: Vec<_> = kept.kits.iter().map(kit_line).collect();
        storage::set(KITS, &kits.join("\n"))?;
    }
    if kept.sites != last.sites {
        let sites: Vec<_> = kept.sites.iter().map(site_line).collect();
        storage::set(SITES, &sites.join("\n"))?;
    }
    if kept.ticks != last.ticks {
        storage::set(TICKS, &checklist::written(kept.ticks))?;
    }
    Ok(())
}

/// Lights the page and remembers how.
pub fn apply_theme(theme: Theme) -> Result<(), String> {
    let word = look_word(theme);
    let document = web_sys::window().and_then(|window| window.document());
    if let Some(document) = document {
        if let Some(root) = document.document_element() {
            // an attribute of our own cannot be refused
            let _ = root.set_attribute("data-look", word);
        }
        let bar = document.query_selector("meta[name=theme-color]");
        if let Ok(Some(bar)) = bar {
            let _ = bar.set_attribute("content", bar_colour(theme));
        }
    }
    storage::set(LOOK, word)
}

const fn look_word(theme: Theme) -> &'static str {
    match theme {
        Theme::Paper => "paper",
        Theme::Dusk => "dusk",
        Theme::Red => "red",
    }
}

fn look_named(word: &str) -> Option<Theme> {
    [Theme::Paper, Theme::Dusk, Theme::Red]
        .into_iter()
        .find(|theme| look_word(*theme) == word)
}

/// Colour of the browser's own bar.
const fn bar_colour(theme: Theme) -> &'static str {
    match theme {
        Theme::Paper => "#f6f1e4",
        Theme::Dusk | Theme::Red => "#000000",
    }
}

/// Listens for the page being left. Dropped, it listens no more.
pub fn on_page_hide(leaving: impl Fn() + 'static) -> Option<EventListener> {
    let window = web_sys::window()?;
    Some(EventListener::new(&window, "pagehide", move |_| leaving()))
}
