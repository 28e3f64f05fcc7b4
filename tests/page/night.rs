//! The night: its window, its band, its clock, its season.

use serde_json::json;

use super::SCREENS;
use super::key::Key;
use super::phone::Phone;
use super::server::Server;

/// A high pass in the Alps in June: the core clears a ridge of 8° at 23:54.
pub const ALPS: &str =
    "v=1&lat=46.52&lon=9.91&high=2240&zone=Europe/Zurich&place=Pass&ridge=8&night=2027-06-04";

pub async fn open_night(server: &Server, hash: &str) -> Phone {
    let phone = Phone::new(360, 780).await;
    show_night(&phone, server, hash).await;
    phone
}

/// A phone whose clock stands still at a time until `window.clockAt` is set, and whose minutes take a
/// tenth of a second. `window.minutes` counts the ticks of the page's timers, `window.timers` holds the
/// timers that run.
async fn at_a_time(time: &str) -> Phone {
    let phone = Phone::new(360, 780).await;
    phone
        .add_init_script(&format!(
            "window.clockAt = Date.parse({time:?});
             Date.now = () => window.clockAt;
             window.minutes = 0;
             window.timers = new Set();
             const begin = window.setInterval.bind(window), end = window.clearInterval.bind(window);
             window.setInterval = (run, ms, ...more) => {{
                 const passed = () => {{ run(...more); minutes += 1; }};
                 const timer = begin(passed, ms / 600);
                 timers.add(timer);
                 return timer;
             }};
             window.clearInterval = timer => {{ timers.delete(timer); end(timer); }};"
        ))
        .await;
    phone
}

async fn show_night(phone: &Phone, server: &Server, hash: &str) {
    phone.open(&server.address_with(hash)).await;
    phone.tap_text("When?").await;
    phone
        .wait_until("the night", "document.querySelector('.band')")
        .await;
}

/// A page left open: tonight is the night in progress until the Sun rises, at half past five by the site's
/// clocks, then the coming one; it is looked for when the page comes back into view and each minute
/// while it is in view. A night that somebody picked stays.
#[tokio::test]
async fn a_night_that_went_by_is_not_tonight() {
    const HERE: &str = "v=1&lat=46.52&lon=9.91&high=2240&zone=Europe/Zurich&place=Pass";
    let server = Server::from_dist();
    let phone = at_a_time("2027-06-04T21:00:00Z").await;
    show_night(&phone, &server, HERE).await;
    let told = || phone.text(".of-night");
    let set = |time: &str| format!("window.clockAt = Date.parse({time:?});");
    let seen = |state: &str| {
        format!(
            "Object.defineProperty(document, 'visibilityState', {{value: {state:?}, configurable: true}});
             document.dispatchEvent(new Event('visibilitychange'));"
        )
    };
    let minutes_pass = || async {
        phone.run("window.minutes = 0").await;
        phone.wait_until("minutes", "minutes >= 3").await;
    };
    assert_eq!(told().await, "Tonight, 4–5 June 2027");
    // in the small hours it is the same night, also minutes later and when looked at again
    phone.run(&set("2027-06-05T03:10:00Z")).await;
    minutes_pass().await;
    phone.run(&seen("visible")).await;
    minutes_pass().await;
    assert_eq!(told().await, "Tonight, 4–5 June 2027");
    // hidden, the page does nothing: no timer runs
    let day = set("2027-06-05T03:45:00Z");
    phone.run(&[seen("hidden"), day].concat()).await;
    assert_eq!(phone.eval("timers.size").await, json!(0));
    assert_eq!(told().await, "Tonight, 4–5 June 2027");
    phone.run(&seen("visible")).await;
    let tonight = |night: &str| {
        format!("document.querySelector('.of-night').innerText === 'Tonight, {night} June 2027'")
    };
    phone.wait_until("the coming night", &tonight("5–6")).await;
    // a visible page follows the clock by itself
    phone.run(&set("2027-06-06T04:00:00Z")).await;
    phone.wait_until("the night after", &tonight("6–7")).await;
    // what somebody picked stays, and is tonight while it is
    phone.tap_text("Now").await;
    phone.run(&set("2027-06-06T22:00:00Z")).await;
    phone.tap_text("Now").await;
    phone.wait_until("tonight, picked", &tonight("6–7")).await;
    phone.run(&set("2027-06-07T04:00:00Z")).await;
    phone
        .wait_until(
            "a night that went by",
            "document.querySelector('.of-night').innerText === '6–7 June 2027'",
        )
        .await;
    assert_eq!(phone.errors().await, json!([]));
}

#[tokio::test]
async fn the_window_stands_first_and_reads_aloud() {
    let server = Server::from_dist();
    let phone = open_night(&server, ALPS).await;
    for (width, height) in SCREENS {
        phone.resize(width, height).await;
        assert_eq!(phone.text(".answer .figure").await, "23:54–02:49");
        assert_eq!(phone.text(".of-night").await, "4–5 June 2027");
        let said = phone.text(".sentence").await;
        for part in [
            "From 23:54, when the core clears the ridge",
            "to 02:49, when it gets light",
            "Best at 02:15: core 15° up, 180° S",
        ] {
            assert!(said.contains(part), "{part}: {said}");
        }
        assert!(phone.text(".clock").await.contains("UTC+2"));
        let clear = phone
            .eval(
                "document.querySelector('.answer').getBoundingClientRect().bottom
                     < document.querySelector('.deck').getBoundingClientRect().top
                 && document.documentElement.scrollWidth <= innerWidth",
            )
            .await;
        assert_eq!(clear, json!(true), "at {width} px");
    }
}

#[tokio::test]
async fn a_thumb_steppers_and_keys_move_the_cursor() {
    let server = Server::from_dist();
    let phone = at_a_time("2027-06-10T21:00:00Z").await;
    show_night(&phone, &server, ALPS).await;
    let readout = || phone.text(".readout strong");
    assert!(readout().await.starts_with("02:15"), "{}", readout().await);
    phone.tap("[aria-label='one minute: more']").await;
    assert!(readout().await.starts_with("02:16"));
    phone.tap("[aria-label='ten minutes: less']").await;
    assert!(readout().await.starts_with("02:06"));
    phone.run("document.querySelector('.band').focus()").await;
    phone.key(Key::Down).await;
    phone
        .wait_until(
            "02:07",
            "document.querySelector('.readout').innerText.startsWith('02:07')",
        )
        .await;
    // a thumb in the middle of the band
    phone.tap(".band").await;
    let middle = readout().await;
    assert!(
        middle.starts_with("01:") && !middle.starts_with("02:07"),
        "{middle}"
    );
    let spoken = phone
        .eval("document.querySelector('.band').getAttribute('aria-valuetext')")
        .await;
    assert!(
        spoken
            .as_str()
            .is_some_and(|spoken| spoken.contains("core")),
        "{spoken}"
    );
    // what is looked at is what How long? aims at, and both survive
    phone.tap_text("How long?").await;
    let aim = phone.text(".sentence ~ .line, .verdict + .line").await;
    assert!(aim.contains("as looked at under When?"), "{aim}");
    let stored = "/&minute=/.test(storedOuting())";
    phone.wait_until("the minute stored", stored).await;
    phone.reload().await;
    phone.tap_text("When?").await;
    phone
        .wait_until("the night", "document.querySelector('.band')")
        .await;
    assert_eq!(readout().await, middle);
    phone.tap_text("Now").await;
    phone
        .wait_until(
            "tonight",
            "document.querySelector('.of-night').innerText.startsWith('Tonight')",
        )
        .await;
    assert_eq!(phone.errors().await, json!([]));
}

/// The browser is in another time zone than the site, and the clocks change within the night.
#[tokio::test]
async fn times_are_the_sites_and_a_change_of_clocks_is_told() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    let zone = json!({"timezoneId": "Asia/Kathmandu"});
    phone.cdp("Emulation.setTimezoneOverride", zone).await;
    let hash = "v=1&lat=-31.5&lon=159.1&zone=Australia/Lord_Howe&night=2034-04-01";
    phone.open(&server.address_with(hash)).await;
    phone.tap_text("When?").await;
    phone
        .wait_until("the night", "document.querySelector('.band')")
        .await;
    let clock = phone.text(".clock").await;
    assert!(
        clock.contains("The clocks change tonight: at 02:00 they go to 01:30"),
        "{clock}"
    );
    assert!(clock.contains("UTC+11 to UTC+10:30"), "{clock}");
}

#[tokio::test]
async fn where_there_is_no_window_the_page_says_which_way() {
    let server = Server::from_dist();
    let table = [
        // 69° N in June and in December, 65° N, behind a ridge, by day
        (
            "v=1&lat=69&lon=19&night=2027-06-20",
            "The core never rises here",
        ),
        (
            "v=1&lat=69&lon=19&night=2027-12-20",
            "The core never rises here",
        ),
        (
            "v=1&lat=65&lon=25.9&night=2027-06-20",
            "The core never rises here",
        ),
        (
            "v=1&lat=55&lon=14.8&night=2027-06-20",
            "No darkness at 18°: the Sun is at most 11.5° down.",
        ),
        (
            "v=1&lat=46.5&lon=9.9&ridge=20&night=2027-06-04",
            "behind the ridge all night",
        ),
        (
            "v=1&lat=46.5&lon=9.9&night=2027-12-20",
            "only in daylight and twilight",
        ),
        (
            "v=1&lat=46.5&lon=9.9&night=2027-06-18",
            "The Moon is too bright",
        ),
    ];
    for (hash, want) in table {
        let phone = open_night(&server, hash).await;
        let said = phone.text(".sentence").await;
        assert!(said.contains(want), "{hash}: {said}");
        assert_eq!(phone.text(".answer .figure").await, "no window", "{hash}");
        assert_eq!(phone.errors().await, json!([]));
    }
}

/// At 57° N in June there is no darkness at 18°, and the page says what less would give; the limit is
/// chosen, gives a window, and is there after a reload. A greater least height takes it away again.
#[tokio::test]
async fn limits_are_the_photographers_own() {
    let server = Server::from_dist();
    let phone = open_night(
        &server,
        "v=1&lat=57&lon=-4&least=0&moon=any&night=2027-05-15",
    )
    .await;
    let said = phone.text(".sentence").await;
    assert!(
        said.starts_with("No darkness at 18°: at 12° there would be "),
        "{said}"
    );
    phone.tap("[aria-label='night: 15–16 May']").await;
    phone.wait_for_sheet().await;
    phone.tap_text("12°").await;
    phone
        .wait_until(
            "it in force",
            "document.querySelector('[aria-pressed=true]')?.innerText.startsWith('12°')",
        )
        .await;
    phone.tap_text("Done").await;
    let window = "/^\\d\\d:\\d\\d–/.test(document.querySelector('.answer .figure').innerText)";
    phone.wait_until("a window", window).await;
    let said = phone.text(".sentence").await;
    assert!(said.contains("equivalent hours"), "{said}");
    phone.reload().await;
    phone.tap_text("When?").await;
    phone.wait_until("the window again", window).await;
    phone.tap("[aria-label='night: 15–16 May']").await;
    phone.wait_for_sheet().await;
    for _ in 0..6 {
        phone.tap("[aria-label='least height: more']").await;
    }
    phone.tap_text("Done").await;
    phone
        .wait_until(
            "no window",
            "document.querySelector('.answer .figure').innerText === 'no window'
                && document.querySelector('.sentence').innerText.includes('under your least height of 6° (it peaks at')",
        )
        .await;
    assert_eq!(phone.errors().await, json!([]));
}

#[tokio::test]
async fn a_night_of_the_season_is_two_taps_away() {
    let server = Server::from_dist();
    let phone = open_night(&server, ALPS).await;
    phone.tap_text("Season").await;
    phone
        .wait_until(
            "the year",
            "document.querySelectorAll('.month').length >= 12",
        )
        .await;
    phone
        .wait_until("rest", "document.getAnimations().length === 0")
        .await;
    let fits = phone
        .eval(
            "[...document.querySelectorAll('.month')].slice(0, 12).every(month =>
                 month.getBoundingClientRect().bottom
                     <= document.querySelector('.sheet-foot').getBoundingClientRect().top)",
        )
        .await;
    assert_eq!(fits, json!(true), "twelve months on one screen");
    // the second tap may also be on a listed night
    phone.tap_text("Jun").await;
    phone
        .wait_until(
            "its nights",
            "document.querySelectorAll('.nights .option').length >= 28",
        )
        .await;
    phone.tap_text("8–9 Jun").await;
    phone
        .wait_until(
            "the night",
            "document.querySelector('.of-night')?.innerText.startsWith('8–9 June')",
        )
        .await;
    phone.tap_text("Season").await;
    phone.tap_text("no Moon").await;
    phone
        .wait_until(
            "it in force",
            "document.querySelector('[aria-pressed=true]')?.innerText.startsWith('no Moon')",
        )
        .await;
    phone.tap_text("Done").await;
    phone.tap_text("Undo").await;
    assert_eq!(phone.errors().await, json!([]));
}

/// The window as a file: downloaded, since the browser has no share sheet.
#[tokio::test]
async fn the_window_goes_into_a_calendar() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    phone
        .add_init_script(
            "const make = URL.createObjectURL;
             URL.createObjectURL = blob => { window.handed = blob.text(); return make.call(URL, blob); };",
        )
        .await;
    phone.open(&server.address_with(ALPS)).await;
    phone.tap_text("When?").await;
    phone
        .wait_until("the night", "document.querySelector('.band')")
        .await;
    phone.tap("[aria-label='night: 4–5 Jun']").await;
    phone.wait_for_sheet().await;
    phone.tap_text("Put the window").await;
    phone.wait_until("the file", "window.handed").await;
    let file = phone.run("return await window.handed").await;
    let file = file.as_str().expect("a text").replace("\r\n ", "");
    for line in [
        "BEGIN:VCALENDAR\r\nVERSION:2.0",
        "UID:20270604T215",
        "DTSTART:20270604T215",
        "DTEND:20270605T004",
        "GEO:46.520000;9.910000",
        "END:VEVENT\r\nEND:VCALENDAR\r\n",
    ] {
        assert!(file.contains(line), "{line}: {file}");
    }
    assert_eq!(phone.errors().await, json!([]));
}
