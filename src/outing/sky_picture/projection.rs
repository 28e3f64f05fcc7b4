//! What part of the sky a picture shows.

use crate::angle::Angle;
use crate::camera::view::View;
use crate::sky::spans::Span;

/// A picture of one moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Projection {
    /// What the sensor holds.
    Frame(View),
    /// The sky unrolled.
    Strip(Strip),
}

/// Bearing from left to right, apparent altitude upwards, both evenly spaced.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Strip {
    /// True bearing of the left edge.
    pub from: Angle,
    /// True bearing of the right edge, counted on beyond 360° where the strip passes north.
    pub to: Angle,
    /// Apparent altitude of the lower edge.
    pub low: Angle,
    /// Apparent altitude of the upper edge.
    pub high: Angle,
}

/// A night through a slit: time from left to right; each column is the sky at the core's own
/// bearing at that minute, apparent altitude upwards.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slit {
    /// The part of the night, left edge to right edge.
    pub span: Span,
    /// Apparent altitude of the lower edge.
    pub low: Angle,
    /// Apparent altitude of the upper edge.
    pub high: Angle,
}
