//! Edits of where the camera points.

use chrono::NaiveDate;

use super::night::present_minute;
use crate::camera::frame::Frame;
use crate::outing::plan::{Orientation, Outing};
use crate::outing::test_frame::offers::TakenFrame;

/// An edit of where the camera points.
#[derive(Debug, Clone)]
pub enum FramingEdit {
    /// Landscape or portrait.
    Orientation(Orientation),
    /// The camera is pointed, for a minute of a night.
    Point(NaiveDate, u16, Frame),
    /// The camera is turned by so many degrees to the right and up from where it points, for a minute
    /// of a night. Turns add up however late the page draws them.
    Turn {
        /// Date of the night's noon, and the minute.
        at: (NaiveDate, u16),
        /// To the right, degrees.
        right_deg: f64,
        /// Up, degrees.
        up_deg: f64,
    },
    /// The camera points as it did when a picture was taken, at this instant.
    AsTaken(TakenFrame),
    /// The camera follows the core again.
    FollowCore,
}

impl FramingEdit {
    /// Applies the edit.
    pub(in crate::ui::state) fn apply(self, outing: &mut Outing) {
        match self {
            Self::Orientation(orientation) => outing.orientation = orientation,
            Self::Point(date, minute, frame) => {
                (outing.night, outing.minute) = (Some(date), Some(minute));
                outing.frame = Some(frame);
            }
            Self::Turn {
                at: (date, minute),
                right_deg,
                up_deg,
            } => {
                let frame = outing.pointing().frame.turned(right_deg, up_deg);
                (outing.night, outing.minute) = (Some(date), Some(minute));
                outing.frame = Some(frame);
            }
            Self::AsTaken(taken) => {
                let (date, minute) = present_minute(taken.instant, outing.site.longitude);
                outing.orientation = taken.orientation;
                (outing.night, outing.minute) = (Some(date), Some(minute));
                outing.frame = Some(taken.frame);
            }
            Self::FollowCore => outing.frame = None,
        }
    }
}
