//! A question about a picture file: what it shows, measured and solved.

use serde::Serialize;
use tarnlight::astrometry::frame::{FrameHints, FrameMeasure, measure_frame};
use tarnlight::astrometry::solution::Solution;
use tarnlight::astrometry::strokes::Zone;
use tarnlight::astrometry::verdict::Verdict;
use tarnlight::camera::lens::Projection;

use super::camera::PROJECTIONS;
use super::field::{Field, FieldError};
use super::site::site;

/// Stars of the solution listed.
const STARS_LISTED: usize = 40;

#[derive(Serialize)]
pub struct FrameAnswer {
    stars: usize,
    strokes: Vec<Stroke>,
    solution: Option<Solved>,
    #[serde(skip_serializing_if = "Option::is_none")]
    reason: Option<String>,
    predicted: Vec<Stroke>,
    skyline: Vec<(f64, f64)>,
    verdict: &'static str,
}

#[derive(Serialize)]
struct Stroke {
    #[serde(rename = "where")]
    zone: &'static str,
    x_px: f64,
    y_px: f64,
    length_px: f64,
    angle_deg: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    width_px: Option<f64>,
}

#[derive(Serialize)]
struct Solved {
    az_deg: Option<f64>,
    alt_deg: Option<f64>,
    roll_deg: Option<f64>,
    ra_deg: Option<f64>,
    dec_deg: Option<f64>,
    projection: &'static str,
    focal_mm: Option<f64>,
    focal_px: f64,
    k1: f64,
    k2: f64,
    centre_px: (f64, f64),
    matched: usize,
    rms_px: f64,
    stars: Vec<Star>,
}

#[derive(Serialize)]
struct Star {
    hip: u32,
    x_px: f64,
    y_px: f64,
}

/// Answers it.
pub fn answer(question: &Field) -> Result<FrameAnswer, FieldError> {
    let frame = question.at("frame");
    let path = frame.at("path");
    let bytes = std::fs::read(path.text()?).map_err(|why| path.error(why.to_string()))?;
    let sensor = frame.at("sensor");
    let sensor_mm = if sensor.is_given() {
        Some((
            sensor.at("width_mm").number(0.1..=1000.0)?,
            sensor.at("height_mm").number(0.1..=1000.0)?,
        ))
    } else {
        None
    };
    let hints = FrameHints {
        sensor_mm,
        focal_mm: frame.at("focal_mm").optional_number(0.1..=10_000.0)?,
        site: question
            .at("site")
            .is_given()
            .then(|| site(question))
            .transpose()?,
        start: question
            .at("utc")
            .is_given()
            .then(|| question.at("utc").moment())
            .transpose()?,
    };
    let measure = measure_frame(&bytes, &hints).map_err(|why| path.error(why.to_string()))?;
    Ok(told(&measure))
}

fn told(measure: &FrameMeasure) -> FrameAnswer {
    let strokes = measure.picture.strokes.iter().map(|stroke| Stroke {
        zone: zone(stroke.zone),
        x_px: stroke.at.x_px,
        y_px: stroke.at.y_px,
        length_px: stroke.length_px,
        angle_deg: stroke.angle.degrees(),
        width_px: Some(stroke.width_px),
    });
    let predicted = measure.predicted.iter().map(|stroke| Stroke {
        zone: zone(stroke.zone),
        x_px: stroke.at.x_px,
        y_px: stroke.at.y_px,
        length_px: stroke.length_px,
        angle_deg: stroke.angle.degrees(),
        width_px: None,
    });
    let skyline = measure.skyline.iter();
    FrameAnswer {
        stars: measure.picture.stars.stars.len(),
        strokes: strokes.collect(),
        solution: measure
            .solution
            .as_ref()
            .ok()
            .map(|solution| solved(solution, measure.pitch_mm)),
        reason: measure.solution.as_ref().err().map(ToString::to_string),
        predicted: predicted.collect(),
        skyline: skyline
            .map(|point| (point.bearing.degrees(), point.altitude.degrees()))
            .collect(),
        verdict: verdict(measure.verdict),
    }
}

fn solved(solution: &Solution, pitch_mm: Option<f64>) -> Solved {
    let camera = &solution.camera;
    let pointing = solution.pointing();
    let celestial = solution.celestial_middle();
    let stars = solution.stars.iter().take(STARS_LISTED).map(|star| Star {
        hip: star.hip,
        x_px: star.at.x_px,
        y_px: star.at.y_px,
    });
    Solved {
        az_deg: pointing.map(|pointing| pointing.bearing.degrees()),
        alt_deg: pointing.map(|pointing| pointing.altitude.degrees()),
        roll_deg: pointing.map(|pointing| pointing.roll.degrees()),
        ra_deg: celestial.map(|(right_ascension, _)| right_ascension.degrees()),
        dec_deg: celestial.map(|(_, declination)| declination.degrees()),
        projection: projection(camera.projection),
        focal_mm: pitch_mm.map(|pitch_mm| solution.focal_px() * pitch_mm),
        focal_px: solution.focal_px(),
        k1: camera.distortion.k1,
        k2: camera.distortion.k2,
        centre_px: (camera.centre.x_px, camera.centre.y_px),
        matched: solution.stars.len(),
        rms_px: solution.rms_px,
        stars: stars.collect(),
    }
}

fn projection(projection: Projection) -> &'static str {
    let named = PROJECTIONS.iter().find(|(_, of)| *of == projection);
    named.map_or("", |(name, _)| name)
}

const fn zone(zone: Zone) -> &'static str {
    match zone {
        Zone::Middle => "middle",
        Zone::TopLeft => "top_left",
        Zone::TopRight => "top_right",
        Zone::BottomLeft => "bottom_left",
        Zone::BottomRight => "bottom_right",
    }
}

const fn verdict(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::AsPredicted => "as_predicted",
        Verdict::Knocked => "knocked",
        Verdict::Defocused => "defocused",
        Verdict::Lens => "lens",
        Verdict::Tracked => "tracked",
        Verdict::NoStars => "no_stars",
        Verdict::NotIdentified => "not_identified",
    }
}
