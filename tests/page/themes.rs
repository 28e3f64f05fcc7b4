//! The three themes, and that the red one never flashes.

use std::time::{Duration, Instant};

use serde_json::json;

use super::phone::Phone;
use super::server::Server;

/// The themes, as they are stored.
pub const THEMES: [&str; 3] = ["paper", "dusk", "red"];

/// A black page that does not belong to the site, so that whatever is bright
/// after it is ours.
const BLACK: &str =
    "data:text/html,<meta name=color-scheme content=dark><body style=background:black>";

/// Green and blue that rounding may leave in a pixel of pure red.
pub const ROUNDING: u8 = 2;

/// Fewest pictures of a load with which a flash cannot be missed.
const FEWEST_FRAMES: usize = 6;

/// How long a load over the slow network may take.
const LOAD_TIMEOUT: Duration = Duration::from_secs(30);

/// Pixels with more green or blue than rounding leaves.
fn not_red(pixels: &[[u8; 3]]) -> usize {
    let stray = |pixel: &&[u8; 3]| pixel[1] > ROUNDING || pixel[2] > ROUNDING;
    pixels.iter().filter(stray).count()
}

/// A script that stores a theme as chosen.
pub fn store(theme: &str) -> String {
    format!("localStorage.setItem('tarnlight.look', '{theme}')")
}

/// Chooses red for the pages to come.
pub async fn in_red(phone: &Phone, server: &Server) {
    phone.open(&server.address()).await;
    phone.run(&store("red")).await;
    phone.open_blank().await;
}

#[tokio::test]
async fn each_look_is_chosen_kept_and_seen() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    phone.open(&server.address()).await;
    let mut grounds = Vec::new();
    for theme in THEMES {
        phone.open_sheet("#open-display").await;
        phone.tap(&format!("dialog #{theme}")).await;
        phone
            .wait_until(
                "the theme",
                &format!("document.documentElement.dataset.look === '{theme}'"),
            )
            .await;
        phone.close_sheet().await;
        phone.reload().await;
        assert_eq!(
            phone.eval("document.documentElement.dataset.look").await,
            json!(theme)
        );
        grounds.push(
            phone
                .eval("getComputedStyle(document.querySelector('.page')).backgroundColor")
                .await,
        );
        assert_eq!(phone.errors().await, json!([]));
    }
    assert_eq!(
        grounds,
        ["rgb(243, 235, 217)", "rgb(18, 29, 35)", "rgb(0, 0, 0)"]
    );
}

#[tokio::test]
async fn in_red_every_pixel_is_red_or_black() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    in_red(&phone, &server).await;
    phone.open(&server.address()).await;
    for screen in ["exposure", "night", "framing", "tracking", "more"] {
        phone.show(screen).await;
        for share in 0..3 {
            phone
                .run(&format!(
                    "const screen = document.querySelector('.screen');
                     screen.scrollTo(0, (screen.scrollHeight - screen.clientHeight) * {share} / 2)"
                ))
                .await;
            let pixels = phone.screenshot().await;
            assert_eq!(not_red(&pixels), 0, "stray pixels at {share}/2 of {screen}");
            assert!(
                pixels.iter().any(|pixel| pixel[0] > 200),
                "something is drawn"
            );
        }
    }
    for sheet in ["#open-kit", "#open-site", "#open-display"] {
        phone.open_sheet(sheet).await;
        assert_eq!(
            not_red(&phone.screenshot().await),
            0,
            "stray pixels in {sheet}"
        );
        phone.close_sheet().await;
    }
    phone.show("exposure").await;
    phone.draw_up().await;
    phone
        .open_sheet("[aria-label='trail allowed'] .step-value")
        .await;
    let stray = not_red(&phone.screenshot().await);
    assert_eq!(stray, 0, "stray pixels in what must stay sharp");
}

/// Takes pictures one after another until the page that is being loaded shows its answer; how many.
async fn frames_until_answer(phone: &Phone) -> usize {
    let answered = "!window.leaving && document.querySelector('#answer')";
    let start = Instant::now();
    let mut count = 0;
    loop {
        let stray = not_red(&phone.screenshot().await);
        let time = start.elapsed();
        assert_eq!(
            stray,
            0,
            "stray pixels {} ms after the start",
            time.as_millis()
        );
        count += 1;
        if phone.holds(answered).await {
            return count;
        }
        assert!(time < LOAD_TIMEOUT, "no answer");
    }
}

#[tokio::test]
async fn a_cold_load_and_a_reload_in_red_never_flash() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    in_red(&phone, &server).await;
    // cold: without the offline copy and without the browser's cache
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
    phone.start_loading(BLACK).await;
    assert_eq!(
        not_red(&phone.screenshot().await),
        0,
        "the page before ours is black"
    );
    phone.start_loading(&server.address()).await;
    let cold = frames_until_answer(&phone).await;
    phone.start_reload().await;
    let again = frames_until_answer(&phone).await;
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
    phone.open_sheet("#open-display").await;
    phone.tap("dialog #paper").await;
    phone
        .wait_until("paper", "document.documentElement.dataset.look === 'paper'")
        .await;
    phone.tap("dialog #red").await;
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
