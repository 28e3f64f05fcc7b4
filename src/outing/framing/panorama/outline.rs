//! The true outline of a frame on the sky, as a panorama unrolls it.
//!
//! Unrolled by bearing and altitude a frame is no rectangle: its upper edge is wider than its lower
//! one, and both are bowed.

use crate::angle::Angle;
use crate::camera::view::{SensorPoint, View};
use crate::sky::celestial_to_horizontal::horizontal;

/// Points of each side.
const SIDE_POINTS: u32 = 16;

/// Bearing and altitude of the border, clockwise from the lower left corner and back to it, in
/// pieces where a fisheye has no image at it.
///
/// Bearings run on without a jump at north, so they may be below 0 or above 360°; over the zenith
/// they turn once around. Altitudes are true, −90° to 90°. Exact at each point, by the lens's
/// projection and distortion.
pub fn outline(view: &View) -> Vec<Vec<(Angle, Angle)>> {
    let (half_w, half_h) = (view.sensor.width_mm / 2.0, view.sensor.height_mm / 2.0);
    let corners = [
        (-1.0, -1.0),
        (-1.0, 1.0),
        (1.0, 1.0),
        (1.0, -1.0),
        (-1.0, -1.0),
    ];
    let mut pieces = vec![Vec::new()];
    let mut last_deg: Option<f64> = None;
    for (place, two) in corners.windows(2).enumerate() {
        let ((from_x, from_y), (to_x, to_y)): ((f64, f64), (f64, f64)) = (two[0], two[1]);
        // a corner belongs to the side that it ends
        let first = u32::from(place > 0);
        for step in first..=SIDE_POINTS {
            let way = f64::from(step) / f64::from(SIDE_POINTS);
            let point = SensorPoint {
                x_mm: half_w * (from_x + way * (to_x - from_x)),
                y_mm: half_h * (from_y + way * (to_y - from_y)),
            };
            let Some(seen) = view.direction_at(point) else {
                pieces.push(Vec::new());
                last_deg = None;
                continue;
            };
            let found = horizontal(view.to_enu(seen));
            let mut degrees = found.bearing.degrees();
            if let Some(last) = last_deg {
                degrees = last + (degrees - last + 180.0).rem_euclid(360.0) - 180.0;
            }
            last_deg = Some(degrees);
            if let Some(piece) = pieces.last_mut() {
                piece.push((Angle::from_degrees(degrees), found.altitude.0));
            }
        }
    }
    pieces.retain(|piece| piece.len() > 1);
    pieces
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::camera::frame::Frame;
    use crate::camera::lens::Projection;
    use crate::outing::plan::{Orientation, Outing};

    fn outline_at(tilt: f64, bearing: f64, focal_mm: f64, projection: Projection) -> Outline {
        let mut outing = Outing {
            orientation: Orientation::Portrait,
            ..Outing::default()
        };
        outing.kit.lens.focal_mm = focal_mm;
        outing.kit.lens.projection = projection;
        outline(&outing.view_of(Frame {
            bearing: Angle::from_degrees(bearing),
            tilt: Angle::from_degrees(tilt),
            roll: Angle::ZERO,
        }))
    }

    type Outline = Vec<Vec<(Angle, Angle)>>;

    /// By hand for 24 mm upright on 36 × 24 mm, level: a corner is at atan(12/24) = 26.565° to the
    /// side, and as high as atan(18 / √(24² + 12²)) = 33.855°; the middle of the upper edge at
    /// atan(18/24) = 36.870°. Tilted by 20° the upper corner is at atan2(12, 24 cos 20° − 18 sin
    /// 20°) = 36.20°.
    #[test]
    fn agrees_with_the_worked_corners() {
        let level = outline_at(0.0, 350.0, 24.0, Projection::Rectilinear);
        let [piece] = &level[..] else {
            panic!("{level:?}");
        };
        assert_eq!(piece.len(), 4 * SIDE_POINTS as usize + 1);
        let side = SIDE_POINTS as usize;
        for (place, bearing, altitude) in [
            (0, 323.435, -33.855),
            (side, 323.435, 33.855),
            (3 * side / 2, 350.0, 36.870),
            (2 * side, 376.565, 33.855),
            (4 * side, 323.435, -33.855),
        ] {
            let (got_b, got_a) = (piece[place].0.degrees(), piece[place].1.degrees());
            assert!((got_b - bearing).abs() < 1e-3, "{place}: {got_b}");
            assert!((got_a - altitude).abs() < 1e-3, "{place}: {got_a}");
        }
        let tilted = outline_at(20.0, 0.0, 24.0, Projection::Rectilinear);
        let half = (tilted[0][2 * side].0.degrees() - tilted[0][side].0.degrees()) / 2.0;
        assert!((half - 36.199).abs() < 0.01, "{half}");
    }

    #[test]
    fn over_the_zenith_it_goes_once_around() {
        let over = outline_at(80.0, 10.0, 20.0, Projection::Rectilinear);
        let turned = over[0].last().expect("a point").0.degrees() - over[0][0].0.degrees();
        assert!((turned.abs() - 360.0).abs() < 1e-6, "{turned}");
    }

    /// A circular fisheye has no image at the border, or only in the middle of the sides.
    #[test]
    fn a_fisheye_without_a_border_has_no_outline() {
        let round = outline_at(30.0, 0.0, 5.0, Projection::Equisolid);
        assert!(round.iter().all(|piece| piece.len() > 1), "{round:?}");
        let points: usize = round.iter().map(Vec::len).sum();
        assert!(points < 4 * SIDE_POINTS as usize, "{points}");
    }
}
