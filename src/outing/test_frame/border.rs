//! The border of sky and ground in a frame, and what a thumb corrects of it.
//!
//! The page has no solution of the frame, so each point says how its direction changes with its
//! place. Over the few pixels of a correction that is linear: at 20 mm on 2400 px, 40 px off, good to
//! 0.02° for a rectilinear lens, by the second derivative of the arctangent where that is greatest, 30° from
//! the axis; not measured.

use serde::{Deserialize, Serialize};

use crate::angle::Angle;

/// A point of the border.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct BorderPoint {
    /// Its place, px.
    pub at: (f32, f32),
    /// Where on the sky that is, where site and moment are known.
    pub towards: Option<BorderDirection>,
}

/// The direction of a point of the border.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct BorderDirection {
    /// True bearing.
    pub bearing: Angle,
    /// Apparent altitude.
    pub altitude: Angle,
    /// Change of bearing and altitude for a pixel to the right, degrees.
    pub right_deg: (f64, f64),
    /// Change of bearing and altitude for a pixel down, degrees.
    pub down_deg: (f64, f64),
}

/// How far the points of a border were moved, px to the right and down; none where nothing was.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Correction {
    moved: Vec<(f32, f32)>,
}

impl Correction {
    /// Whether nothing was moved.
    pub fn is_none(&self) -> bool {
        self.moved.is_empty()
    }

    /// How far a point was moved.
    pub fn of(&self, point: usize) -> (f32, f32) {
        self.moved.get(point).copied().unwrap_or_default()
    }

    /// Where a point is now.
    pub fn place(&self, border: &[BorderPoint], point: usize) -> (f32, f32) {
        let (x, y) = border.get(point).map_or((0.0, 0.0), |it| it.at);
        let (right, down) = self.of(point);
        (x + right, y + down)
    }

    /// Moves what is about a place by so many px to the right and down: the place itself wholly,
    /// what is farther off less, what is `reach_px` away not at all.
    pub fn drag(
        &mut self,
        border: &[BorderPoint],
        from: (f32, f32),
        by: (f32, f32),
        reach_px: f32,
    ) {
        let finite = [from.0, from.1, by.0, by.1].into_iter().all(f32::is_finite);
        if border.is_empty() || !finite {
            return;
        }
        self.moved.resize(border.len(), (0.0, 0.0));
        for point in 0..border.len() {
            let (x, y) = self.place(border, point);
            let off = (x - from.0).hypot(y - from.1) / reach_px;
            if off < 1.0 {
                let share = (1.0 - off * off).powi(2);
                let (right, down) = self.moved[point];
                self.moved[point] = (right + share * by.0, down + share * by.1);
            }
        }
    }

    /// The skyline along the corrected border; points of which no direction is known are left out.
    pub fn skyline(&self, border: &[BorderPoint]) -> Vec<(Angle, Angle)> {
        let points = border.iter().enumerate();
        let directions = points.filter_map(|(point, it)| {
            let towards = it.towards?;
            let (right, down) = self.of(point);
            let (right, down) = (f64::from(right), f64::from(down));
            let along =
                |at: f64, per_right: f64, per_down: f64| at + right * per_right + down * per_down;
            let bearing = along(
                towards.bearing.degrees(),
                towards.right_deg.0,
                towards.down_deg.0,
            );
            let altitude = along(
                towards.altitude.degrees(),
                towards.right_deg.1,
                towards.down_deg.1,
            );
            Some((
                Angle::from_degrees(bearing.rem_euclid(360.0)),
                Angle::from_degrees(altitude),
            ))
        });
        directions.collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A level border of 101 points 10 px apart, 0.05° a pixel, from 359° to 49°, 6° high.
    fn border() -> Vec<BorderPoint> {
        let degrees = Angle::from_degrees;
        (0..=100_u8)
            .map(|step| BorderPoint {
                at: (10.0 * f32::from(step), 400.0),
                towards: Some(BorderDirection {
                    bearing: degrees((359.0 + 0.5 * f64::from(step)).rem_euclid(360.0)),
                    altitude: degrees(6.0),
                    right_deg: (0.05, 0.0),
                    down_deg: (0.0, -0.05),
                }),
            })
            .collect()
    }

    #[test]
    fn a_thumb_raises_what_is_under_it() {
        let (border, mut correction) = (border(), Correction::default());
        assert!(correction.is_none());
        correction.drag(&border, (500.0, 400.0), (0.0, -20.0), 60.0);
        assert_eq!(correction.place(&border, 50), (500.0, 380.0));
        // half way to the reach (1 − 1/4)² of it is left
        let (_, y) = correction.place(&border, 53);
        assert!((y - (400.0 - 20.0 * 0.5625)).abs() < 1e-3, "{y}");
        assert_eq!(correction.of(44), (0.0, 0.0));
        let skyline = correction.skyline(&border);
        assert_eq!(skyline.len(), 101);
        assert!((skyline[50].0.degrees() - 24.0).abs() < 1e-9);
        assert!((skyline[50].1.degrees() - 7.0).abs() < 1e-9);
        assert!((skyline[3].0.degrees() - 0.5).abs() < 1e-9, "past north");
        // and back
        correction.drag(&border, (500.0, 380.0), (0.0, 20.0), 60.0);
        let (_, y) = correction.place(&border, 50);
        assert!((y - 400.0).abs() < 1e-3, "{y}");
    }

    #[test]
    fn what_has_no_direction_has_no_skyline() {
        let mut border = border();
        border[7].towards = None;
        assert_eq!(Correction::default().skyline(&border).len(), 100);
        let mut correction = Correction::default();
        correction.drag(&[], (0.0, 0.0), (1.0, 1.0), 10.0);
        correction.drag(&border, (f32::NAN, 0.0), (1.0, 1.0), 10.0);
        assert!(correction.is_none());
        assert_eq!(correction.place(&border, 999), (0.0, 0.0));
    }
}
