//! Tests of the WebAssembly itself, run in a headless browser: it computes as the desktop does, and
//! its words reach the browser's storage and address and come back.
#![cfg(target_arch = "wasm32")]

#[path = "benches/events.rs"]
mod events;

use chrono::{DateTime, NaiveDate};
use tarnlight::angle::Angle;
use tarnlight::browser::persistence::Autosave;
use tarnlight::browser::theme::{self, Theme};
use tarnlight::browser::time_zone::BrowserTimeZones;
use tarnlight::browser::{persistence, storage};
use tarnlight::camera::clean_time::CleanTime;
use tarnlight::land::ridge::RidgeLine;
use tarnlight::outing::document::{Document, OutingId};
use tarnlight::outing::exposure::Answer;
use tarnlight::outing::night::local_time::TimeZones;
use tarnlight::outing::night::season::Season;
use tarnlight::outing::plan::Outing;
use tarnlight::outing::share::query;
use wasm_bindgen_test::{wasm_bindgen_test, wasm_bindgen_test_configure};

wasm_bindgen_test_configure!(run_in_browser);

/// How far WebAssembly may be from the desktop, relative: their sines differ in the last bits.
const RELATIVE: f64 = 1e-9;

/// Outings, and their clean times in seconds for what must stay sharp, for the core and for the
/// whole frame. Computed by this crate, compiled for an x86-64 desktop; whether those values are
/// right is checked by the desktop's tests.
const DESKTOP: [(&str, [f64; 3]); 6] = [
    (
        "v=1&lat=36&sensor=36x24&px=6000x4000&mm=20&f=1.8&sharp=2&keep=core",
        [8.481769788508256, 8.481769788508256, 4.299947662713122],
    ),
    (
        "v=1&lat=-34&sensor=36x24&px=6000x4000&mm=14&f=2.8&sharp=2&keep=frame&held=upright",
        [5.492110377261119, 10.58645341509418, 5.492110377261119],
    ),
    (
        "v=1&lat=65&sensor=23.6x15.7&px=6000x4000&mm=35&f=1.4&sharp=pixel&keep=core",
        [1.5411297258456305, 1.5411297258456305, 1.380704531704326],
    ),
    (
        "v=1&lat=51.5&sensor=36x24&px=6000x4000&mm=8&f=3.5&sharp=2&keep=frame&lens=equisolid",
        [20.403297554453456, 22.841709120999017, 20.403297554453456],
    ),
    (
        "v=1&lat=28&sensor=36x24&px=6000x4000&mm=85&f=1.8&sharp=print90x150&keep=dec-26.43",
        [3.144485606200909, 3.2197226960749097, 2.8581957616464466],
    ),
    (
        "v=1&lat=89&sensor=36x24&px=6000x4000&mm=300&f=4&sharp=pixel&keep=core&focus=12.5m",
        [
            0.27426796307928647,
            0.27426796307928647,
            0.27327223173891146,
        ],
    ),
];

fn read(text: &str) -> Outing {
    let reading = query::read(text);
    assert_eq!(reading.errors, Vec::<String>::new(), "{text}");
    reading.outing
}

#[wasm_bindgen_test]
fn reckons_as_the_desktop_does() {
    for (text, want) in DESKTOP {
        let answer = Answer::compute(&read(text));
        let got = [answer.clean, answer.clean_core, answer.clean_frame].map(CleanTime::seconds);
        for (got, want) in got.into_iter().zip(want) {
            let got = got.unwrap_or_else(|| panic!("{text}: no limit, want {want} s"));
            let miss = (got / want - 1.0).abs();
            assert!(
                miss < RELATIVE,
                "{text}: {got} s, want {want} s, off by {miss:e}"
            );
        }
    }
}

#[wasm_bindgen_test]
fn what_is_written_is_read() {
    for (text, _) in DESKTOP {
        assert_eq!(query::write(&read(text)), text);
    }
}

#[wasm_bindgen_test]
fn the_storage_gives_back_what_it_was_given() {
    let key = "tarnlight.test";
    for text in ["", "a=1&b=2", "line\nline", "δ −29° “ridge” 🌌\u{0}"] {
        assert_eq!(storage::set(key, text), Ok(()), "{text:?}");
        assert_eq!(storage::get(key).as_deref(), Some(text));
    }
    assert_eq!(storage::get("tarnlight.never-set"), None);
}

#[wasm_bindgen_test]
fn the_storage_says_when_it_is_full() {
    let key = "tarnlight.much";
    assert_eq!(storage::set(key, "little"), Ok(()));
    // browsers give a page some five million characters
    let message = storage::set(key, &"x".repeat(20_000_000));
    assert_eq!(message, Err(storage::BLOCKED.to_owned()));
    assert_eq!(
        storage::get(key).as_deref(),
        Some("little"),
        "the last good text stays"
    );
}

/// Offsets that everybody's zone data agree on, with half an hour of summer time among them.
#[wasm_bindgen_test]
fn the_browser_knows_the_zones() {
    let offset = |zone: &str, unix_s: i64| {
        let instant = DateTime::from_timestamp(unix_s, 0).expect("an instant");
        BrowserTimeZones.offset_min(zone, instant)
    };
    // 2026-01-15 and 2026-07-15, 12h UTC
    let [january, july] = [1_768_478_400, 1_784_116_800];
    assert_eq!(offset("Europe/Zurich", january), Some(60));
    assert_eq!(offset("Europe/Zurich", july), Some(120));
    assert_eq!(offset("Australia/Lord_Howe", january), Some(660));
    assert_eq!(offset("Australia/Lord_Howe", july), Some(630));
    assert_eq!(offset("America/St_Johns", january), Some(-210));
    assert_eq!(offset("Asia/Kathmandu", july), Some(345));
    assert_eq!(offset("Mars/Olympus", july), None);
}

#[wasm_bindgen_test]
fn what_is_stored_is_restored() {
    let outing = read(DESKTOP[1].0);
    let mut kit = read(DESKTOP[3].0).kit;
    kit.name = "old & odd, 100 % “fish” #1".to_owned();
    let stored = Document {
        id: OutingId(7),
        outing,
        kits: vec![kit],
        sites: vec![read("v=1&lat=46.5&lon=9.25&high=2240&zone=Europe/Zurich&place=a+pass").site],
        kept_nights: [4, 5]
            .map(|day| NaiveDate::from_ymd_opt(2027, 6, day).expect("a date"))
            .to_vec(),
        ticks: 1 << 3 | 1 << 33,
    };
    let mut autosave = Autosave::new(&Document::default());
    assert_eq!(autosave.queue(&stored), Ok(()));
    assert_eq!(autosave.write(), Ok(()));
    assert_eq!(theme::apply(Theme::Red), Ok(()));
    let restored = persistence::restore(OutingId(9));
    assert_eq!(restored.document, stored);
    assert_eq!((restored.tab_outing, restored.messages), (None, Vec::new()));
    assert_eq!(theme::stored(), Some(Theme::Red));
    let recent = persistence::recent_outings();
    assert!(
        recent
            .iter()
            .any(|recent| recent.id == OutingId(7) && recent.outing == stored.outing)
    );
    clear();
}

/// Two pages on one phone: what one saved meanwhile is not lost by a change in the other.
#[wasm_bindgen_test]
fn pages_do_not_undo_each_other() {
    let mut first = Document {
        kits: vec![read(DESKTOP[2].0).kit],
        ..Document::default()
    };
    let [mut here, mut there] = [(); 2].map(|()| Autosave::new(&Document::default()));
    assert_eq!(here.queue(&first).and_then(|()| here.write()), Ok(()));
    let second = Document {
        id: OutingId(2),
        outing: read(DESKTOP[1].0),
        kits: vec![read(DESKTOP[3].0).kit],
        ticks: 1 << 5,
        ..Document::default()
    };
    assert_eq!(there.queue(&second).and_then(|()| there.write()), Ok(()));
    first.outing.f_number = 4.0;
    assert_eq!(here.queue(&first).and_then(|()| here.write()), Ok(()));
    let restored = persistence::restore(OutingId(9)).document;
    assert_eq!(restored.kits.len(), 2);
    assert_eq!(restored.ticks, second.ticks);
    assert_eq!(restored.outing.f_number, 4.0);
    // each outing has a place of its own
    let recent: Vec<_> = persistence::recent_outings()
        .iter()
        .map(|it| it.id)
        .collect();
    assert!(
        recent.contains(&first.id) && recent.contains(&second.id),
        "{recent:?}"
    );
    clear();
}

/// A kit that an older version stored in its list, with a key that is not known here, stays as it
/// is written; a corrupted one is reported once, and the list is moved aside.
#[wasm_bindgen_test]
fn an_older_list_is_taken_over_as_it_is_written() {
    let line = format!("{}&colour=blue", DESKTOP[3].0);
    let invalid = format!("{line}\nv=1&mm=0");
    storage::set("tarnlight.kits", &invalid).expect("room");
    let restored = persistence::restore(OutingId(9));
    assert_eq!(
        restored.document.kits,
        [read(DESKTOP[3].0).kit],
        "not one of 20 mm"
    );
    assert_eq!(restored.messages.len(), 1);
    assert_eq!(storage::get("tarnlight.kits.aside"), Some(invalid));
    assert_eq!(storage::get("tarnlight.kits"), None);
    let stored = storage::with_prefix("tarnlight.kit.");
    assert!(
        stored.len() == 1 && stored[0].1.ends_with(&line),
        "{stored:?}"
    );
    let again = persistence::restore(OutingId(9));
    assert_eq!(again.messages, Vec::<String>::new(), "reported once");
    // it is removed like any other
    let mut autosave = Autosave::new(&again.document);
    let mut without = again.document;
    without.kits.clear();
    assert_eq!(
        autosave.queue(&without).and_then(|()| autosave.write()),
        Ok(())
    );
    assert!(storage::with_prefix("tarnlight.kit.").is_empty());
    clear();
}

/// Removes what a test stored.
fn clear() {
    for (key, _) in storage::with_prefix("tarnlight.") {
        storage::remove(&["tarnlight.", &key].concat());
    }
    storage::tab_set("tarnlight.outing-id", "");
}

/// Logs the median of times, ms, as the table of `make bench` takes it: the name is the bench's.
fn log_median(name: &str, mut times: Vec<f64>) {
    times.sort_by(f64::total_cmp);
    let median = times[times.len() / 2];
    wasm_bindgen_test::console_log!(
        "{{\"name\":\"{name}\",\"column\":\"Chromium\",\"unit\":\"ms\",\"value\":{median:.3}}}"
    );
}

/// The same minutes as on the desktop; `make bench` prints how long they take.
#[wasm_bindgen_test]
fn a_year_of_events() {
    const DESKTOP_MIN: f64 = 9837.243863097574;
    let date = NaiveDate::from_ymd_opt(2026, 1, 1).expect("a date");
    let clock = web_sys::window()
        .and_then(|window| window.performance())
        .expect("a clock");
    let mut times = Vec::new();
    for _ in 0..61 {
        let start = clock.now();
        let minutes = events::usable_minutes_of_a_year(date);
        times.push(clock.now() - start);
        let miss = (minutes / DESKTOP_MIN - 1.0).abs();
        assert!(miss < RELATIVE, "{minutes} min, want {DESKTOP_MIN}");
    }
    log_median("events of a year", times);
}

/// A season has the same usable minutes each time; `make bench` prints how long it takes.
#[wasm_bindgen_test]
fn a_year_of_events_and_windows() {
    let date = NaiveDate::from_ymd_opt(2026, 1, 1).expect("a date");
    let mut outing = Outing::default();
    outing.site.latitude = events::SITE.latitude;
    outing.site.longitude = events::SITE.longitude;
    outing.site.height_m = events::SITE.height_m;
    outing.site.ridge = RidgeLine::level(Angle::from_degrees(8.0));
    let clock = web_sys::window()
        .and_then(|window| window.performance())
        .expect("a clock");
    let usable = |season: Season| -> f64 { season.nights.iter().map(|night| night.minutes).sum() };
    let want = usable(Season::new(
        &outing.site,
        outing.subject,
        &outing.limits,
        date,
    ));
    assert!(want > 1000.0, "{want} min");
    let mut times = Vec::new();
    for _ in 0..61 {
        let start = clock.now();
        let minutes = usable(Season::new(
            &outing.site,
            outing.subject,
            &outing.limits,
            date,
        ));
        times.push(clock.now() - start);
        assert!((minutes - want).abs() < 1e-9, "{minutes} min, want {want}");
    }
    log_median("season", times);
}
