//! What part of the sky a picture shows.

use std::f64::consts::TAU;

use crate::angle::Angle;
use crate::camera::view::{SensorPoint, View};
use crate::sky::spans::Span;
use crate::vector::Vector;

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
    /// True bearing of the right edge, counted on beyond 360° where the strip passes north; not
    /// less than `from`, at most 360° more.
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
    /// The part of the night, left edge to right edge, in days since it began.
    pub span: Span,
    /// Apparent altitude of the lower edge.
    pub low: Angle,
    /// Apparent altitude of the upper edge.
    pub high: Angle,
}

impl Projection {
    /// Apparent direction, in east, north, up, at a fraction of the width from the left and of the
    /// height from the top; `None` where the lens has no image.
    pub fn direction_at(&self, (x, y): (f64, f64)) -> Option<Vector> {
        match self {
            Self::Frame(view) => {
                let point = SensorPoint {
                    x_mm: (x - 0.5) * view.sensor.width_mm,
                    y_mm: (0.5 - y) * view.sensor.height_mm,
                };
                Some(view.to_enu(view.direction_at(point)?))
            }
            Self::Strip(strip) => {
                let bearing = between(strip.from, strip.to, x);
                Some(Vector::from_bearing(
                    bearing,
                    between(strip.high, strip.low, y),
                ))
            }
        }
    }

    /// Where an apparent direction is, the inverse of [`Self::direction_at`]; `None` outside the
    /// picture.
    pub fn place_of(&self, direction: Vector) -> Option<(f64, f64)> {
        let place = match self {
            Self::Frame(view) => {
                let point = view.image_of(view.to_camera(direction))?;
                (
                    0.5 + point.x_mm / view.sensor.width_mm,
                    0.5 - point.y_mm / view.sensor.height_mm,
                )
            }
            Self::Strip(strip) => {
                let Vector { x, y, z } = direction;
                let past = (x.atan2(y) - strip.from.radians()).rem_euclid(TAU);
                (
                    past / (strip.to.radians() - strip.from.radians()),
                    height_in((strip.low, strip.high), z.atan2(x.hypot(y))),
                )
            }
        };
        is_inside(place).then_some(place)
    }
}

impl Slit {
    /// When a column is, days since the night began, by the fraction of the width.
    pub fn time_at(&self, x: f64) -> f64 {
        self.span.start + (self.span.end - self.span.start) * x
    }

    /// Apparent altitude of a row, by the fraction of the height from the top.
    pub fn altitude_at(&self, y: f64) -> Angle {
        between(self.high, self.low, y)
    }

    /// The fraction of the height at which an apparent altitude in radians is.
    pub(super) fn height_of(&self, altitude: f64) -> f64 {
        height_in((self.low, self.high), altitude)
    }
}

/// Whether a place is in the picture; false for NaN.
pub(super) fn is_inside((x, y): (f64, f64)) -> bool {
    (0.0..=1.0).contains(&x) && (0.0..=1.0).contains(&y)
}

fn between(start: Angle, end: Angle, way: f64) -> Angle {
    Angle::from_radians(start.radians() + (end.radians() - start.radians()) * way)
}

fn height_in((low, high): (Angle, Angle), altitude: f64) -> f64 {
    (high.radians() - altitude) / (high.radians() - low.radians())
}
