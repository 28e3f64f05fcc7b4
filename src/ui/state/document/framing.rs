//! Edits of where the camera points.

use chrono::NaiveDate;

use crate::camera::frame::Frame;
use crate::outing::plan::{Orientation, Outing};

/// An edit of where the camera points.
#[derive(Debug, Clone)]
pub enum FramingEdit {
    /// Landscape or portrait.
    Orientation(Orientation),
    /// The camera is pointed, for a minute of a night.
    Point(NaiveDate, u16, Frame),
    /// The camera follows the core again.
    FollowCore,
}

impl FramingEdit {
    /// Applies the edit.
    pub(super) fn apply(self, outing: &mut Outing) {
        match self {
            Self::Orientation(orientation) => outing.orientation = orientation,
            Self::Point(date, minute, frame) => {
                (outing.night, outing.minute) = (Some(date), Some(minute));
                outing.frame = Some(frame);
            }
            Self::FollowCore => outing.frame = None,
        }
    }
}
