//! Panoramas cover their area, for any camera.
//!
//! Cameras, areas and heads are drawn at random; then points of the area are, and each must be in
//! some frame of the plan by the lens's own projection, as the drift's tests check it.
#![cfg(not(target_arch = "wasm32"))]

use proptest::prelude::*;
use tarnlight::angle::Angle;
use tarnlight::camera::distortion::Distortion;
use tarnlight::camera::frame::Frame;
use tarnlight::camera::lens::{Lens, Projection};
use tarnlight::camera::sensor::{FORMATS, Sensor};
use tarnlight::camera::view::{SensorPoint, View};
use tarnlight::outing::framing::panorama::area::Area;
use tarnlight::outing::framing::panorama::click_stops::{ClickStops, HEAD_STOPS_DEG};
use tarnlight::outing::framing::panorama::{MOST_FRAMES, NoPanorama, PanoramaSettings};
use tarnlight::vector::Vector;

/// Points tried in each plan, besides the corners and edges.
const POINTS: usize = 400;

/// A share of the sensor by which a point on the very edge may miss it by rounding.
const ROUNDING: f64 = 1e-4;

fn degrees(from: f64, to: f64) -> impl Strategy<Value = Angle> {
    (from..=to).prop_map(Angle::from_degrees)
}

fn lens() -> impl Strategy<Value = Lens> {
    let rectilinear =
        (10_f64.ln()..200_f64.ln()).prop_map(|ln| (ln.exp(), Projection::Rectilinear));
    let round = proptest::sample::select(&Projection::ALL[1..]);
    let fisheye = (6.0..20.0, round);
    let ideal = prop_oneof![2 => rectilinear, 1 => fisheye];
    (ideal, distortion()).prop_map(|((focal_mm, projection), distortion)| Lens {
        focal_mm,
        f_number: 2.8,
        projection,
        distortion,
        ..Lens::default()
    })
}

/// None, that of usual lenses, or any that leaves a picture out to the corner.
fn distortion() -> impl Strategy<Value = Distortion> {
    let drawn = prop_oneof![
        3 => Just((0.0, 0.0)),
        2 => (-0.1..=0.1, -0.05..=0.05),
        1 => (-0.5..=0.5, -0.5..=0.5),
    ];
    drawn
        .prop_map(|(k1, k2)| Distortion { k1, k2 })
        .prop_filter("a picture out to the corner", |drawn| {
            drawn.reaches_corner()
        })
}

fn sensor() -> impl Strategy<Value = Sensor> {
    let format = proptest::sample::select(&FORMATS[..]);
    (format, any::<bool>()).prop_map(|(format, upright)| {
        let sensor = format.sensor(24.0);
        if upright { sensor.turned() } else { sensor }
    })
}

fn area() -> impl Strategy<Value = Area> {
    let width = prop_oneof![
        6 => degrees(1.0, 360.0),
        2 => Just(Angle::from_degrees(360.0)),
        2 => Just(Angle::from_degrees(200.0)),
    ];
    let high = prop_oneof![5 => 1.0..=100.0, 1 => Just(180.0)];
    (degrees(0.0, 360.0), width, -60.0..=60.0, high).prop_map(|(left, width, low, high)| Area {
        left,
        width,
        low: Angle::from_degrees(low),
        high: Angle::from_degrees(f64::min(low + high, 90.0)),
    })
}

fn wanted() -> impl Strategy<Value = PanoramaSettings> {
    let clicks = prop_oneof![
        2 => Just(ClickStops::Free),
        1 => Just(ClickStops::WholeDegrees),
        1 => Just(ClickStops::Stops(&HEAD_STOPS_DEG)),
    ];
    let overlap = prop_oneof![Just(0.0), Just(0.3), 0.0..=0.6];
    let rest = (clicks, overlap, 0.0..60.0, 0.0..10.0);
    (sensor(), lens(), area(), rest).prop_map(|(sensor, lens, area, rest)| {
        let (clicks, overlap, exposure_s, pause_s) = rest;
        PanoramaSettings {
            sensor,
            lens,
            area,
            overlap,
            clicks,
            exposure_s,
            pause_s,
        }
    })
}

/// Whether a direction is on the sensor of a frame.
fn is_in(wanted: &PanoramaSettings, frame: Frame, direction: Vector) -> bool {
    let view = View::new(wanted.sensor, wanted.lens, frame, Angle::ZERO);
    let seen = frame.axes().to_camera(direction);
    // half the sky is all a lens sees
    let ahead = seen.z >= -1e-9;
    ahead
        && view.image_of(seen).is_some_and(|image| {
            image.x_mm.abs() <= wanted.sensor.width_mm / 2.0 * (1.0 + ROUNDING)
                && image.y_mm.abs() <= wanted.sensor.height_mm / 2.0 * (1.0 + ROUNDING)
        })
}

/// Bearing, in degrees right of the frame's own, of the end of its middle line.
fn end_of_middle(wanted: &PanoramaSettings, tilt: Angle) -> f64 {
    let frame = Frame {
        bearing: Angle::ZERO,
        tilt,
        roll: Angle::ZERO,
    };
    let view = View::new(wanted.sensor, wanted.lens, frame, Angle::ZERO);
    let end = SensorPoint {
        x_mm: wanted.sensor.width_mm / 2.0,
        y_mm: 0.0,
    };
    let seen = view.direction_at(end).filter(|seen| seen.z > 0.0);
    seen.map_or(f64::NAN, |seen| {
        let axes = frame.axes();
        let east_north = axes.right.times(seen.x).plus(axes.forward.times(seen.z));
        east_north.x.atan2(east_north.y).to_degrees()
    })
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 400,
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn every_point_is_in_a_frame(
        wanted in wanted(),
        points in proptest::collection::vec((0.0..=1.0, 0.0..=1.0), POINTS),
    ) {
        let plan = match wanted.plan() {
            Ok(plan) => plan,
            Err(NoPanorama::NoStop) => {
                prop_assert!(wanted.clicks == ClickStops::Stops(&HEAD_STOPS_DEG));
                return Ok(());
            }
            Err(reason) => {
                // only long lenses need too many
                prop_assert!(reason == NoPanorama::TooMany && wanted.lens.focal_mm > 30.0, "{}", reason);
                return Ok(());
            }
        };
        let frames: Vec<_> = plan.frames().collect();
        prop_assert_eq!(frames.len(), plan.count() as usize);
        prop_assert!(plan.count() <= MOST_FRAMES);
        let mut tried = points;
        for step in 0..=20 {
            let share = f64::from(step) / 20.0;
            tried.extend([(share, 0.0), (share, 1.0), (0.0, share), (1.0, share)]);
        }
        let Area { left, width, low, high } = wanted.area;
        for (along, up) in tried {
            let bearing = left.degrees() + along * width.degrees();
            let altitude = low.degrees() + up * (high.degrees() - low.degrees());
            let north_east = Vector::from_spherical(Angle::from_degrees(bearing), Angle::from_degrees(altitude));
            let direction = Vector::new(north_east.y, north_east.x, north_east.z);
            let held = frames.iter().any(|frame| is_in(&wanted, *frame, direction));
            prop_assert!(held, "bearing {}, altitude {}: {:?}", bearing, altitude, plan);
        }
    }

    #[test]
    fn neighbours_share_what_was_asked(wanted in wanted()) {
        let Ok(plan) = wanted.plan() else {
            return Ok(());
        };
        let height = plan.rows.windows(2).map(|two| two[0].tilt.degrees() - two[1].tilt.degrees());
        let up = SensorPoint { x_mm: 0.0, y_mm: wanted.sensor.height_mm / 2.0 };
        let level = Frame { bearing: Angle::ZERO, tilt: Angle::ZERO, roll: Angle::ZERO };
        let view = View::new(wanted.sensor, wanted.lens, level, Angle::ZERO);
        let half = view.off_axis_at(up).map_or(90.0, |angle| angle.degrees().min(90.0));
        for apart in height {
            prop_assert!(apart > 0.0 && apart <= 2.0 * half * (1.0 - wanted.overlap) + 1e-6, "{:?}", plan);
        }
        for row in plan.rows.iter().filter(|row| row.columns > 1) {
            let end = end_of_middle(&wanted, row.tilt);
            let width = if end.is_nan() { row.frame_width.degrees() } else { 2.0 * end };
            prop_assert!((width - row.frame_width.degrees()).abs() < 1e-6, "{} {:?}", width, row);
            let shared = 1.0 - row.turn.degrees() / width;
            prop_assert!(shared >= wanted.overlap - 1e-6, "{} {:?}", shared, row);
        }
    }
}
