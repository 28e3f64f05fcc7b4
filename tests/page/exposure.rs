//! The answer, and the inputs that change it.

use std::time::Duration;

use exif::experimental::Writer;
use exif::{Field, In, Rational, Tag, Value};
use serde_json::json;

use super::LONGER;
use super::SCREENS;
use super::layout;
use super::phone::Phone;
use super::server::Server;
use super::temp_folder::TempFolder;

const SHORTER: &str = "[aria-label='focal length: less']";
const SLOWER: &str = "[aria-label='f-number: more']";
const LAXER: &str = "[aria-label='trail allowed: more']";
const FOCAL: &str = "[aria-label='focal length'] .step-value";
const F_NUMBER: &str = "[aria-label='f-number'] .step-value";
const TRAIL: &str = "[aria-label='trail allowed'] .step-value";
const TRIED: &str = "[aria-label='shutter to try'] .step-value";
const TRIED_WORD: &str = "[aria-label='shutter to try'] .step-word";

/// The dial time, and what it is for; the other time of the pair likewise.
const DIAL: &str = "#answer .figure";
const OTHER: &str = ".settings .other";

/// Waits until a value is shown.
async fn wait_for_value(phone: &Phone, css: &str, value: &str) {
    let shown = format!("document.querySelector({css:?}).innerText.includes({value:?})");
    phone.wait_until(value, &shown).await;
}

#[tokio::test]
async fn the_first_screen_answers_without_being_asked() {
    let server = Server::from_dist();
    for (width, height) in SCREENS {
        let phone = Phone::new(width, height).await;
        // the ISO is for the sky of the coming night
        phone
            .add_init_script(
                "const now = Date.parse('2026-11-26T12:00:00Z'); Date.now = () => now;",
            )
            .await;
        phone.open(&server.address()).await;
        assert_eq!(phone.text(DIAL).await, "8s");
        assert_eq!(phone.text("#answer .fact").await, "core");
        let other = phone.text(OTHER).await;
        assert_eq!(
            other.split_whitespace().collect::<Vec<_>>().join(" "),
            "4s whole frame"
        );
        let settings = phone.text(".settings").await;
        for setting in ["f/1.8", "ISO 2500", "66 frames"] {
            assert!(settings.contains(setting), "{setting} in {settings}");
        }
        // what nobody set is said not to be
        let strip = phone.text(".strip").await;
        assert!(strip.contains("No site yet: figures for 36° N"), "{strip}");
        let found = layout::faults(&phone, layout::FAULTS, "first screen").await;
        assert!(found.is_empty(), "{width} px: {}", found.join("\n"));
        let clear = phone
            .eval(
                "document.querySelector('.settings').getBoundingClientRect().bottom
                     <= document.querySelector('.deck').getBoundingClientRect().top",
            )
            .await;
        assert_eq!(clear, json!(true), "the settings stand above the deck");
        assert_eq!(phone.errors().await, json!([]));
        let elsewhere = phone
            .eval(
                "performance.getEntriesByType('resource').map(one => one.name)
                 .filter(name => !name.startsWith(location.origin))",
            )
            .await;
        assert_eq!(elsewhere, json!([]), "requests to other places");
    }
}

#[tokio::test]
async fn a_finger_changes_lens_aperture_and_sharpness() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    phone.open(&server.address()).await;
    phone.tap(LONGER).await;
    wait_for_value(&phone, FOCAL, "21").await;
    phone.tap(SHORTER).await;
    wait_for_value(&phone, FOCAL, "20").await;
    phone.tap(SLOWER).await;
    wait_for_value(&phone, F_NUMBER, "f/2").await;
    let settings = phone.text(".settings").await;
    assert!(settings.contains("f/2"), "{settings}");
    phone.draw_up().await;
    phone.tap(LAXER).await;
    wait_for_value(&phone, TRAIL, "2.5").await;
    assert_eq!(phone.text(DIAL).await, "10s");
    phone.tap("#sharp-frame").await;
    wait_for_value(&phone, "#answer", "whole frame").await;
    assert!(phone.text(OTHER).await.contains("core"));
    assert_eq!(phone.errors().await, json!([]));
}

/// Time in which a stepper that is still held would make three more steps.
const THREE_REPEATS: Duration = Duration::from_millis(400);

#[tokio::test]
async fn a_held_stepper_goes_on_and_the_drawings_follow() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    phone.open(&server.address()).await;
    phone.draw_up().await;
    let drawings = "['.loupe .pixel', '.pool .shore', '.pool .stroke'].map(css =>
        [...document.querySelectorAll(css)].map(one => one.getAttribute('d')).join())";
    let before = phone.eval(drawings).await;
    phone.press("[aria-label='shutter to try: more']").await;
    let tried = format!("document.querySelector({TRIED_WORD:?}).innerText.replace('\\u00a0', ' ')");
    let several = format!("!['8 s', '10 s'].includes({tried})");
    phone.wait_until("several steps", &several).await;
    let during = phone.eval(drawings).await;
    for (place, drawing) in ["loupes", "shore", "strokes"].into_iter().enumerate() {
        assert_ne!(
            before[place], during[place],
            "the {drawing} follow while the finger is down"
        );
    }
    phone.release().await;
    let tried = phone.text(TRIED_WORD).await;
    assert_eq!(phone.text(DIAL).await, "8s", "the answer stays");
    tokio::time::sleep(THREE_REPEATS).await;
    assert_eq!(
        phone.text(TRIED_WORD).await,
        tried,
        "a lifted finger ends it"
    );
    phone.tap(TRIED).await;
    wait_for_value(&phone, TRIED_WORD, "8").await;
}

#[tokio::test]
async fn absurd_numbers_get_a_sentence_and_keep_the_answer() {
    let server = Server::from_dist();
    let phone = Phone::new(320, 640).await;
    phone.open(&server.address()).await;
    phone.tap(FOCAL).await;
    phone.wait_for_sheet().await;
    phone.fill("#entry", "35").await;
    wait_for_value(&phone, FOCAL, "35").await;
    for absurd in [
        "0",
        "-5",
        "1e9",
        "99999999999999999999",
        "abc",
        "",
        "NaN",
        "3 5",
    ] {
        phone.fill("#entry", absurd).await;
        phone
            .wait_until(
                "a sentence",
                "document.querySelector('#entry-told').innerText.includes('must be')",
            )
            .await;
        let typed = phone.eval("document.querySelector('#entry').value").await;
        assert_eq!(typed, json!(absurd), "what is typed stays");
        let in_use = phone.text(FOCAL).await;
        assert!(in_use.starts_with("35 mm"), "after {absurd:?}: {in_use}");
        // Done goes to the field and leaves the sheet open
        phone.tap("#sheet-done").await;
        let here = "document.activeElement.id === 'entry' && !!document.querySelector('dialog')";
        phone.wait_until("the field", here).await;
    }
    phone.fill("#entry", "14,5 mm").await;
    phone
        .wait_until(
            "no sentence",
            "document.querySelector('#entry-told').innerText === ''",
        )
        .await;
    phone.close_sheet().await;
    assert!(phone.text(FOCAL).await.starts_with("14.5 mm"));
    assert_eq!(phone.errors().await, json!([]));
}

#[tokio::test]
async fn a_site_without_the_core_says_what_it_tells_instead() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    phone.open(&server.address()).await;
    phone.open_sheet("#open-site").await;
    phone.unfold("#latitude").await;
    phone.fill("#latitude", "69 39 N").await;
    phone.close_sheet().await;
    let strip = phone.text(".strip").await;
    assert!(strip.contains("69.65° N"), "{strip}");
    phone.show("exposure").await;
    let headline = phone.text(".headline").await;
    assert!(headline.contains("The core never rises here"), "{headline}");
    assert_eq!(phone.text("#answer .fact").await, "equator");
}

/// A picture of an invented camera: 4000 × 3000 pixels on 17.3 × 13 mm, 12 mm, f/2.
fn photo() -> Vec<u8> {
    let ratio = |num, denom| Value::Rational(vec![Rational { num, denom }]);
    let fields = [
        (Tag::PixelXDimension, Value::Long(vec![4000])),
        (Tag::PixelYDimension, Value::Long(vec![3000])),
        (Tag::FocalPlaneXResolution, ratio(40_000, 173)),
        (Tag::FocalPlaneResolutionUnit, Value::Short(vec![4])),
        (Tag::FocalLength, ratio(12, 1)),
        (Tag::FNumber, ratio(2, 1)),
    ];
    let fields = fields.map(|(tag, value)| Field {
        tag,
        ifd_num: In::PRIMARY,
        value,
    });
    let mut writer = Writer::new();
    for field in &fields {
        writer.push_field(field);
    }
    let mut file = std::io::Cursor::new(Vec::new());
    writer.write(&mut file, false).expect("writes to memory");
    file.into_inner()
}

#[tokio::test]
async fn a_photo_fills_the_kit_and_rubbish_says_so() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    phone.open(&server.address()).await;
    phone.open_sheet("#open-kit").await;
    let folder = TempFolder::new("photo");
    let good = folder.write("night.tif", &photo());
    let bad = folder.write("rubbish.jpg", b"no picture at all");
    phone.choose_file("#photo", &good).await;
    phone
        .wait_until(
            "the kit",
            "document.querySelector('.in-use').innerText.includes('12 MP Four Thirds')",
        )
        .await;
    let sheet = phone.text(".sheet").await;
    assert!(sheet.contains("12 mm · f/2"), "{sheet}");
    assert!(
        sheet.contains("Read from the photo: sensor, focal length, f-number."),
        "{sheet}"
    );
    phone.choose_file("#photo", &bad).await;
    phone
        .wait_until(
            "a sentence",
            "document.querySelector('.photo').innerText.includes('holds no camera data')",
        )
        .await;
    assert!(
        phone.text(".in-use").await.contains("Four Thirds"),
        "the kit stays"
    );
}

#[tokio::test]
async fn the_screen_stays_on_when_asked() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    phone
        .add_init_script(
            "window.locks = [];
             Object.defineProperty(navigator, 'wakeLock', {value: {request: async kind => {
                 locks.push('held ' + kind);
                 return {release: async () => { locks.push('released'); }};
             }}});",
        )
        .await;
    phone.open(&server.address()).await;
    assert_eq!(
        phone.eval("locks").await,
        json!([]),
        "not before it is asked for"
    );
    phone.open_sheet("#open-display").await;
    phone.tap_text("Stays on").await;
    phone
        .wait_until(
            "the lock",
            "locks.length === 1 && locks[0] === 'held screen'",
        )
        .await;
    phone.tap_text("Screen may sleep").await;
    phone
        .wait_until("its release", "locks[1] === 'released'")
        .await;
}

/// A release that waits behind the timer of the next step, on a page that was busy, ends the hold: one
/// press is one step.
#[tokio::test]
async fn a_press_on_a_busy_page_is_one_step() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    phone.open(&server.address()).await;
    phone
        .run(&format!(
            "const button = document.querySelector(\"{LONGER}\");
             const send = kind => button.dispatchEvent(new PointerEvent(kind, {{bubbles: true, button: 0}}));
             send('pointerdown');
             await new Promise(done => setTimeout(done, 50));
             setTimeout(() => send('pointerup'), 600);
             const end = performance.now() + 900;
             while (performance.now() < end);
             await new Promise(done => setTimeout(done, 600))"
        ))
        .await;
    assert_eq!(
        phone.text("[aria-label='focal length'] .step-word").await,
        "21 mm"
    );
}
