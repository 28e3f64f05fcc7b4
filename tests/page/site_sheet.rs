//! The site: towns, the phone's place, pasted places, clocks, saved sites.

use serde_json::json;

use super::phone::Phone;
use super::server::Server;

const IN_USE: &str = ".in-use";

async fn open_sheet(server: &Server) -> Phone {
    let phone = Phone::new(360, 780).await;
    phone.open(&server.address()).await;
    open(&phone).await;
    phone
}

async fn open(phone: &Phone) {
    phone.tap_text("Site").await;
    phone.wait_for_sheet().await;
    phone
        .wait_until(
            "the towns",
            "document.querySelector('.sheet-body').innerText.includes('GeoNames')",
        )
        .await;
}

#[tokio::test]
async fn the_phone_tells_where_it_is_when_allowed() {
    let server = Server::from_dist();
    let phone = open_sheet(&server).await;
    let allow = |setting| phone.set_permission("geolocation", setting, server.origin());
    allow("denied").await;
    phone.tap_text("Where this phone is").await;
    phone
        .wait_until(
            "a sentence",
            "document.querySelector('.sheet-body').innerText.includes('not allowed')",
        )
        .await;
    assert_eq!(
        phone.text(IN_USE).await,
        "No site yet: figures for 36° N",
        "nothing is lost"
    );

    allow("granted").await;
    let nowhere = json!({});
    phone.cdp("Emulation.setGeolocationOverride", nowhere).await;
    phone.tap_text("Where this phone is").await;
    phone
        .wait_until(
            "a sentence",
            "document.querySelector('.sheet-body').innerText.includes('cannot tell where it is')",
        )
        .await;

    let there = json!({"latitude": 46.52, "longitude": 9.91, "accuracy": 5});
    phone.cdp("Emulation.setGeolocationOverride", there).await;
    phone.tap_text("Where this phone is").await;
    phone
        .wait_until(
            "the place",
            "document.querySelector('.in-use').innerText.startsWith('46.52° N 9.91° E')",
        )
        .await;
    // the clock is offered, not taken
    assert!(phone.text(".sheet-body").await.contains("Clock: UTC+0"));
    phone.tap_text("Take the clock of").await;
    phone
        .wait_until(
            "the clock",
            "document.querySelector('#zone').value.startsWith('Europe/')",
        )
        .await;
    phone.tap_text("Done").await;
    phone.tap_text("Undo").await;
    assert_eq!(phone.errors().await, json!([]));
}

#[tokio::test]
async fn a_town_is_found_without_a_network() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    phone.open(&server.address()).await;
    phone.wait_for_offline_copy().await;
    phone.set_online(false).await;
    phone.reload().await;
    open(&phone).await;
    phone.fill("#town", "zurich").await;
    phone.wait_until("it", "locate('text=Zürich')").await;
    phone.tap_text("Zürich").await;
    phone
        .wait_until(
            "it in use",
            "document.querySelector('.in-use').innerText.includes('Zürich')",
        )
        .await;
    assert!(
        phone.text(IN_USE).await.contains("47.3"),
        "{}",
        phone.text(IN_USE).await
    );
    assert_eq!(
        phone.eval("document.querySelector('#zone').value").await,
        json!("Europe/Zurich")
    );
    phone.fill("#town", "no such town").await;
    phone
        .wait_until(
            "a sentence",
            "document.querySelector('.sheet-body').innerText.includes('No town of that name')",
        )
        .await;
}

#[tokio::test]
async fn places_and_zones_are_typed_and_refused_in_words() {
    let server = Server::from_dist();
    let phone = open_sheet(&server).await;
    for (text, want) in [
        ("46.52, 9.91", "46.52° N 9.91° E"),
        ("31°54′00″ S 69°18′00″ W", "31.90° S 69.30° W"),
        ("geo:48.2010,16.3695,183", "48.20° N 16.37° E"),
    ] {
        phone.fill("#place", text).await;
        let want = json!(want);
        phone
            .wait_until(
                "it",
                &format!("document.querySelector('.in-use').innerText.endsWith({want})"),
            )
            .await;
    }
    assert_eq!(
        phone.eval("document.querySelector('#height').value").await,
        json!("183")
    );
    let told = "[...document.querySelectorAll('.told')].map(one => one.innerText).join('')";
    for (field, text) in [
        ("#place", "somewhere"),
        ("#longitude", "200"),
        ("#height", "20000"),
        ("#zone", "Mars/Olympus"),
        ("#zone", "+99"),
        ("#latitude", "abc"),
    ] {
        phone.fill(field, text).await;
        phone
            .wait_until("a sentence", &format!("{told}.length > 5"))
            .await;
        assert!(
            phone.text(IN_USE).await.contains("48.20° N 16.37° E"),
            "{field} {text}"
        );
    }
    phone.fill("#zone", "Europe/Vienna").await;
    phone
        .wait_until(
            "the clock",
            "document.querySelector('.sheet-body').innerText.includes('Clock: Europe/Vienna')",
        )
        .await;
    assert_eq!(phone.errors().await, json!([]));
}

#[tokio::test]
async fn sites_are_saved_taken_and_removed() {
    let server = Server::from_dist();
    let phone = open_sheet(&server).await;
    phone.fill("#place", "46.52, 9.91").await;
    phone.fill("#site-name", "Pass").await;
    phone.tap_text("Save this site").await;
    phone.fill("#place", "-31.9, -69.3").await;
    phone.fill("#site-name", "Desert").await;
    phone.tap_text("Save this site").await;
    phone
        .wait_until("two", "document.querySelectorAll('.kits li').length === 2")
        .await;
    phone.tap_text("Done").await;
    let kept =
        "Object.keys(localStorage).filter(key => key.startsWith('tarnlight.site.')).length === 2";
    phone.wait_until("both in the storage", kept).await;
    phone.reload().await;
    open(&phone).await;
    phone.tap_text("Pass").await;
    phone
        .wait_until(
            "it in use",
            "document.querySelector('.in-use').innerText.startsWith('Pass')",
        )
        .await;
    phone.tap("[aria-label='remove Desert']").await;
    phone
        .wait_until("one", "document.querySelectorAll('.kits li').length === 1")
        .await;
    phone.tap_text("Done").await;
    phone.tap_text("Undo").await;
    open(&phone).await;
    phone
        .wait_until(
            "two again",
            "document.querySelectorAll('.kits li').length === 2",
        )
        .await;
    assert_eq!(phone.errors().await, json!([]));
}
