//! The window of the night in words, and the minute looked at in its picture.

use serde_json::json;

use super::clock::at_a_time;
use super::{ALPS, open_night, show_night};
use crate::SCREENS;
use crate::key::Key;
use crate::phone::Phone;
use crate::server::Server;

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
