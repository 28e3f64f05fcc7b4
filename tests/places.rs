//! The places that the page carries, against what is known of them from elsewhere.
//!
//! Coordinates and zones of the known places are common knowledge (atlas and almanac figures, to
//! the minute of arc), written down without looking at the list. Whether a zone's name exists is
//! from the IANA database in the crate chrono-tz.
#![cfg(not(target_arch = "wasm32"))]

use std::collections::BTreeSet;
use std::io;
use std::sync::OnceLock;

use proptest::prelude::*;
use tarnlight::angle::Angle;
use tarnlight::outing::gazetteer::search_key::search_key;
use tarnlight::outing::gazetteer::{Gazetteer, Town};

const TEXT: &str = include_str!("../styles/places.txt");

/// The most that the list may weigh, in bytes after brotli at quality 11.
const BUDGET_BYTES: usize = 70_000;

/// A degree along the Earth's great circles, km.
const DEGREE_KM: f64 = 111.195;

fn places() -> &'static Gazetteer {
    static PLACES: OnceLock<Gazetteer> = OnceLock::new();
    PLACES.get_or_init(|| Gazetteer::read(TEXT).unwrap_or_else(|bad| panic!("{bad}")))
}

fn nearest(latitude: f64, longitude: f64) -> (Town<'static>, f64) {
    places()
        .nearest(
            Angle::from_degrees(latitude),
            Angle::from_degrees(longitude),
        )
        .expect("there are places")
}

/// Name, country, latitude and longitude in degrees and minutes, zone.
type Known = (
    &'static str,
    &'static str,
    (f64, f64),
    (f64, f64),
    &'static str,
);

const KNOWN: [Known; 14] = [
    (
        "Reykjavík",
        "IS",
        (64., 9.),
        (-21., 56.),
        "Atlantic/Reykjavik",
    ),
    (
        "Canberra",
        "AU",
        (-35., 18.),
        (149., 8.),
        "Australia/Sydney",
    ),
    (
        "Buenos Aires",
        "AR",
        (-34., 36.),
        (-58., 23.),
        "America/Argentina/Buenos_Aires",
    ),
    ("Nairobi", "KE", (-1., 17.), (36., 49.), "Africa/Nairobi"),
    ("Ottawa", "CA", (45., 25.), (-75., 42.), "America/Toronto"),
    ("Kathmandu", "NP", (27., 43.), (85., 19.), "Asia/Kathmandu"),
    (
        "Wellington",
        "NZ",
        (-41., 17.),
        (174., 47.),
        "Pacific/Auckland",
    ),
    ("Suva", "FJ", (-18., 8.), (178., 26.), "Pacific/Fiji"),
    ("Bern", "CH", (46., 57.), (7., 27.), "Europe/Zurich"),
    ("Windhoek", "NA", (-22., 34.), (17., 5.), "Africa/Windhoek"),
    ("Tokyo", "JP", (35., 41.), (139., 42.), "Asia/Tokyo"),
    ("Phoenix", "US", (33., 27.), (-112., 4.), "America/Phoenix"),
    (
        "Ushuaia",
        "AR",
        (-54., 48.),
        (-68., 18.),
        "America/Argentina/Ushuaia",
    ),
    (
        "Longyearbyen",
        "SJ",
        (78., 13.),
        (15., 38.),
        "Arctic/Longyearbyen",
    ),
];

/// Villages in the mountains and before parks, with fewer people than the list's other towns;
/// atlas figures, from memory.
const VILLAGES: [Known; 9] = [
    ("Zermatt", "CH", (46., 1.), (7., 45.), "Europe/Zurich"),
    (
        "Chamonix-Mont-Blanc",
        "FR",
        (45., 55.),
        (6., 52.),
        "Europe/Paris",
    ),
    (
        "Cortina d'Ampezzo",
        "IT",
        (46., 32.),
        (12., 8.),
        "Europe/Rome",
    ),
    ("Reine", "NO", (67., 56.), (13., 5.), "Europe/Oslo"),
    ("Banff", "CA", (51., 11.), (-115., 34.), "America/Edmonton"),
    ("Moab", "US", (38., 34.), (-109., 33.), "America/Denver"),
    (
        "Lone Pine",
        "US",
        (36., 36.),
        (-118., 4.),
        "America/Los_Angeles",
    ),
    (
        "San Pedro de Atacama",
        "CL",
        (-22., 55.),
        (-68., 12.),
        "America/Santiago",
    ),
    (
        "El Chaltén",
        "AR",
        (-49., 20.),
        (-72., 53.),
        "America/Argentina/Rio_Gallegos",
    ),
];

fn angle((degrees, minutes): (f64, f64)) -> Angle {
    Angle::from_dms(degrees < 0.0, degrees.abs(), minutes, 0.0)
}

#[test]
fn known_places_stand_where_they_stand() {
    for (name, country, latitude, longitude, zone) in KNOWN.into_iter().chain(VILLAGES) {
        let found = places().search(name, 20);
        let place = found
            .iter()
            .find(|place| place.name == name && place.country == country)
            .unwrap_or_else(|| panic!("{name} is missing"));
        for (got, want) in [
            (place.latitude, angle(latitude)),
            (place.longitude, angle(longitude)),
        ] {
            let miss = (got.degrees() - want.degrees()).abs();
            assert!(
                miss < 0.1,
                "{name}: {}°, want {}°",
                got.degrees(),
                want.degrees()
            );
        }
        assert_eq!(place.zone, zone, "{name}");
    }
}

#[test]
fn the_nearest_of_a_known_place_keeps_its_time() {
    for (name, _, latitude, longitude, zone) in KNOWN {
        let (place, km) = places()
            .nearest(angle(latitude), angle(longitude))
            .expect("there are places");
        assert_eq!(place.zone, zone, "{name}: {} at {km} km", place.name);
        assert!(km < 15.0, "{name}: {} at {km} km", place.name);
    }
}

/// Wild places where nights are photographed, with the zone their clocks keep.
#[test]
fn wild_places_get_their_zone() {
    let table = [
        ("Delicate Arch, Utah", 38.74, -109.50, "America/Denver"),
        (
            "Death Valley, California",
            36.46,
            -116.87,
            "America/Los_Angeles",
        ),
        ("Grand Canyon, Arizona", 36.06, -112.11, "America/Phoenix"),
        ("Teide, Tenerife", 28.27, -16.64, "Atlantic/Canary"),
        ("Uluru", -25.34, 131.04, "Australia/Darwin"),
        ("Lake Tekapo", -43.89, 170.52, "Pacific/Auckland"),
        ("Deadvlei, Namibia", -24.76, 15.29, "Africa/Windhoek"),
        ("San Pedro de Atacama", -22.91, -68.20, "America/Santiago"),
        ("Tre Cime, Dolomites", 46.62, 12.30, "Europe/Rome"),
        ("Jökulsárlón", 64.05, -16.18, "Atlantic/Reykjavik"),
    ];
    for (name, latitude, longitude, zone) in table {
        let (place, km) = nearest(latitude, longitude);
        assert_eq!(place.zone, zone, "{name}: {} at {km} km", place.name);
    }
}

#[test]
fn at_sea_the_nearest_shore_is_far() {
    // some 900 km south of the Azores, which are the nearest land by far
    let (place, km) = nearest(30.0, -30.0);
    assert_eq!((place.country, place.zone), ("PT", "Atlantic/Azores"));
    assert!((800.0..1100.0).contains(&km), "{} at {km} km", place.name);
    // the pole of inaccessibility of the Pacific, 2688 km from any land
    let (place, km) = nearest(-48.88, -123.39);
    assert!((2600.0..4000.0).contains(&km), "{} at {km} km", place.name);
}

#[test]
fn the_date_line_parts_nothing() {
    // the strait east of Vanua Levu, Fiji, where the line runs over land
    for (east, west) in [(180.0, -180.0), (179.9, -180.1), (180.1, -179.9)] {
        let (one, other) = (nearest(-16.7, east), nearest(-16.7, west));
        assert_eq!(one.0, other.0);
        assert!(
            (one.1 - other.1).abs() < 1e-6,
            "{} km, {} km",
            one.1,
            other.1
        );
        assert_eq!(one.0.zone, "Pacific/Fiji");
        assert!(one.1 < 250.0, "{} at {} km", one.0.name, one.1);
    }
}

#[test]
fn at_the_poles_every_longitude_is_one() {
    for pole in [90.0, -90.0] {
        let (place, km) = nearest(pole, 0.0);
        let want = (pole - place.latitude.degrees()).abs() * DEGREE_KM;
        assert!(
            (km - want).abs() < 0.1,
            "{} at {km} km, want {want} km",
            place.name
        );
        for longitude in [-180.0, -77.3, 12.5, 180.0, 3600.0] {
            let (_, again) = nearest(pole, longitude);
            assert!((km - again).abs() < 1e-6, "{again} km, want {km} km");
        }
    }
}

#[test]
fn finds_what_is_typed() {
    let table = [
        ("koln", "Köln"),
        ("sao p", "São Paulo"),
        ("new yo", "New York City"),
        ("york", "York"),
        ("ham", "Hamburg"),
        ("xian", "Xi’an"),
        ("reykjav", "Reykjavík"),
        ("lodz", "Łódź"),
        ("saint denis", "Saint-Denis"),
    ];
    for (typed, want) in table {
        let first = places().search(typed, 5);
        let name = first.first().map(|place| search_key(place.name));
        assert_eq!(name, Some(search_key(want)), "{typed:?}: {first:?}");
    }
    let inside: Vec<_> = places().search("ham", usize::MAX);
    assert!(inside.iter().any(|place| place.name == "Birmingham"));
}

#[test]
fn every_zone_is_one_of_iana() {
    let zones: BTreeSet<_> = places().iter().map(|place| place.zone).collect();
    for zone in &zones {
        assert!(zone.parse::<chrono_tz::Tz>().is_ok(), "{zone} is no zone");
    }
    println!(
        "{} places in {} zones",
        places().iter().count(),
        zones.len()
    );
}

#[test]
fn every_name_can_be_typed_without_accents() {
    for place in places().iter() {
        let plain = search_key(place.name);
        let typed = plain
            .bytes()
            .all(|byte| byte == b' ' || byte.is_ascii_alphanumeric());
        assert!(typed && !plain.is_empty(), "{}: {plain:?}", place.name);
    }
}

#[test]
fn names_its_source() {
    let source = places().source();
    assert!(
        source.contains("GeoNames") && source.contains("CC BY 4.0"),
        "{source}"
    );
}

#[test]
fn weighs_little() {
    let params = brotli::enc::BrotliEncoderParams {
        quality: 11,
        ..Default::default()
    };
    let size = brotli::BrotliCompress(&mut TEXT.as_bytes(), &mut io::sink(), &params)
        .expect("memory does not fail");
    println!("{} bytes, {size} after brotli", TEXT.len());
    assert!(size < BUDGET_BYTES, "{size} bytes, budget {BUDGET_BYTES}");
}

/// The angle between two points by the cross and dot products of their directions, which has
/// nothing in common with the formula under test.
fn by_vectors_km(one: (f64, f64), other: (f64, f64)) -> f64 {
    let direction = |(latitude, longitude): (f64, f64)| {
        let (latitude, longitude) = (latitude.to_radians(), longitude.to_radians());
        [
            latitude.cos() * longitude.cos(),
            latitude.cos() * longitude.sin(),
            latitude.sin(),
        ]
    };
    let ([a, b, c], [d, e, f]) = (direction(one), direction(other));
    let cross = [b * f - c * e, c * d - a * f, a * e - b * d];
    let length = cross.iter().map(|part| part * part).sum::<f64>().sqrt();
    length.atan2(a * d + b * e + c * f).to_degrees() * DEGREE_KM
}

proptest! {
    #[test]
    fn none_is_nearer_than_the_nearest(latitude in -90.0..=90.0, longitude in -360.0..=360.0) {
        let (_, km) = nearest(latitude, longitude);
        let least = places()
            .iter()
            .map(|place| {
                let at = (place.latitude.degrees(), place.longitude.degrees());
                by_vectors_km((latitude, longitude), at)
            })
            .fold(f64::INFINITY, f64::min);
        prop_assert!((km - least).abs() < 0.1, "{km} km, by vectors {least} km");
    }

    #[test]
    fn any_cut_of_the_list_is_refused(end in 0..TEXT.len() - 1) {
        if let Some(cut) = TEXT.get(..end) {
            prop_assert!(Gazetteer::read(cut).is_err());
        }
    }

    /// Overwriting any part of the list with anything leaves an error or places on the Earth.
    #[test]
    fn no_text_is_too_hostile(
        start in 0..TEXT.len(),
        len in 0_usize..4000,
        noise in "[ -~\\n0-9 éß–]{0,40}|\\PC{0,12}",
        typed in "\\PC{0,8}",
    ) {
        let mut bytes = TEXT.as_bytes().to_vec();
        let end = (start + len).min(bytes.len());
        bytes.splice(start..end, noise.bytes());
        if let Ok(read) = Gazetteer::read(&String::from_utf8_lossy(&bytes)) {
            for place in read.iter() {
                prop_assert!(place.latitude.degrees().abs() < 90.001);
                prop_assert!(place.longitude.degrees().abs() < 180.001);
                prop_assert!(!place.name.is_empty() && place.country.len() == 2);
            }
        }
        prop_assert!(Gazetteer::read(&noise).is_err());
        prop_assert!(places().search(&typed, 3).len() <= 3);
    }
}
