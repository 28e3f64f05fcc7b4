//! What is stored survives a reload; damaged storage and hostile addresses do no harm.

use serde_json::json;

use super::LONGER;
use super::phone::Phone;
use super::server::Server;

#[tokio::test]
async fn a_reload_right_after_a_change_keeps_it() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    phone.open(&server.address()).await;
    phone.tap(LONGER).await;
    phone.tap(LONGER).await;
    let lens = phone.focal_length().await;
    assert_ne!(lens, "20 mm");
    phone.reload().await;
    assert_eq!(phone.focal_length().await, lens);
    // and without the address, as from the home screen
    phone.open_blank().await;
    phone.open(&server.address()).await;
    assert_eq!(phone.focal_length().await, lens);
}

/// A phone that drops the page between two frames of a panorama comes back to the frame; after the sheet
/// is closed, to the screen.
#[tokio::test]
async fn a_reload_in_the_field_comes_back_to_the_frame() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    phone
        .open_link(&server.address_with("v=1&lat=46.52&lon=9.91&night=2027-06-04"))
        .await;
    phone.show("framing").await;
    phone.open_sheet("#open-panorama").await;
    phone.tap("[aria-label='overlap: more']").await;
    phone.tap("#panorama-start").await;
    phone.tap("#panorama-next").await;
    let second = "document.querySelector('.field-frame')?.innerText.includes('frame 2 of')";
    phone.wait_until("the second frame", second).await;
    phone.reload().await;
    phone.wait_until("the second frame again", second).await;
    phone.tap("#panorama-back").await;
    phone.tap("#panorama-back").await;
    let overlap = "[aria-label='overlap'] .step-word";
    phone
        .wait_until("the plan", &format!("locate(`{overlap}`)"))
        .await;
    assert_eq!(phone.text(overlap).await, "35 %");
    phone.tap("#panorama-start").await;
    phone.close_sheet().await;
    phone.reload().await;
    assert_eq!(
        phone.eval("document.querySelector('dialog')").await,
        json!(null)
    );
    assert_eq!(phone.errors().await, json!([]));
}

#[tokio::test]
async fn undo_takes_back_and_brings_back() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    phone.open(&server.address()).await;
    phone.show("more").await;
    let disabled = "[...document.querySelectorAll('.step-back')].map(key => key.disabled)";
    assert_eq!(
        phone.eval(disabled).await,
        json!([true, true]),
        "nothing to undo yet"
    );
    phone.show("exposure").await;
    assert_eq!(
        phone.eval("document.querySelector('#undo-last')").await,
        json!(null)
    );
    phone.tap(LONGER).await;
    assert_eq!(phone.focal_length().await, "21 mm");
    phone.tap("#undo-last").await;
    assert_eq!(phone.focal_length().await, "20 mm");
    phone.redo().await;
    assert_eq!(phone.eval(disabled).await, json!([false, true]));
    phone.show("exposure").await;
    assert_eq!(phone.focal_length().await, "21 mm");
    phone.undo().await;
    assert_eq!(phone.eval(disabled).await, json!([true, false]));
    phone.show("exposure").await;
    assert_eq!(phone.focal_length().await, "20 mm");
}

#[tokio::test]
async fn kits_are_saved_taken_and_removed() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    phone.open(&server.address()).await;
    phone.open_sheet("#open-kit").await;
    phone.fill("#kit-name", "Night & ridge").await;
    phone.tap_text("Save this kit").await;
    phone
        .wait_until("the saved kit", "document.querySelector('.kits')")
        .await;
    phone.fill("#focal", "85").await;
    phone.close_sheet().await;
    phone.reload().await;
    phone.show("exposure").await;
    assert_eq!(phone.focal_length().await, "85 mm");
    phone.open_sheet("#open-kit").await;
    phone.tap_text("Saved kits").await;
    assert!(phone.text(".kits").await.contains("Night & ridge"));
    phone.tap(".kits .option").await;
    phone
        .wait_until(
            "20 mm",
            "document.querySelector('dialog .in-use').innerText.startsWith('20')",
        )
        .await;
    // a chip does the same
    phone.fill("#focal", "85").await;
    phone.tap("[aria-label='your lenses'] .option").await;
    phone
        .wait_until(
            "20 mm",
            "document.querySelector('dialog .in-use').innerText.startsWith('20')",
        )
        .await;
    phone.tap("[aria-label^='remove ']").await;
    phone
        .wait_until("no kit", "!document.querySelector('.kits')")
        .await;
    phone.close_sheet().await;
    phone.undo().await;
    phone.open_sheet("#open-kit").await;
    phone
        .wait_until("the kit again", "document.querySelector('.kits')")
        .await;
}

#[tokio::test]
async fn hostile_addresses_get_a_sentence_and_an_answer() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    let junk = "a".repeat(70_000);
    let hostile = [
        (
            "v=1&mm=-4&lat=999&x=<script>alert(1)</script>",
            "focal length must be",
        ),
        ("garbage", "does not say which form"),
        ("v=99&mm=35", "newer Tarnlight"),
        ("%00%ff%F0%9F", "does not say which form"),
        ("v=1&px=0x0&sensor=x&sharp=&keep=dec", "must be"),
        (junk.as_str(), "too long"),
    ];
    for (hash, sentence) in hostile {
        phone.open_blank().await;
        phone.open(&server.address_with(hash)).await;
        let said = phone.text(".notices").await;
        assert!(said.contains(sentence), "{hash:.60}: {said}");
        assert!(
            phone.text("#answer .figure").await.ends_with('s'),
            "{hash:.60}"
        );
        assert_eq!(phone.errors().await, json!([]), "{hash:.60}");
    }
    phone.close_sheets().await;
    phone.tap_text("Dismiss").await;
}

#[tokio::test]
async fn a_good_address_is_taken_also_while_the_page_is_open() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    phone
        .open_link(&server.address_with("v=1&lat=-34&mm=14&f=2.8&held=upright"))
        .await;
    assert_eq!(phone.focal_length().await, "14 mm");
    let settings = phone.text(".settings").await;
    assert!(settings.contains("f/2.8"), "{settings}");
    assert_eq!(phone.text(".strip .where .name").await, "34.00° S 0.00° E");
    phone.show("framing").await;
    let aim = phone.text(".aim").await;
    assert!(aim.contains("up, portrait"), "{aim}");
    phone.show("exposure").await;
    phone.run("location.hash = 'v=1&mm=50'").await;
    phone
        .wait_until(
            "50 mm",
            "document.querySelector('.deck').innerText.includes('50')",
        )
        .await;
    // it is read first as a whole
    phone
        .wait_until("the card", "document.querySelector('.field-card')")
        .await;
    assert!(phone.text(".field-card").await.contains("50 mm · f/"));
    phone.run("location.hash = 'v=1&mm=much'").await;
    phone
        .wait_until(
            "a sentence",
            "document.querySelector('.notices').innerText.includes('must be a number')",
        )
        .await;
    phone
        .wait_until("an address without it", "location.hash === ''")
        .await;
    phone
        .wait_until(
            "the last good one stored",
            "storedOuting().includes('mm=50')",
        )
        .await;
}

#[tokio::test]
async fn rubbish_in_the_storage_gives_the_usual_values() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    phone
        .add_init_script(
            "for (const key of ['outing', 'kits', 'sites', 'ticks', 'look'])
                 localStorage.setItem('tarnlight.' + key, '\\u0000{[rubbish&=%' + key);",
        )
        .await;
    phone.open(&server.address()).await;
    assert_eq!(phone.text("#answer .figure").await, "8s");
    let said = phone.text(".notices").await;
    assert!(said.contains("could not be read"), "{said}");
    for key in ["outing", "kits", "sites"] {
        let aside = format!("localStorage.getItem('tarnlight.{key}.aside').endsWith('%{key}')");
        assert_eq!(phone.eval(&aside).await, json!(true), "{key} can be got at");
    }
    assert_eq!(phone.errors().await, json!([]));
}

#[tokio::test]
async fn a_full_or_blocked_storage_gives_a_sentence() {
    let full = "Storage.prototype.setItem = () => { throw new DOMException('full', 'QuotaExceededError'); };";
    let blocked = "Object.defineProperty(window, 'localStorage', {get() { throw new DOMException('no', 'SecurityError'); }});";
    for trouble in [full, blocked] {
        let server = Server::from_dist();
        let phone = Phone::new(360, 780).await;
        phone.add_init_script(trouble).await;
        phone.open(&server.address()).await;
        phone
            .wait_until(
                "a sentence",
                "document.querySelector('.notices').innerText.includes('keeps nothing')",
            )
            .await;
        phone.tap(LONGER).await;
        phone
            .wait_until(
                "21 mm",
                "document.querySelector('.deck').innerText.includes('21')",
            )
            .await;
        assert_eq!(phone.errors().await, json!([]));
    }
}
