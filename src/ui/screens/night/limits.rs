//! The limits of a shot window as three keys, and the keys that belong to the night.

use yew::prelude::*;

use crate::outing::plan::Outing;
use crate::outing::plan::limits::{DarknessLimit, MoonLimit};
use crate::ui::layout::Layout;
use crate::ui::screens::night::calendar_button::calendar_button;
use crate::ui::state::action::Action;
use crate::ui::state::deck::DeckAction;
use crate::ui::state::derived::selected_night::SelectedNight;
use crate::ui::state::document::night::NightEdit;
use crate::ui::state::routes::{RouteAction, Sheet};
use crate::ui::text::windows;
use crate::ui::widgets::dispatch::Dispatch;
use crate::ui::widgets::row::{key, row, value_key};

/// Both rows.
pub fn limits(
    outing: &Outing,
    selected: &SelectedNight,
    layout: Layout,
    dispatch: &Dispatch,
) -> Html {
    let limits = &outing.limits;
    let (darkness, _) = windows::darkness_limit(limits.darkness);
    let (moon, _) = windows::moon_limit(limits.moon);
    let darkness = value_key(
        "darkness",
        (darkness.to_owned(), "darkness"),
        NightEdit::Darkness(next_darkness(limits.darkness)),
        dispatch,
    );
    let moon = value_key(
        "moon",
        (moon.to_owned(), "moonlight"),
        NightEdit::Moon(next_moon(limits.moon)),
        dispatch,
    );
    // in a column the stepper of the least height and the season are in sight
    if layout.has_column() {
        return html! {
            <div class="limits">
                { row([darkness, moon]) }
                <div class="row loose">
                    { key("now", "Now", Action::LookAtNow, dispatch) }
                    { key("tonight", "Tonight", NightEdit::Tonight, dispatch) }
                    { calendar_button(outing, selected, dispatch) }
                </div>
            </div>
        };
    }
    let (least, drawer) = (windows::least(limits), DeckAction::DrawUp(true));
    let season = RouteAction::Open(Sheet::Season);
    html! {
        <div class="limits">
            { row([
                darkness,
                value_key("least", (least, "least height"), drawer, dispatch),
                moon,
            ]) }
            <div class="row loose">
                { key("now", "Now", Action::LookAtNow, dispatch) }
                { key("tonight", "Tonight", NightEdit::Tonight, dispatch) }
                { key("open-season", "Season", season, dispatch) }
                { calendar_button(outing, selected, dispatch) }
            </div>
        </div>
    }
}

/// The limit after this one: each tap asks for less darkness, then for all of it again.
fn next_darkness(limit: DarknessLimit) -> DarknessLimit {
    match limit {
        DarknessLimit::Down18 => DarknessLimit::Down15,
        DarknessLimit::Down15 => DarknessLimit::Down12,
        DarknessLimit::Down12 => DarknessLimit::Down18,
    }
}

/// The limit after this one: stricter, then none again.
fn next_moon(limit: MoonLimit) -> MoonLimit {
    match limit {
        MoonLimit::Any => MoonLimit::Harmless,
        MoonLimit::Harmless => MoonLimit::None,
        MoonLimit::None => MoonLimit::Any,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn three_taps_lead_back() {
        for limit in DarknessLimit::ALL {
            assert_eq!(next_darkness(next_darkness(next_darkness(limit))), limit);
            assert_ne!(next_darkness(limit), limit);
        }
        for limit in [MoonLimit::Any, MoonLimit::Harmless, MoonLimit::None] {
            assert_eq!(next_moon(next_moon(next_moon(limit))), limit);
            assert_ne!(next_moon(limit), limit);
        }
    }
}
