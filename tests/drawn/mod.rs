//! Outings drawn at random, with every field that can be typed.

use chrono::{Days, NaiveDate};
use proptest::prelude::*;
use tarnlight::angle::Angle;
use tarnlight::camera::distortion::Distortion;
use tarnlight::camera::focus::Focus;
use tarnlight::camera::frame::Frame;
use tarnlight::camera::lens::{Lens, Projection, StarWidth};
use tarnlight::camera::sensor::Sensor;
use tarnlight::camera::sharpness::{Sharpness, Viewing};
use tarnlight::land::ridge::{RidgeLine, Sighting};
use tarnlight::light::tracking::{Mount, TrackingRate};
use tarnlight::outing::plan::bounds::{self, Bounds};
use tarnlight::outing::plan::camera_body::{CameraBody, CameraClock, MOST_NOISES};
use tarnlight::outing::plan::kit::Kit;
use tarnlight::outing::plan::limits::{DarknessLimit, Limits, MoonLimit};
use tarnlight::outing::plan::site::{MOST_OFFSET_MIN, Site, Zone};
use tarnlight::outing::plan::{KeepSharp, NIGHT_MIN, Orientation, Outing, Support, Weather};
use tarnlight::outing::share::query;
use tarnlight::sky::moment::YEARS;
use tarnlight::sky::subject::Subject;

/// The form keeps four decimals.
const DECIMALS: f64 = 1e4;

/// So many draws, and no file of those that failed.
pub fn cases(cases: u32) -> ProptestConfig {
    ProptestConfig {
        cases,
        failure_persistence: None,
        ..ProptestConfig::default()
    }
}

/// A number inside its bounds, the ends and every order of magnitude among them.
pub fn inside(bounds: Bounds) -> BoxedStrategy<f64> {
    let Bounds { least, most, .. } = bounds;
    let even = least..=most;
    let kept = |value: f64| (value * DECIMALS).round() / DECIMALS;
    let ends = prop_oneof![Just(least), Just(most)];
    if least > 0.0 {
        let orders = (least.ln()..=most.ln()).prop_map(move |ln| ln.exp().clamp(least, most));
        prop_oneof![1 => ends, 2 => even, 6 => orders]
            .prop_map(kept)
            .boxed()
    } else {
        prop_oneof![1 => ends, 1 => Just(0.0), 6 => even]
            .prop_map(kept)
            .boxed()
    }
}

fn whole(bounds: Bounds) -> impl Strategy<Value = u32> {
    inside(bounds).prop_map(|value| value.round() as u32)
}

fn angle(bounds: Bounds) -> impl Strategy<Value = Angle> {
    inside(bounds).prop_map(Angle::from_degrees)
}

fn sensor() -> impl Strategy<Value = Sensor> {
    let side = || (inside(bounds::SENSOR_MM), whole(bounds::SIDE_PX));
    (side(), side()).prop_map(|((width_mm, across), (height_mm, down))| Sensor {
        width_mm,
        height_mm,
        pixels_across: across,
        pixels_down: down,
    })
}

/// Any projection.
pub fn projection() -> impl Strategy<Value = Projection> {
    proptest::sample::select(&Projection::ALL[..])
}

/// Any distortion that leaves a picture out to the corner; none more often than others.
pub fn distortion() -> impl Strategy<Value = Distortion> {
    let pair = (inside(bounds::K1), inside(bounds::K2));
    let bent = pair
        .prop_map(|(k1, k2)| Distortion { k1, k2 })
        .prop_filter("a picture out to the corner", |pair| pair.reaches_corner());
    prop_oneof![1 => Just(Distortion::NONE), 3 => bent]
}

fn star_width() -> impl Strategy<Value = StarWidth> {
    let widths = (inside(bounds::STAR_PX), inside(bounds::STAR_PX));
    widths.prop_map(|(centre_px, corner_px)| StarWidth {
        centre_px,
        corner_px,
    })
}

fn sharpness() -> impl Strategy<Value = Sharpness> {
    let seen = || {
        let sizes = (inside(bounds::PICTURE_CM), inside(bounds::EYE_CM));
        sizes.prop_map(|(width_cm, distance_cm)| Viewing {
            width_cm,
            distance_cm,
        })
    };
    prop_oneof![
        Just(Sharpness::EveryPixel),
        Just(Sharpness::CloseLook),
        seen().prop_map(Sharpness::Print),
        seen().prop_map(Sharpness::Screen),
        inside(bounds::TRAIL_PX).prop_map(Sharpness::Pixels),
    ]
}

fn keep_sharp() -> impl Strategy<Value = KeepSharp> {
    prop_oneof![
        Just(KeepSharp::Core),
        Just(KeepSharp::WholeFrame),
        Just(KeepSharp::Centre),
        angle(bounds::DECLINATION).prop_map(KeepSharp::Declination),
    ]
}

fn focus() -> impl Strategy<Value = Focus> {
    prop_oneof![
        Just(Focus::Stars),
        Just(Focus::Hyperfocal),
        inside(bounds::FOCUS_M).prop_map(Focus::At),
    ]
}

/// A name as long as one may be, of any letters there are.
fn name() -> impl Strategy<Value = String> {
    let letters = proptest::collection::vec(any::<char>(), 0..=query::LONGEST_NAME);
    letters.prop_map(|letters| letters.into_iter().collect())
}

/// A value of this kind, or `None`.
fn perhaps(bounds: Bounds) -> impl Strategy<Value = Option<f64>> {
    proptest::option::of(inside(bounds))
}

/// A share as it is typed, in percent.
fn perhaps_share(bounds: Bounds) -> impl Strategy<Value = Option<f64>> {
    perhaps(bounds).prop_map(|percent| percent.map(|percent| percent / 100.0))
}

prop_compose! {
    fn body()(
        quantum in perhaps_share(bounds::QUANTUM),
        transmitted in perhaps_share(bounds::TRANSMITTED),
        noises in proptest::collection::vec(
            (inside(bounds::ISO), inside(bounds::READ_NOISE_E)),
            0..MOST_NOISES + 2,
        ),
        dark_e_s in perhaps(bounds::DARK_E_S),
        full_well_e in perhaps(bounds::FULL_WELL_E),
        file_mb in perhaps(bounds::FILE_MB),
        write_s in perhaps(bounds::WRITE_S),
        charge_min in perhaps(bounds::CHARGE_MIN),
        clock in proptest::option::of((inside(bounds::CLOCK_S), night())),
    ) -> CameraBody {
        let mut body = CameraBody {
            quantum, transmitted, dark_e_s, full_well_e, file_mb, write_s, charge_min,
            clock: clock.map(|(ahead_s, date)| CameraClock { ahead_s, date }),
            ..CameraBody::default()
        };
        for (iso, noise_e) in noises {
            body.insert_read_noise(iso, noise_e);
        }
        body
    }
}

prop_compose! {
    /// Any kit that can be typed, whether or not anybody makes it.
    fn kit()(
        name in name(),
        sensor in sensor(),
        focal_mm in inside(bounds::FOCAL_MM),
        f_number in inside(bounds::F_NUMBER),
        projection in projection(),
        distortion in distortion(),
        star_width in proptest::option::of(star_width()),
        corner_falloff_stops in perhaps(bounds::FALLOFF_STOPS),
        body in body(),
    ) -> Kit {
        let lens = Lens {
            focal_mm, f_number, projection, distortion, star_width, corner_falloff_stops,
        };
        Kit { name, sensor, lens, body }
    }
}

/// Any skyline, its sightings to a hundredth of a degree and from north through east, as the form
/// keeps them: a bearing counted through west comes back a rounding away.
fn ridge() -> impl Strategy<Value = RidgeLine> {
    let hundredths = |hundredths: i32| Angle::from_degrees(f64::from(hundredths) / 100.0);
    let heights = [bounds::SIGHTED.least, bounds::SIGHTED.most].map(|end| (end * 100.0) as i32);
    let sighting = (0..36_000, heights[0]..=heights[1]);
    let sighting = sighting.prop_map(move |(bearing, height)| Sighting {
        bearing: hundredths(bearing),
        height: hundredths(height),
    });
    let sightings = prop_oneof![
        1 => Just(Vec::new()),
        3 => proptest::collection::vec(sighting, 1..40),
    ];
    let gaps = proptest::collection::vec(proptest::sample::select(vec![true, false]), 0..3);
    (angle(bounds::RIDGE), sightings, gaps).prop_map(|(level, all, gaps)| {
        let mut line = RidgeLine::new(level, all.iter().copied());
        for (sighting, open) in all.iter().zip(gaps) {
            if open {
                line.open_gap_after(sighting.bearing);
            }
        }
        line
    })
}

fn zone() -> impl Strategy<Value = Zone> {
    prop_oneof![
        (-MOST_OFFSET_MIN..=MOST_OFFSET_MIN).prop_map(Zone::Fixed),
        "[A-Z][a-z]{1,12}/[A-Z][A-Za-z_+-]{1,20}".prop_map(Zone::Named),
    ]
}

prop_compose! {
    fn site()(
        name in name(),
        latitude in angle(bounds::LATITUDE),
        longitude in angle(bounds::LONGITUDE),
        height_m in inside(bounds::SITE_HEIGHT_M),
        zone in zone(),
        ridge in ridge(),
        sky_brightness in inside(bounds::SKY_BRIGHTNESS),
        extinction_mag in perhaps(bounds::EXTINCTION),
    ) -> Site {
        Site { name, latitude, longitude, height_m, zone, ridge, sky_brightness, extinction_mag }
    }
}

fn frame() -> impl Strategy<Value = Frame> {
    let turns = (
        angle(bounds::BEARING),
        angle(bounds::TILT),
        angle(bounds::ROLL),
    );
    turns.prop_map(|(bearing, tilt, roll)| Frame {
        bearing,
        tilt,
        roll,
    })
}

/// Any night of the years the page knows.
fn night() -> impl Strategy<Value = NaiveDate> {
    let first = NaiveDate::from_ymd_opt(*YEARS.start(), 1, 1).expect("a date");
    let last = NaiveDate::from_ymd_opt(*YEARS.end(), 12, 31).expect("a date");
    let days = (last - first).num_days().unsigned_abs();
    (0..=days).prop_map(move |days| first + Days::new(days))
}

fn mount() -> impl Strategy<Value = Mount> {
    let errors = (
        inside(bounds::POLAR_ERROR),
        inside(bounds::POLAR_ERROR),
        inside(bounds::PERIODIC),
        inside(bounds::PERIOD_S),
        prop_oneof![Just(TrackingRate::Sidereal), Just(TrackingRate::Half)],
    );
    errors.prop_map(|(side, up, periodic, period_s, rate)| Mount {
        azimuth_error: Angle::from_degrees(side / 60.0),
        altitude_error: Angle::from_degrees(up / 60.0),
        periodic: Angle::from_degrees(periodic / 3600.0),
        period_s,
        rate,
    })
}

fn weather() -> impl Strategy<Value = Weather> {
    let read = (inside(bounds::CELSIUS), inside(bounds::HUMIDITY));
    read.prop_map(|(celsius, humidity_percent)| Weather {
        celsius,
        humidity_percent,
    })
}

prop_compose! {
    /// What must hold for a shot window.
    fn limits()(
        darkness in prop_oneof![
            Just(DarknessLimit::Down18), Just(DarknessLimit::Down15), Just(DarknessLimit::Down12),
        ],
        least_core in angle(bounds::LEAST_CORE),
        moon in prop_oneof![
            Just(MoonLimit::Any), Just(MoonLimit::Harmless), Just(MoonLimit::None),
        ],
    ) -> Limits {
        Limits { darkness, least_core, moon }
    }
}

prop_compose! {
    /// Inputs of the light, and of the sky.
    fn light()(
        support in prop_oneof![Just(Support::Tripod), Just(Support::Tracker)],
        iso in perhaps(bounds::ISO),
        stack_min in inside(bounds::STACK_MIN),
        subject_brightness in inside(bounds::SUBJECT_BRIGHTNESS),
        weather in proptest::option::of(weather()),
        mount in mount(),
        limits in limits(),
    ) -> Outing {
        Outing { support, iso, stack_min, subject_brightness, weather, mount, limits, ..Outing::default() }
    }
}

prop_compose! {
    /// Any outing that can be typed.
    pub fn outing()(
        site in site(),
        kit in kit(),
        f_number in inside(bounds::F_NUMBER),
        sharpness in sharpness(),
        keep_sharp in keep_sharp(),
        orientation in prop_oneof![Just(Orientation::Landscape), Just(Orientation::Portrait)],
        frame in proptest::option::of(frame()),
        focus in focus(),
        night in proptest::option::of(night()),
        minute in proptest::option::of(0..NIGHT_MIN),
        subject in proptest::sample::select(Subject::ALL.to_vec()),
        light in light(),
    ) -> Outing {
        Outing {
            site, subject, kit, f_number, sharpness, keep_sharp, orientation, frame, focus, night,
            minute, ..light
        }
    }
}
