//! The frames that were drawn, against what they were drawn with.

use std::fmt::Write;

use serde_json::Value;
use tarnlight::angle::Angle;
use tarnlight::astrometry::frame::{FrameHints, FrameMeasure, measure_frame};
use tarnlight::astrometry::solution::Solution;
use tarnlight::astrometry::verdict::Verdict;
use tarnlight::camera::lens::Projection;
use tarnlight::vector::Vector;

use super::{at_share, file, json, moment, number, site};

/// Bars: stars by the median and the picture's middle, in focus and as discs, and the farthest star,
/// px; the focal length, a share; the skyline by the median, degrees.
const STARS_PX: f64 = 0.1;
const DISCS_PX: f64 = 0.2;
const FARTHEST_PX: f64 = 0.5;
const FOCAL_SHARE: f64 = 5e-4;
const SKYLINE_DEG: f64 = 0.05;

/// Fewest stars compared in a frame, of the forty whose places are known.
const LEAST_STARS: usize = 10;

/// What a frame says of what is known.
struct Misses {
    /// Of stars, px.
    stars_px: Vec<f64>,
    middle: Angle,
    focal_share: f64,
    /// Of the skyline, degrees.
    skyline_deg: Vec<f64>,
}

fn measure(case: &Value) -> FrameMeasure {
    let sensor = &case["sensor"];
    let hints = FrameHints {
        sensor_mm: Some((number(sensor, "width_mm"), number(sensor, "height_mm"))),
        focal_mm: case["focal_marked_mm"].as_f64(),
        site: case.get("site").map(|of| site(of, number(of, "elev_m"))),
        start: case.get("utc_start").map(moment),
    };
    let name = case["file"].as_str().expect("a name");
    measure_frame(&file(name), &hints).expect("a picture")
}

fn misses(frame: &FrameMeasure, solution: &Solution, truth: &Value) -> Misses {
    let mut stars_px = Vec::new();
    for star in truth["stars"].as_array().expect("stars") {
        let hip = star["hip"].as_u64().expect("a number") as u32;
        if let Some(own) = solution.stars.iter().find(|own| own.hip == hip) {
            let (x, y) = (number(star, "x_px"), number(star, "y_px"));
            stars_px.push((own.at.x_px - x).hypot(own.at.y_px - y));
        }
    }
    let towards = |bearing: f64, altitude: f64| {
        Vector::from_bearing(Angle::from_degrees(bearing), Angle::from_degrees(altitude))
    };
    let pointing = solution.pointing().expect("a horizon");
    let want = towards(
        number(truth, "middle_az_deg"),
        number(truth, "middle_alt_deg"),
    );
    let got = Vector::from_bearing(pointing.bearing, pointing.altitude);
    let focal_mm = solution.focal_px() * frame.pitch_mm.expect("a sensor");
    Misses {
        stars_px,
        middle: got.angle_to(want),
        focal_share: focal_mm / number(truth, "focal_mm") - 1.0,
        skyline_deg: skyline_misses(frame, &truth["skyline"]),
    }
}

/// Of the skyline traced from the one drawn, at the bearings of both; degrees.
fn skyline_misses(frame: &FrameMeasure, drawn: &Value) -> Vec<f64> {
    let point = |point: &Value| Some((point[0].as_f64()?, point[1].as_f64()?));
    let drawn: Vec<(f64, f64)> = drawn
        .as_array()
        .map(|points| points.iter().filter_map(point).collect())
        .unwrap_or_default();
    let height = |bearing: f64| {
        let after = drawn.iter().position(|(at, _)| *at > bearing)?;
        let (before, after) = (drawn.get(after.checked_sub(1)?)?, drawn[after]);
        let share = (bearing - before.0) / (after.0 - before.0);
        Some(before.1 + share * (after.1 - before.1))
    };
    let mut misses = Vec::new();
    for point in &frame.skyline {
        let bearing = point.bearing.degrees();
        let turns = [bearing - 360.0, bearing, bearing + 360.0];
        if let Some(height) = turns.into_iter().find_map(height) {
            misses.push((point.altitude.degrees() - height).abs());
        }
    }
    misses
}

fn projection(name: &Value) -> Projection {
    match name.as_str().expect("a projection") {
        "rectilinear" => Projection::Rectilinear,
        "equidistant" => Projection::Equidistant,
        "equisolid" => Projection::Equisolid,
        "stereographic" => Projection::Stereographic,
        other => panic!("{other}"),
    }
}

/// The verdicts that are right for a kind of frame, whose file README names them.
fn right_verdicts(kind: &str) -> &'static [Verdict] {
    match kind {
        "coma" => &[Verdict::Lens],
        "defocus" => &[Verdict::Defocused],
        "soft" => &[Verdict::Defocused, Verdict::AsPredicted],
        "shaken" => &[Verdict::Knocked],
        "tracked" => &[Verdict::Tracked],
        "none" => &[Verdict::NoStars, Verdict::NotIdentified],
        _ => &[Verdict::AsPredicted],
    }
}

/// The table; each frame is held to the bars on the way.
pub fn table() -> String {
    let mut table = "
## Frames that were drawn

`middle` is the direction of the picture's middle, `stars` the places of the brightest forty that were
identified; a knocked frame's are off by the knock.

| frame | kind | lens | identified | rms | stars, median | farthest | middle | focal length | skyline | verdict |
|---|---|---:|---:|---:|---:|---:|---:|---:|---:|---|
"
    .to_owned();
    for case in json("frames.json")["cases"].as_array().expect("cases") {
        let name = case["id"].as_str().expect("a name");
        let kind = case["kind"].as_str().expect("a kind");
        let frame = measure(case);
        assert!(
            right_verdicts(kind).contains(&frame.verdict),
            "{name}: {:?}",
            frame.verdict
        );
        assert!(frame.causes.len() < 2, "{name}: {:?}", frame.causes);
        let Ok(solution) = &frame.solution else {
            assert_eq!(kind, "none", "{name} has no solution");
            writeln!(
                table,
                "| {name} | {kind} | | | | | | | | | {:?} |",
                frame.verdict
            )
            .expect("a text takes any line");
            continue;
        };
        assert_ne!(kind, "none", "{name} is solved");
        row(&mut table, case, &frame, solution);
    }
    table
}

fn row(table: &mut String, case: &Value, frame: &FrameMeasure, solution: &Solution) {
    let (name, kind) = (&case["id"], &case["kind"]);
    let (name, kind) = (
        name.as_str().expect("a name"),
        kind.as_str().expect("a kind"),
    );
    let truth = &case["truth"];
    assert_eq!(
        solution.camera.projection,
        projection(&truth["projection"]),
        "{name}"
    );
    let mut misses = misses(frame, solution, truth);
    assert!(
        misses.stars_px.len() >= LEAST_STARS,
        "{name}: {} stars",
        misses.stars_px.len()
    );
    let (median, farthest) = (
        at_share(&mut misses.stars_px, 0.5),
        at_share(&mut misses.stars_px, 1.0),
    );
    if kind != "shaken" {
        let most = if kind == "defocus" {
            DISCS_PX
        } else {
            STARS_PX
        };
        assert!(median < most, "{name}: {median} px");
        assert!(farthest < FARTHEST_PX, "{name}: {farthest} px");
        let middle_px = misses.middle.radians() * solution.camera.focal_px;
        assert!(middle_px < most, "{name}: {middle_px} px");
    }
    let share = misses.focal_share;
    assert!(share.abs() < FOCAL_SHARE, "{name}: {share}");
    let skyline = if misses.skyline_deg.is_empty() {
        String::new()
    } else {
        let median = at_share(&mut misses.skyline_deg, 0.5);
        assert!(median < SKYLINE_DEG, "{name}: {median}°");
        format!("{median:.3}°")
    };
    writeln!(
        table,
        "| {name} | {kind} | {:.1} mm | {} | {:.2} px | {median:.2} px | {farthest:.2} px | {:.2}′ | {:.3} % | {skyline} | {:?} |",
        number(truth, "focal_mm"),
        solution.stars.len(),
        solution.rms_px,
        60.0 * misses.middle.degrees(),
        100.0 * misses.focal_share.abs(),
        frame.verdict,
    )
    .expect("a text takes any line");
}
