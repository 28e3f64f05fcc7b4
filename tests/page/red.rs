//! In red, no pixel that the page can show has any green or blue.

use std::time::{Duration, Instant};

use serde_json::json;

use super::built::{Built, INDEX};
use super::key::Key;
use super::phone::Phone;
use super::server::Server;
use super::themes::{ROUNDING, in_red};

/// Width of the screen, CSS px.
const WIDTH: usize = 360;

/// The first few pixels with more green or blue than rounding leaves.
fn strays(pixels: &[[u8; 3]]) -> Vec<(usize, usize, [u8; 3])> {
    let stray = |(_, pixel): &(usize, &[u8; 3])| pixel[1] > ROUNDING || pixel[2] > ROUNDING;
    let found = pixels.iter().enumerate().filter(stray).take(5);
    found
        .map(|(at, pixel)| (at % WIDTH, at / WIDTH, *pixel))
        .collect()
}

async fn assert_red(phone: &Phone, state: &str) {
    phone
        .wait_until("rest", "!document.getAnimations().length")
        .await;
    let found = strays(&phone.screenshot().await);
    assert!(found.is_empty(), "{state}: stray pixels at {found:?}");
}

/// Unfolds all details of the page, or of the open sheet.
async fn unfold_all(phone: &Phone) {
    phone
        .run(
            "const here = document.querySelector('dialog') || document;
             here.querySelectorAll('details').forEach(one => one.open = true)",
        )
        .await;
}

/// Every screenful of the screen, or of the open sheet.
async fn assert_red_throughout(phone: &Phone, state: &str) {
    let screens = phone
        .run(
            "window.roll = document.querySelector('.sheet-body') || document.querySelector('.screen');
             return Math.ceil(roll.scrollHeight / roll.clientHeight)",
        )
        .await;
    for screen in 0..screens.as_u64().expect("a number of screens") {
        phone
            .run(&format!("roll.scrollTo(0, roll.clientHeight * {screen})"))
            .await;
        assert_red(phone, &format!("{state}, screen {screen}")).await;
    }
}

#[tokio::test]
async fn with_everything_unfolded() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    in_red(&phone, &server).await;
    phone
        .open_link(&server.address_with("v=1&held=upright&focus=12m"))
        .await;
    phone.run("location.hash = 'v=1&mm=-4&x=1'").await;
    phone
        .wait_until("a sentence", "document.querySelector('.notice')")
        .await;
    phone.unfold("text=500 rule").await;
    phone.tap_text("500 rule").await;
    for screen in ["exposure", "night", "framing", "tracking", "more"] {
        phone.show(screen).await;
        unfold_all(&phone).await;
        assert_red_throughout(&phone, &format!("{screen} with a sentence, unfolded")).await;
        phone.draw_up().await;
        assert_red(&phone, &format!("{screen}, drawn up")).await;
    }
}

#[tokio::test]
async fn why_track_and_its_picture() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    in_red(&phone, &server).await;
    phone.open_link(&server.address_with("v=1&mm=135")).await;
    phone.show("tracking").await;
    phone
        .wait_until("the picture", super::tracking::DRAWN)
        .await;
    for stacked in ["one frame of each", "a stack of each"] {
        assert_red_throughout(&phone, &format!("Why track?, {stacked}")).await;
        phone.tap("#one-frame").await;
    }
}

#[tokio::test]
async fn in_every_sheet_with_its_fields() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    in_red(&phone, &server).await;
    phone
        .open_link(&server.address_with("v=1&keep=dec-20&sharp=print90x150&kit=Ridge"))
        .await;
    for (screen, opens, field) in [
        (
            "exposure",
            "[aria-label='focal length'] .step-value",
            "#entry",
        ),
        ("exposure", "[aria-label='f-number'] .step-value", "#entry"),
        (
            "exposure",
            "[aria-label='trail allowed'] .step-value",
            "#declination",
        ),
        ("exposure", "[aria-label='ISO'] .step-value", "#write"),
        ("more", "#open-kit", "#across"),
        ("more", "#open-site", "#latitude"),
        ("tracking", "#tracker-sheet", "#periodic"),
    ] {
        phone.show(screen).await;
        phone.draw_up().await;
        phone.open_sheet(opens).await;
        if field == "#across" {
            phone.tap_text("Save this kit").await;
        }
        unfold_all(&phone).await;
        assert_red_throughout(&phone, opens).await;
        // the text selected, as it is when a field is entered by key
        phone
            .run(&format!(
                "const field = document.querySelector('{field}'); field.focus(); field.select()"
            ))
            .await;
        assert_red(&phone, &format!("{field} with its text selected")).await;
        phone.fill(field, "much").await;
        assert_red(&phone, &format!("{field} with a sentence")).await;
        phone.key(Key::Tab).await;
        assert_red(&phone, &format!("after {field}, reached by key")).await;
        // Done does not leave a field in error
        phone.key(Key::Escape).await;
        phone.wait_for_no_sheet().await;
    }
}

#[tokio::test]
async fn on_the_card_and_in_its_sheets() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    in_red(&phone, &server).await;
    phone
        .open(&server.address_with("v=1&lat=46.52&night=2027-06-04&place=Pass&air=8_95"))
        .await;
    // a link opens it
    phone
        .wait_until("the card", "document.querySelector('.field-card')")
        .await;
    assert_red_throughout(&phone, "the card").await;
    phone.tap("#card-lists").await;
    phone
        .wait_until("the lists", "document.querySelector('#celsius')")
        .await;
    phone.tap_text("Body and lens").await;
    phone.tap_text("Tripod").await;
    assert_red_throughout(&phone, "the lists").await;
    phone.fill("#celsius", "much").await;
    assert_red(&phone, "a temperature with a sentence").await;
    phone.key(Key::Escape).await;
    phone
        .wait_until("the card", "document.querySelector('.field-card')")
        .await;
    phone.tap("#card-share").await;
    phone
        .wait_until("the code", "document.querySelector('.code path')")
        .await;
    assert_red_throughout(&phone, "the code").await;
}

#[tokio::test]
async fn under_a_finger_and_under_keys() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    in_red(&phone, &server).await;
    phone.open(&server.address()).await;
    for (screen, button) in [
        ("exposure", "[aria-label='f-number'] .step-value"),
        ("exposure", "[aria-label='focal length: more']"),
        ("exposure", "#use-location"),
        ("exposure", "#draw-up"),
        ("exposure", "#sharp-frame"),
        ("night", "#darkness"),
        ("framing", "#core-third"),
        ("tracking", "#one-frame"),
        ("more", "#open-display"),
    ] {
        phone.show(screen).await;
        phone.press(button).await;
        assert_red(&phone, &format!("{button} under a finger")).await;
        phone.release().await;
        phone
            .run(
                "document.querySelector('dialog')
                     ?.dispatchEvent(new Event('cancel', {cancelable: true}))",
            )
            .await;
        phone.wait_for_no_sheet().await;
    }
    phone.show("exposure").await;
    for press in 0..16 {
        phone.key(Key::Tab).await;
        assert_red(&phone, &format!("Tab pressed {} times", press + 1)).await;
    }
    // a long press selects words
    phone
        .run(
            "getSelection().selectAllChildren(document.querySelector('.headline'));
             document.querySelector('.screen').scrollTo(0, 0)",
        )
        .await;
    assert_red(&phone, "selected words").await;
}

/// Checks the measure itself: it finds the flash of a page without the script that sets the theme
/// before the first paint.
#[tokio::test]
async fn the_eye_sees_a_flash() {
    let built = Built::from_dist();
    let front = built.get(INDEX).expect("a front").to_vec();
    let front = String::from_utf8(front).expect("text is UTF-8");
    let (before, rest) = front.split_once("<script>").expect("a first script");
    let (script, after) = rest.split_once("</script>").expect("its end");
    assert!(
        script.contains("tarnlight.look"),
        "the script that lights the page: {script}"
    );
    let server = Server::new(built.with(INDEX, format!("{before}{after}").as_bytes()));
    let phone = Phone::new(360, 780).await;
    phone
        .add_init_script("delete Navigator.prototype.serviceWorker")
        .await;
    in_red(&phone, &server).await;
    phone
        .cdp("Network.setCacheDisabled", json!({"cacheDisabled": true}))
        .await;
    phone.set_network(json!({
        "offline": false, "latency": 150, "downloadThroughput": 60_000, "uploadThroughput": 60_000,
    })).await;
    phone.start_loading(&server.address()).await;
    let start = Instant::now();
    while strays(&phone.screenshot().await).is_empty() {
        assert!(
            start.elapsed() < Duration::from_secs(5),
            "no flash was seen"
        );
    }
}

/// A browser may draw its own outline round what was touched.
#[tokio::test]
async fn after_a_tap_on_each_picture() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    in_red(&phone, &server).await;
    phone.open_link(&server.address_with("v=1")).await;
    for (screen, picture) in [
        ("night", ".night-picture .timeline"),
        ("framing", ".frame svg"),
        ("tracking", ".compare .split"),
        ("tracking", ".reach"),
    ] {
        phone.show(screen).await;
        phone
            .run(&format!(
                "document.querySelector('{picture}').scrollIntoView({{block: 'center'}})"
            ))
            .await;
        let there = phone.point_of(picture, (0.3, 0.4)).await;
        phone.tap_at(there).await;
        assert_red(&phone, picture).await;
    }
}
