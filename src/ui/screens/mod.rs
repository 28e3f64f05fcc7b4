//! The four screens, one folder a question, and More.

pub mod card;
pub mod exposure;
pub mod framing;
pub mod more;
pub mod night;
pub mod tracking;

use yew::prelude::*;

use crate::ui::deferred;
use crate::ui::state::State;
use crate::ui::state::derived::Derived;
use crate::ui::state::routes::Screen;
use crate::ui::widgets::deck::Keys;
use crate::ui::widgets::dispatch::Dispatch;

/// The parts of a screen; the page places them by the division of the window.
#[derive(Default)]
pub struct ScreenParts {
    /// The question, for a screen reader.
    pub title: &'static str,
    /// What the screen says first.
    pub headline: Html,
    /// The picture it says it with.
    pub picture: Html,
    /// Choices and keys that belong to the picture.
    pub below: Html,
    /// The two values changed most; `None` where nothing is set on the screen.
    pub keys: Option<Keys>,
    /// All other inputs. They may be left out while they are not in sight, see
    /// [`State::shows_drawer`].
    pub drawer: Html,
    /// A card over what unfolds.
    pub card: Html,
    /// What unfolds: sentences, tables, assumptions. It may be left out while it is not due, see
    /// [`State::folded_due`].
    pub folded: Html,
}

/// The parts of the screen in view; of one that is not loaded yet, its title.
pub fn view(state: &State, derived: &Derived, dispatch: &Dispatch) -> ScreenParts {
    let title = |title| ScreenParts {
        title,
        ..ScreenParts::default()
    };
    let loaded = state.deferred_loaded;
    match state.routes.screen {
        Screen::Exposure => exposure::exposure_screen(state, derived, dispatch),
        Screen::Night if loaded => deferred::night(state, derived, dispatch),
        Screen::Night => title("When?"),
        Screen::Framing if loaded => deferred::framing(state, derived, dispatch),
        Screen::Framing => title("Where?"),
        Screen::Tracking if loaded => deferred::tracking(state, derived, dispatch),
        Screen::Tracking => title("Why track?"),
        Screen::More => more::more_screen(state, derived, dispatch),
    }
}
