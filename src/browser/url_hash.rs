//! The address's fragment, in which a link carries an outing.
//!
//! It is read and removed from the address at once, so that neither the address nor the browser's
//! history holds a position; only a link of a newer version stays, to be read after an update.

use gloo_events::EventListener;

use super::storage;
use crate::outing::share::query::{self, DecodedPlan};

/// Key under which older versions kept the texts they had written into the address themselves, one
/// a line: those are not links.
const WRITTEN_BY_OLDER: &str = "tarnlight.written";

/// The page's address without the fragment; empty where the browser does not give it.
pub fn page() -> String {
    let place = web_sys::window().map(|window| window.location());
    let part = |part: Option<String>| part.unwrap_or_default();
    let origin = place.as_ref().and_then(|place| place.origin().ok());
    part(origin) + &part(place.and_then(|place| place.pathname().ok()))
}

/// The link to an outing, from its written form.
pub fn link(form: &str) -> String {
    page() + "#" + form
}

/// Removes the outing from the address and returns it. What a newer version wrote is left there, to
/// be read after an update.
pub fn take() -> Option<DecodedPlan> {
    let text = text()?;
    let plan = query::read(&text);
    if !plan.of_newer_version {
        clear();
    }
    let older = storage::tab_get(WRITTEN_BY_OLDER).unwrap_or_default();
    let own = older.lines().any(|line| line == text);
    (!own).then_some(plan)
}

/// Reports outings of links that are opened in this tab, until dropped.
pub fn on_link(opened: impl Fn(DecodedPlan) + 'static) -> Option<EventListener> {
    let window = web_sys::window()?;
    let listener = EventListener::new(&window, "hashchange", move |_| {
        if let Some(plan) = take() {
            opened(plan);
        }
    });
    Some(listener)
}

/// The fragment, unless empty.
fn text() -> Option<String> {
    let hash = web_sys::window()?.location().hash().ok()?;
    let text = hash.strip_prefix('#').unwrap_or(&hash);
    (!text.is_empty()).then(|| text.to_owned())
}

/// Leaves the address of the page alone.
pub fn clear() {
    let history = web_sys::window().and_then(|window| window.history().ok());
    if let Some(history) = history {
        let state = history.state().unwrap_or_default();
        // browsers limit the rate; the next link clears it
        let _ = history.replace_state_with_url(&state, "", Some(&page()));
    }
}
