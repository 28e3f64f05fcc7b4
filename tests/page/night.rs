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
    phone.open_link(&server.address_with(hash)).await;
    phone.show("night").await;
    phone
        .wait_until(
            "the night",
            "document.querySelector('.night-picture canvas')",
        )
        .await;
}

/// A page left open: tonight is the night in progress until the Sun rises, at half past five by the site's
/// clocks, then the coming one; it is looked for when the page comes back into view and each minute
/// while it is in view. A night that somebody picked stays, until tonight is asked for.
#[tokio::test]
async fn a_night_that_went_by_is_not_tonight() {
    const HERE: &str = "v=1&lat=46.52&lon=9.91&high=2240&zone=Europe/Zurich&place=Pass";
    let server = Server::from_dist();
    let phone = at_a_time("2027-06-04T21:00:00Z").await;
    show_night(&phone, &server, HERE).await;
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
    assert_eq!(phone.night_shown().await, "4–5 Jun");
    // in the small hours it is the same night, also minutes later and when looked at again
    phone.run(&set("2027-06-05T03:10:00Z")).await;
    minutes_pass().await;
    phone.run(&seen("visible")).await;
    minutes_pass().await;
    assert_eq!(phone.night_shown().await, "4–5 Jun");
    // hidden, the page does nothing: no timer runs
    let day = set("2027-06-05T03:45:00Z");
    phone.run(&[seen("hidden"), day].concat()).await;
    assert_eq!(phone.eval("timers.size").await, json!(0));
    assert_eq!(phone.night_shown().await, "4–5 Jun");
    phone.run(&seen("visible")).await;
    phone.wait_for_night("5–6 Jun").await;
    // a visible page follows the clock by itself
    phone.run(&set("2027-06-06T04:00:00Z")).await;
    phone.wait_for_night("6–7 Jun").await;
    // what somebody picked stays while nights go by
    phone.tap("[aria-label='night: more']").await;
    phone.tap("[aria-label='night: less']").await;
    phone.run(&set("2027-06-07T04:00:00Z")).await;
    minutes_pass().await;
    assert_eq!(phone.night_shown().await, "6–7 Jun");
    phone.tap("#tonight").await;
    phone.wait_for_night("7–8 Jun").await;
    phone.run(&set("2027-06-08T04:00:00Z")).await;
    phone.wait_for_night("8–9 Jun").await;
    assert_eq!(phone.errors().await, json!([]));
}

/// What is looked at as the present follows the clock and says so; another minute is planned.
#[tokio::test]
async fn now_follows_the_clock_until_another_minute_is_chosen() {
    let server = Server::from_dist();
    let phone = at_a_time("2027-06-04T23:10:20Z").await;
    show_night(&phone, &server, ALPS).await;
    let mode = || phone.text(".strip .at .quiet");
    assert_eq!(mode().await, "planned");
    phone.tap("#now").await;
    phone
        .wait_until(
            "the present",
            "document.querySelector('.strip .clock').innerText === '01:10'",
        )
        .await;
    assert_eq!(mode().await, "now");
    let told = phone.text(".window-now").await;
    assert!(
        told.contains("Core now 13° at 165° (SSE), above the ridge, 1 h 39 left"),
        "{told}"
    );
    phone
        .run("window.clockAt = Date.parse('2027-06-04T23:25:20Z')")
        .await;
    phone
        .wait_until(
            "the present a quarter later",
            "document.querySelector('.strip .clock').innerText === '01:25'",
        )
        .await;
    phone.tap("[aria-label='time: more']").await;
    assert_eq!(
        (phone.time_shown().await.as_str(), mode().await.as_str()),
        ("01:35", "planned")
    );
    phone
        .run("window.clockAt = Date.parse('2027-06-04T23:45:20Z'); window.minutes = 0")
        .await;
    phone.wait_until("minutes", "minutes >= 3").await;
    assert_eq!(phone.time_shown().await, "01:35");
    assert_eq!(phone.errors().await, json!([]));
}

/// Headline and picture stand above the deck, and the notes hold a sentence to be read aloud.
#[tokio::test]
async fn the_window_stands_first_and_reads_aloud() {
    let server = Server::from_dist();
    let phone = open_night(&server, ALPS).await;
    for (width, height) in SCREENS {
        phone.resize(width, height).await;
        assert_eq!(phone.text("#answer .figure").await, "23:54–02:49");
        assert_eq!(phone.night_shown().await, "4–5 Jun");
        let clear = phone
            .eval(
                "['.headline', '.night-picture'].every(part =>
                     document.querySelector(part).getBoundingClientRect().bottom
                         <= document.querySelector('.deck').getBoundingClientRect().top)
                 && document.documentElement.scrollWidth <= innerWidth",
            )
            .await;
        assert_eq!(clear, json!(true), "at {width} px");
    }
    let said = phone.notes().await;
    for part in [
        "From 23:54, when the core clears the ridge",
        "to 02:49, when it gets light",
        "Best at 02:15: core 15° up, 180° (S)",
        "Times at the site, UTC+2.",
    ] {
        assert!(said.contains(part), "{part}: {said}");
    }
}

#[tokio::test]
async fn a_thumb_steppers_and_keys_move_the_cursor() {
    let server = Server::from_dist();
    let phone = at_a_time("2027-06-10T21:00:00Z").await;
    show_night(&phone, &server, ALPS).await;
    assert_eq!(phone.time_shown().await, "02:15");
    phone.show("framing").await;
    let best_aim = phone.text("#answer").await;
    phone.show("night").await;
    phone.tap("[aria-label='time: less']").await;
    assert_eq!(phone.time_shown().await, "02:05");
    phone.draw_up().await;
    phone.tap("[aria-label='one minute: more']").await;
    assert_eq!(phone.time_shown().await, "02:06");
    phone.tap("#draw-up").await;
    phone
        .run("document.querySelector('.night-picture .timeline').focus()")
        .await;
    phone.key(Key::Left).await;
    phone
        .wait_until(
            "02:05",
            "document.querySelector('.strip .clock').innerText === '02:05'",
        )
        .await;
    // a thumb in the middle of the picture
    phone.tap(".night-picture .timeline").await;
    let middle = phone.time_shown().await;
    assert!(middle.starts_with("01:"), "{middle}");
    // and drawn along it to the left
    let timeline = ".night-picture .timeline";
    let from = phone.point_of(timeline, (0.5, 0.5)).await;
    let to = phone.point_of(timeline, (0.4, 0.5)).await;
    phone.drag(from, to).await;
    let chosen = phone.time_shown().await;
    assert!(chosen < middle && chosen.starts_with("00:"), "{chosen}");
    // the plumb line tells the same
    let at = "document.querySelector('.night-picture .timeline .at').textContent";
    assert_eq!(phone.eval(at).await, json!(chosen));
    let spoken = phone
        .eval("document.querySelector('.night-picture .timeline').getAttribute('aria-valuetext')")
        .await;
    let spoken = spoken.as_str().expect("a text");
    assert!(
        spoken.starts_with(&chosen) && spoken.contains("core"),
        "{spoken}"
    );
    // the frame of Where? follows the core to what is looked at, and both survive
    phone.show("framing").await;
    let aim = phone.text("#answer").await;
    assert_ne!(aim, best_aim);
    let stored = "/&minute=/.test(storedOuting())";
    phone.wait_until("the minute stored", stored).await;
    phone.reload().await;
    assert_eq!(phone.time_shown().await, chosen);
    phone.show("framing").await;
    assert_eq!(phone.text("#answer").await, aim);
    phone.show("night").await;
    phone.tap("#now").await;
    phone.wait_for_night("10–11 Jun").await;
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
    show_night(&phone, &server, hash).await;
    let clock = phone.notes().await;
    assert!(
        clock.contains("The clocks change tonight: at 02:00 they go to 01:30"),
        "{clock}"
    );
    assert!(clock.contains("UTC+11 to UTC+10:30"), "{clock}");
}

#[tokio::test]
async fn where_there_is_no_window_the_page_says_which_way() {
    let server = Server::from_dist();
    let never = "The core never rises here";
    let table = [
        // 69° N in June and in December, 65° N, behind a ridge, by day; the reason, and what the notes
        // say of it
        ("v=1&lat=69&lon=19&night=2027-06-20", never, never),
        ("v=1&lat=69&lon=19&night=2027-12-20", never, never),
        ("v=1&lat=65&lon=25.9&night=2027-06-20", never, never),
        (
            "v=1&lat=55&lon=14.8&night=2027-06-20",
            "No darkness at 18°.",
            "No darkness at 18°: the Sun is at most 11.5° down.",
        ),
        (
            "v=1&lat=46.5&lon=9.9&ridge=20&night=2027-06-04",
            "behind the ridge all night",
            "behind the ridge all night",
        ),
        (
            "v=1&lat=46.5&lon=9.9&night=2027-12-20",
            "only in daylight and twilight",
            "only in daylight and twilight",
        ),
        (
            "v=1&lat=46.5&lon=9.9&night=2027-06-18",
            "The Moon is too bright",
            "The Moon is too bright",
        ),
    ];
    for (hash, reason, said) in table {
        let phone = open_night(&server, hash).await;
        let headline = phone.text(".greyed #answer").await;
        assert!(headline.contains(reason), "{hash}: {headline}");
        let figures = "document.querySelector('.headline .figure')";
        assert_eq!(phone.eval(figures).await, json!(null), "{hash}");
        let no_event = "document.querySelector('#to-calendar').disabled";
        assert_eq!(phone.eval(no_event).await, json!(true), "{hash}");
        let notes = phone.notes().await;
        assert!(notes.contains(said), "{hash}: {notes}");
        // the settings are greyed under the same reason
        phone.show("exposure").await;
        assert_eq!(phone.text(".shot.greyed .reason").await, headline, "{hash}");
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
    let said = phone.notes().await;
    assert!(
        said.contains("No darkness at 18°: at 12° there would be "),
        "{said}"
    );
    // a key of the headline offers the same
    let ways = phone.text(".ways").await;
    assert!(ways.starts_with("12°"), "{ways}");
    phone.tap("[aria-label='night'] .step-value").await;
    phone.wait_for_sheet().await;
    phone.tap_text("12°").await;
    phone
        .wait_until(
            "it in force",
            "document.querySelector('dialog [aria-pressed=true]')?.innerText.startsWith('Core')
                 && [...document.querySelectorAll('dialog [aria-pressed=true]')].some(chosen =>
                     chosen.innerText.startsWith('12°'))",
        )
        .await;
    phone.close_sheet().await;
    let window = "/^\\d\\d:\\d\\d–/.test(document.querySelector('#answer .figure')?.innerText)";
    phone.wait_until("a window", window).await;
    let said = phone.notes().await;
    assert!(said.contains("equivalent hours"), "{said}");
    phone.reload().await;
    phone.show("night").await;
    phone.wait_until("the window again", window).await;
    phone.tap("[aria-label='night'] .step-value").await;
    phone.wait_for_sheet().await;
    for _ in 0..6 {
        phone.tap("dialog [aria-label='least height: more']").await;
    }
    phone.close_sheet().await;
    phone
        .wait_until(
            "no window",
            "document.querySelector('.greyed #answer')?.innerText.includes('under your least height of 6°')",
        )
        .await;
    let said = phone.notes().await;
    assert!(
        said.contains("under your least height of 6° (it peaks at"),
        "{said}"
    );
    assert_eq!(phone.errors().await, json!([]));
}

/// The three limits are keys under the picture; each tap goes on to the next, and the deck takes it back.
#[tokio::test]
async fn a_limit_is_a_tap_and_taken_back_in_the_deck() {
    let server = Server::from_dist();
    let phone = open_night(&server, ALPS).await;
    let window = phone.text("#answer").await;
    let moon = || phone.text("#moon .step-word");
    assert_eq!(moon().await, "Moon OK");
    // where they stand at rest, beside the key that takes a change back
    phone
        .tap_at(phone.point_of("#moon", (0.5, 0.5)).await)
        .await;
    assert_eq!(moon().await, "no Moon");
    phone
        .tap_at(phone.point_of("#darkness", (0.5, 0.5)).await)
        .await;
    assert_eq!(phone.text("#darkness .step-word").await, "15°");
    assert_ne!(phone.text("#answer").await, window, "it is dark longer");
    phone.tap("#undo-last").await;
    assert_eq!(phone.text("#answer").await, window);
    phone.undo().await;
    phone.show("night").await;
    assert_eq!(moon().await, "Moon OK");
    assert_eq!(phone.errors().await, json!([]));
}

/// The sheet, a cell of the year, and the key that opens its night.
#[tokio::test]
async fn a_night_of_the_season_is_three_taps_away() {
    let server = Server::from_dist();
    let phone = open_night(&server, ALPS).await;
    phone.open_sheet("#open-season").await;
    // names of the months at the left, a year's number where one begins, numbers of days along the top
    let months = "[...document.querySelectorAll('.season .drawing g .caption')]
        .filter(word => /^(Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec|20..)$/.test(word.textContent))";
    assert_eq!(phone.eval(&format!("{months}.length")).await, json!(12));
    let fits = phone
        .eval(&format!(
            "{months}.every(month => month.getBoundingClientRect().bottom
                 <= document.querySelector('.sheet-keys').getBoundingClientRect().top)"
        ))
        .await;
    assert_eq!(fits, json!(true), "twelve months on one screen");
    phone.tap_at(cell(&phone, "Jun", 8).await).await;
    let chosen = phone.text(".season-keys .step-value").await;
    assert!(chosen.starts_with('8'), "{chosen}");
    phone.tap("#open-night").await;
    phone.wait_for_no_sheet().await;
    phone.wait_for_night("8–9 Jun").await;
    let when = "document.querySelector('.page.night')";
    assert_eq!(phone.eval(&format!("!!{when}")).await, json!(true));
    // one of the best nights is as near
    phone.open_sheet("#open-season").await;
    let best = phone
        .eval("document.querySelector('.best-night').ariaLabel")
        .await;
    let best = best.as_str().expect("a label");
    let night = best.split(':').next().expect("a night").to_owned();
    phone.tap(".best-night").await;
    phone.tap("#open-night").await;
    phone.wait_for_no_sheet().await;
    phone.wait_for_night(&night).await;
    phone.tap("#undo-last").await;
    phone.wait_for_night("8–9 Jun").await;
    assert_eq!(phone.errors().await, json!([]));
}

/// The middle of a night's cell in the season sheet, by the words of its row and the numbers over its
/// column.
async fn cell(phone: &Phone, month: &str, day: u32) -> (f64, f64) {
    let place = phone
        .run(&format!(
            "const words = [...document.querySelectorAll('.season .drawing .caption')];
             const box = word => words.find(one => one.textContent === word).getBoundingClientRect();
             const middle = word => box(word).x + box(word).width / 2;
             const column = (middle('30') - middle('1')) / 29;
             const row = box('{month}');
             return [middle('1') + ({day} - 1) * column, row.y + row.height / 2]"
        ))
        .await;
    serde_json::from_value(place).expect("a cell")
}

/// Kept nights go to the calendar together, and are kept in the storage.
#[tokio::test]
async fn kept_nights_go_to_the_calendar_together() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    phone.add_init_script(HANDED).await;
    show_night(&phone, &server, ALPS).await;
    phone.open_sheet("#open-season").await;
    for day in [4, 8] {
        phone.tap_at(cell(&phone, "Jun", day).await).await;
        phone.tap("#keep-night").await;
    }
    assert_eq!(phone.text("#keep-night").await, "Kept");
    let kept = "Object.keys(localStorage).filter(key => key.startsWith('tarnlight.night.')).length";
    phone
        .wait_until("both in the storage", &format!("{kept} === 2"))
        .await;
    phone.tap("#kept-to-calendar").await;
    phone.wait_until("the file", "window.handed").await;
    let file = phone.run("return await window.handed").await;
    let file = file.as_str().expect("a text");
    assert_eq!(file.matches("BEGIN:VEVENT").count(), 2, "{file}");
    for start in ["DTSTART:20270604T21", "DTSTART:20270608T2"] {
        assert!(file.contains(start), "{start}: {file}");
    }
    assert_eq!(phone.errors().await, json!([]));
}

/// Keeps what the page hands out as a file: `window.handed` is a promise of its text.
pub const HANDED: &str = "const make = URL.createObjectURL;
     URL.createObjectURL = blob => { window.handed = blob.text(); return make.call(URL, blob); };";

/// The window as a file: downloaded, since the browser has no share sheet.
#[tokio::test]
async fn the_window_goes_into_a_calendar() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    phone.add_init_script(HANDED).await;
    show_night(&phone, &server, ALPS).await;
    phone.tap("#to-calendar").await;
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
