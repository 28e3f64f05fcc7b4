//! Keyboard, screen reader, larger text, a phone on its side.

use serde_json::{Value, json};

use super::SCREENS;
use super::key::Key;
use super::phone::Phone;
use super::server::Server;
use super::themes::{THEMES, store};

/// The page's sheets, by the text of the button that opens each.
const SHEETS: [&str; 4] = ["Kit", "Site", "Display", "sharp:"];

/// The sheets that the card opens.
const FROM_CARD: [&str; 2] = ["Lists", "Frames and ISO"];

/// axe-core's script, which checks a page against WCAG.
fn axe() -> String {
    let path = std::env::var("TARNLIGHT_AXE").expect("TARNLIGHT_AXE names it: make test-browser");
    std::fs::read_to_string(&path).unwrap_or_else(|why| panic!("{path}: {why}"))
}

async fn violations(phone: &Phone) -> Value {
    phone
        .run(
            "return axe.run({resultTypes: ['violations']}).then(result => result.violations.map(one =>
                 one.id + ': ' + one.nodes.map(node => node.target + ' ' + node.failureSummary).join(' | ')))",
        )
        .await
}

#[tokio::test]
async fn axe_finds_nothing_in_any_look() {
    let (server, axe) = (Server::from_dist(), axe());
    for (width, height) in SCREENS {
        let phone = Phone::new(width, height).await;
        for theme in THEMES {
            phone.open(&server.address()).await;
            phone.run(&store(theme)).await;
            phone.reload().await;
            phone.run(&axe).await;
            assert_eq!(violations(&phone).await, json!([]), "{theme} at {width} px");
            phone.tap_text("500 rule").await;
            phone.tap_text("hyperfocal").await;
            assert_eq!(violations(&phone).await, json!([]), "{theme}, unfolded");
            for sheet in SHEETS {
                phone.tap_text(sheet).await;
                phone.wait_for_sheet().await;
                if sheet == "Kit" {
                    phone.tap_text("Exact size").await;
                    phone.fill("#across", "-1").await;
                }
                phone
                    .wait_until("rest", "document.getAnimations().length === 0")
                    .await;
                assert_eq!(violations(&phone).await, json!([]), "{theme}, {sheet}");
                phone.tap_text("Done").await;
            }
            phone.tap_text("Card").await;
            phone
                .wait_until("the card", "document.querySelector('.field-card')")
                .await;
            phone
                .wait_until("rest", "document.getAnimations().length === 0")
                .await;
            assert_eq!(violations(&phone).await, json!([]), "{theme}, Card");
            for sheet in FROM_CARD {
                phone.tap_text(sheet).await;
                phone
                    .wait_until("the sheet", "!document.querySelector('.field-card')")
                    .await;
                if sheet == "Lists" {
                    phone.tap(".ticks button").await;
                    phone.fill("#humidity", "much").await;
                } else {
                    phone.tap_text("The sensor").await;
                }
                phone
                    .wait_until("rest", "document.getAnimations().length === 0")
                    .await;
                assert_eq!(violations(&phone).await, json!([]), "{theme}, {sheet}");
                phone.tap_text("Done").await;
                phone
                    .wait_until("the card", "document.querySelector('.field-card')")
                    .await;
            }
            phone.tap_text("Done").await;
            phone.tap_text("When?").await;
            assert_eq!(violations(&phone).await, json!([]), "{theme}, When?");
            for opens in ["[aria-label^='night: '].step-value", "text=Season"] {
                phone.tap(opens).await;
                phone.wait_for_sheet().await;
                phone
                    .wait_until("rest", "document.getAnimations().length === 0")
                    .await;
                assert_eq!(violations(&phone).await, json!([]), "{theme}, {opens}");
                phone.tap_text("Done").await;
            }
            phone.tap_text("Why track?").await;
            phone
                .run("document.querySelectorAll('details').forEach(one => one.open = true)")
                .await;
            assert_eq!(violations(&phone).await, json!([]), "{theme}, Why track?");
            phone.tap_text("Tracker: ").await;
            phone.wait_for_sheet().await;
            phone.fill("#periodic", "-3").await;
            phone
                .wait_until("rest", "document.getAnimations().length === 0")
                .await;
            assert_eq!(violations(&phone).await, json!([]), "{theme}, tracker");
            phone.tap_text("Done").await;
            phone.tap_text("Card").await;
            phone.tap_text("Pass it on").await;
            phone
                .wait_until("the code", "document.querySelector('.code path')")
                .await;
            phone
                .wait_until("rest", "document.getAnimations().length === 0")
                .await;
            assert_eq!(violations(&phone).await, json!([]), "{theme}, Pass it on");
            phone.tap_text("Done").await;
            phone.tap_text("Done").await;
            phone.tap_text("Where?").await;
            assert_eq!(violations(&phone).await, json!([]), "{theme}, Where?");
            for sheet in ["Skyline", "The arch"] {
                phone.tap_text(sheet).await;
                phone.wait_for_sheet().await;
                if sheet == "Skyline" {
                    phone.tap_text("compass north").await;
                    phone.fill("#sighted", "95").await;
                }
                phone
                    .wait_until("rest", "document.getAnimations().length === 0")
                    .await;
                assert_eq!(violations(&phone).await, json!([]), "{theme}, {sheet}");
                phone.tap_text("Done").await;
            }
        }
    }
}

#[tokio::test]
async fn axe_finds_nothing_in_lamp_and_the_notices_it_leads_to() {
    let (server, axe) = (Server::from_dist(), axe());
    let phone = Phone::new(360, 780).await;
    for theme in THEMES {
        phone.open(&server.address()).await;
        phone.run(&store(theme)).await;
        phone.reload().await;
        phone.run(&axe).await;
        phone.tap_text("Display").await;
        phone.wait_for_sheet().await;
        assert_eq!(violations(&phone).await, json!([]), "{theme}, Display");
    }
    phone.tap("dialog a").await;
    phone
        .wait_until("the notices", "document.title === 'Tarnlight · Notices'")
        .await;
    phone.run(&axe).await;
    assert_eq!(violations(&phone).await, json!([]), "the notices");
}

#[tokio::test]
async fn everything_can_be_done_with_keys() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    phone.open(&server.address()).await;
    let here =
        "document.activeElement.getAttribute('aria-label') || document.activeElement.innerText";
    let mut met = Vec::new();
    for _ in 0..60 {
        phone.key(Key::Tab).await;
        let name = phone.eval(here).await;
        let name = name.as_str().unwrap_or_default().replace('\u{a0}', " ");
        if name == "focal length: more" && !met.contains(&name) {
            phone.key(Key::Enter).await;
            phone
                .wait_until(
                    "21 mm",
                    "document.querySelector('.deck').innerText.includes('21')",
                )
                .await;
            phone.key(Key::Space).await;
            phone
                .wait_until(
                    "24 mm",
                    "document.querySelector('.deck').innerText.includes('24')",
                )
                .await;
        }
        met.push(name);
    }
    for wanted in [
        "shutter to try: more",
        "upright",
        "500 rule",
        "hyperfocal",
        "focal length: less",
        "f-number: more",
        "trail allowed: less",
        "Kit",
        "Site",
        "Card",
        "Display",
        "Undo",
    ] {
        assert!(
            met.iter().any(|name| name.contains(wanted)),
            "no way to {wanted}: {met:?}"
        );
    }
    phone.run("locate('text=Site').focus()").await;
    phone.key(Key::Enter).await;
    phone.wait_for_sheet().await;
    let inside = phone
        .eval("document.querySelector('dialog').contains(document.activeElement)")
        .await;
    assert_eq!(inside, json!(true), "the focus moves into the sheet");
    phone.key(Key::Escape).await;
    phone.wait_for_no_sheet().await;
    assert_eq!(
        phone.eval("document.activeElement.innerText").await,
        json!("Site"),
        "the focus returns"
    );
}

#[tokio::test]
async fn a_phone_on_its_side_and_larger_text_still_answer() {
    let server = Server::from_dist();
    let phone = Phone::new(780, 360).await;
    phone.open(&server.address()).await;
    let apart = "(() => {
        const answer = document.querySelector('.answer').getBoundingClientRect();
        const deck = document.querySelector('.deck').getBoundingClientRect();
        const step = document.querySelector('.deck .step').getBoundingClientRect();
        return answer.bottom <= innerHeight && step.bottom <= innerHeight
            && (answer.right <= deck.left || answer.bottom <= deck.top)
            && document.documentElement.scrollWidth <= innerWidth;
    })()";
    assert_eq!(phone.eval(apart).await, json!(true), "on its side");
    for (width, height) in SCREENS {
        phone.resize(width, height).await;
        phone
            .run("document.documentElement.style.fontSize = '24px'")
            .await;
        assert_eq!(
            phone.eval(apart).await,
            json!(true),
            "larger text at {width} px"
        );
    }
}
