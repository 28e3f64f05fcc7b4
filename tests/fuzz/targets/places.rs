//! The list of places, and a place that is typed or pasted.

use tarnlight::angle::Angle;
use tarnlight::outing::gazetteer::{Gazetteer, parse};
use tarnlight::outing::plan::bounds::{LATITUDE, LONGITUDE, SITE_HEIGHT_M};
use tarnlight::outing::plan::site::Zone;

use super::{MB, MemoryLimit, Target, text};

pub const TARGET: Target = Target {
    name: "places",
    seeds,
    run,
    memory: MemoryLimit {
        least: MB,
        per_byte: 200,
        most: 128 * MB,
    },
};

/// A list of three places in two zones, in the layout that `.tools/places` writes.
const LIST: &str = "tarnlight places 1\na source, CC BY 4.0\n\nAfrica/Accra GH 2\nEurope/Zurich CH 1\n\n\
    Accra\nKumasi\nBern\n\n556 113 4026\n\n-20 -142 907\n\n985\n";

fn seeds() -> Vec<Vec<u8>> {
    assert!(Gazetteer::read(LIST).is_ok(), "the list is sound");
    let typed = [
        LIST,
        "46.52, 9.91",
        "46°31′12″ N 9°54′36″ E",
        "geo:46.52,9.91,1900;crs=wgs84;u=20",
        "Europe/Zurich",
        "+5:30",
    ];
    typed.map(|text| text.as_bytes().to_vec()).to_vec()
}

fn run(input: &[u8]) {
    let text = text(input);
    if let Ok(list) = Gazetteer::read(&text) {
        for place in list.iter() {
            assert!(LATITUDE.check(place.latitude.degrees()).is_ok());
            assert!(LONGITUDE.check(place.longitude.degrees()).is_ok());
        }
        let found = list.search("a", 3);
        assert!(found.len() <= 3);
        if let Some((_, km)) = list.nearest(Angle::ZERO, Angle::ZERO) {
            assert!((0.0..20_100.0).contains(&km), "{km} km");
        }
    }
    match parse::read(&text) {
        Ok(place) => {
            assert!(
                LATITUDE.check(place.latitude.degrees()).is_ok(),
                "{place:?}"
            );
            assert!(
                LONGITUDE.check(place.longitude.degrees()).is_ok(),
                "{place:?}"
            );
            let height_m = place.height_m.unwrap_or(0.0);
            assert!(SITE_HEIGHT_M.check(height_m).is_ok(), "{place:?}");
        }
        Err(why) => assert!(!why.to_string().is_empty()),
    }
    for angle in [Angle::parse(&text), Angle::parse_longitude(&text)] {
        assert!(angle.is_err() || angle.is_ok_and(|angle| angle.degrees().is_finite()));
    }
    if let Ok(zone) = Zone::read(&text) {
        assert_eq!(Zone::read(&zone.written()), Ok(zone));
    }
}
