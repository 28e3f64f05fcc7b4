//! What page and worker send each other: the bytes against the format's specification
//! (*Postcard Wire Format*, version 1.0), and every message there and back.
#![cfg(not(target_arch = "wasm32"))]

mod strategies;

use std::fmt::Debug;

use chrono::NaiveDate;
use proptest::collection::vec;
use proptest::prelude::*;
use serde::Serialize;
use serde::de::DeserializeOwned;
use strategies::{frame_answer, from_worker, request};
use tarnlight::angle::Angle;
use tarnlight::outing::messages::{FromWorker, Request, Response, ToWorker, decode, encode};
use tarnlight::outing::share::qr;
use tarnlight::outing::test_frame::report::FrameAnswer;

fn bytes(message: &impl Serialize) -> Vec<u8> {
    encode(message).expect("memory does not fail")
}

/// By the specification numbers are little-endian base 128, signed ones zigzag first; a variant
/// is its number, a text its length and UTF-8, a structure its fields alone, and an f64 its eight
/// bytes from the least significant. 300 is AC 02 (the worked example of base 128 in *Protocol
/// Buffers: Encoding*), 1 January 1970 day 719 163 (Reingold and Dershowitz, *Calendrical
/// Calculations*, table of epochs), and 1.5 is 3F F8 00 … (IEEE 754: 1.1₂ · 2⁰).
#[test]
fn bytes_are_those_of_the_specification() {
    let with = |request| bytes(&ToWorker { id: 300, request });
    assert_eq!(with(Request::ReadPhoto), [0xAC, 0x02, 0]);
    let table = Request::ReadTable("photo".to_owned());
    assert_eq!(
        with(table),
        [0xAC, 0x02, 2, 5, b'p', b'h', b'o', b't', b'o']
    );
    let one_and_a_half = [0, 0, 0, 0, 0, 0, 0xF8, 0x3F];
    let angle = Angle::from_radians(1.5);
    let asked = Request::Declination {
        latitude: angle,
        longitude: angle,
        height_m: 1.5,
        date: NaiveDate::from_ymd_opt(1970, 1, 1).expect("a date"),
    };
    // zigzag 1 438 326 = 87 · 2¹⁴ + 100 · 2⁷ + 118
    let day = [118 | 0x80, 100 | 0x80, 87];
    let want = [&[0xAC, 0x02, 3][..], &one_and_a_half.repeat(3), &day].concat();
    assert_eq!(with(asked), want);
    assert_eq!(bytes(&FromWorker::Ready), [0]);
    let wrong = FromWorker::Answer {
        id: 7,
        result: Err("no".to_owned()),
    };
    assert_eq!(bytes(&wrong), [1, 7, 1, 2, b'n', b'o']);
}

/// A table is a table, whatever it reads.
#[test]
fn a_table_that_reads_like_a_request_is_none() {
    let photo = bytes(&Request::ReadPhoto);
    for text in ["photo", "skyline", "patches", "declination", "code", ""] {
        let table = Request::ReadTable(text.to_owned());
        assert_ne!(bytes(&table), photo);
        assert_eq!(decode(&bytes(&table)), Some(table));
    }
}

/// There and back it is the same; cut anywhere or with a byte too many it is no message.
fn there_and_back<T>(message: &T) -> Result<(), TestCaseError>
where
    T: Serialize + DeserializeOwned + PartialEq + Debug,
{
    let sent = bytes(message);
    let arrived: Option<T> = decode(&sent);
    prop_assert_eq!(arrived.as_ref(), Some(message));
    for end in 0..sent.len() {
        prop_assert_eq!(decode::<T>(&sent[..end]), None, "cut at {}", end);
    }
    prop_assert_eq!(decode::<T>(&[&sent[..], &[0]].concat()), None);
    Ok(())
}

proptest! {
    #[test]
    fn requests_arrive(id: u32, request in request()) {
        there_and_back(&ToWorker { id, request })?;
    }

    #[test]
    fn answers_arrive(message in from_worker()) {
        there_and_back(&message)?;
    }

    #[test]
    fn frames_arrive(answer in frame_answer()) {
        there_and_back(&answer)?;
    }

    /// Whatever bytes come, decoding ends, and what it takes for a message is one.
    #[test]
    fn any_bytes_are_a_message_or_none(bytes in vec(any::<u8>(), 0..200)) {
        if let Some(message) = decode::<ToWorker>(&bytes) {
            prop_assert!(encode(&message).is_some());
        }
        if let Some(message) = decode::<FromWorker>(&bytes) {
            prop_assert!(encode(&message).is_some());
        }
        if let Some(message) = decode::<FrameAnswer>(&bytes) {
            prop_assert!(encode(&message).is_some());
        }
    }

    /// The same of messages in which a byte is wrong, which get further.
    #[test]
    fn a_wrong_byte_does_no_harm(message in from_worker(), at: prop::sample::Index, byte: u8) {
        let mut bytes = bytes(&message);
        let at = at.index(bytes.len());
        bytes[at] = byte;
        if let Some(message) = decode::<FromWorker>(&bytes) {
            prop_assert!(encode(&message).is_some());
        }
    }
}

/// A list that claims more elements than there are bytes is rejected before memory is allocated for
/// it.
#[test]
fn a_list_without_end_is_refused() {
    // an answer, its id, found, pictures, and 2⁶³ of them; then the same in one picture
    let endless = [&[0x80; 9][..], &[1]].concat();
    for start in [&[1, 7, 0, 3][..], &[1, 7, 0, 3, 1]] {
        let bytes = [start, &endless].concat();
        assert_eq!(decode::<FromWorker>(&bytes), None);
    }
}

/// A code that the page would show, in the number of its squares: 25 to a side is version 2
/// (ISO/IEC 18004:2015, table 1).
#[test]
fn a_code_is_sent_square_by_square() {
    let code = qr::draw("https://example.org/#v=1").expect("a short link");
    let sent = bytes(&Response::QrCode(code));
    assert_eq!(sent.len(), 1 + 1 + 2 + 25 * 25);
}
