//! A finger on the pictures.

use serde_json::json;

use super::engine::Engine;
use super::page::Page;
use super::server::Server;

/// A high pass in the Alps in June, with a skyline.
const RIDGE: &str = "v=1&lat=46.52&lon=9.91&high=2240&zone=Europe/Zurich&place=Pass&night=2027-06-04\
     &line=130*6_150*9_170*12_180*8_195*14_215*10_230*5";

const BEARING: &str = "[aria-label='bearing of the camera'] .step-word";
const TIME: &str = "[aria-label='time'] .step-word";
const NIGHT: &str = ".night-picture .timeline";

crate::in_each_engine!(
    a_finger_drags_the_frame,
    a_finger_drags_the_night,
    a_finger_that_goes_down_the_night_changes_nothing,
);

/// Opens a screen whose pointers are noted from now on.
async fn opened(engine: Engine, screen: &str, picture: &str) -> (Page, Server) {
    let (page, server) = Page::served(engine, RIDGE).await;
    page.close_sheets().await;
    page.show(screen).await;
    page.wait_until(screen, &format!("document.querySelector('{picture}')"))
        .await;
    page.run(&format!(
        "document.querySelector('{picture}').scrollIntoView({{block: 'center'}});
         window.pointers = new Set();
         for (const kind of ['pointerdown', 'pointermove', 'pointerup', 'pointercancel'])
             addEventListener(kind, event => pointers.add(event.pointerType), true)"
    ))
    .await;
    (page, server)
}

/// Drags by a finger, and by nothing else as far as the page sees.
async fn drag(page: &Page, picture: &str, by: (f64, f64)) {
    page.drag_by_touch(picture, by).await;
    let pointers = page.eval("[...pointers]").await;
    assert_eq!(pointers, json!(["touch"]), "{:?}", page.engine);
}

/// Waits until a value is no longer what it was.
async fn wait_for_another(page: &Page, value: &str, before: &str) {
    let other = format!(
        "locate({}).innerText.replaceAll('\\u00a0', ' ') !== {}",
        json!(value),
        json!(before)
    );
    page.wait_until("another value", &other).await;
}

async fn a_finger_drags_the_frame(engine: Engine) {
    let (page, _server) = opened(engine, "framing", "#frame .thirds").await;
    let before = page.text(BEARING).await;
    drag(&page, "#frame", (-90.0, 0.0)).await;
    wait_for_another(&page, BEARING, &before).await;
    let dragged = page.text(BEARING).await;
    // back again, past where it was
    drag(&page, "#frame", (140.0, 0.0)).await;
    wait_for_another(&page, BEARING, &dragged).await;
    assert_ne!(page.text(BEARING).await, before, "{engine:?}");
    page.finish().await;
}

async fn a_finger_drags_the_night(engine: Engine) {
    let (page, _server) = opened(engine, "night", NIGHT).await;
    let before = page.text(TIME).await;
    drag(&page, NIGHT, (60.0, 0.0)).await;
    wait_for_another(&page, TIME, &before).await;
    page.finish().await;
}

/// It would scroll the page, where there is more of it than the window shows.
async fn a_finger_that_goes_down_the_night_changes_nothing(engine: Engine) {
    let (page, _server) = opened(engine, "night", NIGHT).await;
    let before = page.text(TIME).await;
    drag(&page, NIGHT, (0.0, 60.0)).await;
    page.wait_until("rest", "document.querySelector('.page.resting')")
        .await;
    assert_eq!(page.text(TIME).await, before, "{engine:?}");
    page.finish().await;
}
