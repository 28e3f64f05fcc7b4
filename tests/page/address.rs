//! Neither the address nor the browser's history holds anything of a place.

use serde_json::json;

use super::phone::Phone;
use super::server::Server;

const LINK: &str = "v=1&lat=46.5217&lon=9.9134&place=Own+hut&mm=24";

/// Notes every address that the page gives the browser.
const NOTE_ADDRESSES: &str = "
    window.addresses = [];
    for (const name of ['pushState', 'replaceState']) {
        const original = history[name];
        history[name] = function (state, title, url) {
            original.call(this, state, title, url);
            addresses.push(location.href + ' ' + JSON.stringify(history.state));
        };
    }
";

#[tokio::test]
async fn a_link_is_taken_out_of_the_address() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    phone.add_init_script(NOTE_ADDRESSES).await;
    phone.open_link(&server.address_with(LINK)).await;
    assert_eq!(phone.eval("location.href").await, json!(server.address()));
    phone
        .wait_until("it stored", "storedOuting().includes('lat=46.5217')")
        .await;
    // work as usual: values, screens, sheets
    phone.tap("[aria-label='focal length: more']").await;
    phone.tap("#show-night").await;
    phone.open_sheet("#open-site").await;
    phone.tap_text("Coordinates and elevation").await;
    phone.fill("#latitude", "47.25").await;
    phone.close_sheet().await;
    phone
        .wait_until("it stored", "storedOuting().includes('lat=47.25')")
        .await;
    assert_eq!(phone.eval("location.href").await, json!(server.address()));
    let addresses = phone.eval("addresses.join(' ')").await;
    let addresses = addresses.as_str().expect("addresses");
    assert!(addresses.contains(&server.address()), "something was noted");
    for part in ["46.5", "9.91", "47.25", "hut", "lat"] {
        assert!(!addresses.contains(part), "{part} in {addresses}");
    }
    assert_eq!(phone.errors().await, json!([]));
}

#[tokio::test]
async fn a_link_opened_in_the_page_is_taken_out_too_and_back_does_not_return_to_it() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    phone.open(&server.address()).await;
    phone.run(&format!("location.hash = {}", json!(LINK))).await;
    phone
        .wait_until("it stored", "storedOuting().includes('mm=24')")
        .await;
    phone
        .wait_until("a plain address", "location.hash === ''")
        .await;
    phone.close_sheets().await;
    phone.tap("[aria-label='focal length: more']").await;
    phone
        .wait_until("28 mm", "storedOuting().includes('mm=28')")
        .await;
    phone.show("night").await;
    phone.run("history.back()").await;
    phone
        .wait_until(
            "How long?",
            "document.querySelector('.page.exposure #answer')",
        )
        .await;
    assert!(phone.holds("storedOuting().includes('mm=28')").await);
    assert_eq!(phone.eval("location.hash").await, json!(""));
    assert_eq!(phone.errors().await, json!([]));
}

#[tokio::test]
async fn sharing_makes_the_link() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    phone.open_link(&server.address_with(LINK)).await;
    phone.open_sheet("#open-share").await;
    phone
        .wait_until("the link", "document.querySelector('#link')?.value")
        .await;
    let link = phone.eval("document.querySelector('#link').value").await;
    let link = link.as_str().expect("a link");
    assert!(
        link.starts_with(&(server.address() + "#v=1&lat=46.5217")),
        "{link}"
    );
    let other = Phone::new(360, 780).await;
    other.open(link).await;
    other
        .wait_until("it", "storedOuting().includes('place=Own+hut')")
        .await;
}
