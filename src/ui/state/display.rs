//! Theme, brightness and screen lock.

use crate::browser::theme::{BRIGHTNESS, Theme};

/// How the page is displayed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Display {
    /// Colours.
    pub theme: Theme,
    /// Brightness of the page, per cent, in the steps of [`BRIGHTNESS`].
    pub brightness: u8,
    /// Whether the screen is asked to stay on.
    pub keep_awake: bool,
}

/// What changes it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DisplayAction {
    /// A theme is chosen.
    Theme(Theme),
    /// A step brighter, else darker.
    Brighter(bool),
    /// The screen is to stay on, or may sleep.
    KeepAwake(bool),
}

impl Display {
    /// Applies an action.
    pub fn reduce(&mut self, action: DisplayAction) {
        match action {
            DisplayAction::Theme(theme) => self.theme = theme,
            DisplayAction::Brighter(up) => {
                let (least, most, step) = BRIGHTNESS;
                let next = if up {
                    self.brightness.saturating_add(step)
                } else {
                    self.brightness.saturating_sub(step)
                };
                self.brightness = next.clamp(least, most);
            }
            DisplayAction::KeepAwake(keep) => self.keep_awake = keep,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_dimmer_ends_before_the_page_is_dark() {
        let mut display = Display {
            theme: Theme::Red,
            brightness: 100,
            keep_awake: false,
        };
        let mut step = |up| {
            display.reduce(DisplayAction::Brighter(up));
            display.brightness
        };
        assert_eq!(step(true), 100);
        let down: Vec<u8> = (0..9).map(|_| step(false)).collect();
        assert_eq!(down, [90, 80, 70, 60, 50, 40, 30, 30, 30]);
        assert_eq!(step(true), 40);
    }
}
