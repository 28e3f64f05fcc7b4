//! The stars of a frame's middle and corners, as they are reported.

use super::report::{Stroke, ZoneReport, ZoneStars};
use super::star_crop::crop;
use crate::astrometry::decode::DecodedPicture;
use crate::astrometry::frame::FrameMeasure;
use crate::astrometry::picture::PicturePoint;
use crate::astrometry::strokes::{Profile, StrokeMeasure, Zone};

/// A place in a picture, px.
pub fn point(at: PicturePoint) -> (f32, f32) {
    (at.x_px as f32, at.y_px as f32)
}

/// Middle and corners, as far as there are stars or predictions.
pub fn zones(frame: &FrameMeasure, decoded: &DecodedPicture) -> Vec<ZoneReport> {
    let zone = |zone: Zone| {
        let measured = frame.picture.strokes.iter().find(|it| it.zone == zone);
        let predicted = frame.predicted.iter().find(|it| it.zone == zone);
        let at = measured.map(|it| it.at).or(predicted.map(|it| it.at))?;
        // no star draws a stroke over the ground
        if measured.is_none() && is_ground(frame, at) {
            return None;
        }
        Some(ZoneReport {
            zone,
            at: point(at),
            measured: measured.map(|stroke| stars(stroke, frame, decoded)),
            predicted: predicted.map(|stroke| Stroke {
                length_px: stroke.length_px,
                angle: stroke.angle,
            }),
        })
    };
    Zone::ALL.into_iter().filter_map(zone).collect()
}

/// Whether a place is below the border of sky and ground.
fn is_ground(frame: &FrameMeasure, at: PicturePoint) -> bool {
    let Some(line) = &frame.picture.skyline else {
        return false;
    };
    let off = |point: &&PicturePoint| (point.x_px - at.x_px).abs();
    let nearest = line.points.iter().min_by(|a, b| off(a).total_cmp(&off(b)));
    nearest.is_some_and(|border| border.y_px < at.y_px)
}

fn stars(stroke: &StrokeMeasure, frame: &FrameMeasure, decoded: &DecodedPicture) -> ZoneStars {
    let reach_px = stroke.length_px / 2.0 + 1.5 * stroke.width_px + 2.0;
    let stars = &frame.picture.stars.stars;
    ZoneStars {
        stroke: Stroke {
            length_px: stroke.length_px,
            angle: stroke.angle,
        },
        short: stroke.is_short(),
        width_px: stroke.width_px,
        discs: matches!(stroke.profile, Profile::Disc { .. }),
        crop: crop(&decoded.picture, stars, stroke.at, reach_px),
    }
}
