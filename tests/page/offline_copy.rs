//! The offline copy is looked after: new versions are looked for, holes are mended, and the browser
//! is asked to keep what is saved.

use serde_json::json;

use super::built::Built;
use super::phone::Phone;
use super::server::{Fault, Server};

const LONGER: &str = "[aria-label='focal length: more']";

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

/// The browser is asked to keep things when the first is saved, and not before. Where it does not,
/// Display says so, and why the home screen helps; on the home screen nothing is said.
#[tokio::test]
async fn the_browser_is_asked_to_keep_things_when_the_first_is_saved() {
    let asked = "window.asked = 0;
         StorageManager.prototype.persisted = async () => false;
         StorageManager.prototype.persist = async () => { window.asked += 1; return GRANT; };";
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
        phone.add_init_script(&asked.replace("GRANT", grants)).await;
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
