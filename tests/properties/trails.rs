//! How clean time, trail and the fastest place of the frame behave, whatever the camera.

use proptest::prelude::*;
use tarnlight::angle::Angle;
use tarnlight::camera::clean_time::{CleanTime, LONGEST_S, centre_clean_time};
use tarnlight::camera::dial::DialTime;
use tarnlight::camera::fastest::Search;
use tarnlight::camera::frame::Frame;
use tarnlight::camera::lens::{FIELD_LIMIT, Lens, Projection};
use tarnlight::camera::sensor::{FORMATS, Sensor};
use tarnlight::camera::sharpness::Sharpness;
use tarnlight::camera::view::{SensorPoint, View};
use tarnlight::outing::exposure::{Answer, ShutterTrails};
use tarnlight::outing::plan::site::Site;
use tarnlight::outing::plan::{KeepSharp, Outing};

use crate::drawn::{cases, projection};

prop_compose! {
    /// A full-frame camera with a lens that exists, pointed anywhere from anywhere.
    fn usual_view()(
        ln_focal in 8_f64.ln()..400_f64.ln(),
        projection in projection(),
        bearing in 0.0..360.0,
        tilt in -30.0..=90.0,
        roll in -180.0..180.0,
        latitude in -90.0..=90.0,
    ) -> View {
        let lens = Lens { focal_mm: ln_focal.exp(), f_number: 2.8, projection, ..Lens::default() };
        let [bearing, tilt, roll] = [bearing, tilt, roll].map(Angle::from_degrees);
        let frame = Frame { bearing, tilt, roll };
        View::new(FORMATS[1].sensor(24.0), lens, frame, Angle::from_degrees(latitude))
    }
}

/// A place in the frame, each side from −1 to 1.
fn place(view: &View, across: f64, up: f64) -> SensorPoint {
    SensorPoint {
        x_mm: across * view.sensor.width_mm / 2.0,
        y_mm: up * view.sensor.height_mm / 2.0,
    }
}

/// Clean time in the middle of a level full-frame camera pointed due south.
fn clean_in_the_middle(sensor: Sensor, focal_mm: f64, latitude: f64, tilt: f64) -> f64 {
    let lens = Lens {
        focal_mm,
        f_number: 2.8,
        projection: Projection::Rectilinear,
        ..Lens::default()
    };
    let frame = Frame {
        bearing: Angle::from_degrees(180.0),
        tilt: Angle::from_degrees(tilt),
        roll: Angle::ZERO,
    };
    let view = View::new(sensor, lens, frame, Angle::from_degrees(latitude));
    let time = view.clean_time_at(SensorPoint::CENTRE, 2.0 * sensor.pitch_um());
    let seconds = time.and_then(CleanTime::seconds);
    seconds.expect("the middle has an image and moves")
}

proptest! {
    #![proptest_config(cases(300))]

    #[test]
    fn a_longer_lens_has_less_time(
        focal_mm in 8.0..400.0, longer in 1.001..10.0_f64, latitude in 0.0..60.0, tilt in 5.0..25.0,
    ) {
        let sensor = FORMATS[1].sensor(24.0);
        let short = clean_in_the_middle(sensor, focal_mm, latitude, tilt);
        let long = clean_in_the_middle(sensor, focal_mm * longer, latitude, tilt);
        // in proportion, as long as the trail is short beside the focal length
        prop_assert!((short / long / longer - 1.0).abs() < 1e-3, "{} s and {} s", short, long);
    }

    #[test]
    fn larger_pixels_have_more_time(
        megapixels in 10.0..60.0, more in 1.1..3.0_f64, focal_mm in 8.0..400.0, tilt in 5.0..25.0,
    ) {
        let coarse = FORMATS[1].sensor(megapixels);
        let fine = FORMATS[1].sensor(megapixels * more);
        let long = clean_in_the_middle(coarse, focal_mm, 36.0, tilt);
        let short = clean_in_the_middle(fine, focal_mm, 36.0, tilt);
        let pitches = coarse.pitch_um() / fine.pitch_um();
        prop_assert!((long / short / pitches - 1.0).abs() < 1e-3, "{} s and {} s", long, short);
    }

    /// Due south the middle's declination is latitude + tilt − 90°.
    #[test]
    fn nearer_the_pole_there_is_more_time(
        declination in 0.0..80.0, nearer in 0.1..9.0, south in any::<bool>(), focal_mm in 8.0..400.0,
    ) {
        let sensor = FORMATS[1].sensor(24.0);
        let at = |declination: f64| {
            let side = if south { -1.0 } else { 1.0 };
            let (latitude, tilt) = (side * declination, 90.0);
            clean_in_the_middle(sensor, focal_mm, latitude, tilt)
        };
        let (less, more) = (at(declination), at(declination + nearer));
        prop_assert!(less < more, "{} s, then {} s", less, more);
        let trail = 2.0 * sensor.pitch_um();
        let closed = centre_clean_time(focal_mm, Angle::from_degrees(declination), trail);
        let closed = closed.seconds().expect("a moving star");
        prop_assert!((less / closed - 1.0).abs() < 1e-3, "{} s and {} s", less, closed);
    }

    /// For a second the trail is speed times time; for a minute still within a hundredth, as the
    /// drift map takes it, for places no farther than 45° from the axis.
    #[test]
    fn short_trails_grow_evenly(
        view in usual_view(), across in -1.0..=1.0, up in -1.0..=1.0,
    ) {
        let point = place(&view, across, up);
        let near = |angle: Angle| angle.degrees() <= 45.0;
        prop_assume!(view.off_axis_at(point).is_some_and(near));
        let speed = view.speed_at(point).expect("an image");
        for (seconds, allowed) in [(0.1, 2e-5), (1.0, 2e-4), (60.0, 1e-2)] {
            let trail = view.trail_um(point, seconds).expect("stays in the field");
            let miss = trail - speed * seconds;
            prop_assert!(miss.abs() <= allowed * speed * seconds, "{} s: {} µm", seconds, trail);
        }
    }

    /// A trail is the sum of its parts: two ways to the same length.
    #[test]
    fn trails_add_up(
        view in usual_view(), across in -1.0..=1.0, up in -1.0..=1.0, seconds in 1.0..3000.0,
    ) {
        let start = place(&view, across, up);
        let near = |angle: Angle| angle.degrees() <= 60.0;
        prop_assume!(view.off_axis_at(start).is_some_and(near));
        let whole = view.trail_um(start, seconds).expect("stays in the field");
        let part = seconds / 7.0;
        let mut sum = 0.0;
        for number in 0..7 {
            let from = view.star_after(start, part * f64::from(number)).expect("in the field");
            sum += view.trail_um(from, part).expect("in the field");
        }
        prop_assert!((whole - sum).abs() <= 1e-9 * whole + 1e-9, "{} and {} µm", whole, sum);
    }
}

proptest! {
    #![proptest_config(cases(64))]

    /// No place of the frame that shows sky is faster than the one called fastest.
    #[test]
    fn nothing_is_faster_than_the_fastest(view in usual_view(), start in 0.0..1.0_f64) {
        let fastest = view.fastest(Search::AboveHorizon).map_or(0.0, |found| found.speed_um_s);
        let mut looked_at = 0;
        for look in 0..4000 {
            let point = scattered(&view, start, look);
            let in_field = view
                .off_axis_at(point)
                .is_some_and(|theta| theta.radians() <= FIELD_LIMIT.radians());
            let in_sky = view.altitude_at(point).is_some_and(|altitude| altitude >= Angle::ZERO);
            if in_field && in_sky {
                let speed = view.speed_at(point).expect("an image");
                prop_assert!(speed <= fastest * 1.001, "{} µm/s at {:?}", speed, point);
                looked_at += 1;
            }
        }
        prop_assert!(looked_at > 0 || fastest == 0.0, "found where there is no sky");
    }

    /// At the dial time the place that must stay sharp draws no more than is allowed.
    #[test]
    fn the_dial_time_keeps_its_promise(
        latitude in -90.0..=90.0, focal_mm in 8.0..400.0, whole_frame in any::<bool>(),
        pixels in 1.0..10.0, projection in projection(),
    ) {
        let mut outing = Outing {
            site: Site { latitude: Angle::from_degrees(latitude), ..Site::default() },
            sharpness: Sharpness::Pixels(pixels),
            keep_sharp: if whole_frame { KeepSharp::WholeFrame } else { KeepSharp::Core },
            ..Outing::default()
        };
        outing.kit.lens.focal_mm = focal_mm;
        outing.kit.lens.projection = projection;
        let answer = Answer::compute(&outing);
        let DialTime::Set(shutter) = answer.dial() else {
            return Err(TestCaseError::fail("no dial time"));
        };
        let trial = ShutterTrails::new(&answer, shutter);
        let left = if whole_frame { trial.worst_px } else { trial.core_px };
        let left = left.expect("a trail");
        prop_assert!(left <= pixels * (1.0 + 1e-9), "{} px", left);
        let seconds = |time: CleanTime| time.seconds().unwrap_or(LONGEST_S);
        let (frame, core) = (seconds(answer.clean_frame), seconds(answer.clean_core));
        prop_assert!(frame <= core * (1.0 + 1e-9), "{} s and {} s", frame, core);
    }
}

/// Places spread evenly over the frame and, every eighth of them, along its edges: the additive
/// sequence of M. Roberts (2018), whose steps are the powers of the plastic number's inverse.
fn scattered(view: &View, start: f64, look: u32) -> SensorPoint {
    const STEPS: (f64, f64) = (0.754_877_666_246_692_8, 0.569_840_290_998_053_3);
    let share = |step: f64| 2.0 * (start + step * f64::from(look)).fract() - 1.0;
    let (mut across, mut up) = (share(STEPS.0), share(STEPS.1));
    match look % 16 {
        0 => across = across.signum(),
        8 => up = up.signum(),
        _ => {}
    }
    place(view, across, up)
}
