//! The panorama in the making.

use crate::angle::Angle;
use crate::outing::framing::panorama::OVERLAP;
use crate::outing::framing::panorama::click_stops::{ClickStops, HEAD_STOPS_DEG};

/// Time between two frames with a head turned by hand: turned, read, locked and come to rest
/// (common practice).
const TURNED_BY_HAND_S: f64 = 10.0;

/// Ways a head turns.
pub const CLICK_STOPS: [ClickStops; 3] = [
    ClickStops::Free,
    ClickStops::WholeDegrees,
    ClickStops::Stops(&HEAD_STOPS_DEG),
];

/// The settings of a panorama.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PanoramaDraft {
    /// Share of a frame that neighbours have in common.
    pub overlap_share: f64,
    /// Time between two frames, s.
    pub pause_s: f64,
    /// How the head turns, by its place in [`CLICK_STOPS`].
    pub click_stops: usize,
    /// The lowest altitude in the picture.
    pub low: Angle,
    /// Whether it covers the sky about the core alone.
    pub about_core: bool,
    /// Most rows; `None` = as many as it takes.
    pub rows: Option<usize>,
    /// Whether its sheet was ever opened, so that the field card tells of it.
    pub planned: bool,
    /// In the field: the frame to be taken now, counted from 0 in the order of shooting; `None`
    /// while it is planned.
    pub field: Option<usize>,
}

/// What changes them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum PanoramaAction {
    /// Share of a frame that neighbours have in common.
    Overlap(f64),
    /// Time between two frames, s.
    Pause(f64),
    /// How the head turns, by its place in [`CLICK_STOPS`].
    ClickStops(usize),
    /// The lowest altitude in the picture.
    Low(Angle),
    /// The sky about the core alone, else the whole arch.
    AboutCore(bool),
    /// Most rows; `None` = as many as it takes.
    Rows(Option<usize>),
    /// The first frame is to be taken.
    FieldStart,
    /// The next of so many frames is to be taken; the last one stays.
    FieldNext(usize),
    /// The frame before is to be taken again.
    FieldBack,
    /// No frames are to be taken any more.
    FieldEnd,
}

impl Default for PanoramaDraft {
    fn default() -> Self {
        Self {
            overlap_share: OVERLAP,
            pause_s: TURNED_BY_HAND_S,
            click_stops: 0,
            low: Angle::from_degrees(-5.0),
            about_core: false,
            rows: None,
            planned: false,
            field: None,
        }
    }
}

impl PanoramaDraft {
    /// Applies an action.
    pub fn reduce(&mut self, action: PanoramaAction) {
        match action {
            PanoramaAction::Overlap(share) => self.overlap_share = share,
            PanoramaAction::Pause(seconds) => self.pause_s = seconds,
            PanoramaAction::ClickStops(place) => self.click_stops = place % CLICK_STOPS.len(),
            PanoramaAction::Low(angle) => self.low = angle,
            PanoramaAction::AboutCore(about_core) => self.about_core = about_core,
            PanoramaAction::Rows(rows) => self.rows = rows,
            PanoramaAction::FieldStart => self.field = Some(0),
            PanoramaAction::FieldNext(count) => {
                let next = |place: usize| (place + 1).min(count.saturating_sub(1));
                self.field = self.field.map(next);
            }
            PanoramaAction::FieldBack => {
                self.field = self.field.map(|place| place.saturating_sub(1));
            }
            PanoramaAction::FieldEnd => self.field = None,
        }
    }

    /// The draft without the place in the field, which changes no plan.
    pub fn to_plan(self) -> Self {
        Self {
            field: None,
            ..self
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_field_leads_from_the_first_frame_to_the_last() {
        let mut draft = PanoramaDraft::default();
        let mut after = |action| {
            draft.reduce(action);
            draft.field
        };
        assert_eq!(after(PanoramaAction::FieldNext(3)), None, "not begun");
        assert_eq!(after(PanoramaAction::FieldStart), Some(0));
        assert_eq!(after(PanoramaAction::FieldBack), Some(0));
        let next = [1, 2, 2].map(Some);
        assert_eq!(next.map(|_| after(PanoramaAction::FieldNext(3))), next);
        assert_eq!(after(PanoramaAction::FieldBack), Some(1));
        assert_eq!(
            after(PanoramaAction::FieldNext(0)),
            Some(0),
            "no frames left"
        );
        assert_eq!(after(PanoramaAction::FieldEnd), None);
    }
}
