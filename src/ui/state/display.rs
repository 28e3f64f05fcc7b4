//! Theme and screen lock.

use crate::browser::theme::Theme;

/// How the page is displayed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Display {
    /// Colours.
    pub theme: Theme,
    /// Whether the screen is asked to stay on.
    pub keep_awake: bool,
}

/// What changes it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DisplayAction {
    /// A theme is chosen.
    Theme(Theme),
    /// The screen is to stay on, or may sleep.
    KeepAwake(bool),
}

impl Display {
    /// Applies an action.
    pub fn reduce(&mut self, action: DisplayAction) {
        match action {
            DisplayAction::Theme(theme) => self.theme = theme,
            DisplayAction::KeepAwake(keep) => self.keep_awake = keep,
        }
    }
}
