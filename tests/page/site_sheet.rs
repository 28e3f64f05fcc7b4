//! The site: towns, the phone's place, pasted places, clocks, saved sites.

use serde_json::json;

use super::phone::Phone;
use super::server::Server;

/// The site in use, or that there is none.
const IN_USE: &str = "dialog .unset, dialog .in-use";

async fn open_sheet(server: &Server) -> Phone {
    let phone = Phone::new(360, 780).await;
    phone.open(&server.address()).await;
    open(&phone).await;
    phone
}

async fn open(phone: &Phone) {
    phone.open_sheet("#open-site").await;
    phone
        .wait_until(
            "the towns",
            "document.querySelector('.sheet-body').textContent.includes('GeoNames')",
        )
        .await;
}

#[tokio::test]
async fn the_phone_tells_where_it_is_when_allowed() {
    let server = Server::from_dist();
    let phone = open_sheet(&server).await;
    let allow = |setting| phone.set_permission("geolocation", setting, server.origin());
    allow("denied").await;
    phone.tap("#locate").await;
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
    phone.tap("#locate").await;
    phone
        .wait_until(
            "a sentence",
            "document.querySelector('.sheet-body').innerText.includes('cannot tell where it is')",
        )
        .await;

    let there = json!({"latitude": 46.52, "longitude": 9.91, "accuracy": 5});
    phone.cdp("Emulation.setGeolocationOverride", there).await;
    phone.tap("#locate").await;
    phone
        .wait_until(
            "the place",
            "document.querySelector('dialog .in-use').innerText.startsWith('46.52° N 9.91° E')",
        )
        .await;
    // the clock is offered, not taken
    let clock = phone.text("dialog .in-use.after").await;
    assert!(clock.starts_with("Clock of the site: UTC"), "{clock}");
    phone.tap_text("Take the clock of").await;
    phone
        .wait_until(
            "the clock",
            "document.querySelector('#zone').value.startsWith('Europe/')",
        )
        .await;
    phone.close_sheet().await;
    phone.undo().await;
    open(&phone).await;
    let clock = phone.text("dialog .in-use.after").await;
    assert!(
        clock.starts_with("Clock of the site: UTC"),
        "taken back: {clock}"
    );
    assert_eq!(phone.errors().await, json!([]));
}

/// Until a site is set the strip says so and offers the phone's own place, on every screen.
#[tokio::test]
async fn the_strip_offers_the_phones_place_until_there_is_one() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    phone.open(&server.address()).await;
    phone
        .set_permission("geolocation", "granted", server.origin())
        .await;
    let there = json!({"latitude": -31.9, "longitude": -69.3, "accuracy": 5});
    phone.cdp("Emulation.setGeolocationOverride", there).await;
    for screen in ["exposure", "night", "framing", "tracking", "more"] {
        phone.show(screen).await;
        let told = phone.text(".strip .where .name").await;
        assert_eq!(told, "No site yet: figures for 36° N", "{screen}");
        assert_eq!(phone.text("#use-location").await, "Use my location");
    }
    phone.tap("#use-location").await;
    let found =
        "document.querySelector('dialog .in-use')?.innerText.startsWith('31.90° S 69.30° W')";
    phone.wait_until("the place", found).await;
    phone.close_sheet().await;
    assert_eq!(phone.text(".strip .where .name").await, "31.90° S 69.30° W");
    let offered = "!!document.querySelector('#use-location')";
    assert_eq!(phone.eval(offered).await, json!(false));
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
            "document.querySelector('dialog .in-use')?.innerText.includes('Zürich')",
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
            "document.querySelector('.sheet-body').innerText.includes('Not in the list')",
        )
        .await;
}

#[tokio::test]
async fn places_and_zones_are_typed_and_refused_in_words() {
    let server = Server::from_dist();
    let phone = open_sheet(&server).await;
    phone.tap_text("Coordinates and elevation").await;
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
                &format!("document.querySelector('dialog .in-use').innerText.endsWith({want})"),
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
            "document.querySelector('dialog .in-use.after').innerText.includes('Clock of the site: Europe/Vienna')",
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
    phone.close_sheet().await;
    let kept =
        "Object.keys(localStorage).filter(key => key.startsWith('tarnlight.site.')).length === 2";
    phone.wait_until("both in the storage", kept).await;
    phone.reload().await;
    open(&phone).await;
    phone.tap_text("Pass").await;
    phone
        .wait_until(
            "it in use",
            "document.querySelector('dialog .in-use').innerText.startsWith('Pass')",
        )
        .await;
    phone.tap("[aria-label='remove Desert']").await;
    phone
        .wait_until("one", "document.querySelectorAll('.kits li').length === 1")
        .await;
    phone.close_sheet().await;
    phone.undo().await;
    open(&phone).await;
    phone
        .wait_until(
            "two again",
            "document.querySelectorAll('.kits li').length === 2",
        )
        .await;
    assert_eq!(phone.errors().await, json!([]));
}

/// What cannot be read is given up by a key or by emptying the field; Done closes the sheet then.
#[tokio::test]
async fn a_refused_place_is_given_up() {
    let server = Server::from_dist();
    let phone = open_sheet(&server).await;
    let refused = "document.querySelector('#place')?.getAttribute('aria-invalid') === 'true'";
    phone.fill("#place", "abc").await;
    phone.wait_until("a refusal", refused).await;
    phone.fill("#place", "").await;
    phone.wait_until("none", &format!("!({refused})")).await;
    phone.fill("#place", "abc").await;
    phone.wait_until("a refusal", refused).await;
    phone.tap_text("Clear").await;
    phone.wait_until("none", &format!("!({refused})")).await;
    phone.close_sheets().await;
    assert_eq!(phone.errors().await, json!([]));
}
