//! From moments and altitudes to px of the picture.

use crate::sky::spans::Span;
use crate::ui::layout::Size;
use crate::ui::state::derived::night_band::BandPoint;

/// Height of the ground, in which hours and events stand, px; `styles/screens/night.css` has it too.
pub const GROUND_PX: f64 = 68.0;

/// A picture's scale: the level horizon is the ground's upper edge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NightScale {
    /// Moments from the left to the right end.
    pub span: Span,
    /// Altitude at the upper edge, degrees.
    pub top_deg: f64,
    /// Size with the ground.
    pub size: Size,
}

impl NightScale {
    pub fn new(span: Span, top_deg: f64, size: Size) -> Self {
        Self {
            span,
            top_deg,
            size,
        }
    }

    /// Size of the sky.
    pub fn sky_size(&self) -> Size {
        Size {
            height: self.level_px(),
            ..self.size
        }
    }

    /// The level horizon, from the top, px.
    pub fn level_px(&self) -> f64 {
        (self.size.height - GROUND_PX).max(1.0)
    }

    /// A moment, days since noon, from the left, px.
    pub fn x(&self, at: f64) -> f64 {
        (at - self.span.start) / (self.span.end - self.span.start) * self.size.width
    }

    /// An altitude from the top, px; what is below the horizon lies on it.
    pub fn y(&self, altitude_deg: f64) -> f64 {
        let level = self.level_px();
        level - altitude_deg.clamp(0.0, self.top_deg) / self.top_deg * level
    }

    /// A point of a curve.
    pub fn place(&self, (at, altitude_deg): BandPoint) -> (f64, f64) {
        (self.x(at), self.y(altitude_deg))
    }

    /// Whether a moment is in the picture.
    pub fn shows(&self, at: f64) -> bool {
        self.span.contains(at)
    }
}

/// A curve at a moment, between its points; at its ends outside them.
pub fn value_at(curve: &[BandPoint], at: f64) -> f64 {
    let after = curve.partition_point(|point| point.0 < at);
    let last = curve.len().saturating_sub(1);
    let (Some(from), Some(to)) = (
        curve.get(after.saturating_sub(1)),
        curve.get(after.min(last)),
    ) else {
        return 0.0;
    };
    let share = (at - from.0) / (to.0 - from.0).max(1e-9);
    from.1 + (to.1 - from.1) * share.clamp(0.0, 1.0)
}

/// Points of a curve in a span, with those at its ends.
pub fn within(curve: &[BandPoint], span: Span) -> Vec<BandPoint> {
    let inside = |point: &&BandPoint| span.start < point.0 && point.0 < span.end;
    let end = |at: f64| (at, value_at(curve, at));
    let mut points = vec![end(span.start)];
    points.extend(curve.iter().filter(inside));
    points.push(end(span.end));
    points
}

#[cfg(test)]
mod tests {
    use super::*;

    const CURVE: [BandPoint; 3] = [(0.2, 10.0), (0.4, 20.0), (0.6, -10.0)];

    #[test]
    fn a_curve_is_read_between_its_points() {
        for (at, want) in [
            (0.1, 10.0),
            (0.2, 10.0),
            (0.3, 15.0),
            (0.5, 5.0),
            (0.9, -10.0),
        ] {
            let got = value_at(&CURVE, at);
            assert!((got - want).abs() < 1e-9, "{at}: {got}, want {want}");
        }
        assert_eq!(value_at(&[], 0.5), 0.0);
        let span = Span {
            start: 0.3,
            end: 0.5,
        };
        let points = within(&CURVE, span);
        assert_eq!(points.len(), 3);
        assert_eq!(points[1], CURVE[1]);
    }

    #[test]
    fn the_horizon_is_the_grounds_edge() {
        let span = Span {
            start: 0.25,
            end: 0.75,
        };
        let size = Size {
            width: 360.0,
            height: 268.0,
        };
        let scale = NightScale::new(span, 20.0, size);
        assert_eq!(scale.place((0.5, 0.0)), (180.0, 200.0));
        assert_eq!(scale.place((0.25, 10.0)), (0.0, 100.0));
        assert_eq!((scale.y(-5.0), scale.y(30.0)), (200.0, 0.0));
    }
}
