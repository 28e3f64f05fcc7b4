//! The view through the lens: where the core clears a skyline, and what the frame holds.

use serde_json::json;

use super::SCREENS;
use super::key::Key;
use super::phone::Phone;
use super::server::Server;

/// A high pass in the Alps in June, with a flat horizon.
pub const ALPS: &str =
    "v=1&lat=46.52&lon=9.91&high=2240&zone=Europe/Zurich&place=Pass&night=2027-06-04";

pub async fn open_framing(server: &Server, hash: &str) -> Phone {
    let phone = Phone::new(360, 780).await;
    phone.open(&server.address_with(hash)).await;
    phone.tap_text("Where?").await;
    phone
        .wait_until("the view", "document.querySelector('.lens .star')")
        .await;
    phone
}

pub async fn open_sheet(phone: &Phone, word: &str) {
    phone.tap_text(word).await;
    phone.wait_for_sheet().await;
}

#[tokio::test]
async fn the_core_and_the_view_stand_first() {
    let server = Server::from_dist();
    let phone = open_framing(&server, ALPS).await;
    for (width, height) in SCREENS {
        phone.resize(width, height).await;
        assert_eq!(phone.text(".answer .figure").await, "180° S");
        let fits = phone
            .eval(
                "document.querySelector('.verdict').getBoundingClientRect().bottom
                     < document.querySelector('.deck').getBoundingClientRect().top
                 && document.documentElement.scrollWidth <= innerWidth",
            )
            .await;
        assert_eq!(fits, json!(true), "at {width} px");
        assert_eq!(phone.errors().await, json!([]));
    }
}

/// Frames towards the celestial equator decide how long a panorama's frames may be: the sheet names
/// one, and the card has the same exposure.
#[tokio::test]
async fn a_panorama_is_exposed_as_its_own_frames_allow() {
    let server = Server::from_dist();
    let phone = open_framing(&server, ALPS).await;
    open_sheet(&phone, "The arch").await;
    let told = phone
        .text("dialog .in-use[role=status]")
        .await
        .replace('\u{a0}', " ");
    let exposure = told
        .split("frames of ")
        .nth(1)
        .and_then(|rest| rest.split(',').next());
    let exposure = exposure.expect("an exposure").to_owned();
    let dialog = phone.text("dialog").await;
    assert!(
        dialog.contains("Each frame's own sky counts: frame "),
        "{dialog}"
    );
    phone.tap_text("Done").await;
    phone.tap_text("Card").await;
    phone
        .wait_until("the card", "document.querySelector('.field-card')")
        .await;
    let card = phone.text(".field-card").await.replace('\u{a0}', " ");
    assert!(
        card.contains(&format!("frames of {exposure}")),
        "{exposure}: {card}"
    );
    assert_eq!(phone.errors().await, json!([]));
}

/// Steppers, keys and a thumb turn the camera; the core goes to a third; How long? takes the frame.
#[tokio::test]
async fn the_camera_is_turned_and_the_frame_is_kept() {
    let server = Server::from_dist();
    let phone = open_framing(&server, ALPS).await;
    let bearing = || phone.text("[aria-label='bearing of the camera'] .step-value");
    // the core, due south, is on the right third, so that the camera is turned to the left of it
    let first = bearing().await;
    let first_deg: f64 = first.trim_end_matches('°').parse().expect("degrees");
    assert!((155.0..175.0).contains(&first_deg), "{first}");
    phone
        .tap("[aria-label='bearing of the camera: more']")
        .await;
    assert_eq!(bearing().await, format!("{}°", first_deg + 1.0));
    phone.run("document.querySelector('.lens').focus()").await;
    phone.key(Key::Left).await;
    phone
        .wait_until(
            "the first bearing",
            &format!(
                "document.querySelector(`[aria-label='bearing of the camera'] .step-value`).innerText === '{first}'"
            ),
        )
        .await;
    // a thumb drags the sky to the right: the camera turns left
    let dragged = phone
        .run(
            "const lens = document.querySelector('.lens');
             const box = lens.getBoundingClientRect();
             const at = (kind, x, y) => lens.dispatchEvent(new PointerEvent(kind, {
                 bubbles: true, pointerId: 1, buttons: 1, clientX: box.x + x, clientY: box.y + y}));
             const drawn = () => new Promise(done =>
                 requestAnimationFrame(() => requestAnimationFrame(done)));
             at('pointerdown', 150, 80);
             await drawn();
             at('pointermove', 190, 80);
             await drawn();
             return document.querySelector(`[aria-label='bearing of the camera'] .step-value`).innerText",
        )
        .await;
    let degrees: f64 = dragged
        .as_str()
        .and_then(|text| text.trim_end_matches('°').parse().ok())
        .expect("degrees");
    let turned_deg = first_deg - degrees;
    assert!((4.0..20.0).contains(&turned_deg), "{dragged}");
    phone.tap_text("right").await;
    phone
        .wait_until(
            "the core on a third",
            "(() => { const core = document.querySelector('.lens .core');
                 return Math.abs(core.getAttribute('cx') - 220) < 1
                     && Math.abs(core.getAttribute('cy') - 73.3) < 1 })()",
        )
        .await;
    let clean = phone.text(".legend").await;
    phone.tap_text("How long?").await;
    assert!(phone.text("main").await.contains("framed under Where?"));
    phone.reload().await;
    phone.tap_text("Where?").await;
    assert_eq!(phone.text(".legend").await, clean, "kept");
    phone.tap_text("Follow the core again").await;
    assert_eq!(bearing().await, first);
    assert_eq!(phone.errors().await, json!([]));
}
