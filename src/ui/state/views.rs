//! What is tried or unfolded on the screens without changing the outing.

use std::rc::Rc;

use chrono::NaiveDate;

use crate::camera::rules::Rule;

/// Most thirds of a stop from the answer that are tried: far beyond the ends of any dial.
const MOST_THIRDS: i32 = 1000;

/// How long?
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ExposureView {
    /// Thirds of a stop by which the shutter tried differs from the answer.
    pub tried_thirds: i32,
    /// The row of the rules that is unfolded; the inner `None` is exact drift.
    pub open_rule: Option<Option<Rule>>,
}

/// What changes it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ExposureAction {
    /// Another shutter time is tried, so many thirds of a stop longer.
    TryShutter(i32),
    /// A rule's row is unfolded or folded; `None` is exact drift.
    ToggleRule(Option<Rule>),
}

impl ExposureView {
    /// Applies an action.
    pub fn reduce(&mut self, action: ExposureAction) {
        match action {
            ExposureAction::TryShutter(thirds) => {
                let tried = self.tried_thirds.saturating_add(thirds);
                self.tried_thirds = tried.clamp(-MOST_THIRDS, MOST_THIRDS);
            }
            ExposureAction::ToggleRule(rule) => {
                self.open_rule = (self.open_rule != Some(rule)).then_some(rule);
            }
        }
    }
}

/// Where?
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct FramingView {
    /// Whether the drift map lies over the view through the lens.
    pub drift_map: bool,
    /// Whether the sky is being dragged.
    pub dragging: bool,
}

/// What changes it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FramingAction {
    /// The drift map is laid over the view, or taken off.
    ShowDriftMap(bool),
    /// The sky is being dragged, or no longer.
    Drag(bool),
}

impl FramingView {
    /// Applies an action.
    pub fn reduce(&mut self, action: FramingAction) {
        match action {
            FramingAction::ShowDriftMap(shown) => self.drift_map = shown,
            FramingAction::Drag(dragging) => self.dragging = dragging,
        }
    }
}

/// Why track?
#[derive(Debug, Clone, PartialEq)]
pub struct TrackingView {
    /// The focal length looked at, mm; `None` = the lens in use.
    pub tried_mm: Option<f64>,
    /// Where the picture is split between tripod and tracker, 0 to 1 from the left.
    pub split: f64,
    /// Whether both sides show a stack, or one frame each.
    pub stacked: bool,
    /// The patch of sky as the worker drew it, tones by pixel, or why it could not; `None` before.
    pub samples: Option<Result<Vec<Rc<[u8]>>, String>>,
}

impl Default for TrackingView {
    fn default() -> Self {
        Self {
            tried_mm: None,
            split: 0.5,
            stacked: false,
            samples: None,
        }
    }
}

/// What changes it.
#[derive(Debug, Clone)]
pub enum TrackingAction {
    /// Another focal length is looked at, mm; `None` = the lens in use.
    TryLens(Option<f64>),
    /// The picture is split elsewhere, 0 to 1.
    Split(f64),
    /// Stacks are shown, or one frame of each.
    Stack(bool),
    /// The samples of sky were drawn, or not.
    SamplesDrawn(Result<Vec<Rc<[u8]>>, String>),
    /// They are to be drawn again after a failure.
    DrawAgain,
}

impl TrackingView {
    /// Applies an action.
    pub fn reduce(&mut self, action: TrackingAction) {
        match action {
            TrackingAction::TryLens(focal_mm) => self.tried_mm = focal_mm,
            TrackingAction::Split(share) => self.split = share.clamp(0.0, 1.0),
            TrackingAction::Stack(stacked) => self.stacked = stacked,
            TrackingAction::SamplesDrawn(samples) => self.samples = Some(samples),
            TrackingAction::DrawAgain => self.samples = None,
        }
    }

    /// Whether the worker could not draw.
    pub fn failed(&self) -> bool {
        matches!(self.samples, Some(Err(_)))
    }
}

/// When?
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct NightView {
    /// Whether the minute looked at follows the clock: from [`Action::LookAtNow`] until another
    /// minute, night or outing is chosen.
    ///
    /// [`Action::LookAtNow`]: super::action::Action::LookAtNow
    pub live: bool,
}

/// What happens on the season sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SeasonAction {
    /// A night is picked, and shown under When?.
    Pick(NaiveDate),
}
