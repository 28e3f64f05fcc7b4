//! The lens that frames each target, against what the trade uses, on a Four Thirds sensor.
//!
//! The table is in `tests/targets-table.md`; a test keeps it in step with the code.
#![cfg(not(target_arch = "wasm32"))]

use std::fmt::Write;
use std::path::PathBuf;

use tarnlight::camera::sensor::{FORMATS, Sensor};
use tarnlight::outing::exposure::targets::framed_by;
use tarnlight::sky::galactic_core::CORE_DECLINATION;
use tarnlight::sky::targets::{Target, all};
use tarnlight::vector::Vector;

/// Set to 1, it has the table written instead of compared.
const WRITE: &str = "TARNLIGHT_WRITE";

/// Focal lengths in use for a Four Thirds sensor, 17.3 × 13 mm (common practice): the target's name
/// here, shortest and longest in mm. Where one length is given, both are that.
const PRACTICE: [(&str, f64, f64); 15] = [
    ("The core", 14.0, 35.0),
    ("Rho Ophiuchi clouds", 100.0, 100.0),
    ("North America and Pelican", 150.0, 150.0),
    ("Sadr and its clouds", 150.0, 150.0),
    ("Veil, whole", 275.0, 275.0),
    ("Veil, western half", 600.0, 600.0),
    ("Veil, eastern half", 600.0, 600.0),
    ("Elephant's Trunk and its cloud", 200.0, 300.0),
    ("Lagoon", 400.0, 600.0),
    ("Lagoon and Trifid", 0.0, 300.0),
    ("Eagle", 600.0, 1000.0),
    ("Trifid", 600.0, 1000.0),
    ("Swan", 800.0, 1200.0),
    ("Crescent", 1000.0, 2000.0),
    ("Dumbbell", 1000.0, 3000.0),
];

/// One rule for all targets cannot know how each is liked: the whole Veil is framed tighter than
/// most, the clouds about Rho Ophiuchi a little tighter. A fifth is less than a step of the usual
/// lenses (150, 200, 250).
const OFF: f64 = 0.2;

fn four_thirds() -> Sensor {
    let format = FORMATS.iter().find(|format| format.name == "Four Thirds");
    format.expect("a format by that name").sensor(20.0)
}

/// How far a focal length is outside a range, as a share of its nearer end; negative below.
fn off(focal_mm: f64, least: f64, most: f64) -> f64 {
    if focal_mm < least {
        focal_mm / least - 1.0
    } else if focal_mm > most {
        focal_mm / most - 1.0
    } else {
        0.0
    }
}

fn table() -> String {
    let mut table = "\
# The lens for each target

Focal lengths that fill two thirds of a Four Thirds sensor, 17.3 × 13 mm, with each target, against
what is in use for that sensor (common practice). Made by `tests/targets.rs`; sizes as in
`src/sky/targets_table.rs`.

| target | size | fills the frame at | in use | off |
|---|---|---|---|---|
"
    .to_owned();
    for (target, focal_mm) in framed_by(four_thirds()) {
        let practice = PRACTICE.iter().find(|(name, ..)| *name == target.name);
        let (range, off) = match practice {
            Some((_, least, most)) if *least == 0.0 => (
                format!("{most} mm or less"),
                message(off(focal_mm, *least, *most)),
            ),
            Some((_, least, most)) if least == most => (
                format!("about {most} mm"),
                message(off(focal_mm, *least, *most)),
            ),
            Some((_, least, most)) => (
                format!("{least}–{most} mm"),
                message(off(focal_mm, *least, *most)),
            ),
            None => ("–".to_owned(), "–".to_owned()),
        };
        writeln!(
            table,
            "| {}, {} | {:.1}′ × {:.1}′ | {focal_mm:.0} mm | {range} | {off} |",
            target.name,
            target.number,
            target.long.degrees() * 60.0,
            target.short.degrees() * 60.0,
        )
        .expect("a text takes any line");
    }
    table
}

fn message(off: f64) -> String {
    if off == 0.0 {
        "inside".to_owned()
    } else {
        format!("{:+.0} %", 100.0 * off)
    }
}

#[test]
fn frames_as_the_trade_does() {
    println!("{}", table());
    for (name, least, most) in PRACTICE {
        let found = framed_by(four_thirds()).find(|(target, _)| target.name == name);
        let (_, focal_mm) = found.expect("a target by that name");
        let off = off(focal_mm, least, most);
        assert!(
            off.abs() < OFF,
            "{name}: {focal_mm} mm, {least} to {most} mm in use"
        );
    }
}

#[test]
fn the_written_table_is_what_the_code_says() {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/targets-table.md");
    if std::env::var(WRITE).is_ok_and(|value| value == "1") {
        std::fs::write(&path, table()).expect("tests/targets-table.md can be written");
    }
    let written = std::fs::read_to_string(&path).expect("tests/targets-table.md is there");
    assert_eq!(written, table(), "write it anew with {WRITE}=1");
}

/// Messier's catalogue and the Hipparcos catalogue, from memory, to a few tenths of a degree:
/// right ascension and declination.
#[test]
fn targets_stand_where_they_are_known_to() {
    let known = [
        ("Lagoon", 270.9, -24.4),
        ("Trifid", 270.6, -23.0),
        ("Eagle", 274.7, -13.8),
        ("Swan", 275.2, -16.2),
        ("Dumbbell", 299.9, 22.7),
        ("Small Sagittarius Cloud", 274.2, -18.5),
        ("Crescent", 303.0, 38.4),
        // γ Cygni, the star
        ("Sadr and its clouds", 305.56, 40.26),
        ("Elephant's Trunk and its cloud", 324.7, 57.5),
    ];
    for (name, ra_deg, dec_deg) in known {
        let target: Target = all().find(|target| target.name == name).expect("a target");
        let want = Vector::from_spherical(
            tarnlight::angle::Angle::from_degrees(ra_deg),
            tarnlight::angle::Angle::from_degrees(dec_deg),
        );
        let got = Vector::from_spherical(target.right_ascension, target.declination);
        let off = got.angle_to(want).degrees();
        assert!(off < 0.3, "{name}: {off}° off");
    }
}

/// The Milky Way of summer: within 20° of the galactic equator (its pole at 192.85948° +27.12825°,
/// ESA SP-1200, vol. 1, 1.5.3; digits from memory), and from the core's declination northwards.
#[test]
fn targets_lie_along_the_milky_way() {
    let pole = Vector::from_spherical(
        tarnlight::angle::Angle::from_degrees(192.859_48),
        tarnlight::angle::Angle::from_degrees(27.128_25),
    );
    let count = all().count();
    assert!((12..=20).contains(&count), "{count}");
    for target in all() {
        let to_pole =
            Vector::from_spherical(target.right_ascension, target.declination).angle_to(pole);
        let latitude = 90.0 - to_pole.degrees();
        assert!(latitude.abs() < 20.0, "{}: {latitude}°", target.name);
        assert!(target.declination >= CORE_DECLINATION, "{}", target.name);
        assert!(target.long >= target.short, "{}", target.name);
    }
    let sizes: Vec<f64> = all().map(|target| target.long.degrees()).collect();
    assert!(
        sizes.is_sorted_by(|one, two| one >= two),
        "largest first: {sizes:?}"
    );
}
