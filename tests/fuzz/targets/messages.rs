//! Messages of page and worker: bytes are a message or none, one that is writes and reads again, and
//! a request that needs no file is answered.

use std::fmt::Debug;

use chrono::NaiveDate;
use serde::Serialize;
use serde::de::DeserializeOwned;
use tarnlight::angle::Angle;
use tarnlight::astrometry::stage::Stage;
use tarnlight::land::declination::declination;
use tarnlight::land::table;
use tarnlight::outing::messages::{FromWorker, Request, Response, ToWorker, decode, encode};
use tarnlight::outing::share::qr;
use tarnlight::outing::test_frame::offers::{skyline_with, taken_frame};
use tarnlight::outing::test_frame::report::FrameAnswer;

use super::{MB, MemoryLimit, Target};

pub const TARGET: Target = Target {
    name: "messages",
    seeds,
    run,
    memory: MemoryLimit {
        least: 4 * MB,
        per_byte: 500,
        most: 128 * MB,
    },
};

fn seeds() -> Vec<Vec<u8>> {
    let angle = Angle::from_degrees(46.5);
    let date = NaiveDate::from_ymd_opt(2026, 6, 14).expect("a date");
    let requests = [
        Request::ReadPhoto,
        Request::ReadTable("150 8.5\n165 3".to_owned()),
        Request::Declination {
            latitude: angle,
            longitude: angle,
            height_m: 1900.0,
            date,
        },
        Request::DrawCode("https://example.org/#v=1".to_owned()),
        Request::ReadClock(Some((3000, 2000))),
    ];
    let sent = |request| encode(&ToWorker { id: 300, request }).expect("memory does not fail");
    let mut seeds: Vec<Vec<u8>> = requests.into_iter().map(sent).collect();
    let answers = [
        Response::SampleImages(vec![vec![1; 20]; 3]),
        Response::Declination(declination(angle, angle, 1900.0, date)),
        Response::Frame(vec![2; 30]),
    ];
    seeds.extend(answers.into_iter().filter_map(|answer| {
        encode(&FromWorker::Answer {
            id: 7,
            result: Ok(answer),
        })
    }));
    seeds.extend(Stage::ALL.iter().filter_map(|stage| {
        encode(&FromWorker::Stage {
            id: 300,
            stage: *stage,
        })
    }));
    seeds.extend(encode(&FrameAnswer::Undecoded("no".to_owned())));
    seeds
}

/// Compared as bytes: a message may hold a number that is none, which equals nothing.
fn again<T: Serialize + DeserializeOwned + Debug>(input: &[u8]) -> Option<T> {
    let message: T = decode(input)?;
    let bytes = encode(&message).expect("memory does not fail");
    let read: T = decode(&bytes).expect("what was written is read");
    assert_eq!(encode(&read), Some(bytes), "{message:?}");
    Some(message)
}

fn run(input: &[u8]) {
    again::<FromWorker>(input);
    if let Some(FrameAnswer::Measured(report)) = again(input) {
        taken_frame(&report);
        skyline_with(&Default::default(), &report.skyline);
    }
    match again::<ToWorker>(input).map(|message| message.request) {
        Some(Request::ReadTable(text)) => drop(table::read(&text)),
        Some(Request::DrawCode(text)) => drop(qr::draw(&text)),
        Some(Request::Declination {
            latitude,
            longitude,
            height_m,
            date,
        }) => {
            declination(latitude, longitude, height_m, date);
        }
        _ => {}
    }
}
