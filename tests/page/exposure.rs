//! The answer, and the inputs that change it.

use std::time::Duration;

use exif::experimental::Writer;
use exif::{Field, In, Rational, Tag, Value};
use serde_json::json;

use super::SCREENS;
use super::phone::Phone;
use super::server::Server;
use super::temp_folder::TempFolder;

const LONGER: &str = "[aria-label='focal length: more']";
const SHORTER: &str = "[aria-label='focal length: less']";
const SLOWER: &str = "[aria-label='f-number: more']";
const LAXER: &str = "[aria-label='trail allowed: more']";
const FOCAL: &str = "[aria-label='focal length'] .step-value";

#[tokio::test]
async fn the_first_screen_answers_without_being_asked() {
    let server = Server::from_dist();
    for (width, height) in SCREENS {
        let phone = Phone::new(width, height).await;
        phone.open(&server.address()).await;
        assert_eq!(phone.text(".answer .figure").await, "8s");
        assert_eq!(phone.text(".answer .for").await, "for the core");
        assert_eq!(
            phone.text(".beside").await.replace("  ", " "),
            "4s for every corner"
        );
        let kit = phone.text("main .line").await;
        assert_eq!(kit, "20 mm · f/1.8 · 24 MP full frame");
        let page = phone.text("main").await;
        assert!(
            page.contains("core 25° up, due south, from 36° N"),
            "{page}"
        );
        assert_eq!(phone.errors().await, json!([]));
        assert_layout(&phone, width).await;
        let elsewhere = phone
            .eval(
                "performance.getEntriesByType('resource').map(one => one.name)
                 .filter(name => !name.startsWith(location.origin))",
            )
            .await;
        assert_eq!(elsewhere, json!([]), "requests to other places");
    }
}

/// Nothing wider than the screen, nothing to press under 56 px high, no text
/// under 16 px, and the answer above the deck.
async fn assert_layout(phone: &Phone, width: u32) {
    let wide = phone.eval("document.documentElement.scrollWidth").await;
    assert_eq!(wide, json!(width), "width of the page");
    let low = phone
        .eval(
            "[...document.querySelectorAll('button, summary, select, label.wide')]
             .filter(one => one.getBoundingClientRect().height > 0
                 && one.closest('.stepper, body') === document.body
                 && one.getBoundingClientRect().height < 55.9)
             .map(one => one.innerText)",
        )
        .await;
    assert_eq!(low, json!([]), "buttons under 56 px");
    let steppers = phone
        .eval(
            "[...document.querySelectorAll('.stepper')]
             .filter(one => one.getBoundingClientRect().height < 55.9).length",
        )
        .await;
    assert_eq!(steppers, json!(0), "steppers under 56 px");
    let small = phone
        .eval(
            "[...document.querySelectorAll('body *')].filter(one => {
                 const words = [...one.childNodes].some(child => child.nodeType === 3 && child.data.trim());
                 if (!words || one.closest('.unseen') || !one.getBoundingClientRect().width) return false;
                 const scale = one.ownerSVGElement
                     ? one.ownerSVGElement.getBoundingClientRect().width / one.ownerSVGElement.viewBox.baseVal.width
                     : 1;
                 return parseFloat(getComputedStyle(one).fontSize) * scale < 15.95;
             }).map(one => one.textContent)",
        )
        .await;
    assert_eq!(small, json!([]), "texts under 16 px");
    let clear = phone
        .eval(
            "document.querySelector('.sentence').getBoundingClientRect().bottom
             < document.querySelector('.deck').getBoundingClientRect().top",
        )
        .await;
    assert_eq!(
        clear,
        json!(true),
        "the answer and its sentence stand above the deck"
    );
}

#[tokio::test]
async fn a_finger_changes_lens_aperture_and_sharpness() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    phone.open(&server.address()).await;
    phone.tap(LONGER).await;
    phone
        .wait_until(
            "21 mm",
            "document.querySelector('.deck').innerText.includes('21')",
        )
        .await;
    assert!(phone.text("main .line").await.starts_with("21 mm"));
    phone.tap(SHORTER).await;
    phone.tap(SLOWER).await;
    phone
        .wait_until(
            "f/2",
            "document.querySelector('.deck').innerText.includes('f/2')",
        )
        .await;
    phone.tap(LAXER).await;
    phone
        .wait_until(
            "2.5 px",
            "document.querySelector('.deck').innerText.includes('2.5')",
        )
        .await;
    assert_eq!(phone.text(".answer .figure").await, "10s");
    phone.tap(".keep").await;
    phone.tap_text("Whole frame").await;
    phone.tap_text("Done").await;
    phone
        .wait_until(
            "the frame's time",
            "document.querySelector('.answer').innerText.includes('whole frame')",
        )
        .await;
    assert!(phone.text(".beside").await.contains("for the core"));
    assert_eq!(phone.errors().await, json!([]));
}

/// Time in which a stepper that is still held would make three more steps.
const THREE_REPEATS: Duration = Duration::from_millis(400);

#[tokio::test]
async fn a_held_stepper_goes_on_and_the_drawings_follow() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    phone.open(&server.address()).await;
    let drawings = "[document.querySelector('.loupe .light').getAttribute('d'),
                     document.querySelector('.map .allowed').getAttribute('d')]";
    let before = phone.eval(drawings).await;
    phone.press("[aria-label='shutter to try: more']").await;
    let tried = "document.querySelector('.try .step-value').innerText.replace('\\u00a0', ' ')";
    let several = format!("!['try 8 s', 'try 10 s'].includes({tried})");
    phone.wait_until("several steps", &several).await;
    let during = phone.eval(drawings).await;
    assert_ne!(
        before[0], during[0],
        "the loupe follows while the finger is down"
    );
    assert_ne!(
        before[1], during[1],
        "the map follows while the finger is down"
    );
    phone.release().await;
    let tried = phone.text(".try .step-value").await;
    assert_eq!(
        phone.text(".answer .figure").await,
        "8s",
        "the answer stays"
    );
    tokio::time::sleep(THREE_REPEATS).await;
    assert_eq!(
        phone.text(".try .step-value").await,
        tried,
        "a lifted finger ends it"
    );
    phone.tap(".try .step-value").await;
    phone
        .wait_until(
            "the answer's shutter",
            "document.querySelector('.try').innerText.includes('try 8')",
        )
        .await;
}

#[tokio::test]
async fn absurd_numbers_get_a_sentence_and_keep_the_answer() {
    let server = Server::from_dist();
    let phone = Phone::new(320, 640).await;
    phone.open(&server.address()).await;
    phone.tap(FOCAL).await;
    phone.fill("#entry", "35").await;
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
        assert!(
            phone.text("main .line").await.starts_with("35 mm"),
            "after {absurd:?}"
        );
    }
    phone.fill("#entry", "14,5 mm").await;
    phone
        .wait_until(
            "no sentence",
            "document.querySelector('#entry-told').innerText === ''",
        )
        .await;
    phone.tap_text("Done").await;
    assert!(phone.text("main .line").await.starts_with("14.5 mm"));
    assert_eq!(phone.errors().await, json!([]));
}

#[tokio::test]
async fn a_site_without_the_core_says_what_it_tells_instead() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    phone.open(&server.address()).await;
    phone.tap_text("Site").await;
    phone.fill("#latitude", "69 39 N").await;
    phone.tap_text("Done").await;
    let page = phone.text("main").await;
    assert!(page.contains("no core from 69.65° N"), "{page}");
    assert!(page.contains("for the celestial equator"), "{page}");
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
    phone.tap_text("Kit").await;
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
    phone.tap_text("Display").await;
    phone.tap_text("Stays on").await;
    phone
        .wait_until(
            "the lock",
            "locks.length === 1 && locks[0] === 'held screen'",
        )
        .await;
    phone.tap_text("May sleep").await;
    phone
        .wait_until("its release", "locks[1] === 'released'")
        .await;
}
