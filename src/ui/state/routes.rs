//! Which screen is shown, and which sheets lie over it.

pub use crate::ui::sheets::Sheet;

/// A screen, named by the question it answers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Screen {
    /// How long? The shutter time.
    Exposure,
    /// When? The night.
    Night,
    /// Where? The view through the lens.
    Framing,
    /// Why track? What a tracker or a stack gains.
    Tracking,
    /// More: kit, site, field card, sharing, display, undo and redo.
    More,
}

impl Screen {
    /// The class by which style sheets know it.
    pub const fn class(self) -> &'static str {
        match self {
            Self::Exposure => "exposure",
            Self::Night => "night",
            Self::Framing => "framing",
            Self::Tracking => "tracking",
            Self::More => "more",
        }
    }
}

/// What is shown: a screen and the sheets over it, the uppermost last.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Routes {
    /// The screen.
    pub screen: Screen,
    /// The sheets, each opened from the one before.
    pub sheets: Vec<Sheet>,
}

/// What changes it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum RouteAction {
    /// A screen is chosen.
    Show(Screen),
    /// A sheet is opened.
    Open(Sheet),
    /// The uppermost sheet is closed.
    Close,
    /// The browser went back or forward to what was shown earlier.
    Restore(Routes),
}

impl Default for Routes {
    fn default() -> Self {
        Self {
            screen: Screen::Exposure,
            sheets: Vec::new(),
        }
    }
}

impl Routes {
    /// The uppermost sheet.
    pub fn sheet(&self) -> Option<Sheet> {
        self.sheets.last().copied()
    }

    /// Applies an action.
    pub fn reduce(&mut self, action: RouteAction) {
        match action {
            RouteAction::Show(screen) => self.screen = screen,
            RouteAction::Open(sheet) if self.sheet() != Some(sheet) => self.sheets.push(sheet),
            RouteAction::Open(_) => {}
            RouteAction::Close => {
                self.sheets.pop();
            }
            RouteAction::Restore(routes) => *self = routes,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sheet_leads_back_to_the_one_it_was_opened_from() {
        let mut routes = Routes::default();
        for sheet in [Sheet::FieldCard, Sheet::Checklists, Sheet::Checklists] {
            routes.reduce(RouteAction::Open(sheet));
        }
        assert_eq!(routes.sheet(), Some(Sheet::Checklists));
        routes.reduce(RouteAction::Close);
        assert_eq!(routes.sheet(), Some(Sheet::FieldCard));
        routes.reduce(RouteAction::Close);
        routes.reduce(RouteAction::Close);
        assert_eq!(routes, Routes::default());
    }
}
