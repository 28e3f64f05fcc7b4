//! Links and files that other phones made, old ones among them, and what is left of them when they
//! are corrupted on the way.
#![cfg(not(target_arch = "wasm32"))]

mod drawn;

use chrono::NaiveDate;
use drawn::{cases, outing};
use proptest::prelude::*;
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
use tarnlight::outing::share::file::{self, SharedFile};
use tarnlight::outing::share::query;
use tarnlight::sky::subject::Subject;

/// Where the page might be served.
const PAGE: &str = "https://someone.example.org/night/#";

// --- What is written is read -------------------------------------------------------------------

proptest! {
    #![proptest_config(cases(4000))]

    #[test]
    fn an_outing_survives_its_link(outing in outing()) {
        let text = query::write(&outing);
        // an address holds no letters that mail or messengers would end it at
        prop_assert!(text.bytes().all(|byte| byte.is_ascii_graphic() && byte != b'#'), "{}", text);
        let reading = query::read(&text);
        prop_assert_eq!(&reading.errors, &Vec::<String>::new(), "{}", text);
        prop_assert_eq!(&reading.outing, &outing, "{}", text);
        prop_assert_eq!(query::write(&reading.outing), text);
    }
}

proptest! {
    #![proptest_config(cases(200))]

    #[test]
    fn outings_kits_and_sites_survive_their_file(outings in proptest::collection::vec(outing(), 1..5)) {
        for text in [
            file::write_outing(&outings[0]),
            format!("{PAGE}{}", query::write(&outings[0])),
            query::write(&outings[0]),
        ] {
            let bundle = file::read(&text);
            let wanted = SharedFile { outing: Some(outings[0].clone()), ..SharedFile::default() };
            prop_assert_eq!(bundle, Ok(wanted), "{}", text);
        }
        let kits: Vec<_> = outings.iter().map(|outing| outing.kit.clone()).collect();
        let sites: Vec<_> = outings.iter().map(|outing| outing.site.clone()).collect();
        let text = file::write_lists(&kits, &sites);
        let wanted = SharedFile { kits, sites, ..SharedFile::default() };
        prop_assert_eq!(file::read(&text), Ok(wanted), "{}", text);
    }
}

// --- Old links ---------------------------------------------------------------------------------

fn degrees(degrees: f64) -> Angle {
    Angle::from_degrees(degrees)
}

/// Forms as each stage of the page wrote them, and by hand what each means.
fn old_forms() -> Vec<(&'static str, Outing)> {
    let usual = Outing::default;
    let with = |change: &dyn Fn(&mut Outing)| {
        let mut outing = usual();
        change(&mut outing);
        outing
    };
    let alps = |outing: &mut Outing| {
        outing.site = Site {
            name: "a pass".to_owned(),
            latitude: degrees(46.5),
            longitude: degrees(9.25),
            height_m: 2240.0,
            zone: Zone::Named("Europe/Zurich".to_owned()),
            ..Site::default()
        };
    };
    vec![
        // the first page, which knew the shutter only
        (
            "v=1&lat=36&sensor=36x24&px=6000x4000&mm=20&f=1.8&sharp=2&keep=core",
            usual(),
        ),
        (
            "v=1&lat=-34&sensor=36x24&px=6000x4000&mm=14&f=2.8&sharp=2&keep=frame&held=upright",
            with(&|outing| {
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
            with(&|outing| {
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
            with(&|outing| {
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
        // with When?: a site, its clock, a night, the Moon, one height all round
        (
            "v=1&lat=46.5&lon=9.25&sensor=36x24&px=6000x4000&mm=20&f=1.8&sharp=pixel&keep=core\
             &high=2240&zone=Europe%2FZurich&place=a+pass&ridge=8&moon=none&night=2027-06-04\
             &minute=800",
            with(&|outing| {
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
            with(&|outing| {
                outing.site.latitude = degrees(-31.5);
                outing.site.longitude = degrees(159.1);
                outing.site.zone = Zone::Fixed(630);
                outing.night = NaiveDate::from_ymd_opt(2034, 4, 1);
            }),
        ),
        // with Where?: a line of sightings, and where the camera points
        (
            "v=1&lat=46.5&lon=9.25&sensor=36x24&px=6000x4000&mm=20&f=1.8&sharp=2&keep=core\
             &high=2240&zone=Europe%2FZurich&place=a+pass&ridge=2&line=130.00*6.00_150.25*-1.50\
             &aim=171.5_-12.25_2&moon=any",
            with(&|outing| {
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
        // with other subjects than the core
        (
            "v=1&lat=-31.5&sensor=36x24&px=6000x4000&mm=20&f=1.8&sharp=2&keep=core\
             &subject=magellanic&night=2034-01-18",
            with(&|outing| {
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

// --- Spoilt on the way -------------------------------------------------------------------------

/// Numbers by lot, the same ones each time: the generator of G. Marsaglia, *Journal of Statistical
/// Software* 8 (2003), no. 14, with shifts 13, 7 and 17.
struct Lot(u64);

impl Lot {
    fn below(&mut self, count: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 % count.max(1) as u64) as usize
    }

    fn of<'a>(&mut self, all: &[&'a str]) -> &'a str {
        all[self.below(all.len())]
    }
}

/// What gets into texts: by harm, by thumb or by a messenger's leave.
const RUBBISH: [&str; 24] = [
    "%",
    "%0",
    "%00",
    "%FF",
    "%C3",
    "%E2%98%83",
    "☃",
    "\u{202e}",
    "e\u{301}",
    "\0",
    "\u{feff}",
    "+",
    "&",
    "&&",
    "=",
    "#",
    "1e999",
    "-",
    "NaN",
    "99999999999999999999999999",
    "0.00000000001",
    "_*_",
    "<b>",
    "\r\n",
];

/// Parts of a form, some of them doubled, swapped, cut, changed or new.
fn invalid(text: &str, lot: &mut Lot) -> String {
    let mut text = text.to_owned();
    for _ in 0..=lot.below(4) {
        let mut parts: Vec<_> = text.split('&').map(str::to_owned).collect();
        let (one, other) = (lot.below(parts.len()), lot.below(parts.len()));
        match lot.below(8) {
            // a byte flipped; what is no longer UTF-8 arrives as the mark for that
            0 => {
                let mut bytes = text.into_bytes();
                if !bytes.is_empty() {
                    let place = lot.below(bytes.len());
                    bytes[place] ^= 1 << lot.below(8);
                }
                text = String::from_utf8_lossy(&bytes).into_owned();
                continue;
            }
            1 => {
                let cut = lot.below(text.chars().count() + 1);
                text = text.chars().take(cut).collect();
                continue;
            }
            2 => parts.push(parts[one].clone()),
            3 => parts.swap(one, other),
            // the value of one key under another
            4 => {
                let value = parts[one]
                    .split_once('=')
                    .map_or("", |(_, value)| value)
                    .to_owned();
                let key = parts[other].split('=').next().unwrap_or_default();
                parts[other] = format!("{key}={value}");
            }
            5 => {
                let mut letters: Vec<_> = parts[one].chars().collect();
                let place = lot.below(letters.len() + 1);
                letters.splice(place..place, lot.of(&RUBBISH).chars());
                parts[one] = letters.into_iter().collect();
            }
            6 => {
                let key = parts[one].split('=').next().unwrap_or_default();
                parts[one] = format!("{key}={}{}", lot.of(&RUBBISH), lot.below(usize::MAX));
            }
            _ => {
                let digits = "0123456789".repeat(lot.below(40));
                parts[one].push_str(&digits);
            }
        }
        text = parts.join("&");
    }
    text
}

/// Outings with every key among them, to be corrupted.
fn sound_forms() -> Vec<String> {
    let mut forms: Vec<_> = old_forms()
        .into_iter()
        .map(|(text, _)| text.to_owned())
        .collect();
    let new = "v=1&lat=-33.8694&lon=-70.25&sensor=35.9x23.9&px=8256x5504&mm=24&f=2&sharp=screen60x70\
               &keep=dec-29.5&held=upright&lens=stereographic&widest=1.4&focus=at&high=2400\
               &zone=-3&place=tarn+%26+ridge&ridge=7.5&line=1.00*2.00_350.5*8.25&gaps=350.5&aim=10_20_-3&moon=any\
               &night=2026-06-14&minute=1439&kit=old&dark=21.25&glow=22.5&iso=3200&mins=30&on=tracker\
               &tracker=-15_7.5_45_480_half&air=-3.5_85&qe=62.5&glass=87.5&warm=0.25&well=40000&mb=32.5&write=2&charge=200&clock=7203.5_2026-07-09\
               &noise=400*3.5_3200*1.75&distort=-0.1125_0.04&star=1.5_2.75&falloff=2.25\
               &sun=15&least=12.5&haze=0.375&subject=winter";
    for key in query::key_names() {
        assert!(new.contains(&format!("&{key}=")), "{key} is missing");
    }
    forms.push(new.replace("focus=at", "focus=0.1m"));
    forms
}

/// A sentence a person can read: not empty, on one line, not endless.
fn assert_sentences(errors: &[String], text: &str) {
    assert!(errors.len() <= 5, "{text}");
    for message in errors {
        assert!(
            !message.is_empty() && message.chars().count() < 200,
            "{text:?}: {message}"
        );
    }
}

/// What was read writes again and reads again, without a complaint and to the same text.
fn assert_settled(outing: &Outing, from: &str) {
    let text = query::write(outing);
    let again = query::read(&text);
    assert_eq!(again.errors, Vec::<String>::new(), "{from:?}: {text}");
    assert_eq!(query::write(&again.outing), text, "{from:?}");
}

#[test]
fn spoilt_links_give_an_outing_or_a_sentence() {
    let mut lot = Lot(0x7461_726E);
    let forms = sound_forms();
    let (mut refused, mut complained) = (0, 0);
    for _ in 0..10_000 {
        let text = invalid(&forms[lot.below(forms.len())], &mut lot);
        let reading = query::read(&text);
        assert_sentences(&reading.errors, &text);
        if reading.unsupported {
            assert!(!reading.errors.is_empty(), "{text:?}");
            assert_eq!(reading.outing, Outing::default(), "{text:?}");
            refused += 1;
        }
        complained += usize::from(!reading.errors.is_empty());
        assert_settled(&reading.outing, &text);
    }
    // the lot draws all three outcomes, hundreds of times
    assert!(refused > 300 && complained > refused + 300 && complained < 9_700);
}

/// A file whose lines are corrupted, doubled, swapped, renamed, run together and cut.
fn spoilt_file(forms: &[String], lot: &mut Lot) -> String {
    let words = ["outing", "kit", "kit", "site", "site"];
    let mut lines = vec!["tarnlight 1".to_owned()];
    for _ in 0..lot.below(6) {
        let form = &forms[lot.below(forms.len())];
        let form = if lot.below(2) == 0 {
            invalid(form, lot)
        } else {
            form.clone()
        };
        lines.push(format!("{} {form}", lot.of(&words)));
    }
    let (one, other) = (lot.below(lines.len()), lot.below(lines.len()));
    match lot.below(8) {
        0 => lines.swap(one, other),
        1 => lines.push(lines[one].clone()),
        2 => lines[one] = invalid(&lines[one], lot),
        3 => lines[one] = format!("{} {}", lot.of(&RUBBISH), lines[other]),
        4 => {
            lines[0] = format!(
                "tarnlight {}",
                lot.of(&["2", "0", "", "1.5", "-1", "☃", "01"])
            )
        }
        5 => {
            let line = lines[one].clone();
            lines.extend(std::iter::repeat_n(line, lot.below(60)));
        }
        _ => {}
    }
    let mut text = lines.join(lot.of(&["\n", "\n", "\r\n", "\n\n", " "]));
    if lot.below(6) == 0 {
        let cut = lot.below(text.chars().count() + 1);
        text = text.chars().take(cut).collect();
    }
    text
}

#[test]
fn spoilt_files_give_what_stands_or_a_sentence() {
    let mut lot = Lot(0x6C69_6768);
    let forms = sound_forms();
    let (mut refused, mut complained) = (0, 0);
    for _ in 0..10_000 {
        let text = spoilt_file(&forms, &mut lot);
        let bundle = match file::read(&text) {
            Ok(bundle) => bundle,
            Err(why) => {
                assert_sentences(&[why], &text);
                refused += 1;
                continue;
            }
        };
        assert_sentences(&bundle.errors, &text);
        complained += usize::from(!bundle.errors.is_empty());
        assert!(
            bundle.kits.len() <= 30 && bundle.sites.len() <= 30,
            "{text:?}"
        );
        if let Some(outing) = &bundle.outing {
            assert_settled(outing, &text);
        }
        let file = file::write_lists(&bundle.kits, &bundle.sites);
        let again = file::read(&file).expect("ours");
        assert_eq!(again.errors, Vec::<String>::new(), "{text:?}");
        assert_eq!(
            file::write_lists(&again.kits, &again.sites),
            file,
            "{text:?}"
        );
    }
    assert!(refused > 300 && complained > 300 && refused + complained < 9_700);
}
