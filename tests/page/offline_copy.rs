//! The offline copy is looked after: new versions are looked for, holes are mended, and the browser
//! is asked to keep what is saved.

use serde_json::json;

use super::LONGER;
use super::built::Built;
use super::phone::Phone;
use super::server::{Fault, Server};

/// A page that is shown again looks for a new version, once an hour.
#[tokio::test]
async fn a_page_shown_after_an_hour_looks_for_a_new_version() {
    let server = Server::new(Built::from_dist().marked("one"));
    let phone = Phone::new(360, 780).await;
    phone
        .add_init_script(
            "const plain = Date.now;
             window.later = 0;
             Date.now = () => plain() + later;
             window.updates = 0;
             const update = ServiceWorkerRegistration.prototype.update;
             ServiceWorkerRegistration.prototype.update = function () {
                 window.updates += 1;
                 return update.call(this);
             };
             window.showAgain = () => document.dispatchEvent(new Event('visibilitychange'));",
        )
        .await;
    phone.open(&server.address()).await;
    phone.wait_for_offline_copy().await;
    server.switch_to(Built::from_dist().marked("two"));
    let minute = "60 * 1000";
    phone
        .run(&format!("later = 59 * {minute}; showAgain()"))
        .await;
    assert_eq!(phone.eval("updates").await, json!(0), "within the hour");
    phone
        .run(&format!("later = 61 * {minute}; showAgain()"))
        .await;
    let offered = "document.querySelector('.notices').innerText.includes('New version')";
    phone.wait_until("the new version", offered).await;
    phone
        .run(&format!("later = 119 * {minute}; showAgain()"))
        .await;
    assert_eq!(phone.eval("updates").await, json!(1), "once an hour");
}

/// What the browser has deleted of the copy is missed and fetched again; only then is it said that
/// the page opens without a signal.
#[tokio::test]
async fn a_copy_with_a_hole_is_mended() {
    let built = Built::from_dist().marked("one");
    let server = Server::new(built.clone());
    let phone = Phone::new(360, 780).await;
    phone.open(&server.address()).await;
    phone.wait_for_offline_copy().await;
    let late = built.name_of("places");
    let deleted = phone
        .run(&format!(
            "return (await caches.open('tarnlight-one')).delete('{late}')"
        ))
        .await;
    assert_eq!(deleted, json!(true));
    phone.cdp("Network.clearBrowserCache", json!({})).await;
    server.inject_fault(&late, Fault::Missing);
    phone.reload().await;
    phone.show("more").await;
    let said =
        |words: &str| format!("document.querySelector('#offline').innerText.includes('{words}')");
    phone
        .wait_until("the hole", &said(&format!("in place of {late}")))
        .await;
    server.clear_faults();
    phone.run("dispatchEvent(new Event('online'))").await;
    phone
        .wait_until("the whole copy", &said("Opens without a signal"))
        .await;
    let there = format!("await caches.match('{late}')");
    assert!(phone.holds(&there).await);
}

/// Counts how often the browser is asked, in place of its answer, which is GRANT.
const COUNT_ASKING: &str = "window.asked = 0;
    StorageManager.prototype.persisted = async () => false;
    StorageManager.prototype.persist = async () => { window.asked += 1; return GRANT; };";

/// The browser is asked to keep things when the first is saved, and not before. Where it does not,
/// Display says so, and why the home screen helps; on the home screen nothing is said.
#[tokio::test]
async fn the_browser_is_asked_to_keep_things_when_the_first_is_saved() {
    let weekly = "Object.defineProperty(Navigator.prototype, 'standalone', {value: false});";
    let installed = "const plain = window.matchMedia;
         window.matchMedia = query => query.includes('standalone')
             ? {matches: true} : plain.call(window, query);";
    for (name, grants, more, before, after) in [
        (
            "not granted",
            "false",
            "",
            "When storage runs short",
            "When storage runs short",
        ),
        ("granted", "true", "", "When storage runs short", ""),
        ("weekly", "false", weekly, "seven days", "seven days"),
        ("installed", "false", installed, "", ""),
    ] {
        println!("{name}");
        let server = Server::from_dist();
        let phone = Phone::new(360, 780).await;
        phone
            .add_init_script(&COUNT_ASKING.replace("GRANT", grants))
            .await;
        phone.add_init_script(more).await;
        phone.open(&server.address()).await;
        phone.tap(LONGER).await;
        assert_eq!(phone.eval("asked").await, json!(0), "{name}: not at load");
        wait_for_keeping(&phone, name, before).await;
        phone.open_sheet("#open-kit").await;
        for kit in ["mine", "another"] {
            phone.fill("#kit-name", kit).await;
            phone.tap_text("Save this kit").await;
            let saved = format!("document.querySelector('.kits')?.textContent.includes('{kit}')");
            phone.wait_until(kit, &saved).await;
        }
        phone.close_sheet().await;
        let times = if name == "installed" { 0 } else { 1 };
        assert_eq!(phone.eval("asked").await, json!(times), "{name}: once");
        wait_for_keeping(&phone, name, after).await;
        assert_eq!(phone.errors().await, json!([]), "{name}");
    }
}

/// A high pass in the Alps in June.
const ALPS: &str =
    "v=1&lat=46.52&lon=9.91&high=2240&zone=Europe/Zurich&place=Pass&night=2027-06-04";

/// A phone that counts how often it is asked.
async fn counting_phone() -> Phone {
    let phone = Phone::new(360, 780).await;
    phone
        .add_init_script(&COUNT_ASKING.replace("GRANT", "true"))
        .await;
    phone
}

/// Waits until the browser was asked, saves a kit besides, and asserts that it was asked once.
async fn assert_asked_once(phone: &Phone, what: &str) {
    phone.wait_until(what, "asked").await;
    phone.open_sheet("#open-kit").await;
    phone.tap_text("Save this kit").await;
    let saved = "document.querySelector('.kits')";
    phone.wait_until("the saved kit", saved).await;
    assert_eq!(phone.eval("asked").await, json!(1), "{what}");
    assert_eq!(phone.errors().await, json!([]), "{what}");
}

/// An outing that a link brings is kept at once; who opened the link reads it first.
#[tokio::test]
async fn the_browser_is_asked_at_the_first_tap_to_keep_an_outing_that_a_link_brought() {
    let server = Server::from_dist();
    let phone = counting_phone().await;
    phone.open(&server.address_with(ALPS)).await;
    phone.wait_for_sheet().await;
    assert_eq!(phone.eval("asked").await, json!(0), "before the first tap");
    phone.close_sheets().await;
    assert_asked_once(&phone, "a link's outing").await;
}

/// A place makes an outing of what was tried; an outing that is pasted stands beside the one before.
#[tokio::test]
async fn the_browser_is_asked_to_keep_an_outing_with_a_place_and_one_that_came() {
    let server = Server::from_dist();
    for (sheet, field, text) in [
        ("#open-site", "#place", "46.52, 9.91"),
        ("#open-share", "#pasted", "https://example.org/#v=1&mm=85"),
    ] {
        let phone = counting_phone().await;
        phone.open(&server.address()).await;
        phone.tap(LONGER).await;
        phone.open_sheet(sheet).await;
        assert_eq!(phone.eval("asked").await, json!(0), "{field}: not before");
        if field == "#place" {
            phone.tap_text("Coordinates and elevation").await;
            phone.fill(field, text).await;
        } else {
            phone.paste(field, text).await;
        }
        phone.wait_until(field, "asked").await;
        phone.close_sheets().await;
        assert_asked_once(&phone, field).await;
    }
}

/// Waits until Display says so about how long things are kept, or nothing.
async fn wait_for_keeping(phone: &Phone, name: &str, words: &str) {
    phone.open_sheet("#open-display").await;
    let said = format!(
        "{{const said = document.querySelector('#keeping')?.innerText ?? '';
         return '{words}' ? said.includes('{words}') : said === ''}}"
    );
    let said = format!("(() => {said})()");
    phone.wait_until(&format!("{name}: {words:?}"), &said).await;
    phone.close_sheet().await;
    phone.show("exposure").await;
}
