//! The offline copy: without a network, and from one version to the next.

use serde_json::json;

use super::LONGER;
use super::built::{Built, INDEX};
use super::phone::Phone;
use super::server::Server;
use super::skyline::read_two_bearings;

/// Which build is shown: its mark in the document and in the style sheet.
const MARKS: &str = "[document.querySelector('meta[name=build]')?.content ?? '',
    getComputedStyle(document.documentElement).getPropertyValue('--build').trim()]";

#[tokio::test]
async fn all_of_it_works_with_the_network_off() {
    for reach_server in [true, false] {
        let server = Server::from_dist();
        let phone = Phone::new(320, 640).await;
        phone.open(&server.address()).await;
        phone.wait_for_offline_copy().await;
        let address = server.address();
        if reach_server {
            phone.set_online(false).await;
        } else {
            drop(server);
        }
        phone.reload().await;
        phone.open_blank().await;
        phone.open(&address).await;
        phone.tap(LONGER).await;
        phone
            .wait_until(
                "21 mm",
                "document.querySelector('.deck').innerText.includes('21')",
            )
            .await;
        see_sheets_of_every_screen(&phone).await;
        see_exposure(&phone).await;
        see_night(&phone).await;
        see_framing(&phone).await;
        see_tracking(&phone).await;
        phone.reload().await;
        phone.show("exposure").await;
        assert_eq!(phone.focal_length().await, "21 mm");
        assert_eq!(phone.errors().await, json!([]));
    }
}

/// The sheets that can be opened from every screen.
async fn see_sheets_of_every_screen(phone: &Phone) {
    for sheet in ["#open-kit", "#open-site", "#open-share", "#open-display"] {
        phone.open_sheet(sheet).await;
        if sheet == "#open-share" {
            phone
                .wait_until("the code", "document.querySelector('.code path')")
                .await;
        }
        phone.close_sheet().await;
    }
    phone.open_sheet("#open-card").await;
    phone
        .wait_until("the card", "document.querySelector('.field-card')")
        .await;
    phone.tap("#card-lists").await;
    phone
        .wait_until("the lists", "document.querySelector('.ticks')")
        .await;
    phone.close_sheets().await;
}

/// How long?, with the sheets that the values of its steppers lead to.
async fn see_exposure(phone: &Phone) {
    phone.show("exposure").await;
    phone.draw_up().await;
    for (value, css) in [
        ("focal length", "#entry"),
        ("f-number", "#entry"),
        ("trail allowed", "[aria-label='what the picture is for']"),
        ("ISO", "#stack"),
    ] {
        phone
            .tap(&format!("[aria-label='{value}'] .step-value"))
            .await;
        phone
            .wait_until(value, &format!("document.querySelector(`dialog {css}`)"))
            .await;
        phone.close_sheet().await;
    }
}

/// When?, with the sheets of the night and of the year.
async fn see_night(phone: &Phone) {
    phone.show("night").await;
    phone
        .wait_until(
            "the night",
            "document.querySelector('.night-picture canvas')",
        )
        .await;
    phone.tap("[aria-label='night'] .step-value").await;
    phone
        .wait_until(
            "the night's sheet",
            "document.querySelector('dialog #night')",
        )
        .await;
    phone.close_sheet().await;
    phone.open_sheet("#open-season").await;
    phone
        .wait_until("the year", "document.querySelector('.season .limited')")
        .await;
    phone.close_sheet().await;
}

/// Where?, with its sheets.
async fn see_framing(phone: &Phone) {
    phone.show("framing").await;
    phone
        .wait_until("the view", "document.querySelector('#frame .thirds')")
        .await;
    for sheet in ["#open-lenses", "#open-panorama"] {
        phone.open_sheet(sheet).await;
        phone
            .wait_until("a picture", "document.querySelector('dialog canvas')")
            .await;
        phone.close_sheet().await;
    }
    phone.draw_up().await;
    phone.open_sheet("#open-ground").await;
    phone.close_sheet().await;
    // the program that reads tables and tiles is in the offline copy, too
    read_two_bearings(phone).await;
    phone.close_sheet().await;
}

/// Why track?, with what the worker draws for it.
async fn see_tracking(phone: &Phone) {
    phone.show("tracking").await;
    phone
        .wait_until(
            "a patch of sky, drawn by the worker on both sides",
            "(() => {
                 const canvas = document.querySelector('.compare canvas');
                 const opaque = share => canvas.getContext('2d').getImageData(
                     share * canvas.width, canvas.height / 2, 1, 1).data[3] === 255;
                 return canvas?.width > 0 && opaque(0.25) && opaque(0.75);
             })()",
        )
        .await;
}

#[tokio::test]
async fn the_notices_open_with_the_network_off_and_lead_back() {
    let server = Server::from_dist();
    let phone = Phone::new(320, 640).await;
    phone.open(&server.address()).await;
    phone.wait_for_offline_copy().await;
    drop(server);
    phone.tap(LONGER).await;
    let (answer, lens) = (phone.text("#answer").await, phone.focal_length().await);
    assert_ne!(lens, "20 mm");
    phone.open_sheet("#open-display").await;
    phone.tap_text("Accuracy, privacy, notices").await;
    phone.tap("dialog a").await;
    phone
        .wait_until("the notices", "document.title === 'Tarnlight · Notices'")
        .await;
    assert!(phone.text("body").await.contains("GeoNames"));
    // its style is in its policy, and nothing is wider than the screen
    let lit = "getComputedStyle(document.documentElement).backgroundColor";
    assert_eq!(phone.eval(lit).await, json!("rgb(0, 0, 0)"));
    let wide = "document.documentElement.scrollWidth";
    assert_eq!(phone.eval(wide).await, json!(320));
    phone.tap("a").await;
    phone.wait_for_answer().await;
    phone.show("exposure").await;
    assert_eq!(phone.text("#answer").await, answer);
    assert_eq!(phone.focal_length().await, lens);
}

#[tokio::test]
async fn a_new_version_waits_and_never_mixes() {
    let (one, two) = (
        Built::from_dist().marked("one"),
        Built::from_dist().marked("two"),
    );
    let server = Server::new(one);
    let phone = Phone::new(360, 780).await;
    phone.open(&server.address()).await;
    phone.wait_for_offline_copy().await;
    assert_eq!(phone.eval(MARKS).await, json!(["one", "one"]));

    server.switch_to(two);
    phone.reload().await;
    assert_eq!(
        phone.eval(MARKS).await,
        json!(["one", "one"]),
        "the kept version still serves"
    );
    phone
        .wait_until(
            "the new version",
            "document.querySelector('.notices').innerText.includes('New version')",
        )
        .await;
    phone.tap(LONGER).await;
    phone.tap_text("Use it now").await;
    phone
        .wait_until(
            "the new front",
            "document.querySelector('meta[name=build]')?.content === 'two'",
        )
        .await;
    phone.wait_for_answer().await;
    assert_eq!(phone.eval(MARKS).await, json!(["two", "two"]));
    phone.show("exposure").await;
    assert_eq!(phone.focal_length().await, "21 mm", "nothing typed is lost");
    let caches = "return (await caches.keys()).sort()";
    assert_eq!(
        phone.run(caches).await,
        json!(["tarnlight-one", "tarnlight-two"]),
        "the version before stays, in case this one fails"
    );

    server.switch_to(Built::from_dist().marked("three"));
    phone.reload().await;
    phone
        .wait_until(
            "the third version",
            "document.querySelector('.notices').innerText.includes('New version')",
        )
        .await;
    phone.tap_text("Use it now").await;
    phone
        .wait_until(
            "the third front",
            "document.querySelector('meta[name=build]')?.content === 'three'",
        )
        .await;
    phone.wait_for_answer().await;
    assert_eq!(
        phone.run(caches).await,
        json!(["tarnlight-three", "tarnlight-two"]),
        "older ones are gone"
    );
}

#[tokio::test]
async fn a_half_deployed_server_changes_nothing() {
    let (one, two) = (
        Built::from_dist().marked("one"),
        Built::from_dist().marked("two"),
    );
    let old_front = one.get(INDEX).expect("a front").to_vec();
    let half = two.with(INDEX, &old_front);
    let server = Server::new(one);
    let phone = Phone::new(360, 780).await;
    phone.open(&server.address()).await;
    phone.wait_for_offline_copy().await;
    server.switch_to(half);
    let tried = server.requested_paths().len();
    // resolves when the new worker has been fetched; it then fails by itself
    let outcome = phone
        .run(
            "const one = await navigator.serviceWorker.getRegistration();
             await one.update().catch(() => null);
             for (let looks = 0; one.installing && looks < 200; looks++)
                 await new Promise(done => setTimeout(done, 25));
             return [one.installing === null, one.waiting === null]",
        )
        .await;
    assert_eq!(outcome, json!([true, true]), "the new version is given up");
    assert!(
        server.requested_paths().len() > tried,
        "the new version was tried"
    );
    phone.reload().await;
    assert_eq!(phone.eval(MARKS).await, json!(["one", "one"]));
    phone.set_online(false).await;
    phone.reload().await;
    assert_eq!(
        phone.eval(MARKS).await,
        json!(["one", "one"]),
        "offline too"
    );
}

/// A tab that was not asked keeps its version whole, also what it fetches after another tab took a
/// newer one: sheets' program, worker and towns. The newer one has other names for them.
#[tokio::test]
async fn two_tabs_of_two_versions_are_each_whole() {
    let (one, two) = (
        Built::from_dist().marked("one"),
        Built::from_dist().marked("two"),
    );
    let server = Server::new(one);
    let first = Phone::new(360, 780).await;
    first.open(&server.address()).await;
    first.wait_for_offline_copy().await;
    let second = first.another_tab().await;
    second.open(&server.address()).await;
    second.tap(LONGER).await;
    server.switch_to(two);
    second.switch_to(&first).await;
    first.reload().await;
    let offered = "document.querySelector('.notices').innerText.includes('New version')";
    first.wait_until("the new version", offered).await;
    first.tap_text("Use it now").await;
    first
        .wait_until(
            "the new front",
            "document.querySelector('meta[name=build]')?.content === 'two'",
        )
        .await;
    first.wait_for_answer().await;

    first.switch_to(&second).await;
    assert_eq!(second.eval(MARKS).await, json!(["one", "one"]));
    second.show("framing").await;
    read_two_bearings(&second).await;
    second.close_sheets().await;
    second.open_sheet("#open-site").await;
    second.fill("#town", "zurich").await;
    second
        .wait_until(
            "the towns of its version",
            "document.querySelector('dialog').innerText.includes('Zürich')",
        )
        .await;
    second.close_sheets().await;
    assert_eq!(second.errors().await, json!([]));

    second.reload().await;
    assert_eq!(second.eval(MARKS).await, json!(["two", "two"]));
    second.show("exposure").await;
    assert_eq!(second.focal_length().await, "21 mm", "nothing is lost");
    second.show("framing").await;
    assert_eq!(second.errors().await, json!([]));
}
