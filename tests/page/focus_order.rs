//! The order of the focus: it meets every control, none is hidden, and it returns from each sheet.

use serde_json::json;

use super::key::Key;
use super::phone::Phone;
use super::server::Server;

/// Controls that can have the focus, in the order of the document.
const REACHABLE: &str = "[...(document.querySelector('dialog[open]') || document)
    .querySelectorAll('a[href], button:not(:disabled), input, select, textarea, summary, [tabindex=\"0\"]')]
    .filter(one => one.checkVisibility())";

/// The focused control: its number in that list, whether it is visible and has an outline.
const HERE: &str = "(() => {
    const here = document.activeElement;
    const {x, y, width, height, top, bottom} = here.getBoundingClientRect();
    // a large picture may stand partly under the deck that is drawn up
    const parts = here.matches('svg') ? [0.5, 0.125] : [0.5];
    const met = parts.map(part => document.elementFromPoint(x + width / 2, y + height * part));
    const shown = here.matches('#photo') ? here.closest('.photo').querySelector('label') : here;
    return {
        number: REACHABLE.indexOf(here),
        name: here.getAttribute('aria-label') || here.innerText || here.id,
        seen: met.some(seen => here === seen || here.contains(seen) || (seen?.contains(here) ?? false)),
        whole: top >= -0.5 && bottom <= innerHeight + 0.5,
        marked: getComputedStyle(shown).outlineStyle !== 'none',
    };
})()";

/// Tabs once through all controls; lists those that are missed, hidden or have no outline.
async fn faults_of_a_round(phone: &Phone) -> Vec<String> {
    let count = phone.eval(&format!("{REACHABLE}.length")).await;
    let count = count.as_u64().expect("a number of buttons");
    assert!(count > 0, "something can be reached");
    phone
        .run(&format!(
            "{REACHABLE}.at(0).focus();
             document.activeElement.scrollIntoView({{block: 'center'}})"
        ))
        .await;
    let mut faults = Vec::new();
    for number in 0..count {
        if number > 0 {
            phone.key(Key::Tab).await;
        }
        let here = phone.eval(&HERE.replace("REACHABLE", REACHABLE)).await;
        let want = json!({"number": number, "seen": true, "whole": true, "marked": true});
        for (key, want) in want.as_object().expect("a list of wishes") {
            // the first one was focused by script, which shows no outline
            let by_key = number > 0 || key != "marked";
            if by_key && here[key] != *want {
                faults.push(format!("stop {number}: {key}, want {want}, got {here}"));
            }
        }
        if here["number"] != number {
            break;
        }
    }
    faults
}

#[tokio::test]
async fn the_focus_meets_every_button_in_order_and_in_sight() {
    let server = Server::from_dist();
    for (width, height) in [(360, 780), (780, 360), (820, 1180), (1366, 768)] {
        let phone = Phone::new(width, height).await;
        phone
            .open_link(&server.address_with("v=1&focus=10m&mm=1&x=1"))
            .await;
        phone
            .wait_until("a sentence", "document.querySelector('.notice')")
            .await;
        for screen in ["exposure", "night", "framing", "tracking", "more"] {
            phone.show(screen).await;
            // on a phone's side the drawer lies over the picture, with a key of its own to put it back
            if height > width {
                phone.draw_up().await;
            }
            let faults = faults_of_a_round(&phone).await;
            assert!(
                faults.is_empty(),
                "{screen} at {width} px: {}",
                faults.join("\n")
            );
        }
    }
}

#[tokio::test]
async fn each_sheet_is_gone_through_and_left_by_key() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    phone
        .open_link(&server.address_with("v=1&keep=dec-20&sharp=print90x150"))
        .await;
    for (screen, door) in [
        ("exposure", "[aria-label='focal length'] .step-value"),
        ("exposure", "[aria-label='f-number'] .step-value"),
        ("exposure", "[aria-label='trail allowed'] .step-value"),
        ("exposure", "[aria-label='ISO'] .step-value"),
        ("night", "[aria-label='night'] .step-value"),
        ("night", "#open-season"),
        ("framing", "#open-lenses"),
        ("framing", "#open-panorama"),
        ("framing", "#open-skyline"),
        ("framing", "#open-ground"),
        ("tracking", "#tracker-sheet"),
        ("more", "#open-kit"),
        ("more", "#open-site"),
        ("more", "#open-frame"),
        ("more", "#open-card"),
        ("more", "#open-share"),
        ("more", "#open-display"),
    ] {
        phone.show(screen).await;
        phone.draw_up().await;
        let opener = json!(door);
        phone.run(&format!("locate({opener}).focus()")).await;
        phone.key(Key::Enter).await;
        phone.wait_for_sheet().await;
        let inside = "document.querySelector('dialog').contains(document.activeElement)";
        let inside = phone.eval(inside).await;
        assert_eq!(
            inside,
            json!(true),
            "{door}: the focus moves into the sheet"
        );
        let faults = faults_of_a_round(&phone).await;
        assert!(faults.is_empty(), "{door}: {}", faults.join("\n"));
        phone.key(Key::Escape).await;
        phone.wait_for_no_sheet().await;
        let back = format!("document.activeElement === locate({opener})");
        let back = phone.eval(&back).await;
        assert_eq!(back, json!(true), "{door}: the focus returns");
    }
    assert_eq!(phone.errors().await, json!([]));
}
