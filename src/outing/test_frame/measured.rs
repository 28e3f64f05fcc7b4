//! A decoded picture, measured and told. For the worker.

use super::border::{BorderDirection, BorderPoint};
use super::clock_code;
use super::clock_time::{clock_ms, start};
use super::lens_priors::{LensPriors, MARKED_TO};
use super::report::{
    Aim, CameraNotes, FrameAnswer, FramePriors, FrameReport, MeasuredLens, SolvedFrame,
};
use super::zone_stars::{point, zones};
use crate::angle::Angle;
use crate::astrometry::cause::Cause;
use crate::astrometry::decode::{DecodedPicture, FrameFacts};
use crate::astrometry::frame::{FrameHints, FrameMeasure, MeasuredPicture};
use crate::astrometry::picture::PicturePoint;
use crate::astrometry::predicted_stroke::PredictedStroke;
use crate::astrometry::solution::Solution;
use crate::astrometry::stage::Stage;
use crate::astrometry::strokes::StrokeMeasure;
use crate::camera::frame::Frame;
use crate::sky::moment::{DAY_S, Moment, YEARS};
use crate::vector::Vector;
use chrono::{DateTime, Datelike};

/// Stars listed, and points of the border of sky and ground.
const MOST_STARS: usize = 300;
const MOST_POINTS: usize = 400;

/// What a picture shows: a frame of the night or, where it was opened as one, the clock's code. Fails
/// with a sentence. `on_stage` is called at the start of each stage.
///
/// A code that fills the picture is found at once; for a smaller one, on which a search takes longer,
/// a picture is looked through only where its stars are not known.
pub fn answer(
    decoded: &DecodedPicture,
    priors: &FramePriors,
    on_stage: &mut dyn FnMut(Stage),
) -> Result<FrameAnswer, String> {
    if let Some(read) = clock_code::read_large(decoded) {
        return read.map(FrameAnswer::Clock);
    }
    let report = report_with_progress(decoded, priors, on_stage);
    if report.solution.is_err()
        && let Some(read) = clock_code::read_if_any(decoded)
    {
        return read.map(FrameAnswer::Clock);
    }
    Ok(FrameAnswer::Measured(Box::new(report)))
}

/// Measures a picture, and tells what of it the page shows.
pub fn report(decoded: &DecodedPicture, priors: &FramePriors) -> FrameReport {
    report_with_progress(decoded, priors, &mut |_| {})
}

fn report_with_progress(
    decoded: &DecodedPicture,
    priors: &FramePriors,
    on_stage: &mut dyn FnMut(Stage),
) -> FrameReport {
    let mut measured = MeasuredPicture::with_progress(decoded, on_stage);
    on_stage(Stage::Identifying);
    let size_px = (measured.width, measured.height);
    let notes = notes(&measured.facts);
    let (time, start_ms) = start(&notes, priors);
    let moment = start_ms.and_then(DateTime::from_timestamp_millis);
    let moment = moment.filter(|moment| YEARS.contains(&moment.year()));
    let lens = LensPriors::new(&measured.facts, priors, size_px);
    // what the file says has been looked at; a part of a sensor is not of its size
    measured.facts.photo.size_mm = None;
    measured.facts.photo.focal_mm = None;
    if let Some(taken) = &mut measured.facts.taken {
        taken.offset = None;
    }
    let hints = FrameHints {
        sensor_mm: lens.sensor_mm,
        focal_mm: lens.focal_mm,
        site: priors.site,
        start: moment.map(Moment::from_utc),
    };
    let frame = measured.explained(&hints);
    let marked_mm = lens.focal_mm.filter(|_| lens.is_kits);
    FrameReport {
        size_px: (size_px.0 as u32, size_px.1 as u32),
        found: frame.picture.stars.stars.len() as u32,
        stars: marks(&frame),
        zones: zones(&frame, decoded),
        solution: match &frame.solution {
            Ok(_) => Ok(solved(&frame, marked_mm)),
            Err(why) => Err(*why),
        },
        border: border(&frame),
        skyline: frame
            .skyline
            .iter()
            .map(|point| (point.bearing, point.altitude))
            .collect(),
        verdict: frame.verdict,
        moved_px: moved_px(&frame),
        knock: frame.picture.knock.filter(|_| is_knocked(&frame)),
        causes: frame.causes,
        notes,
        time,
        start_ms: moment.map(|moment| moment.timestamp_millis()),
    }
}

fn notes(facts: &FrameFacts) -> CameraNotes {
    CameraNotes {
        taken_ms: facts.taken.map(|taken| clock_ms(taken.local)),
        offset_min: facts
            .taken
            .and_then(|taken| Some(taken.offset?.local_minus_utc() / 60)),
        exposure_s: facts.exposure_s,
        focal_mm: facts.photo.focal_mm,
        sensor_mm: facts.photo.size_mm,
        f_number: facts.photo.f_number,
        iso: facts.iso,
        halved: facts.halved,
    }
}

fn marks(frame: &FrameMeasure) -> Vec<(f32, f32)> {
    match &frame.solution {
        Ok(solution) => {
            let stars = solution.stars.iter().take(MOST_STARS);
            stars.map(|star| point(star.found)).collect()
        }
        Err(_) => {
            let stars = frame.picture.stars.stars.iter().take(MOST_STARS);
            stars.map(|star| point(star.at)).collect()
        }
    }
}

fn border(frame: &FrameMeasure) -> Vec<BorderPoint> {
    let Some(line) = &frame.picture.skyline else {
        return Vec::new();
    };
    let step = line.points.len().div_ceil(MOST_POINTS).max(1);
    let points = line.points.iter().step_by(step);
    let of = |at: &PicturePoint| BorderPoint {
        at: point(*at),
        towards: direction(frame, *at),
    };
    points.map(of).collect()
}

/// The direction of a place, and how it changes with the place; `None` without a horizon.
fn direction(frame: &FrameMeasure, at: PicturePoint) -> Option<BorderDirection> {
    const STEP_PX: f64 = 4.0;
    let solution = frame.solution.as_ref().ok()?;
    let towards = |right_px: f64, down_px: f64| {
        let (bearing, altitude) = solution.horizontal_at(PicturePoint {
            x_px: at.x_px + right_px,
            y_px: at.y_px + down_px,
        })?;
        Some((bearing.degrees(), altitude.degrees()))
    };
    let change = |ahead: (f64, f64), behind: (f64, f64)| {
        let turn = (ahead.0 - behind.0 + 540.0).rem_euclid(360.0) - 180.0;
        (
            turn / (2.0 * STEP_PX),
            (ahead.1 - behind.1) / (2.0 * STEP_PX),
        )
    };
    let (bearing, altitude) = solution.horizontal_at(at)?;
    Some(BorderDirection {
        bearing,
        altitude,
        right_deg: change(towards(STEP_PX, 0.0)?, towards(-STEP_PX, 0.0)?),
        down_deg: change(towards(0.0, STEP_PX)?, towards(0.0, -STEP_PX)?),
    })
}

/// Lens and pointing; the lens where it is the kit's sensor, and by that near its mark.
fn solved(frame: &FrameMeasure, marked_mm: Option<f64>) -> SolvedFrame {
    // the caller has one
    let Ok(solution) = &frame.solution else {
        return SolvedFrame {
            matched: 0,
            rms_px: 0.0,
            projection: crate::camera::lens::Projection::Rectilinear,
            lens: None,
            middle: None,
            aim: None,
        };
    };
    let camera = &solution.camera;
    let focal_mm = frame.pitch_mm.map(|pitch_mm| camera.focal_px * pitch_mm);
    let near_mark =
        |(focal_mm, marked_mm): &(f64, f64)| (focal_mm / marked_mm - 1.0).abs() < MARKED_TO;
    let lens = focal_mm.zip(marked_mm).filter(near_mark);
    SolvedFrame {
        matched: solution.stars.len() as u32,
        rms_px: solution.rms_px,
        projection: camera.projection,
        lens: lens.map(|(focal_mm, _)| MeasuredLens {
            focal_mm,
            k1: camera.distortion.k1,
            k2: camera.distortion.k2,
        }),
        middle: solution.celestial_middle(),
        aim: aim(solution),
    }
}

/// Where the picture's middle is, and how the picture is turned there: an outing's camera has its
/// axis in the middle, which a real one misses by some pixels.
fn aim(solution: &Solution) -> Option<Aim> {
    const STEP_PX: f64 = 10.0;
    let middle = solution.middle;
    let beside = |step_px: f64| {
        let at = PicturePoint {
            x_px: middle.x_px + step_px,
            ..middle
        };
        let (bearing, altitude) = solution.horizontal_at(at)?;
        Some(Vector::from_bearing(bearing, altitude))
    };
    let right = beside(STEP_PX)?.plus(beside(-STEP_PX)?.times(-1.0));
    let (bearing, altitude) = solution.horizontal_at(middle)?;
    let level = Frame {
        bearing,
        tilt: altitude,
        roll: Angle::ZERO,
    };
    let axes = level.axes();
    Some(Aim {
        bearing,
        altitude,
        roll: Angle::from_radians((-right.dot(axes.up)).atan2(right.dot(axes.right))),
    })
}

fn is_knocked(frame: &FrameMeasure) -> bool {
    frame.causes.contains(&Cause::Knocked)
}

/// How far the camera moved: between the two images of a star, or what its stroke has beyond the
/// predicted one, px.
fn moved_px(frame: &FrameMeasure) -> Option<f64> {
    if !is_knocked(frame) {
        return None;
    }
    if let Some(knock) = frame.picture.knock {
        return Some(knock.dx_px.hypot(knock.dy_px));
    }
    let zone = |measured: &StrokeMeasure| {
        let predicted = frame.predicted.iter().find(|it| it.zone == measured.zone)?;
        Some(apart_px(measured, predicted))
    };
    frame
        .picture
        .strokes
        .iter()
        .filter_map(zone)
        .reduce(f64::max)
}

/// Distance of two strokes as vectors, which have no sense of direction.
fn apart_px(measured: &StrokeMeasure, predicted: &PredictedStroke) -> f64 {
    let vector =
        |length_px: f64, radians: f64| (length_px * radians.cos(), length_px * radians.sin());
    let (x, y) = vector(measured.length_px, measured.angle.radians());
    let (u, v) = vector(predicted.length_px, predicted.angle.radians());
    (x - u).hypot(y - v).min((x + u).hypot(y + v))
}

/// The middle of an exposure that starts at a moment, ms.
pub fn middle_ms(start_ms: i64, exposure_s: Option<f64>) -> i64 {
    let half_s = exposure_s.unwrap_or(0.0).clamp(0.0, DAY_S) / 2.0;
    start_ms.saturating_add((1000.0 * half_s) as i64)
}

#[cfg(test)]
pub(super) mod tests {
    use super::*;
    use crate::astrometry::decode::ClockTime;
    use crate::astrometry::picture::Picture;
    use crate::outing::test_frame::clock_code::tests::{NOON, photographed};
    use crate::outing::test_frame::report::ClockReading;

    /// A full frame behind 20 mm, and nothing else known.
    pub const FULL_FRAME: FramePriors = FramePriors {
        sensor_mm: (36.0, 24.0),
        focal_mm: 20.0,
        site: None,
        clock_ahead_s: None,
        said_ahead_s: None,
        decoded: None,
    };

    /// Large or small in the picture; and one whose file has no time says so.
    #[test]
    fn a_photographed_clock_is_told_from_a_frame() {
        let taken = DateTime::from_timestamp(NOON + 3607, 0).map(|taken| ClockTime {
            local: taken.naive_utc(),
            offset: None,
        });
        for (turn_deg, module_px) in [(0.0, 7.0), (62.0, 14.0), (8.0, 20.0)] {
            let mut decoded = DecodedPicture {
                picture: photographed(turn_deg, module_px, 0),
                facts: FrameFacts {
                    taken,
                    ..FrameFacts::default()
                },
            };
            let answer = |decoded: &DecodedPicture| answer(decoded, &FULL_FRAME, &mut |_| {});
            let want = ClockReading {
                ahead_s: 3607.0,
                utc_s: NOON,
            };
            assert_eq!(
                answer(&decoded),
                Ok(FrameAnswer::Clock(want)),
                "{module_px} px"
            );
            decoded.facts.taken = None;
            let why = answer(&decoded).expect_err("no time");
            assert!(why.ends_with("file has no time"), "{why}");
        }
    }

    #[test]
    fn each_stage_is_reported() {
        let decoded = DecodedPicture {
            picture: Picture {
                width: 400,
                height: 300,
                pixels: vec![0.1; 120_000],
            },
            facts: FrameFacts::default(),
        };
        let mut begun = Vec::new();
        let answer = answer(&decoded, &FULL_FRAME, &mut |stage| begun.push(stage));
        assert!(matches!(answer, Ok(FrameAnswer::Measured(report)) if report.found == 0));
        // the file was read before
        assert_eq!(begun, Stage::ALL[1..]);
    }

    #[test]
    fn the_middle_of_an_exposure() {
        assert_eq!(middle_ms(1000, Some(20.0)), 11_000);
        assert_eq!(middle_ms(1000, None), 1000);
        assert_eq!(middle_ms(1000, Some(f64::NAN)), 1000);
    }
}
