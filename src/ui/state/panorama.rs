//! The panorama in the making.

use crate::angle::Angle;
use crate::decimal::{self, plain};
use crate::outing::framing::panorama::OVERLAP;
use crate::outing::framing::panorama::click_stops::{ClickStops, HEAD_STOPS_DEG};
use crate::outing::plan::bounds::{Bounds, OVERLAP as OVERLAP_BOUNDS, PAUSE_S};

/// Time between two frames with a head turned by hand: turned, read, locked and come to rest
/// (common practice).
const TURNED_BY_HAND_S: f64 = 10.0;

/// What stands for nothing in the written form, and more frames or rows than any panorama has.
const NONE: &str = "-";
const MOST_FRAMES: usize = 10_000;

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

    /// The draft as a tab keeps it over a reload; the place in the field only while its sheet is open.
    pub fn written(&self, open: bool) -> String {
        let count = |count: Option<usize>| count.map_or_else(|| NONE.to_owned(), |n| n.to_string());
        [
            plain(self.overlap_share),
            plain(self.pause_s),
            self.click_stops.to_string(),
            plain(self.low.degrees()),
            u8::from(self.about_core).to_string(),
            u8::from(self.planned).to_string(),
            count(self.rows),
            count(self.field.filter(|_| open)),
        ]
        .join(" ")
    }

    /// Reads what [`PanoramaDraft::written`] wrote; `None` where a part is missing or out of bounds.
    pub fn read(text: &str) -> Option<Self> {
        let parts: Vec<&str> = text.split(' ').collect();
        let &[overlap, pause, stops, low, core, planned, rows, field] = parts.as_slice() else {
            return None;
        };
        let within = |text: &str, (least, most): (f64, f64)| {
            let (sign, digits) = match text.strip_prefix('-') {
                Some(digits) => (-1.0, digits),
                None => (1.0, text),
            };
            let value = sign * decimal::read(digits)?;
            (least..=most).contains(&value).then_some(value)
        };
        let flag = |text: &str| Some(within(text, (0.0, 1.0))? > 0.5);
        let count = |text: &str| match text {
            NONE => Some(None),
            text => text
                .parse::<usize>()
                .ok()
                .filter(|n| *n < MOST_FRAMES)
                .map(Some),
        };
        let most = |bounds: Bounds| (bounds.least, bounds.most);
        Some(Self {
            overlap_share: within(overlap, (0.0, OVERLAP_BOUNDS.most / 100.0))?,
            pause_s: within(pause, most(PAUSE_S))?,
            click_stops: count(stops)?.filter(|place| *place < CLICK_STOPS.len())?,
            low: Angle::from_degrees(within(low, (-90.0, 90.0))?),
            about_core: flag(core)?,
            planned: flag(planned)?,
            rows: count(rows)?,
            field: count(field)?,
        })
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

    /// Every draft is read as it was written, and nothing else is.
    #[test]
    fn a_draft_survives_its_written_form() {
        let draft = PanoramaDraft {
            overlap_share: 0.35,
            pause_s: 4.0,
            click_stops: 2,
            low: Angle::from_degrees(3.0),
            about_core: true,
            rows: Some(1),
            planned: true,
            field: Some(3),
        };
        assert_eq!(PanoramaDraft::read(&draft.written(true)), Some(draft));
        let closed = PanoramaDraft {
            field: None,
            ..draft
        };
        assert_eq!(PanoramaDraft::read(&draft.written(false)), Some(closed));
        let first = PanoramaDraft::default();
        assert_eq!(PanoramaDraft::read(&first.written(true)), Some(first));
        for odd in [
            "",
            "x",
            "0.3 10 0 -5 0 0 -",
            "0.9 10 0 -5 0 0 - -",
            "0.3 10 3 -5 0 0 - -",
            "0.3 10 - -5 0 0 - -",
            "0.3 10 0 -95 0 0 - -",
            "0.3 10 0 -5 2 0 - -",
            "0.3 10 0 -5 0 0 - 99999999999",
            "0.3 1e999 0 -5 0 0 - 1",
        ] {
            assert_eq!(PanoramaDraft::read(odd), None, "{odd}");
        }
    }
}
