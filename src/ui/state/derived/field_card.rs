//! What the field card shows, and Frames and ISO of its camera.

use crate::outing::exposure::corner::Corner;
use crate::outing::field::card::FieldCard;
use crate::outing::plan::Outing;
use crate::ui::state::derived::selected_night::{SelectedNight, days_of};

/// The field card of the night selected, with the corners of the pictures it asks for.
#[derive(Debug, Clone)]
pub struct FieldAnalysis {
    /// The card.
    pub card: FieldCard,
    /// What the corners gather with the card's settings; `None` where they are as bright as
    /// the middle, or not known.
    pub corner: Option<Corner>,
}

impl FieldAnalysis {
    /// For an outing at the minute looked at.
    pub fn new(outing: &Outing, selected: &SelectedNight) -> Self {
        let night = &selected.night;
        let at = days_of(selected.minute);
        let card = FieldCard::new(outing, (&night.site_sky, &night.evening), at);
        Self {
            corner: Corner::new(outing, &card.camera.settings),
            card,
        }
    }
}
