//! The three looks, and that the red one never flashes.

use std::time::{Duration, Instant};

use serde_json::json;

use super::phone::Phone;
use super::server::Server;

/// The looks, as they are kept.
pub const THEMES: [&str; 3] = ["paper", "dusk", "red"];

/// A black page that does not belong to the site, so that whatever is bright
/// after it is ours.
const BLACK: &str =
    "data:text/html,<meta name=color-scheme content=dark><body style=background:black>";

/// Green and blue that rounding may leave in a pixel of pure red.
pub const A_HAIR: u8 = 2;

/// Pictures of a load without which a flash could have been missed.
const FEWEST_FRAMES: usize = 6;

/// How long the frames of a load are watched.
const WATCHED: Duration = Duration::from_secs(3);

/// Pixels with more green or blue than a hair.
fn not_red(pixels: &[[u8; 3]]) -> usize {
    let stray = |pixel: &&[u8; 3]| pixel[1] > A_HAIR || pixel[2] > A_HAIR;
    pixels.iter().filter(stray).count()
}

pub async fn in_red(phone: &Phone, server: &Server) {
    phone.open(&server.address()).await;
    phone
        .run("localStorage.setItem('tarnlight.look', 'red')")
        .await;
    phone.open_blank().await;
}

#[tokio::test]
async fn each_look_is_chosen_kept_and_seen() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    phone.open(&server.address()).await;
    let mut grounds = Vec::new();
    for (word, look) in ["Paper", "Dusk", "Red"].into_iter().zip(THEMES) {
        phone.tap_text("Lamp").await;
        phone.tap_text(word).await;
        phone
            .wait_until(
                "the look",
                &format!("document.documentElement.dataset.look === '{look}'"),
            )
            .await;
        phone.tap_text("Done").await;
        phone.reload().await;
        assert_eq!(
            phone.eval("document.documentElement.dataset.look").await,
            json!(look)
        );
        grounds.push(
            phone
                .eval("getComputedStyle(document.documentElement).backgroundColor")
                .await,
        );
        assert_eq!(phone.errors().await, json!([]));
    }
    assert_eq!(
        grounds,
        ["rgb(246, 241, 228)", "rgb(13, 19, 28)", "rgb(0, 0, 0)"]
    );
}

#[tokio::test]
async fn in_red_every_pixel_is_red_or_black() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    in_red(&phone, &server).await;
    phone.open(&server.address()).await;
    let height = phone.eval("document.documentElement.scrollHeight").await;
    for share in 0..5 {
        phone
            .run(&format!("scrollTo(0, {height} * {share} / 5)"))
            .await;
        let pixels = phone.screenshot().await;
        assert_eq!(not_red(&pixels), 0, "stray pixels at {share}/5 of the page");
        assert!(
            pixels.iter().any(|pixel| pixel[0] > 200),
            "something is drawn"
        );
    }
    for sheet in ["Kit", "Site", "Lamp", "sharp:"] {
        phone.tap_text(sheet).await;
        phone.wait_for_sheet().await;
        assert_eq!(
            not_red(&phone.screenshot().await),
            0,
            "stray pixels in {sheet}"
        );
        phone.tap_text("Done").await;
    }
}

/// Pictures taken one after another while a page loads over a slow network.
async fn frames(phone: &Phone) -> usize {
    let start = Instant::now();
    let mut count = 0;
    while start.elapsed() < WATCHED {
        let stray = not_red(&phone.screenshot().await);
        assert_eq!(
            stray,
            0,
            "stray pixels {} ms after the start",
            start.elapsed().as_millis()
        );
        count += 1;
    }
    count
}

#[tokio::test]
async fn a_cold_load_and_a_reload_in_red_never_flash() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    in_red(&phone, &server).await;
    // cold: without the offline copy and without what the browser keeps
    phone
        .add_init_script("delete Navigator.prototype.serviceWorker")
        .await;
    phone.open(&server.address()).await;
    phone
        .run("return caches.keys().then(keys => Promise.all(keys.map(key => caches.delete(key))))")
        .await;
    phone.cdp("Network.enable", json!({})).await;
    phone
        .cdp("Network.setCacheDisabled", json!({"cacheDisabled": true}))
        .await;
    phone
        .cdp("Network.setBypassServiceWorker", json!({"bypass": true}))
        .await;
    phone.set_network(json!({
        "offline": false, "latency": 150, "downloadThroughput": 60_000, "uploadThroughput": 60_000,
    })).await;
    phone.cdp("Page.navigate", json!({"url": BLACK})).await;
    assert_eq!(
        not_red(&phone.screenshot().await),
        0,
        "the page before ours is black"
    );
    phone
        .cdp("Page.navigate", json!({"url": server.address()}))
        .await;
    let cold = frames(&phone).await;
    phone.wait_for_answer().await;
    phone.cdp("Page.reload", json!({})).await;
    let again = frames(&phone).await;
    phone.wait_for_answer().await;
    println!("frames looked at in red: {cold} of a cold load, {again} of a reload");
    assert!(
        cold >= FEWEST_FRAMES && again >= FEWEST_FRAMES,
        "enough frames to see a flash: {cold}, {again}"
    );
}

#[tokio::test]
async fn switching_from_paper_to_red_leaves_no_light() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    phone.open(&server.address()).await;
    phone.tap_text("Lamp").await;
    phone.tap_text("Paper").await;
    phone
        .wait_until("paper", "document.documentElement.dataset.look === 'paper'")
        .await;
    phone.tap_text("Red").await;
    phone
        .wait_until("red", "document.documentElement.dataset.look === 'red'")
        .await;
    for _ in 0..5 {
        assert_eq!(
            not_red(&phone.screenshot().await),
            0,
            "stray pixels after the switch"
        );
    }
    let bar = phone
        .eval("document.querySelector('meta[name=theme-color]').content")
        .await;
    assert_eq!(bar, json!("#000000"), "the browser's own bar");
}
