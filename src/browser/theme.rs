//! Theme and brightness: stored, and applied to the document.

use wasm_bindgen::JsCast;
use web_sys::HtmlElement;

use super::storage;
use crate::listed::listed;

/// Where the theme is stored; the page's first script reads it before painting.
const KEY: &str = "tarnlight.look";

/// Where the brightness is stored.
const BRIGHTNESS_KEY: &str = "tarnlight.brightness";

/// Brightness of the page, per cent: least, most and step.
pub const BRIGHTNESS: (u8, u8, u8) = (30, 100, 10);

listed! {
    /// Colours of the page.
    #[derive(Debug, Clone, Copy, PartialEq, Eq)]
    pub enum Theme {
        /// By day: dark on a warm light ground.
        Paper,
        /// At home: dark.
        Dusk,
        /// In the field: pure red on black.
        Red,
    }
}

impl Theme {
    /// Its word in storage and in the document's attribute.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Paper => "paper",
            Self::Dusk => "dusk",
            Self::Red => "red",
        }
    }

    /// Colour of the browser's address bar.
    const fn bar_colour(self) -> &'static str {
        match self {
            Self::Paper => "#fbf6ea",
            Self::Dusk | Self::Red => "#000000",
        }
    }
}

/// The theme chosen last, if one was.
pub fn stored() -> Option<Theme> {
    let word = storage::get(KEY)?;
    Theme::ALL.into_iter().find(|theme| theme.word() == word)
}

/// Applies a theme to the document and stores it; an error message where it cannot be stored.
pub fn apply(theme: Theme) -> Result<(), String> {
    let document = web_sys::window().and_then(|window| window.document());
    if let Some(document) = document {
        if let Some(root) = document.document_element() {
            // setting a valid attribute name cannot fail
            let _ = root.set_attribute("data-look", theme.word());
        }
        let bar = document.query_selector("meta[name=theme-color]");
        if let Ok(Some(bar)) = bar {
            let _ = bar.set_attribute("content", theme.bar_colour());
        }
    }
    storage::set(KEY, theme.word())
}

/// The brightness chosen last, per cent; full where none was.
pub fn stored_brightness() -> u8 {
    let stored = storage::get(BRIGHTNESS_KEY).and_then(|text| text.parse().ok());
    let inside = stored.filter(|percent| (BRIGHTNESS.0..=BRIGHTNESS.1).contains(percent));
    inside.unwrap_or(BRIGHTNESS.1)
}

/// Dims the page to a brightness, per cent, and stores it; an error message where it cannot be
/// stored.
pub fn apply_brightness(percent: u8) -> Result<(), String> {
    let document = web_sys::window().and_then(|window| window.document());
    let root = document.and_then(|document| document.document_element());
    if let Some(root) = root.and_then(|root| root.dyn_into::<HtmlElement>().ok()) {
        // a filter costs a layer: none at full brightness. Valid names do not fail.
        let _ = root.toggle_attribute_with_force("data-dim", percent < BRIGHTNESS.1);
        let share = format!("{}", f64::from(percent) / 100.0);
        let _ = root.style().set_property("--brightness", &share);
    }
    storage::set(BRIGHTNESS_KEY, &percent.to_string())
}
