//! A thumb that scrolls the page over its pictures.

use std::time::Duration;

use serde_json::json;

use super::phone::Phone;
use super::server::Server;

/// A night in summer with a window.
const NIGHT: &str = "v=1&lat=46.52&lon=9.91&high=2240&zone=Europe/Zurich&night=2027-06-04";

/// Swipes until one scrolls the page, and the time in which it comes to rest.
const TRIES: usize = 5;
const SETTLED: Duration = Duration::from_millis(200);

/// How far the screen is scrolled, px.
async fn scrolled(phone: &Phone) -> f64 {
    let top = phone.eval("document.querySelector('main').scrollTop").await;
    top.as_f64().expect("a number")
}

/// Draws a thumb up over a picture, or to its right.
async fn swipe(phone: &Phone, picture: &str, (right, up): (f64, f64)) {
    let from = phone.point_of(picture, (0.4, 0.5)).await;
    phone.drag(from, (from.0 + right, from.1 - up)).await;
}

/// Each picture that is no picture to drag the sky in, with the value a thumb may set in it.
#[tokio::test]
async fn a_swipe_up_scrolls_and_changes_nothing() {
    let server = Server::from_dist();
    let phone = Phone::new(320, 640).await;
    phone.open_link(&server.address_with(NIGHT)).await;
    let time = "[aria-label='time'] .step-word";
    let lens = "[aria-label='lens looked at'] .step-word";
    for (screen, picture, value) in [
        ("exposure", ".loupe svg", "#answer"),
        ("exposure", ".pool svg", "#answer"),
        ("night", ".night-picture .timeline", time),
        ("tracking", ".compare .split", lens),
        ("tracking", ".reach", lens),
    ] {
        phone.show(screen).await;
        phone
            .run(&format!(
                "document.querySelector('{picture}').scrollIntoView({{block: 'center'}})"
            ))
            .await;
        let before = phone.text(value).await;
        let top = scrolled(&phone).await;
        // towards where there is more of the page
        let up = if top > 120.0 { -100.0 } else { 100.0 };
        // a swipe that is over too soon is none to the browser: a thumb tries again
        let mut moved_px = 0.0;
        for _ in 0..TRIES {
            swipe(&phone, picture, (0.0, up)).await;
            tokio::time::sleep(SETTLED).await;
            moved_px = (scrolled(&phone).await - top).abs();
            if moved_px > 30.0 {
                break;
            }
        }
        assert!(moved_px > 30.0, "{screen}, {picture}: {moved_px} px");
        assert_eq!(phone.text(value).await, before, "{screen}, {picture}");
    }
    assert_eq!(phone.errors().await, json!([]));
}

/// A thumb that scrolls over a key of a stepper, or draws along it, steps nothing; a tap does.
#[tokio::test]
async fn a_swipe_over_a_step_key_steps_nothing() {
    let server = Server::from_dist();
    let phone = Phone::new(320, 640).await;
    phone.open_link(&server.address_with(NIGHT)).await;
    phone.show("more").await;
    phone.open_sheet("#open-kit").await;
    let key = "dialog [aria-label='Focal length: more']";
    let field = "document.querySelector('dialog #focal').value";
    let before = phone.eval(field).await;
    for way in [(0.0, 120.0), (0.0, -60.0), (50.0, 0.0)] {
        phone
            .run(&format!(
                "locate(`{key}`).scrollIntoView({{block: 'center'}})"
            ))
            .await;
        swipe(&phone, key, way).await;
        tokio::time::sleep(SETTLED).await;
        assert_eq!(phone.eval(field).await, before, "{way:?}");
    }
    phone.tap(key).await;
    let stepped = format!("{field} !== {before}");
    phone.wait_until("a step", &stepped).await;
    assert_eq!(phone.errors().await, json!([]));
}

/// To the right it moves the time with it, without a step at its first touch; a tap does as well.
#[tokio::test]
async fn a_swipe_along_the_night_moves_the_time() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    phone.open_link(&server.address_with(NIGHT)).await;
    phone.show("night").await;
    let time = "[aria-label='time'] .step-word";
    let before = phone.text(time).await;
    swipe(&phone, ".night-picture .timeline", (60.0, 0.0)).await;
    let dragged = phone.text(time).await;
    assert_ne!(dragged, before);
    assert_eq!(scrolled(&phone).await, 0.0);
    let there = phone.point_of(".night-picture .timeline", (0.2, 0.4)).await;
    phone.tap_at(there).await;
    assert_ne!(phone.text(time).await, dragged);
}
