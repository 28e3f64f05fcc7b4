//! Whether one side of a picture is soft and the opposite one sharp.
//!
//! A lens that stands straight draws the same at the same distance from the picture's middle, however
//! badly. Corners that differ say that lens or sensor stands askew, or that elements of the lens do.

use serde::{Deserialize, Serialize};

use crate::astrometry::strokes::{StrokeMeasure, Zone};

/// Stars in a corner this much wider than in the middle are the lens's, as a factor and px.
const WIDER: f64 = 1.4;
const WIDER_PX: f64 = 0.8;

/// The side of a picture where stars are wide.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum SoftSide {
    /// Left.
    Left,
    /// Right.
    Right,
    /// Top.
    Top,
    /// Bottom.
    Bottom,
    /// The upper left corner, against the lower right one.
    TopLeft,
    /// The upper right corner, against the lower left one.
    TopRight,
    /// The lower left corner, against the upper right one.
    BottomLeft,
    /// The lower right corner, against the upper left one.
    BottomRight,
}

/// A picture that is soft on one side.
#[derive(Debug, Clone, PartialEq)]
pub struct Tilt<'a> {
    /// Where it is soft.
    pub side: SoftSide,
    /// The sharpest corner.
    pub sharp: &'a StrokeMeasure,
    soft: Vec<Zone>,
}

impl Tilt<'_> {
    /// Whether a corner is one of the soft ones.
    pub fn is_soft(&self, zone: Zone) -> bool {
        self.soft.contains(&zone)
    }
}

/// Finds the soft side; `None` where corners are alike, as far as their errors and their distances
/// from the middle let that be told, or where opposite ones are soft.
pub fn tilt(measured: &[StrokeMeasure]) -> Option<Tilt<'_>> {
    let middle = measured.iter().find(|stroke| stroke.zone == Zone::Middle)?;
    let corners = || measured.iter().filter(|stroke| stroke.zone != Zone::Middle);
    let sharp = corners().min_by(|a, b| a.width_px.total_cmp(&b.width_px))?;
    // else it is the lens that is soft in every corner
    if sharp.width_px > WIDER * middle.width_px {
        return None;
    }
    let far_px = |stroke: &StrokeMeasure| stroke.at.distance_px(middle.at).max(1.0);
    // what a lens adds to a star grows as the square of the distance (third-order coma and
    // astigmatism), and adds in squares
    let added = (sharp.width_px.powi(2) - middle.width_px.powi(2)).max(0.0);
    let expected_px = |stroke: &StrokeMeasure| {
        let farther = (far_px(stroke) / far_px(sharp)).max(1.0);
        let width = sharp.width_px.powi(2) - added + added * farther.powi(4);
        width.sqrt()
    };
    let soft: Vec<Zone> = corners()
        .filter(|stroke| is_wider(stroke, expected_px(stroke)))
        .map(|stroke| stroke.zone)
        .collect();
    let side = side(
        &soft,
        &corners().map(|stroke| stroke.zone).collect::<Vec<_>>(),
    )?;
    Some(Tilt { side, sharp, soft })
}

/// How far right and down a corner is.
const fn place(zone: Zone) -> (i32, i32) {
    match zone {
        Zone::Middle => (0, 0),
        Zone::TopLeft => (-1, -1),
        Zone::TopRight => (1, -1),
        Zone::BottomLeft => (-1, 1),
        Zone::BottomRight => (1, 1),
    }
}

/// From the corners that are sharp towards those that are soft.
fn side(soft: &[Zone], corners: &[Zone]) -> Option<SoftSide> {
    if soft.is_empty() {
        return None;
    }
    let sum = |is_soft: bool, part: fn((i32, i32)) -> i32| {
        let of_kind = corners.iter().filter(|zone| soft.contains(zone) == is_soft);
        let count = of_kind.clone().count().max(1) as f64;
        f64::from(of_kind.map(|zone| part(place(*zone))).sum::<i32>()) / count
    };
    let right = sum(true, |at| at.0) - sum(false, |at| at.0);
    let down = sum(true, |at| at.1) - sum(false, |at| at.1);
    // of a single soft corner among four both parts are as large; of a side's two, one is nothing
    let sign = |part: f64, other: f64| {
        if part.abs() > 0.3 && part.abs() > 0.6 * other.abs() {
            part.signum() as i32
        } else {
            0
        }
    };
    match (sign(right, down), sign(down, right)) {
        (-1, 0) => Some(SoftSide::Left),
        (1, 0) => Some(SoftSide::Right),
        (0, -1) => Some(SoftSide::Top),
        (0, 1) => Some(SoftSide::Bottom),
        (-1, -1) => Some(SoftSide::TopLeft),
        (1, -1) => Some(SoftSide::TopRight),
        (-1, 1) => Some(SoftSide::BottomLeft),
        (1, 1) => Some(SoftSide::BottomRight),
        _ => None,
    }
}

/// Whether stars are wider than a width by more than the errors of both.
pub(super) fn is_wider(stroke: &StrokeMeasure, width_px: f64) -> bool {
    let width = stroke.width_px - stroke.width_error_px;
    width > WIDER * width_px && width > width_px + WIDER_PX
}

#[cfg(test)]
mod tests {
    use super::*;
    use Zone::{BottomLeft, BottomRight, TopLeft, TopRight};

    #[test]
    fn the_side_is_where_soft_corners_are() {
        let all = [TopLeft, TopRight, BottomLeft, BottomRight];
        let table: [(&[Zone], &[Zone], Option<SoftSide>); 10] = [
            (&[TopLeft, BottomLeft], &all, Some(SoftSide::Left)),
            (&[TopRight, TopLeft], &all, Some(SoftSide::Top)),
            (&[BottomRight, BottomLeft], &all, Some(SoftSide::Bottom)),
            (&[BottomRight], &all, Some(SoftSide::BottomRight)),
            (
                &[TopLeft, TopRight, BottomLeft],
                &all,
                Some(SoftSide::TopLeft),
            ),
            // over ground there are two corners
            (&[TopRight], &[TopLeft, TopRight], Some(SoftSide::Right)),
            (&[TopLeft], &[TopLeft, BottomRight], Some(SoftSide::TopLeft)),
            (&[TopLeft, BottomRight], &all, None),
            (&[], &all, None),
            (&[], &[TopLeft, TopRight], None),
        ];
        for (soft, corners, want) in table {
            assert_eq!(side(soft, corners), want, "{soft:?} of {corners:?}");
        }
    }
}
