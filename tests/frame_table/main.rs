//! How well frames are measured: fifteen that were drawn, and a real one with stars that its authors
//! measured.
//!
//! The tables are in `tests/frame-table.md`; a test keeps them in step with the code. Frames and what is
//! known of them are in `tests/frames`.
#![cfg(not(target_arch = "wasm32"))]

mod drawn;
mod real;

use std::path::PathBuf;

use serde_json::Value;
use tarnlight::angle::Angle;
use tarnlight::sky::moment::Moment;
use tarnlight::sky::observer::GeoPosition;

/// Set to 1, it has the table written instead of compared.
const WRITE: &str = "TARNLIGHT_WRITE";

fn path(name: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
        .join("tests")
        .join(name)
}

/// A file of `tests/frames`.
fn file(name: &str) -> Vec<u8> {
    let path = path("frames").join(name);
    std::fs::read(&path).unwrap_or_else(|why| panic!("{}: {why}", path.display()))
}

fn json(name: &str) -> Value {
    serde_json::from_slice(&file(name)).expect("a JSON file")
}

fn number(of: &Value, key: &str) -> f64 {
    of[key].as_f64().unwrap_or_else(|| panic!("{key} of {of}"))
}

fn site(of: &Value, height_m: f64) -> GeoPosition {
    GeoPosition {
        latitude: Angle::from_degrees(number(of, "lat_deg")),
        longitude: Angle::from_degrees(number(of, "lon_deg")),
        height_m,
    }
}

fn moment(utc: &Value) -> Moment {
    let utc = chrono::DateTime::parse_from_rfc3339(utc.as_str().expect("a time"));
    Moment::from_utc(utc.expect("an instant").into())
}

/// The value at a share of the way through the sorted ones; of none not a number.
fn at_share(values: &mut [f64], share: f64) -> f64 {
    values.sort_by(f64::total_cmp);
    let last = values.len().saturating_sub(1);
    let place = (share * last as f64).round() as usize;
    values.get(place).copied().unwrap_or(f64::NAN)
}

fn root_mean_square(values: &[f64]) -> f64 {
    let squares: f64 = values.iter().map(|value| value * value).sum();
    (squares / values.len().max(1) as f64).sqrt()
}

#[test]
fn the_written_table_is_what_the_code_says() {
    let table = "# How well frames are measured\n\nWhat `tests/frame_table` makes of the frames in \
                 `tests/frames`, whose README says where they are from.\n"
        .to_owned()
        + &drawn::table() + &real::table();
    let path = path("frame-table.md");
    if std::env::var(WRITE).is_ok_and(|value| value == "1") {
        std::fs::write(&path, &table).expect("tests/frame-table.md can be written");
    }
    let written = std::fs::read_to_string(&path).expect("tests/frame-table.md is there");
    assert_eq!(written, table, "write it anew with {WRITE}=1");
}
