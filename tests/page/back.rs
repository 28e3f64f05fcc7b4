//! The browser's Back closes a sheet, then returns to the screen before; what is half typed is
//! never committed.

use serde_json::json;

use super::phone::Phone;
use super::server::Server;

async fn back(phone: &Phone) {
    phone.run("history.back()").await;
}

async fn wait_for_screen(phone: &Phone, question: &str) {
    let current = format!(
        "document.querySelector('[aria-current=page]').innerText === {}",
        json!(question)
    );
    phone.wait_until(question, &current).await;
}

#[tokio::test]
async fn back_closes_sheets_one_by_one_and_returns_to_the_screen_before() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    phone.open(&server.address()).await;
    phone.tap("#show-night").await;
    wait_for_screen(&phone, "When?").await;
    phone.open_sheet("#open-card").await;
    phone.tap("#card-lists").await;
    phone
        .wait_until("the lists", "document.querySelector('[role=checkbox]')")
        .await;
    back(&phone).await;
    phone
        .wait_until("the card", "document.querySelector('.field-card')")
        .await;
    back(&phone).await;
    phone.wait_for_no_sheet().await;
    wait_for_screen(&phone, "More").await;
    back(&phone).await;
    wait_for_screen(&phone, "When?").await;
    back(&phone).await;
    wait_for_screen(&phone, "How long?").await;
    phone.run("history.forward()").await;
    wait_for_screen(&phone, "When?").await;
    assert_eq!(phone.errors().await, json!([]));
}

#[tokio::test]
async fn a_sheet_closed_by_done_is_not_gone_back_through() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    phone.open(&server.address()).await;
    phone.tap("#show-framing").await;
    for sheet in ["#open-kit", "#open-site", "#open-display"] {
        phone.open_sheet(sheet).await;
        phone.close_sheet().await;
    }
    back(&phone).await;
    wait_for_screen(&phone, "Where?").await;
    back(&phone).await;
    wait_for_screen(&phone, "How long?").await;
    assert_eq!(phone.errors().await, json!([]));
}

#[tokio::test]
async fn what_is_half_typed_is_not_committed() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    phone.open(&server.address()).await;
    phone.open_sheet("#open-kit").await;
    // the page behind the sheet says what is in use as well
    let behind = phone.text("#open-kit").await;
    let in_use = phone.text(".in-use").await;
    // on the way to 200 mm
    for text in ["2", "20", "200"] {
        phone.type_text("#focal", text).await;
        assert_eq!(phone.text(".in-use").await, in_use, "{text}");
        assert_eq!(phone.text("#open-kit").await, behind, "{text}");
    }
    phone.type_text("#focal", "20 0").await;
    phone
        .wait_until(
            "a sentence",
            "document.querySelector('#focal-told').innerText.includes('number')",
        )
        .await;
    assert_eq!(phone.text(".in-use").await, in_use);
    phone.type_text("#focal", "200").await;
    // Back ends the field like Done does
    back(&phone).await;
    phone.wait_for_no_sheet().await;
    phone
        .wait_until("200 mm", "storedOuting().includes('mm=200')")
        .await;
    phone.tap("#undo").await;
    phone
        .wait_until("20 mm", "storedOuting().includes('mm=20&')")
        .await;
    assert_eq!(phone.errors().await, json!([]));
}
