//! Messages drawn at random, with every variant and field.

use chrono::NaiveDate;
use proptest::collection::vec;
use proptest::option;
use proptest::prelude::*;
use tarnlight::angle::Angle;
use tarnlight::astrometry::cause::Cause;
use tarnlight::astrometry::knock::Knock;
use tarnlight::astrometry::solution::NoSolution;
use tarnlight::astrometry::stage::Stage;
use tarnlight::astrometry::strokes::Zone;
use tarnlight::astrometry::tilt::SoftSide;
use tarnlight::astrometry::verdict::Verdict;
use tarnlight::camera::lens::Projection;
use tarnlight::camera::photo::PhotoFacts;
use tarnlight::land::declination::Declination;
use tarnlight::land::skyline::Viewpoint;
use tarnlight::land::survey::Surveyed;
use tarnlight::light::sample_image::SampleImage;
use tarnlight::outing::messages::{FromWorker, Request, Response};
use tarnlight::outing::share::qr::QrCode;
use tarnlight::outing::test_frame::border::{BorderDirection, BorderPoint};
use tarnlight::outing::test_frame::report::{
    Aim, CameraNotes, ClockReading, FrameAnswer, FramePriors, FrameReport, MeasuredLens,
    SolvedFrame, StarCrop, Stroke, TimeSource, ZoneReport, ZoneStars,
};
use tarnlight::sky::observer::GeoPosition;

fn angle() -> impl Strategy<Value = Angle> {
    any::<f64>().prop_map(Angle::from_radians)
}

fn date() -> impl Strategy<Value = NaiveDate> {
    let days = -90_000_000..90_000_000_i32;
    days.prop_filter_map("a date of the calendar", |day| {
        NaiveDate::from_num_days_from_ce_opt(day)
    })
}

fn patch() -> impl Strategy<Value = SampleImage> {
    any::<[f64; 10]>().prop_map(|at| SampleImage {
        sky_e_s: at[0],
        glow_e_s: at[1],
        dark_e_s: at[2],
        read_noise_e: at[3],
        star_e_s: at[4],
        blur_px: at[5],
        trail_px: at[6],
        frames: at[7],
        frame_s: at[8],
        white_e: at[9],
    })
}

pub fn request() -> impl Strategy<Value = Request> {
    let eye = (angle(), angle(), option::of(any::<f64>()));
    let eye = eye.prop_map(|(latitude, longitude, height_m)| Viewpoint {
        latitude,
        longitude,
        height_m,
    });
    let skyline = (eye, any::<f64>()).prop_map(|(eye, bend)| Request::ReadSkyline { eye, bend });
    let place = (angle(), angle(), any::<f64>(), date());
    let declination =
        place.prop_map(
            |(latitude, longitude, height_m, date)| Request::Declination {
                latitude,
                longitude,
                height_m,
                date,
            },
        );
    prop_oneof![
        Just(Request::ReadPhoto),
        skyline,
        any::<String>().prop_map(Request::ReadTable),
        declination,
        vec(patch(), 0..5).prop_map(Request::DrawSampleImages),
        any::<String>().prop_map(Request::DrawCode),
        priors().prop_map(|priors| Request::MeasureFrame(Box::new(priors))),
        any::<Option<(u32, u32)>>().prop_map(Request::ReadClock),
    ]
}

fn priors() -> impl Strategy<Value = FramePriors> {
    let site = option::of((angle(), angle(), any::<f64>()));
    let numbers = any::<(
        (f64, f64),
        f64,
        Option<f64>,
        Option<f64>,
        Option<(u32, u32)>,
    )>();
    (site, numbers).prop_map(|(site, numbers)| FramePriors {
        sensor_mm: numbers.0,
        focal_mm: numbers.1,
        site: site.map(|(latitude, longitude, height_m)| GeoPosition {
            latitude,
            longitude,
            height_m,
        }),
        clock_ahead_s: numbers.2,
        said_ahead_s: numbers.3,
        decoded: numbers.4,
    })
}

fn stroke() -> impl Strategy<Value = Stroke> {
    (any::<f64>(), angle()).prop_map(|(length_px, angle)| Stroke { length_px, angle })
}

fn zone() -> impl Strategy<Value = ZoneReport> {
    let crop = (any::<u32>(), vec(any::<u8>(), 0..50));
    let crop = option::of(crop.prop_map(|(side, light)| StarCrop { side, light }));
    let stars = (stroke(), any::<(bool, f64, bool)>(), crop);
    let stars = stars.prop_map(|(stroke, (short, width_px, discs), crop)| ZoneStars {
        stroke,
        short,
        width_px,
        discs,
        crop,
    });
    let zone = prop::sample::select(Zone::ALL.to_vec());
    (
        zone,
        any::<(f32, f32)>(),
        option::of(stars),
        option::of(stroke()),
    )
        .prop_map(|(zone, at, measured, predicted)| ZoneReport {
            zone,
            at,
            measured,
            predicted,
        })
}

fn solution() -> impl Strategy<Value = Result<SolvedFrame, NoSolution>> {
    let aim = (angle(), angle(), angle()).prop_map(|(bearing, altitude, roll)| Aim {
        bearing,
        altitude,
        roll,
    });
    let lens = any::<(f64, f64, f64)>();
    let lens = lens.prop_map(|(focal_mm, k1, k2)| MeasuredLens { focal_mm, k1, k2 });
    let projection = prop::sample::select(Projection::ALL.to_vec());
    let solved = (
        any::<(u32, f64)>(),
        projection,
        option::of(lens),
        option::of((angle(), angle())),
        option::of(aim),
    );
    let solved =
        solved.prop_map(
            |((matched, rms_px), projection, lens, middle, aim)| SolvedFrame {
                matched,
                rms_px,
                projection,
                lens,
                middle,
                aim,
            },
        );
    let why = prop_oneof![
        Just(NoSolution::NoStars),
        Just(NoSolution::NotIdentified),
        Just(NoSolution::Mirrored),
    ];
    prop_oneof![solved.prop_map(Ok), why.prop_map(Err)]
}

fn report() -> impl Strategy<Value = FrameReport> {
    let places = || vec(any::<(f32, f32)>(), 0..8);
    let picture = (
        any::<((u32, u32), u32)>(),
        places(),
        vec(zone(), 0..5),
        places(),
    );
    let sky = (
        solution(),
        vec((angle(), angle()), 0..5),
        prop::sample::select(Verdict::ALL.to_vec()),
        any::<Option<f64>>(),
        vec(
            prop::sample::select(vec![
                Cause::Knocked,
                Cause::Defocused,
                Cause::Tracked,
                Cause::Tilted(SoftSide::BottomLeft),
                Cause::Decentred(Zone::TopRight),
                Cause::Lens,
            ]),
            0..3,
        ),
        option::of((any::<[f64; 3]>(), any::<usize>()).prop_map(
            |([dx_px, dy_px, share], pairs)| Knock {
                dx_px,
                dy_px,
                share,
                pairs,
            },
        )),
    );
    let notes = any::<(
        Option<i64>,
        Option<i32>,
        Option<f64>,
        Option<f64>,
        Option<f64>,
        Option<f64>,
        bool,
    )>();
    let time = prop::sample::select(vec![
        TimeSource::None,
        TimeSource::UnknownZone,
        TimeSource::Said,
        TimeSource::File,
        TimeSource::FileCorrected,
        TimeSource::Measured,
    ]);
    (picture, sky, notes, time, any::<Option<i64>>()).prop_map(
        |(((size_px, found), stars, zones, border), sky, notes, time, start_ms)| FrameReport {
            size_px,
            found,
            stars,
            zones,
            solution: sky.0,
            border: border
                .into_iter()
                .map(|at| BorderPoint {
                    at,
                    towards: sky.1.first().map(|(bearing, altitude)| BorderDirection {
                        bearing: *bearing,
                        altitude: *altitude,
                        right_deg: (0.1, -0.2),
                        down_deg: (f64::MAX, 0.0),
                    }),
                })
                .collect(),
            skyline: sky.1,
            verdict: sky.2,
            causes: sky.4,
            moved_px: sky.3,
            knock: sky.5,
            notes: CameraNotes {
                sensor_mm: notes.3.map(|focal_mm| (focal_mm, 24.0)),
                taken_ms: notes.0,
                offset_min: notes.1,
                exposure_s: notes.2,
                focal_mm: notes.3,
                f_number: notes.4,
                iso: notes.5,
                halved: notes.6,
            },
            time,
            start_ms,
        },
    )
}

pub fn frame_answer() -> impl Strategy<Value = FrameAnswer> {
    let clock = any::<(f64, i64)>();
    let clock = clock.prop_map(|(ahead_s, utc_s)| ClockReading { ahead_s, utc_s });
    prop_oneof![
        report().prop_map(|report| FrameAnswer::Measured(Box::new(report))),
        clock.prop_map(FrameAnswer::Clock),
        any::<String>().prop_map(FrameAnswer::Undecoded),
    ]
}

fn response() -> impl Strategy<Value = Response> {
    let facts = (
        option::of(any::<(u32, u32)>()),
        option::of(any::<(f64, f64)>()),
        option::of(any::<f64>()),
        option::of(any::<f64>()),
    );
    let facts = facts.prop_map(|(pixels, size_mm, focal_mm, f_number)| PhotoFacts {
        pixels,
        size_mm,
        focal_mm,
        f_number,
    });
    let surveyed = (angle(), option::of(angle()));
    let surveyed = surveyed.prop_map(|(bearing, height)| Surveyed { bearing, height });
    let declination = prop_oneof![
        angle().prop_map(Declination::Usual),
        angle().prop_map(Declination::Caution),
        Just(Declination::Blackout),
    ];
    let code = (0..12_usize).prop_flat_map(|side| {
        vec(any::<bool>(), side * side).prop_map(move |dark| QrCode { side, dark })
    });
    prop_oneof![
        facts.prop_map(Response::Photo),
        vec(surveyed, 0..20).prop_map(Response::Skyline),
        option::of(declination).prop_map(Response::Declination),
        vec(vec(any::<u8>(), 0..100), 0..5).prop_map(Response::SampleImages),
        code.prop_map(Response::QrCode),
        vec(any::<u8>(), 0..100).prop_map(Response::Frame),
    ]
}

pub fn from_worker() -> impl Strategy<Value = FromWorker> {
    let result = prop_oneof![response().prop_map(Ok), any::<String>().prop_map(Err)];
    let answer = (any::<u32>(), result).prop_map(|(id, result)| FromWorker::Answer { id, result });
    let stage = (any::<u32>(), prop::sample::select(Stage::ALL.to_vec()))
        .prop_map(|(id, stage)| FromWorker::Stage { id, stage });
    prop_oneof![1 => Just(FromWorker::Ready), 9 => answer, 2 => stage]
}
