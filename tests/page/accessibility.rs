//! Keyboard, screen reader, larger text, a phone on its side.

use serde_json::{Value, json};

use super::SCREENS;
use super::key::Key;
use super::phone::Phone;
use super::server::Server;
use super::themes::{THEMES, store};

/// A phone upright and on its side, a tablet, a desk, CSS px.
const WINDOWS: [(u32, u32); 4] = [(360, 780), (780, 360), (820, 1180), (1366, 768)];

/// A July night with a skyline and a window.
const JULY: &str = "v=1&lat=46.52&lon=9.91&high=1980&zone=Europe/Zurich&place=Pass\
                    &line=0*4_50*7_100*6_150*4_200*2.6_250*5.5_300*8&night=2027-07-09&minute=726";

/// A sheet: what opens it, and what is filled in there so that it shows a sentence.
type Door = (&'static str, Option<(&'static str, &'static str)>);

/// The screens with their sheets. What a division has no button for is shown at once there.
const SHEETS: [(&str, &[Door]); 5] = [
    (
        "exposure",
        &[
            (
                "[aria-label='focal length'] .step-value",
                Some(("#entry", "much")),
            ),
            ("[aria-label='f-number'] .step-value", None),
            ("[aria-label='trail allowed'] .step-value", None),
            ("[aria-label='ISO'] .step-value", Some(("#noise", "much"))),
        ],
    ),
    (
        "night",
        &[
            ("[aria-label='night'] .step-value", None),
            ("#open-season", None),
        ],
    ),
    (
        "framing",
        &[
            ("#open-lenses", None),
            ("#open-panorama", None),
            ("#open-skyline", None),
            ("#open-ground", None),
        ],
    ),
    ("tracking", &[("#tracker-sheet", Some(("#periodic", "-3")))]),
    (
        "more",
        &[
            ("#open-kit", Some(("#across", "-1"))),
            ("#open-site", Some(("#latitude", "95"))),
            ("#open-frame", None),
            ("#open-card", None),
            ("#open-share", None),
            ("#open-display", None),
        ],
    ),
];

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

/// Unfolds all details of the page, or of the open sheet, and waits until nothing moves.
async fn unfold_all(phone: &Phone) {
    phone
        .run(
            "const here = document.querySelector('dialog') || document;
             here.querySelectorAll('details').forEach(one => one.open = true)",
        )
        .await;
    phone
        .wait_until("rest", "document.getAnimations().length === 0")
        .await;
}

/// A page in a theme at a size, with axe-core in it.
async fn looked_at(server: &Server, axe: &str, theme: &str, (width, height): (u32, u32)) -> Phone {
    let phone = Phone::new(width, height).await;
    phone
        .add_init_script(&format!("try {{ {} }} catch (blank) {{}}", store(theme)))
        .await;
    phone.open_link(&server.address_with(JULY)).await;
    phone.run(axe).await;
    phone
}

/// Every screen, at rest and unfolded, and every sheet with a sentence under a field, in a theme.
async fn violations_in(theme: &str) -> Vec<String> {
    let (server, axe) = (Server::from_dist(), axe());
    let mut found = Vec::new();
    for window in WINDOWS {
        let phone = looked_at(&server, &axe, theme, window).await;
        let mut add = |told: Value, place: &str| {
            if told != json!([]) {
                found.push(format!("{theme} at {} px, {place}: {told}", window.0));
            }
        };
        for (screen, doors) in SHEETS {
            phone.show(screen).await;
            add(violations(&phone).await, screen);
            phone.draw_up().await;
            unfold_all(&phone).await;
            add(violations(&phone).await, &format!("{screen}, unfolded"));
            for (door, field) in doors {
                if !phone.holds(&format!("locate({})", json!(door))).await {
                    continue;
                }
                // without a finger: on a phone's side the drawer lies over some
                phone.run(&format!("locate({}).click()", json!(door))).await;
                phone.wait_for_sheet().await;
                unfold_all(&phone).await;
                if let Some((field, text)) = field {
                    phone.fill(field, text).await;
                }
                add(violations(&phone).await, &format!("{screen}, {door}"));
                phone.key(Key::Escape).await;
                phone.wait_for_no_sheet().await;
            }
        }
    }
    found
}

#[tokio::test]
async fn axe_finds_nothing_in_paper() {
    let found = violations_in("paper").await;
    assert!(found.is_empty(), "{}", found.join("\n"));
}

#[tokio::test]
async fn axe_finds_nothing_in_dusk() {
    let found = violations_in("dusk").await;
    assert!(found.is_empty(), "{}", found.join("\n"));
}

#[tokio::test]
async fn axe_finds_nothing_in_red() {
    let found = violations_in("red").await;
    assert!(found.is_empty(), "{}", found.join("\n"));
}

/// The lists that the card opens, the skyline's fields, the frames of a panorama, a night without
/// a window.
#[tokio::test]
async fn axe_finds_nothing_in_what_sheets_lead_to() {
    const WINTER: &str = "v=1&lat=46.52&lon=9.91&zone=Europe/Zurich&night=2026-11-25";
    let (server, axe) = (Server::from_dist(), axe());
    for theme in THEMES {
        let phone = looked_at(&server, &axe, theme, (360, 780)).await;
        phone.open_sheet("#open-card").await;
        phone.tap("#card-lists").await;
        phone
            .wait_until("the lists", "document.querySelector('#humidity')")
            .await;
        phone.tap(".ticks button").await;
        phone.fill("#humidity", "much").await;
        unfold_all(&phone).await;
        assert_eq!(violations(&phone).await, json!([]), "{theme}, lists");
        phone.key(Key::Escape).await;
        phone
            .wait_until("the card", "document.querySelector('.field-card')")
            .await;
        phone.close_sheets().await;
        phone.show("framing").await;
        phone.open_sheet("#open-skyline").await;
        for way in ["numbers", "table", "tile", "tilt"] {
            phone.tap(&format!("#skyline-{way}")).await;
            unfold_all(&phone).await;
            assert_eq!(violations(&phone).await, json!([]), "{theme}, {way}");
        }
        phone.key(Key::Escape).await;
        phone.wait_for_no_sheet().await;
        phone.open_sheet("#open-panorama").await;
        phone.tap_text("Take the frames").await;
        phone
            .wait_until("the frame", "document.querySelector('.field-frame')")
            .await;
        assert_eq!(violations(&phone).await, json!([]), "{theme}, a frame");
        phone.key(Key::Escape).await;
        phone.wait_for_no_sheet().await;
        phone.run(&format!("location.hash = '{WINTER}'")).await;
        phone.wait_for_sheet().await;
        assert_eq!(violations(&phone).await, json!([]), "{theme}, no window");
        phone.close_sheets().await;
        for screen in ["exposure", "night", "framing"] {
            phone.show(screen).await;
            let found = violations(&phone).await;
            assert_eq!(found, json!([]), "{theme}, {screen} without a window");
        }
    }
}

#[tokio::test]
async fn axe_finds_nothing_in_the_notices() {
    let (server, axe) = (Server::from_dist(), axe());
    let phone = Phone::new(360, 780).await;
    phone.open(&server.address()).await;
    phone.open_sheet("#open-display").await;
    phone.unfold("dialog a").await;
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
        if name == "all inputs" {
            phone.key(Key::Enter).await;
            phone
                .wait_until("the deck", "document.querySelector('#drawer .stepper')")
                .await;
        }
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
        "horizon: ",
        "Use my location",
        "Rules of thumb compared",
        "Focus",
        "shutter to try: more",
        "whole frame",
        "focal length: less",
        "f-number: more",
        "trail allowed: less",
        "When?",
        "Where?",
        "Why track?",
        "More",
        "Undo",
    ] {
        assert!(
            met.iter().any(|name| name.contains(wanted)),
            "no way to {wanted}: {met:?}"
        );
    }
    phone.show("more").await;
    phone.run("locate('#open-site').focus()").await;
    phone.key(Key::Enter).await;
    phone.wait_for_sheet().await;
    let inside = phone
        .eval("document.querySelector('dialog').contains(document.activeElement)")
        .await;
    assert_eq!(inside, json!(true), "the focus moves into the sheet");
    phone.key(Key::Escape).await;
    phone.wait_for_no_sheet().await;
    assert_eq!(
        phone.eval("document.activeElement.id").await,
        json!("open-site"),
        "the focus returns"
    );
}

/// At a desk arrow keys step the time where the night or the frame is looked at.
#[tokio::test]
async fn arrows_step_the_time_at_a_desk() {
    let server = Server::from_dist();
    let phone = Phone::new(1366, 768).await;
    phone.open_link(&server.address_with(JULY)).await;
    let clock = || async { phone.text(".clock").await };
    assert_eq!(clock().await, "01:26");
    for screen in ["night", "framing"] {
        phone.show(screen).await;
        let before = clock().await;
        phone.key(Key::Left).await;
        let changed = format!("document.querySelector('.clock').innerText !== '{before}'");
        phone.wait_until("another minute", &changed).await;
    }
    assert_eq!(clock().await, "01:06", "twice ten minutes back");
    assert_eq!(phone.errors().await, json!([]));
}

#[tokio::test]
async fn a_phone_on_its_side_and_larger_text_still_answer() {
    let server = Server::from_dist();
    let phone = Phone::new(780, 360).await;
    phone.open_link(&server.address_with(JULY)).await;
    let apart = "(() => {
        const answer = document.querySelector('#answer').getBoundingClientRect();
        const deck = document.querySelector('.deck').getBoundingClientRect();
        const steps = [...document.querySelectorAll('.deck .keys .step')];
        return answer.bottom <= innerHeight
            && steps.every(step => step.getBoundingClientRect().bottom <= innerHeight)
            && (answer.right <= deck.left || answer.bottom <= deck.top)
            && document.documentElement.scrollWidth <= innerWidth;
    })()";
    assert_eq!(phone.eval(apart).await, json!(true), "on its side");
    for (width, height) in SCREENS {
        phone.resize(width, height).await;
        phone
            .run("document.documentElement.style.fontSize = '24px'")
            .await;
        phone.wait_until("larger text that fits", apart).await;
    }
}
