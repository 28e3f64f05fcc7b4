//! The limits of darkness, Moon and height.

use serde_json::json;

use super::{ALPS, open_night};
use crate::server::Server;

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
