//! An outing that arrives never destroys the one in use.

use serde_json::{Value, json};

use super::LONGER;
use super::phone::Phone;
use super::server::Server;
use super::temp_folder::TempFolder;

/// An outing with a skyline that somebody sighted.
const OWN: &str = "v=1&lat=46.52&lon=9.91&zone=Europe/Zurich&place=Own+hut&line=150*8_170*12_190*9";

/// Another.
const OTHER: &str = "v=1&lat=36&lon=-112&mm=35&place=A+pass";

/// A phone on which the own outing is in use and stored.
async fn with_own_outing(server: &Server) -> Phone {
    let phone = Phone::new(360, 780).await;
    phone.open(&server.address_with(OWN)).await;
    wait_for_outing(&phone, "Own+hut").await;
    // on a first start there is no other outing to return to
    assert_eq!(phone.text(".notices").await, "");
    phone.close_sheets().await;
    phone
}

async fn wait_for_outing(phone: &Phone, name: &str) {
    let stored = format!("storedOuting().includes('place={name}')");
    phone.wait_until(name, &stored).await;
}

async fn wait_for_notice(phone: &Phone, text: &str) {
    let notice = format!(
        "document.querySelector('.notices').innerText.includes({})",
        json!(text)
    );
    phone.wait_until(text, &notice).await;
}

/// The bearings and heights of the skyline in use, as it is stored.
async fn skyline(phone: &Phone) -> Value {
    let line = "(new URLSearchParams(storedOuting()).get('line') ?? '').split(/[_*]/).map(Number)";
    phone.eval(line).await
}

#[tokio::test]
async fn a_link_is_announced_and_leads_back_also_after_edits() {
    let server = Server::from_dist();
    let phone = with_own_outing(&server).await;
    phone
        .run(&format!("location.hash = {}", json!(OTHER)))
        .await;
    wait_for_notice(&phone, "An outing arrived: A pass").await;
    wait_for_outing(&phone, "A+pass").await;
    // it is read first as a whole, with the way back on it
    phone.wait_for_sheet().await;
    assert_eq!(phone.text("#sheet-title").await, "Field card");
    let card = phone.text(".field-card").await;
    assert!(card.contains("Back to yours"), "{card}");
    phone.close_sheet().await;
    phone.tap(LONGER).await;
    phone.tap(LONGER).await;
    phone
        .wait_until("another lens", "!storedOuting().includes('mm=35&')")
        .await;
    phone.tap_text("Back to yours").await;
    wait_for_outing(&phone, "Own+hut").await;
    assert_eq!(skyline(&phone).await, json!([150, 8, 170, 12, 190, 9]));
    assert_eq!(phone.text(".notices").await, "");
    // returning is a step as well
    phone.show("more").await;
    phone.tap("#undo").await;
    wait_for_outing(&phone, "A+pass").await;
    assert_eq!(phone.errors().await, json!([]));
}

#[tokio::test]
async fn the_outing_before_is_among_the_recent_ones_after_a_reload() {
    let server = Server::from_dist();
    let phone = with_own_outing(&server).await;
    phone.open_blank().await;
    phone.open_link(&server.address_with(OTHER)).await;
    wait_for_outing(&phone, "A+pass").await;
    // what was in memory is gone
    phone.reload().await;
    phone.open_sheet("#open-share").await;
    phone
        .wait_until("the recent outings", "document.querySelector('#recent')")
        .await;
    let recent = phone.text("#recent").await;
    assert!(recent.contains("Own hut"), "{recent}");
    assert!(!recent.contains("A pass"), "the one in use: {recent}");
    phone.tap("#recent button").await;
    wait_for_outing(&phone, "Own+hut").await;
    assert_eq!(skyline(&phone).await, json!([150, 8, 170, 12, 190, 9]));
    assert_eq!(phone.errors().await, json!([]));
}

#[tokio::test]
async fn a_file_and_a_pasted_link_are_steps_too() {
    let server = Server::from_dist();
    let phone = with_own_outing(&server).await;
    let folder = TempFolder::new("arrival");
    let file = folder.write(
        "outing.txt",
        format!("tarnlight 1\nouting {OTHER}\n").as_bytes(),
    );
    phone.open_sheet("#open-share").await;
    phone.choose_file("#bundle", &file).await;
    wait_for_outing(&phone, "A+pass").await;
    phone
        .paste("#pasted", &OWN.replace("Own+hut", "Third"))
        .await;
    wait_for_outing(&phone, "Third").await;
    phone.close_sheets().await;
    phone.show("more").await;
    for name in ["A+pass", "Own+hut"] {
        phone.tap("#undo").await;
        wait_for_outing(&phone, name).await;
    }
    assert_eq!(skyline(&phone).await, json!([150, 8, 170, 12, 190, 9]));
    for name in ["A+pass", "Third"] {
        phone.tap("#redo").await;
        wait_for_outing(&phone, name).await;
    }
    assert_eq!(phone.errors().await, json!([]));
}

#[tokio::test]
async fn twenty_recent_outings_are_kept() {
    let server = Server::from_dist();
    let phone = with_own_outing(&server).await;
    for number in 0..25 {
        let link = OTHER.replace("A+pass", &format!("Pass+{number}"));
        phone.run(&format!("location.hash = {}", json!(link))).await;
        wait_for_outing(&phone, &format!("Pass+{number}")).await;
    }
    let count =
        "Object.keys(localStorage).filter(key => key.startsWith('tarnlight.recent.')).length";
    assert_eq!(phone.eval(count).await, json!(20));
    assert_eq!(phone.errors().await, json!([]));
}

/// A tab that the browser restores has its own outing; the one used since is not lost.
#[tokio::test]
async fn a_restored_tab_is_announced() {
    let server = Server::from_dist();
    let phone = with_own_outing(&server).await;
    let own = phone
        .eval("sessionStorage.getItem('tarnlight.outing-id')")
        .await;
    let other = phone.another_tab().await;
    other.open(&server.address_with(OTHER)).await;
    wait_for_outing(&other, "A+pass").await;
    // what a browser restores of a tab is its session storage, in a page that is not reloaded
    let restored = other.another_tab().await;
    restored.open(&server.address()).await;
    restored
        .run(&format!(
            "sessionStorage.setItem('tarnlight.outing-id', {own})"
        ))
        .await;
    restored.open_blank().await;
    restored.open(&server.address()).await;
    wait_for_notice(&restored, "An outing arrived: Own hut").await;
    wait_for_outing(&restored, "Own+hut").await;
    restored.tap_text("Back to yours").await;
    wait_for_outing(&restored, "A+pass").await;
    assert_eq!(restored.errors().await, json!([]));
}
