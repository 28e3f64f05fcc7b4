//! What a plan says against the lens and the skyline that a frame was drawn with.

use chrono::{DateTime, Utc};
use serde_json::Value;
use tarnlight::outing::exposure::Answer;
use tarnlight::outing::night::{Window, WindowBoundary};
use tarnlight::outing::plan::Outing;

use super::lens::Camera;
use super::sky::Star;
use super::{Figures, Plan};

/// Shutter times agree with those behind the true lens to this share: sampling of the frame's edge, and
/// the lens as it was measured.
const SECONDS_SHARE: f64 = 0.005;

/// Where a subject crosses the skyline, its height over the one drawn, degrees: the skyline as measured
/// (0.05°), thinned to as much, and drawn between points a degree apart, of which all is known here.
const SKYLINE_DEG: f64 = 0.15;

/// The same as time, seconds: a subject that rises or sets aslant takes as long for it.
const CROSSING_S: i64 = 120;

/// Over a level horizon, the same: only the formulas differ.
const LEVEL_DEG: f64 = 0.03;

/// Times at the subject and of the whole frame are those behind this lens.
pub fn assert_times(answer: &Answer, outing: &Outing, camera: Camera, name: &str) {
    let (bearing, altitude) = outing.pointing().target_position;
    let subject = camera.seconds_at((bearing.degrees(), altitude.degrees()), answer.allowed_px);
    let frame = camera.seconds_of_frame(answer.allowed_px);
    let times = [
        ("subject", answer.clean_core, subject),
        ("whole frame", answer.clean_frame, frame),
    ];
    assert!(answer.target_at.is_some(), "{name}: it is in the frame");
    for (what, clean, want_s) in times {
        let got_s = clean.seconds().expect("a limit");
        assert!(
            (got_s / want_s - 1.0).abs() < SECONDS_SHARE,
            "{name}, {what}: {got_s} s, want {want_s} s"
        );
    }
}

/// A lens over the sensor of an outing, pointed as it plans.
pub fn camera(outing: &Outing, focal_mm: f64, equisolid: bool, distortion: (f64, f64)) -> Camera {
    let sensor = outing.kit.sensor;
    let frame = outing.pointing().frame;
    Camera {
        sensor_mm: (sensor.width_mm, sensor.height_mm),
        pixels: f64::from(sensor.pixels_across),
        focal_mm,
        equisolid,
        distortion,
        lat_deg: outing.site.latitude.degrees(),
        pointing_deg: (
            frame.bearing.degrees(),
            frame.tilt.degrees(),
            frame.roll.degrees(),
        ),
    }
}

/// The skyline drawn, degrees; level where the frame does not show it.
fn drawn_skyline(truth: &Value) -> impl Fn(f64) -> f64 {
    let points = truth["skyline"].as_array().expect("a skyline").iter();
    let number = |value: &Value| value.as_f64().expect("degrees");
    let points: Vec<(f64, f64)> = points
        .map(|point| (number(&point[0]), number(&point[1])))
        .collect();
    move |bearing| {
        let around = points
            .windows(2)
            .find(|pair| (pair[0].0..pair[1].0).contains(&bearing));
        around.map_or(0.0, |pair| {
            let share = (bearing - pair[0].0) / (pair[1].0 - pair[0].0);
            (pair[0].1 + share * (pair[1].1 - pair[0].1)).max(0.0)
        })
    }
}

/// Where the subject crosses the line in question, its height over the line that is true; degrees.
fn over_line_deg(star: &Star, at: DateTime<Utc>, line_deg: &dyn Fn(f64) -> f64) -> f64 {
    let (bearing, altitude) = star.seen(at);
    altitude - line_deg(bearing)
}

/// The end of the window that the skyline makes is where the subject crosses the skyline drawn; the other
/// end is as it was.
pub fn assert_window(
    plan: &Plan,
    outing: &Outing,
    (first, after): (&Figures, &Figures),
    truth: &Value,
) {
    let name = plan.frame;
    let star = Star {
        j2000: (
            plan.subject.right_ascension().degrees(),
            plan.subject.declination().degrees(),
        ),
        site: (
            outing.site.latitude.degrees(),
            outing.site.longitude.degrees(),
            outing.site.height_m,
        ),
    };
    let line = drawn_skyline(truth);
    let changed = usize::from(!plan.rises);
    assert_eq!(
        first.ends[1 - changed],
        after.ends[1 - changed],
        "{name}: by twilight"
    );
    let level_deg = over_line_deg(&star, first.ends[changed], &|_| 0.0);
    let boundary = |window: Window| {
        if plan.rises {
            window.opens
        } else {
            window.closes
        }
    };
    if plan.level_in_the_dark {
        assert!(level_deg.abs() < LEVEL_DEG, "{name}: {level_deg}° before");
    } else {
        assert_eq!(boundary(first.window), WindowBoundary::Twilight, "{name}");
    }
    assert_eq!(boundary(after.window), WindowBoundary::Ridge, "{name}");
    let miss_deg = over_line_deg(&star, after.ends[changed], &line);
    let dark = if plan.rises {
        first.ends[0]
    } else {
        after.ends[0]
    };
    let want = star.crossing(dark, plan.rises, &line).expect("a crossing");
    let late_s = (after.ends[changed] - want).num_seconds();
    println!(
        "{name}: {miss_deg:.3}° over the skyline drawn, {late_s} s after it is crossed; before {level_deg:.3}°"
    );
    assert!(miss_deg.abs() < SKYLINE_DEG, "{name}: {miss_deg}°");
    assert!(late_s.abs() < CROSSING_S, "{name}: {late_s} s");
}
