//! Two tabs of the page on one phone lose nothing of each other's.

use serde_json::json;

use super::phone::Phone;
use super::server::Server;

/// A page with an outing of its own.
async fn open(tab: &Phone, server: &Server, name: &str) {
    tab.open_link(&server.address_with(&format!("v=1&lat=46&lon=9&place={name}")))
        .await;
    let stored = format!("storedOuting().includes('place={name}')");
    tab.wait_until(name, &stored).await;
}

async fn save_kit(tab: &Phone, name: &str) {
    tab.open_sheet("#open-kit").await;
    tab.fill("#kit-name", name).await;
    tab.tap_text("Save this kit").await;
    let saved = format!(
        "document.querySelector('.kits')?.textContent.includes({})",
        json!(name)
    );
    tab.wait_until(name, &saved).await;
    tab.close_sheet().await;
}

async fn wait_for_kits(tab: &Phone, names: &[&str]) {
    tab.open_sheet("#open-kit").await;
    let all = format!(
        "{}.every(name => document.querySelector('.kits')?.textContent.includes(name))",
        json!(names)
    );
    tab.wait_until("all kits", &all).await;
    tab.close_sheet().await;
}

#[tokio::test]
async fn kits_saved_in_either_tab_stand_in_both_and_after_a_reload() {
    let server = Server::from_dist();
    let first = Phone::new(360, 780).await;
    open(&first, &server, "First").await;
    let second = first.another_tab().await;
    open(&second, &server, "Second").await;
    save_kit(&second, "theirs").await;
    second.switch_to(&first).await;
    save_kit(&first, "ours").await;
    wait_for_kits(&first, &["ours", "theirs"]).await;
    // undo takes back what this tab did, not what the other one saved
    first.undo().await;
    first.switch_to(&second).await;
    let only_theirs =
        "Object.keys(localStorage).filter(key => key.startsWith('tarnlight.kit.')).length === 1";
    second.wait_until("ours gone", only_theirs).await;
    wait_for_kits(&second, &["theirs"]).await;
    second.switch_to(&first).await;
    first.redo().await;
    first.reload().await;
    wait_for_kits(&first, &["ours", "theirs"]).await;
    assert_eq!(first.errors().await, json!([]));
    assert_eq!(second.errors().await, json!([]));
}

async fn open_lists(tab: &Phone) {
    tab.open_sheet("#open-card").await;
    tab.tap("#card-lists").await;
    tab.wait_until("the lists", "document.querySelector('[role=checkbox]')")
        .await;
}

#[tokio::test]
async fn ticks_of_either_tab_stand_in_both() {
    let server = Server::from_dist();
    let first = Phone::new(360, 780).await;
    open(&first, &server, "First").await;
    let second = first.another_tab().await;
    open(&second, &server, "Second").await;
    let ticked = "document.querySelectorAll('[role=checkbox][aria-checked=true]').length";
    second.switch_to(&first).await;
    open_lists(&first).await;
    first.switch_to(&second).await;
    open_lists(&second).await;
    second.tap("[role=checkbox]").await;
    second
        .wait_until("one tick", &format!("{ticked} === 1"))
        .await;
    second.switch_to(&first).await;
    first
        .wait_until("it here", &format!("{ticked} === 1"))
        .await;
    first.tap("li + li [role=checkbox]").await;
    first
        .wait_until("two ticks", &format!("{ticked} === 2"))
        .await;
    first.switch_to(&second).await;
    second
        .wait_until("both there", &format!("{ticked} === 2"))
        .await;
    assert_eq!(second.errors().await, json!([]));
}

#[tokio::test]
async fn each_tab_keeps_its_outing_and_the_others_is_among_the_recent_ones() {
    let server = Server::from_dist();
    let first = Phone::new(360, 780).await;
    open(&first, &server, "First").await;
    let second = first.another_tab().await;
    open(&second, &server, "Second").await;
    second.switch_to(&first).await;
    first.reload().await;
    first.open_sheet("#open-site").await;
    let name = first
        .eval("document.querySelector('#site-name').value")
        .await;
    assert_eq!(name, json!("First"));
    first.close_sheet().await;
    first.open_sheet("#open-share").await;
    first
        .wait_until("the recent outings", "document.querySelector('#recent')")
        .await;
    let recent = first.text("#recent").await;
    assert!(recent.contains("Second"), "{recent}");
    assert_eq!(first.errors().await, json!([]));
}
