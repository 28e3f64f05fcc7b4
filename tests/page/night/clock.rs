//! What follows the clock, and what stays as it was chosen.

use serde_json::json;

use super::{ALPS, show_night};
use crate::phone::Phone;
use crate::server::Server;

/// A phone whose clock stands still at a time until `window.clockAt` is set, and whose minutes take a
/// tenth of a second. `window.minutes` counts the ticks of the page's timers, `window.timers` holds the
/// timers that run.
pub(super) async fn at_a_time(time: &str) -> Phone {
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
