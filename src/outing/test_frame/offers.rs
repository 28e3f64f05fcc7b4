//! What the outing can take over from a frame: where the camera pointed, the lens, the skyline.

use chrono::{DateTime, Utc};

use super::measured::middle_ms;
use super::report::FrameReport;
use crate::angle::Angle;
use crate::astrometry::strokes::Zone;
use crate::astrometry::verdict::Verdict;
use crate::camera::distortion::Distortion;
use crate::camera::frame::Frame;
use crate::camera::lens::{Lens, StarWidth};
use crate::land::ridge::{LEAST_DEG, MOST_DEG, RidgeLine};
use crate::land::survey::Surveyed;
use crate::outing::plan::Orientation;
use crate::outing::plan::bounds::{FOCAL_MM, STAR_PX, distortion};
use crate::outing::plan::kit::Kit;

/// Steps of bearing in which a skyline is taken over, degrees. The highest point of each counts.
const STEP_DEG: f64 = 0.1;
const STEPS: usize = 3600;

/// Points farther apart than this are not of one stretch of skyline, degrees; a stretch is at least
/// this wide.
const APART_DEG: f64 = 2.5;

/// Where the camera pointed, and how it was held.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TakenFrame {
    /// The middle of the exposure.
    pub instant: DateTime<Utc>,
    /// Portrait or landscape.
    pub orientation: Orientation,
    /// Where it pointed.
    pub frame: Frame,
}

/// The frame as it was taken; `None` where site or moment are not known.
pub fn taken_frame(report: &FrameReport) -> Option<TakenFrame> {
    let aim = report.solution.ok()?.aim?;
    let middle = middle_ms(report.start_ms?, report.notes.exposure_s);
    let (width, height) = report.size_px;
    // a picture that lies on its side was taken with the camera held the other way
    let quarters = (aim.roll.degrees() / 90.0).round();
    let turned = quarters.rem_euclid(2.0) == 1.0;
    let roll_deg = aim.roll.degrees() - 90.0 * quarters;
    Some(TakenFrame {
        instant: DateTime::from_timestamp_millis(middle)?,
        orientation: if (height > width) != turned {
            Orientation::Portrait
        } else {
            Orientation::Landscape
        },
        frame: Frame {
            bearing: aim.bearing,
            tilt: aim.altitude,
            roll: Angle::from_degrees(roll_deg),
        },
    })
}

/// The kit's lens as the stars show it: focal length, projection, distortion, and the width of
/// stars where the camera stood still and in focus. `None` where it cannot be said.
pub fn measured_lens(report: &FrameReport, kit: &Kit) -> Option<Lens> {
    let solved = report.solution.ok()?;
    let measured = solved.lens?;
    let Distortion { k1, k2 } = distortion(measured.k1, measured.k2).ok()?;
    // to the hundredth of a millimetre
    let focal_mm = FOCAL_MM
        .check((100.0 * measured.focal_mm).round() / 100.0)
        .ok()?;
    let still = matches!(
        report.verdict,
        Verdict::AsPredicted | Verdict::Lens | Verdict::Tracked
    );
    Some(Lens {
        focal_mm,
        projection: solved.projection,
        distortion: Distortion { k1, k2 },
        star_width: if still { star_width(report, kit) } else { None },
        ..kit.lens
    })
}

/// Widths of stars, px of the kit's sensor.
fn star_width(report: &FrameReport, kit: &Kit) -> Option<StarWidth> {
    let pixel_ratio = report.pixel_ratio(kit.sensor);
    let widths = |middle: bool| {
        let zones = report.zones.iter();
        let zones = zones.filter(move |zone| (zone.zone == Zone::Middle) == middle);
        zones.filter_map(|zone| Some(zone.measured.as_ref()?.width_px))
    };
    let centre_px = widths(true).next()?;
    let (sum, count) = widths(false).fold((0.0, 0.0), |(sum, count), px| (sum + px, count + 1.0));
    let corner_px = if count > 0.0 {
        sum / count
    } else {
        return None;
    };
    let rounded = |px: f64| {
        let px = (100.0 * px * pixel_ratio).round() / 100.0;
        px.clamp(STAR_PX.least, STAR_PX.most)
    };
    Some(StarWidth {
        centre_px: rounded(centre_px),
        corner_px: rounded(corner_px),
    })
}

/// The site's skyline with that of the frame in its place; `None` where the frame has none.
///
/// Between what the frame shows and older sightings nothing is known, unless the older line ran
/// there.
pub fn skyline_with(ridge: &RidgeLine, skyline: &[(Angle, Angle)]) -> Option<Vec<Surveyed>> {
    let highest = highest(skyline);
    let stretches = stretches(&highest);
    if stretches.is_empty() {
        return None;
    }
    let within = |bearing_deg: f64| {
        stretches
            .iter()
            .any(|(from, width)| (bearing_deg - from).rem_euclid(360.0) <= *width)
    };
    let old = ridge.sightings().iter();
    let mut points: Vec<(f64, Angle)> = old
        .map(|sighting| (sighting.bearing.degrees(), sighting.height))
        .filter(|(bearing, _)| !within(*bearing))
        .collect();
    points.extend(highest.iter().filter(|(bearing, _)| within(*bearing)));
    points.sort_by(|(one, _), (other, _)| one.total_cmp(other));
    let mut survey = Vec::with_capacity(points.len() + 8);
    for (place, (bearing, height)) in points.iter().enumerate() {
        survey.push(Surveyed {
            bearing: Angle::from_degrees(*bearing),
            height: Some(*height),
        });
        let (next, _) = points[(place + 1) % points.len()];
        let apart = (next - bearing).rem_euclid(360.0);
        let apart = if apart == 0.0 { 360.0 } else { apart };
        let between = (bearing + apart / 2.0).rem_euclid(360.0);
        let known = within(between) || ridge.sighted(Angle::from_degrees(between));
        if apart > 2.0 * APART_DEG && !known {
            survey.push(Surveyed {
                bearing: Angle::from_degrees(between),
                height: None,
            });
        }
    }
    survey.sort_by(|one, other| one.bearing.degrees().total_cmp(&other.bearing.degrees()));
    Some(survey)
}

/// The highest point of each step of bearing, degrees, in order of bearing.
fn highest(skyline: &[(Angle, Angle)]) -> Vec<(f64, Angle)> {
    let mut steps: Vec<Option<Angle>> = vec![None; STEPS];
    for (bearing, altitude) in skyline {
        let step = (bearing.degrees().rem_euclid(360.0) / STEP_DEG) as usize % STEPS;
        let inside = (LEAST_DEG..=MOST_DEG).contains(&altitude.degrees());
        if inside && steps[step].is_none_or(|known| altitude.degrees() > known.degrees()) {
            steps[step] = Some(*altitude);
        }
    }
    let points = steps.into_iter().enumerate();
    points
        .filter_map(|(step, altitude)| Some(((step as f64 + 0.5) * STEP_DEG, altitude?)))
        .collect()
}

/// Stretches of points near each other: where each begins and how wide it is, degrees.
fn stretches(points: &[(f64, Angle)]) -> Vec<(f64, f64)> {
    let bearings: Vec<f64> = points.iter().map(|(bearing, _)| *bearing).collect();
    let count = bearings.len();
    let after = |place: usize| {
        let apart = (bearings[(place + 1) % count] - bearings[place]).rem_euclid(360.0);
        if count == 1 { 360.0 } else { apart }
    };
    let Some(end) = (0..count).find(|place| after(*place) > APART_DEG) else {
        // all round, without an end
        return if count > 0 {
            vec![(bearings[0], 360.0)]
        } else {
            Vec::new()
        };
    };
    let mut found = Vec::new();
    let mut from = bearings[(end + 1) % count];
    for step in 1..=count {
        let place = (end + step) % count;
        if after(place) > APART_DEG {
            let width = (bearings[place] - from).rem_euclid(360.0);
            if width >= APART_DEG {
                found.push((from, width));
            }
            from = bearings[(place + 1) % count];
        }
    }
    found
}

#[cfg(test)]
pub(crate) mod tests {
    use super::*;
    use crate::camera::lens::Projection;
    use crate::land::ridge::Sighting;
    use crate::outing::test_frame::report::{
        Aim, CameraNotes, MeasuredLens, SolvedFrame, Stroke, TimeSource, ZoneReport, ZoneStars,
    };

    fn degrees(value: f64) -> Angle {
        Angle::from_degrees(value)
    }

    pub(crate) fn zone(zone: Zone, length_px: f64, width_px: f64) -> ZoneReport {
        let stroke = Stroke {
            length_px,
            angle: degrees(20.0),
        };
        ZoneReport {
            zone,
            at: (100.0, 100.0),
            measured: Some(ZoneStars {
                stroke,
                short: length_px < 1.5,
                width_px,
                discs: false,
                crop: None,
            }),
            predicted: Some(Stroke {
                length_px: 3.0,
                angle: degrees(20.0),
            }),
        }
    }

    /// A frame that went well.
    pub(crate) fn good() -> FrameReport {
        FrameReport {
            size_px: (4000, 6000),
            found: 900,
            stars: vec![(10.0, 20.0)],
            zones: vec![zone(Zone::Middle, 3.1, 2.0), zone(Zone::TopLeft, 3.3, 3.0)],
            solution: Ok(SolvedFrame {
                matched: 400,
                rms_px: 0.2,
                projection: Projection::Rectilinear,
                lens: Some(MeasuredLens {
                    focal_mm: 20.312_3,
                    k1: -0.03,
                    k2: 0.004,
                }),
                middle: Some((degrees(266.4), degrees(-29.0))),
                aim: Some(Aim {
                    bearing: degrees(171.0),
                    altitude: degrees(18.0),
                    roll: degrees(0.5),
                }),
            }),
            border: Vec::new(),
            skyline: Vec::new(),
            verdict: Verdict::AsPredicted,
            causes: Vec::new(),
            moved_px: None,
            knock: None,
            notes: CameraNotes {
                exposure_s: Some(10.0),
                f_number: Some(2.0),
                ..CameraNotes::default()
            },
            time: TimeSource::File,
            start_ms: Some(1_783_634_400_000),
        }
    }

    fn skyline(from_deg: i32, to_deg: i32, altitude_deg: f64) -> Vec<(Angle, Angle)> {
        let tenths = 10 * from_deg..=10 * to_deg;
        tenths
            .map(|tenth| (degrees(f64::from(tenth) / 10.0), degrees(altitude_deg)))
            .collect()
    }

    #[test]
    fn the_aim_is_that_of_the_exposures_middle() {
        let taken = taken_frame(&good()).expect("an aim");
        assert_eq!(taken.instant.timestamp(), 1_783_634_405);
        assert_eq!(taken.orientation, Orientation::Portrait);
        assert_eq!(taken.frame.tilt, degrees(18.0));
        // on its side: the same camera, held level
        let mut aside = good();
        if let Ok(SolvedFrame { aim: Some(aim), .. }) = &mut aside.solution {
            aim.roll = degrees(-89.0);
        }
        let taken = taken_frame(&aside).expect("an aim");
        assert_eq!(taken.orientation, Orientation::Landscape);
        assert!((taken.frame.roll.degrees() - 1.0).abs() < 1e-9);
        let without = FrameReport {
            start_ms: None,
            ..good()
        };
        assert_eq!(taken_frame(&without), None);
    }

    #[test]
    fn the_lens_is_taken_in_px_of_the_kits_sensor() {
        let kit = Kit::default();
        let lens = measured_lens(&good(), &kit).expect("a lens");
        assert_eq!((lens.focal_mm, lens.f_number), (20.31, kit.lens.f_number));
        assert_eq!((lens.distortion.k1, lens.distortion.k2), (-0.03, 0.004));
        let px = f64::from(kit.sensor.pixels_across) / 6000.0;
        let width = lens.star_width.expect("a width");
        assert!((width.centre_px - 2.0 * px).abs() < 0.006, "{width:?}");
        assert!((width.corner_px - 3.0 * px).abs() < 0.006, "{width:?}");
        // discs and knocks say nothing of the lens
        let knocked = FrameReport {
            verdict: Verdict::Knocked,
            ..good()
        };
        assert_eq!(
            measured_lens(&knocked, &kit).and_then(|lens| lens.star_width),
            None
        );
        let mut unknown = good();
        unknown.solution = unknown.solution.map(|solved| SolvedFrame {
            lens: None,
            ..solved
        });
        assert_eq!(measured_lens(&unknown, &kit), None);
    }

    fn height(line: &RidgeLine, bearing_deg: f64) -> Option<f64> {
        let bearing = degrees(bearing_deg);
        // without the rounding of the interpolation
        let rounded = |height: Angle| (1e6 * height.degrees()).round() / 1e6;
        line.sighted(bearing).then(|| rounded(line.height(bearing)))
    }

    #[test]
    fn the_frames_skyline_takes_the_place_of_what_was_there() {
        let old = [(150.0, 2.0), (170.0, 3.0), (190.0, 2.0), (230.0, 4.0)];
        let old = RidgeLine::new(
            degrees(1.0),
            old.map(|(bearing, height)| Sighting {
                bearing: degrees(bearing),
                height: degrees(height),
            }),
        );
        let report = FrameReport {
            skyline: skyline(160, 200, 7.0),
            ..good()
        };
        let survey = skyline_with(&old, &report.skyline).expect("a skyline");
        let line = RidgeLine::surveyed(degrees(1.0), &survey);
        assert_eq!(height(&line, 180.0), Some(7.0));
        assert_eq!(height(&line, 150.0), Some(2.0));
        assert_eq!(height(&line, 230.0), Some(4.0));
        // the old line ran there
        assert!(height(&line, 215.0).is_some());
        assert_eq!(height(&line, 20.0), None);

        // to nothing before, across north: only what was seen is known
        let report = FrameReport {
            skyline: [
                skyline(340, 359, 5.0),
                skyline(0, 20, 6.0),
                skyline(100, 101, 9.0),
            ]
            .concat(),
            ..good()
        };
        let survey = skyline_with(&RidgeLine::default(), &report.skyline).expect("a skyline");
        let line = RidgeLine::surveyed(Angle::ZERO, &survey);
        assert_eq!(height(&line, 350.0), Some(5.0));
        assert_eq!(height(&line, 10.0), Some(6.0));
        assert_eq!((height(&line, 60.0), height(&line, 100.5)), (None, None));

        // two stretches with nothing known between them
        let report = FrameReport {
            skyline: [skyline(10, 20, 5.0), skyline(60, 70, 6.0)].concat(),
            ..good()
        };
        let survey = skyline_with(&RidgeLine::default(), &report.skyline).expect("a skyline");
        let line = RidgeLine::surveyed(Angle::ZERO, &survey);
        assert_eq!(
            (height(&line, 15.0), height(&line, 40.0)),
            (Some(5.0), None)
        );

        assert_eq!(skyline_with(&old, &good().skyline), None);
        let round = FrameReport {
            skyline: skyline(0, 359, 5.0),
            ..good()
        };
        let survey = skyline_with(&old, &round.skyline).expect("a skyline");
        assert!(
            survey
                .iter()
                .all(|point| point.height == Some(degrees(5.0)))
        );
        assert!(survey.len() <= crate::land::ridge::MOST_SIGHTINGS);
    }
}
