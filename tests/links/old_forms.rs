//! Links as each stage of the page wrote them.

use chrono::NaiveDate;
use tarnlight::angle::Angle;
use tarnlight::camera::focus::Focus;
use tarnlight::camera::frame::Frame;
use tarnlight::camera::lens::Projection;
use tarnlight::camera::sensor::Sensor;
use tarnlight::camera::sharpness::{Sharpness, Viewing};
use tarnlight::land::ridge::{RidgeLine, Sighting};
use tarnlight::outing::plan::limits::MoonLimit;
use tarnlight::outing::plan::site::{Site, Zone};
use tarnlight::outing::plan::{KeepSharp, Orientation, Outing};
use tarnlight::outing::share::file;
use tarnlight::outing::share::query;
use tarnlight::sky::subject::Subject;

/// A written form, and by hand what it means.
type Form = (&'static str, Outing);

/// All of them.
pub fn old_forms() -> Vec<Form> {
    [of_the_shutter(), of_a_night(), of_a_frame()].concat()
}

fn degrees(degrees: f64) -> Angle {
    Angle::from_degrees(degrees)
}

/// The usual outing with a change.
fn with(change: impl Fn(&mut Outing)) -> Outing {
    let mut outing = Outing::default();
    change(&mut outing);
    outing
}

fn alps(outing: &mut Outing) {
    outing.site = Site {
        name: "a pass".to_owned(),
        latitude: degrees(46.5),
        longitude: degrees(9.25),
        height_m: 2240.0,
        zone: Zone::Named("Europe/Zurich".to_owned()),
        ..Site::default()
    };
}

/// Of the first page, which knew the shutter only.
fn of_the_shutter() -> Vec<Form> {
    vec![
        (
            "v=1&lat=36&sensor=36x24&px=6000x4000&mm=20&f=1.8&sharp=2&keep=core",
            Outing::default(),
        ),
        (
            "v=1&lat=-34&sensor=36x24&px=6000x4000&mm=14&f=2.8&sharp=2&keep=frame&held=upright",
            with(|outing| {
                outing.site.latitude = degrees(-34.0);
                (outing.kit.lens.focal_mm, outing.f_number) = (14.0, 2.8);
                outing.kit.lens.f_number = 2.8;
                (outing.keep_sharp, outing.orientation) =
                    (KeepSharp::WholeFrame, Orientation::Portrait);
            }),
        ),
        (
            "v=1&lat=28&sensor=36x24&px=6000x4000&mm=85&f=2.8&sharp=print90x150&keep=dec-26.43\
             &lens=rectilinear&widest=1.8&focus=hyperfocal&kit=tele+%26+%C3%A9",
            with(|outing| {
                outing.site.latitude = degrees(28.0);
                (outing.kit.lens.focal_mm, outing.f_number) = (85.0, 2.8);
                outing.sharpness = Sharpness::Print(Viewing {
                    width_cm: 90.0,
                    distance_cm: 150.0,
                });
                outing.keep_sharp = KeepSharp::Declination(degrees(-26.43));
                outing.focus = Focus::Hyperfocal;
                outing.kit.name = "tele & é".to_owned();
            }),
        ),
        (
            "v=1&lat=51.5&sensor=23.6x15.7&px=6016x4016&mm=8&f=3.5&sharp=0.5px&keep=centre\
             &lens=equisolid&focus=12.5m",
            with(|outing| {
                outing.site.latitude = degrees(51.5);
                outing.kit.sensor = Sensor {
                    width_mm: 23.6,
                    height_mm: 15.7,
                    pixels_across: 6016,
                    pixels_down: 4016,
                };
                (outing.kit.lens.focal_mm, outing.f_number) = (8.0, 3.5);
                outing.kit.lens.f_number = 3.5;
                outing.kit.lens.projection = Projection::Equisolid;
                outing.sharpness = Sharpness::Pixels(0.5);
                (outing.keep_sharp, outing.focus) = (KeepSharp::Centre, Focus::At(12.5));
            }),
        ),
    ]
}

/// With When?: a site, its clock, a night, the Moon, one height all round.
fn of_a_night() -> Vec<Form> {
    vec![
        (
            "v=1&lat=46.5&lon=9.25&sensor=36x24&px=6000x4000&mm=20&f=1.8&sharp=pixel&keep=core\
             &high=2240&zone=Europe%2FZurich&place=a+pass&ridge=8&moon=none&night=2027-06-04\
             &minute=800",
            with(|outing| {
                alps(outing);
                outing.sharpness = Sharpness::EveryPixel;
                outing.site.ridge = RidgeLine::level(degrees(8.0));
                outing.limits.moon = MoonLimit::None;
                outing.night = NaiveDate::from_ymd_opt(2027, 6, 4);
                outing.minute = Some(800);
            }),
        ),
        (
            "v=1&lat=-31.5&lon=159.1&zone=%2B10%3A30&night=2034-04-01",
            with(|outing| {
                outing.site.latitude = degrees(-31.5);
                outing.site.longitude = degrees(159.1);
                outing.site.zone = Zone::Fixed(630);
                outing.night = NaiveDate::from_ymd_opt(2034, 4, 1);
            }),
        ),
    ]
}

/// With Where?: a line of sightings, where the camera points, another subject.
fn of_a_frame() -> Vec<Form> {
    vec![
        (
            "v=1&lat=46.5&lon=9.25&sensor=36x24&px=6000x4000&mm=20&f=1.8&sharp=2&keep=core\
             &high=2240&zone=Europe%2FZurich&place=a+pass&ridge=2&line=130.00*6.00_150.25*-1.50\
             &aim=171.5_-12.25_2&moon=any",
            with(|outing| {
                alps(outing);
                let sightings = [(130.0, 6.0), (150.25, -1.5)].map(|(bearing, height)| Sighting {
                    bearing: degrees(bearing),
                    height: degrees(height),
                });
                outing.site.ridge = RidgeLine::new(degrees(2.0), sightings);
                outing.frame = Some(Frame {
                    bearing: degrees(171.5),
                    tilt: degrees(-12.25),
                    roll: degrees(2.0),
                });
                outing.limits.moon = MoonLimit::Any;
            }),
        ),
        // with another subject than the core
        (
            "v=1&lat=-31.5&sensor=36x24&px=6000x4000&mm=20&f=1.8&sharp=2&keep=core\
             &subject=magellanic&night=2034-01-18",
            with(|outing| {
                outing.site.latitude = degrees(-31.5);
                outing.subject = Subject::MagellanicCloud;
                outing.night = NaiveDate::from_ymd_opt(2034, 1, 18);
            }),
        ),
    ]
}

#[test]
fn links_of_every_stage_are_still_read_the_same() {
    for (text, wanted) in old_forms() {
        for text in [text.to_owned(), format!("#{text}")] {
            let reading = query::read(&text);
            assert_eq!(reading.errors, Vec::<String>::new(), "{text}");
            assert_eq!(reading.outing, wanted, "{text}");
        }
        let file = format!("tarnlight 1\nouting {text}\nkit {text}\nsite {text}\n");
        let bundle = file::read(&file).expect("ours");
        assert_eq!(bundle.outing.as_ref(), Some(&wanted), "{file}");
        assert_eq!(
            (&bundle.kits[0], &bundle.sites[0]),
            (&wanted.kit, &wanted.site)
        );
    }
}
