//! The panorama in the making.

use crate::angle::Angle;
use crate::outing::framing::panorama::OVERLAP;
use crate::outing::framing::panorama::click_stops::{ClickStops, HEAD_STOPS_DEG};

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
    /// Whether its sheet was ever opened, so that the field card tells of it.
    pub planned: bool,
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
}

impl Default for PanoramaDraft {
    fn default() -> Self {
        Self {
            overlap_share: OVERLAP,
            pause_s: 2.0,
            click_stops: 0,
            low: Angle::from_degrees(-5.0),
            about_core: false,
            planned: false,
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
        }
    }
}
