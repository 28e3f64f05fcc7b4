//! What the browser is asked to do when the state changed.
//!
//! Reducers only change values; what the browser has to do because of that is an effect, performed
//! by `ui/effects.rs`.

use std::rc::Rc;

use super::State;
use super::routes::{Routes, Screen, Sheet};
use crate::browser::theme::Theme;
use crate::outing::document::Document;

/// Something for the browser to do.
#[derive(Debug, Clone, PartialEq)]
pub enum Effect {
    /// The document is to be stored.
    Save,
    /// A theme is to be applied and stored.
    ApplyTheme(Theme),
    /// A brightness is to be applied and stored, per cent.
    ApplyBrightness(u8),
    /// The screen is to stay on, or may sleep.
    WakeLock(bool),
    /// The orientation sensors are to be read, or no longer.
    TiltSensor(bool),
    /// The list of towns is to be loaded.
    LoadGazetteer,
    /// The magnetic declination at the site is to be computed.
    FindDeclination,
    /// The code of the outing's link is to be drawn.
    DrawCode,
    /// The browser's Back is to leave these routes, which are shown now.
    Advance(Routes),
    /// A sheet was closed; the browser's Back is not to open it again.
    Retreat(Routes),
    /// The key that takes back the last edit is to go, after a while.
    HideUndoLater,
    /// The panorama in the making is to be kept for this tab.
    KeepPanorama,
    /// When nothing more changes for a while, the state is to be told.
    RestLater,
    /// What is stored is to be kept for good.
    RequestPersistence,
    /// The waiting version of the page is to take over.
    ActivateNewVersion,
}

/// The effects that follow from a difference between two states.
pub fn of_change(before: &State, after: &State) -> Vec<Effect> {
    let mut effects = Vec::new();
    let mut add = |changed: bool, effect: Effect| {
        if changed {
            effects.push(effect);
        }
    };
    // each edit makes a new document
    let edited = !Rc::ptr_eq(before.history.document(), after.history.document());
    add(edited, Effect::Save);
    add(
        edited && keeps_more(before.document(), after.document()),
        Effect::RequestPersistence,
    );
    let by_hand = before.deck.edits != after.deck.edits;
    add(by_hand, Effect::HideUndoLater);
    let theme = after.display.theme;
    add(before.display.theme != theme, Effect::ApplyTheme(theme));
    let brightness = after.display.brightness;
    add(
        before.display.brightness != brightness,
        Effect::ApplyBrightness(brightness),
    );
    let awake = after.stays_awake();
    add(before.stays_awake() != awake, Effect::WakeLock(awake));
    let sensing = after.skyline.sensing;
    add(
        before.skyline.sensing != sensing,
        Effect::TiltSensor(sensing),
    );
    let sheet = after.routes.sheet();
    let opened = before.routes.sheet() != sheet;
    add(opened && sheet == Some(Sheet::Site), Effect::LoadGazetteer);
    let in_field = |state: &State| state.routes.sheet() == Some(Sheet::Panorama);
    add(
        before.panorama != after.panorama || in_field(before) != in_field(after),
        Effect::KeepPanorama,
    );
    let other_outing = edited && before.outing() != after.outing();
    let place_and_night = |state: &State| (state.outing().site.on_earth(), state.outing().night);
    let elsewhere = edited && place_and_night(before) != place_and_night(after);
    let aims =
        |state: &State| state.routes.screen == Screen::Framing && state.outing().site.is_set();
    add(
        sheet == Some(Sheet::Skyline) && (opened || elsewhere)
            || aims(after) && (!aims(before) || elsewhere),
        Effect::FindDeclination,
    );
    add(
        after.shows_code() && (opened || other_outing),
        Effect::DrawCode,
    );
    effects
}

/// Whether something is kept that was not: a kit, a site, a night or an outing. An outing counts
/// when another comes into use beside it, or when it gets a place; trying lenses plans nothing.
fn keeps_more(before: &Document, after: &Document) -> bool {
    fn gains<T: PartialEq>(before: &[T], after: &[T]) -> bool {
        after.iter().any(|item| !before.contains(item))
    }
    let (was, is) = (&before.outing, &after.outing);
    gains(&before.kits, &after.kits)
        || gains(&before.sites, &after.sites)
        || gains(&before.kept_nights, &after.kept_nights)
        || before.id != after.id && was != is
        || !was.site.is_set() && is.site.is_set()
}
