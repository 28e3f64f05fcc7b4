//! The frame cut out of the strip.

use super::{Horizon, StripPlace};
use crate::angle::Angle;
use crate::camera::view::View;
use crate::outing::framing::panorama::outline::outline;

/// Above the upper edge of any strip, degrees.
const ZENITH_DEG: f64 = 90.0;

/// The outline of a frame on a strip, in closed pieces: [`outline`]'s, and over the zenith along
/// the strip's upper side.
pub fn outline_on_strip(horizon: &Horizon, view: &View) -> Vec<Vec<StripPlace>> {
    let mut pieces = Vec::new();
    for piece in outline(view) {
        let Some((first, last)) = piece.first().zip(piece.last()) else {
            continue;
        };
        let turned_deg = last.0.degrees() - first.0.degrees();
        let middle_deg = piece.iter().map(|at| at.0.degrees()).sum::<f64>() / piece.len() as f64;
        // the piece about the strip's middle, and its neighbours a turn away, which reach over the
        // ends of a strip that shows all bearings
        let off_deg = middle_deg - horizon.left_deg - horizon.span_deg / 2.0;
        let shift_deg = -360.0 * (off_deg / 360.0).round() - horizon.left_deg;
        for turn_deg in [-360.0, 0.0, 360.0] {
            let place = |(bearing, altitude): &(Angle, Angle)| {
                (bearing.degrees() + shift_deg + turn_deg, altitude.degrees())
            };
            let mut places: Vec<StripPlace> = piece.iter().map(place).collect();
            let seen = places
                .iter()
                .any(|at| (0.0..=horizon.span_deg).contains(&at.0));
            if turned_deg.abs() > 180.0 {
                let ends = [places[places.len() - 1].0, places[0].0];
                places.extend(ends.map(|across| (across, ZENITH_DEG)));
            }
            if seen {
                pieces.push(places);
            }
        }
    }
    pieces
}

#[cfg(test)]
mod tests {
    use super::super::tests::aimed;
    use super::*;
    use crate::camera::frame::Frame;

    fn strip(left_deg: f64, span_deg: f64) -> Horizon {
        Horizon {
            left_deg,
            span_deg,
            top_deg: 45.0,
            skyline: Vec::new(),
            path: Vec::new(),
            windows: Vec::new(),
        }
    }

    /// 20 mm level on 36 mm towards 190°: by hand a side of the frame at the horizon is
    /// atan(18/20) = 41.987° from the middle, so 43.0° and 127.0° from a left end at 105°. On a
    /// strip of all bearings that begins at 180°, it lies over both ends.
    #[test]
    fn the_frame_is_cut_out_where_it_looks() {
        let mut outing = aimed(46.5, 190.0);
        outing.frame = outing.frame.map(|frame| Frame {
            tilt: Angle::ZERO,
            ..frame
        });
        let across = |horizon: &Horizon| -> Vec<(f64, f64)> {
            let pieces = outline_on_strip(horizon, &outing.view());
            let ends = |piece: &Vec<StripPlace>| {
                let across = piece.iter().map(|place| place.0);
                (
                    across.clone().fold(f64::MAX, f64::min),
                    across.fold(f64::MIN, f64::max),
                )
            };
            pieces.iter().map(ends).collect()
        };
        let phone = across(&strip(105.0, 150.0));
        let [(left, right)] = phone[..] else {
            panic!("{phone:?}");
        };
        // the corners are above and below level, the middle of a side is widest
        assert!((left - 43.013).abs() < 0.01, "{left}");
        assert!((right - 126.987).abs() < 0.01, "{right}");
        let desk = across(&strip(180.0, 360.0));
        assert_eq!(desk.len(), 2, "{desk:?}");
        assert!(
            desk.iter().any(|ends| (ends.0 + 31.987).abs() < 0.01),
            "{desk:?}"
        );
        assert!(
            desk.iter().any(|ends| (ends.0 - 328.013).abs() < 0.01),
            "{desk:?}"
        );
    }

    /// Over the zenith the outline goes once around and is closed along the top.
    #[test]
    fn over_the_zenith_it_is_closed_along_the_top() {
        let mut outing = aimed(46.5, 190.0);
        outing.frame = outing.frame.map(|frame| Frame {
            tilt: Angle::from_degrees(80.0),
            ..frame
        });
        let pieces = outline_on_strip(&strip(0.0, 360.0), &outing.view());
        for piece in &pieces {
            let top = piece.iter().filter(|place| place.1 == ZENITH_DEG).count();
            assert_eq!(top, 2, "{piece:?}");
        }
        assert!(!pieces.is_empty());
    }
}
