//! The field card: on the screen, in print, and the sheets behind it.

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use serde_json::json;

use super::phone::Phone;
use super::server::Server;
use super::themes::{THEMES, store};

/// A dark night in the Alps with everything a card can tell.
const FULL: &str = "v=1&lat=46.52&lon=9.91&high=2240&zone=Europe/Zurich\
                    &place=A+very+long+name+of+a+pass+above+a+lake&mm=20&f=1.8&night=2027-06-04\
                    &line=130*6_150*9_170*12_180*8_195*14_215*10_230*5&air=10_85&mins=30\
                    &focus=12m&px=9504x6336";

/// Sizes of paper, mm (ISO 216; ANSI Y14.1).
const PAPERS: [(&str, f64, f64); 3] = [
    ("A4", 210.0, 297.0),
    ("Letter", 215.9, 279.4),
    ("A6", 105.0, 148.0),
];

const MM_PER_INCH: f64 = 25.4;

/// CSS px in an inch.
const PX_PER_INCH: f64 = 96.0;

async fn open_card(server: &Server, hash: &str) -> Phone {
    let phone = Phone::new(360, 780).await;
    phone.open_link(&server.address_with(hash)).await;
    show_card(&phone).await;
    phone
}

async fn show_card(phone: &Phone) {
    phone.open_sheet("#open-card").await;
    wait_for(phone, ".field-card").await;
}

/// Opens the lists from the card.
async fn show_lists(phone: &Phone) {
    phone.tap("#card-lists").await;
    wait_for(phone, ".ticks").await;
}

/// Opens the sheet of frames and ISO, under How long?.
async fn show_frames(phone: &Phone) {
    phone.show("exposure").await;
    phone.draw_up().await;
    phone.tap("[aria-label='ISO'] .step-value").await;
    wait_for(phone, "#stack").await;
}

/// Waits until something of a sheet is there and nothing moves.
async fn wait_for(phone: &Phone, css: &str) {
    let there = format!("document.querySelector('{css}') && !document.getAnimations().length");
    phone.wait_until(css, &there).await;
}

/// How many pages a PDF has: its page objects, which are written out in plain.
fn pages(pdf: &[u8]) -> usize {
    let text = String::from_utf8_lossy(pdf);
    let starts = text.match_indices("/Type /Page").map(|(at, _)| at);
    let whole = starts.filter(|at| !text[at + "/Type /Page".len()..].starts_with('s'));
    whole.count()
}

async fn printed(phone: &Phone, (width, height): (f64, f64)) -> Vec<u8> {
    let paper = json!({
        "paperWidth": width / MM_PER_INCH, "paperHeight": height / MM_PER_INCH,
    });
    let pdf = phone.cdp("Page.printToPDF", paper).await;
    let pdf = pdf["data"].as_str().expect("a PDF").to_owned();
    STANDARD.decode(pdf).expect("base64")
}

#[tokio::test]
async fn the_card_tells_the_outing_with_the_answer_first() {
    let server = Server::from_dist();
    let phone = open_card(&server, FULL).await;
    let said = phone.text(".field-card").await;
    let first: Vec<_> = said.split_whitespace().take(2).collect();
    assert_eq!(first, ["5s", "f/1.8"], "{said}");
    for part in [
        "ISO ",
        "frames",
        "in all",
        "whole frame",
        "(S)",
        " up, landscape",
        "focus at 12 m",
        "for the core",
        "Interval",
        "GB",
        "46.52° N 9.91° E · 2240 m",
        "A very long name of a pass",
        "4–5 June 2027",
        "Europe/Zurich, UTC+2",
        "when the core clears the ridge",
        "20 mm · f/1.8 · 60 MP ",
        "warm the glass now",
        "Tell somebody where you are",
        "not permission and not a forecast",
    ] {
        assert!(said.contains(part), "{part:?} in {said}");
    }
    assert!(!said.contains("Panorama"), "nobody has looked at one");
    // at arm's length: what decides is of 22 px and more, the rest of 18, the shutter far larger
    let sizes = phone
        .eval(
            "['.dial', '.set .second', '.path-of td', '.path-of [scope=row]', '.window-word', '.set .aim .fact',
                 '.set .fact', '.rest dd'].map(css =>
                 parseFloat(getComputedStyle(document.querySelector('.field-card ' + css)).fontSize))",
        )
        .await;
    let sizes: Vec<f64> = serde_json::from_value(sizes).expect("sizes");
    let (decisive, rest) = sizes.split_at(5);
    assert!(decisive.iter().all(|size| *size >= 22.0), "{sizes:?}");
    assert!(rest.iter().all(|size| *size >= 18.0), "{sizes:?}");
    assert!(sizes[0] > 3.0 * sizes[1], "{sizes:?}");
    // the frame beside the settings, above the fold
    let beside = phone
        .eval(
            "(() => {
                 const box = css => document.querySelector('.field-card ' + css).getBoundingClientRect();
                 const sketch = box('.set .frame'), dial = box('.dial');
                 return sketch.right <= dial.left && sketch.top < dial.bottom
                     && box('.set').bottom < document.querySelector('.sheet-keys').getBoundingClientRect().top;
             })()",
        )
        .await;
    assert_eq!(beside, json!(true));
    assert_eq!(phone.errors().await, json!([]));
}

/// A night without a window: the card leads with that, and greys what would be set.
#[tokio::test]
async fn without_a_window_the_card_leads_with_that() {
    let server = Server::from_dist();
    let phone = open_card(&server, "v=1&lat=55&lon=14.8&night=2027-06-20").await;
    let said = phone.text(".field-card").await;
    assert!(
        said.starts_with("No shot window. No darkness at 18°"),
        "{said}"
    );
    wait_for(&phone, ".field-card .set.greyed").await;
    assert!(said.contains("looked at"), "{said}");
    assert_eq!(phone.errors().await, json!([]));
}

#[tokio::test]
async fn it_prints_on_one_page_black_on_white_in_any_look() {
    let server = Server::from_dist();
    for theme in THEMES {
        let phone = Phone::new(360, 780).await;
        phone.add_init_script(&store(theme)).await;
        let longest = format!("{FULL}&on=tracker");
        phone.open_link(&server.address_with(&longest)).await;
        // a panorama somebody has looked at is on the card
        phone.show("framing").await;
        phone.open_sheet("#open-panorama").await;
        phone.close_sheet().await;
        show_card(&phone).await;
        // the code of the link is printed, for the phone of somebody else
        phone
            .wait_until("the code", "document.querySelector('.printed .code path')")
            .await;
        for (name, width, height) in PAPERS {
            let pdf = printed(&phone, (width, height)).await;
            assert_eq!(pages(&pdf), 1, "{name} in {theme}");
        }
        let print = json!({"media": "print"});
        phone.cdp("Emulation.setEmulatedMedia", print).await;
        for (name, width, height) in PAPERS {
            let px = |mm: f64| (mm / MM_PER_INCH * PX_PER_INCH) as u32;
            phone.resize(px(width), px(height)).await;
            let faults = phone
                .run(
                    "const faults = [];
                     const card = document.querySelector('.field-card');
                     const solid = /^rgb\\(0, 0, 0\\)$|^rgb\\(255, 255, 255\\)$|, 0\\)$/;
                     for (const one of [document.documentElement, ...card.querySelectorAll('*')]) {
                         const {color, backgroundColor} = getComputedStyle(one);
                         if (color !== 'rgb(0, 0, 0)' || !solid.test(backgroundColor))
                             faults.push(`${one.tagName} ${color} on ${backgroundColor}`);
                         const {left, right} = one.getBoundingClientRect();
                         if (one !== document.documentElement && right > innerWidth + 0.5)
                             faults.push(`${one.tagName} ends at ${right} of ${innerWidth}`);
                         if (left < -0.5) faults.push(`${one.tagName} begins at ${left}`);
                     }
                     const code = card.querySelector('.code').getBoundingClientRect().width;
                     // 30 mm, at 96 px an inch
                     if (code < 30 / 25.4 * 96) faults.push(`a code of ${code} px`);
                     const seen = one => one && one.getClientRects().length;
                     for (const css of ['main', '.strip', '.deck', '.questions', '.sheet-head', '.sheet-keys'])
                         if (seen(document.querySelector(css))) faults.push(`${css} is printed`);
                     return faults",
                )
                .await;
            assert_eq!(faults, json!([]), "{name} in {theme}");
            let said = phone.text(".field-card").await;
            for part in [
                "f/1.8",
                "4–5 June 2027",
                "Panorama",
                "off the pole",
                "Dew",
                "forecast",
            ] {
                assert!(said.contains(part), "{name}: {part:?} in {said}");
            }
        }
        assert_eq!(phone.errors().await, json!([]), "{theme}");
    }
}

/// Checks the measure itself: a second page is counted.
#[tokio::test]
async fn a_card_too_long_for_its_page_is_seen() {
    let server = Server::from_dist();
    let phone = open_card(&server, FULL).await;
    phone
        .run("document.querySelector('.field-card .care').style.paddingBottom = '150mm'")
        .await;
    let pdf = printed(&phone, (105.0, 148.0)).await;
    assert!(pages(&pdf) > 1, "{} page", pages(&pdf));
}

#[tokio::test]
async fn print_asks_the_browser() {
    let server = Server::from_dist();
    let phone = Phone::new(320, 640).await;
    phone
        .add_init_script("window.asked = 0; window.print = () => { window.asked += 1; }")
        .await;
    phone.open(&server.address()).await;
    show_card(&phone).await;
    phone.tap("#print").await;
    phone.wait_until("one print", "window.asked === 1").await;
}

/// The wake lock is held while the card is open; the setting does not change.
#[tokio::test]
async fn the_screen_stays_on_while_the_card_is_read() {
    const LOCKS: &str = "window.locks = 0;
        Object.defineProperty(navigator, 'wakeLock', {value: {request: async () => {
            window.locks += 1;
            return {release: async () => { window.locks -= 1; }};
        }}})";
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    phone.add_init_script(LOCKS).await;
    phone.open(&server.address()).await;
    assert_eq!(phone.eval("window.locks").await, json!(0));
    phone.open_sheet("#open-card").await;
    phone.wait_until("a lock", "window.locks === 1").await;
    phone.close_sheet().await;
    phone.wait_until("no lock", "window.locks === 0").await;
    phone.open_sheet("#open-display").await;
    phone.tap_text("Stays on").await;
    phone.wait_until("a lock", "window.locks === 1").await;
    phone.close_sheet().await;
    show_card(&phone).await;
    phone.close_sheet().await;
    assert_eq!(phone.eval("window.locks").await, json!(1), "still wished");
    phone.open_sheet("#open-display").await;
    phone.tap_text("Screen may sleep").await;
    phone.wait_until("no lock", "window.locks === 0").await;
}

#[tokio::test]
async fn frames_and_iso_follow_what_is_typed() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    phone
        .open_link(&server.address_with("v=1&lat=36&night=2027-06-04"))
        .await;
    show_frames(&phone).await;
    // common practice: 8 s and a second to write fit 66 times into ten minutes
    let said = phone.text("dialog .in-use").await;
    assert!(
        said.starts_with("66 × 8 s, one every 9 s: 9.9 min"),
        "{said}"
    );
    phone.tap("dialog [aria-label='time in all: more']").await;
    let told = |part: &str| {
        format!("document.querySelector('dialog .in-use').innerText.includes('{part}')")
    };
    phone.wait_until("100 frames", &told("100 ×")).await;
    phone.fill("#stack", "7").await;
    phone.wait_until("46 frames", &told("46 ×")).await;
    // a long gap makes the interval longer; emptied, it is typical again
    phone.fill("#write", "4").await;
    phone
        .wait_until("a longer interval", &told("every 12"))
        .await;
    phone.fill("#write", "much").await;
    let wrong = phone.text("#write-told").await;
    assert!(wrong.contains("Gap must be a number"), "{wrong}");
    phone.fill("#write", "").await;
    phone
        .wait_until("the usual interval", &told("every 9"))
        .await;
    let label = phone.text("[for=write]").await;
    assert!(label.ends_with("if empty: 1 s"), "{label}");
    phone.tap("dialog [aria-label='ISO: less']").await;
    let free = "locate('text=as suggested')";
    phone
        .wait_until(
            "an ISO of one's own",
            &format!("{free}.ariaPressed === 'false'"),
        )
        .await;
    phone
        .wait_until("it stored", "/&iso=\\d+/.test(storedOuting())")
        .await;
    phone.tap_text("as suggested").await;
    phone
        .wait_until("none stored", "!storedOuting().includes('&iso=')")
        .await;
    phone.fill("#dark", "20.2").await;
    let fifth = "document.querySelector('#class').selectedOptions[0].innerText.includes('class 5')";
    phone.wait_until("its class", fifth).await;
    phone.fill("#glow", "22").await;
    phone
        .wait_until(
            "all of it stored",
            "['mins=7', 'dark=20.2', 'glow=22'].every(part => storedOuting().includes(part))",
        )
        .await;
    phone.close_sheet().await;
    // the first screen and the card have the same
    let settings = phone.text(".settings .frames").await;
    assert!(settings.starts_with("46 frames"), "{settings}");
    show_card(&phone).await;
    assert!(phone.text(".field-card").await.contains("46 frames"));
    assert_eq!(phone.errors().await, json!([]));
}

#[tokio::test]
async fn ticks_are_counted_kept_cleared_and_undone() {
    let server = Server::from_dist();
    let phone = open_card(&server, "v=1&on=tracker").await;
    show_lists(&phone).await;
    assert!(phone.text(".sheet-body").await.contains("Polar axis"));
    let count = "document.querySelector('.list-head [role=status]').innerText";
    for (line, of) in [("Body and lens", "1 of 9"), ("Tripod", "2 of 9")] {
        phone.tap_text(line).await;
        phone.wait_until(of, &format!("{count} === '{of}'")).await;
    }
    phone.reload().await;
    phone.close_sheets().await;
    show_card(&phone).await;
    show_lists(&phone).await;
    let ticked = "document.querySelectorAll('[role=checkbox][aria-checked=true]').length";
    assert_eq!(phone.eval(ticked).await, json!(2), "they survive");
    phone.tap_text("Clear all ticks").await;
    phone.wait_until("none", &format!("{ticked} === 0")).await;
    phone.close_sheets().await;
    phone.undo().await;
    show_card(&phone).await;
    show_lists(&phone).await;
    assert_eq!(phone.eval(ticked).await, json!(2), "and come back");
    assert_eq!(phone.errors().await, json!([]));
}

/// 10 °C and 85 % have a dew point of 7.594 °C: worked independently by Magnus's formula.
#[tokio::test]
async fn dew_is_told_when_both_are_typed() {
    let server = Server::from_dist();
    let phone = open_card(&server, "v=1").await;
    assert!(!phone.text(".field-card").await.contains("Dew"));
    show_lists(&phone).await;
    let body = "document.querySelector('.sheet-body').innerText";
    phone.fill("#celsius", "10").await;
    assert!(!phone.text(".sheet-body").await.contains("Dew point"));
    phone.fill("#humidity", "85").await;
    phone
        .wait_until(
            "the dew point",
            &format!("/Dew point 7\\.6.°C/.test({body})"),
        )
        .await;
    let heater = format!("{body}.includes('Heater or hand warmer on')");
    phone.wait_until("its line", &heater).await;
    phone.close_sheet().await;
    wait_for(&phone, ".field-card").await;
    assert!(
        phone
            .text(".field-card")
            .await
            .contains("warm the glass now")
    );
    show_lists(&phone).await;
    phone.fill("#celsius", "").await;
    phone
        .wait_until("nothing told", &format!("!{body}.includes('Dew point')"))
        .await;
    let other = phone
        .eval("document.querySelector('#humidity').value")
        .await;
    assert_eq!(other, json!("85"), "the other half stays");
    phone.fill("#celsius", "-5,5").await;
    phone
        .wait_until(
            "a dew point below zero",
            &format!("{body}.includes('Dew point −')"),
        )
        .await;
    assert_eq!(phone.errors().await, json!([]));
}
