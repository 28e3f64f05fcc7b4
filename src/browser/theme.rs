//! The theme: stored, and applied to the document.

use super::storage;
use crate::listed::listed;

/// Where the theme is stored; the page's first script reads it before painting.
const KEY: &str = "tarnlight.look";

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
    const fn word(self) -> &'static str {
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
