//! Test frame: a picture of the night sky is opened, measured, and taken into the outing.

mod clock;
mod compare;
mod files;
mod memory;
mod small;

use std::path::PathBuf;

use serde_json::json;

use super::SCREENS;
use super::layout::FAULTS;
use super::phone::Phone;
use super::server::Server;
use super::temp_folder::TempFolder;
use super::themes::{ROUNDING, THEMES, store};

/// The camera and the site of the frame (see `tests/frames/README.md`); its clock shows the site's
/// time, and the file does not say so.
const OUTING: &str = "v=1&lat=33.9&lon=8.1&high=60&zone=%2B1&place=Chott&sensor=35.9x24&px=1616x1080\
                      &mm=14&f=2.8";

const FRAME: &str = "open-09.jpg";

/// Where its middle is, and how the camera was turned about its axis, which is 0.6° off; degrees.
const AIM_DEG: [(f64, f64); 3] = [(124.4048, 0.05), (53.2314, 0.05), (1.2433, 0.5)];

/// Another frame, of a lens with coma, with a skyline: its camera, site and the middle.
const COMA: &str = "open-02.jpg";
const COMA_OUTING: &str = "v=1&lat=-22.9&lon=-68.2&high=2450&zone=-5&sensor=35.9x24&px=1616x1080\
                           &mm=12&f=2.8";
const COMA_AIM_DEG: [(f64, f64); 2] = [(190.8348, 0.05), (52.3831, 0.05)];

/// A thumb on the first point of the border, and 12 px to the left.
const DRAG_BORDER: &str = "const drawing = document.querySelector('.frame-picture .drawing');
    const box = drawing.getBoundingClientRect();
    const [x, y] = /M(-?[\\d.]+) (-?[\\d.]+)/.exec(
        drawing.querySelector('.border').getAttribute('d')).slice(1).map(Number);
    drawing.setPointerCapture = () => {};
    const send = (kind, off, buttons) => drawing.dispatchEvent(new PointerEvent(kind, {
        bubbles: true, pointerId: 1, isPrimary: true, buttons, clientX: box.x + x + off, clientY: box.y + y}));
    send('pointerdown', 0, 1);
    send('pointermove', -6, 1);
    send('pointermove', -12, 1);
    send('pointerup', -12, 0);";

const MEASURED: &str = "document.querySelector('.verdict')";

fn frame(name: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
        .join("tests/frames")
        .join(name)
}

async fn opened(server: &Server, hash: &str, theme: &str, (width, height): (u32, u32)) -> Phone {
    let phone = Phone::new(width, height).await;
    phone.add_init_script(&store(theme)).await;
    phone.open_link(&server.address_with(hash)).await;
    phone.open_sheet("#open-frame").await;
    phone
}

async fn wait_for_words(phone: &Phone, words: &str) {
    let words = json!(words);
    // words keep together by spaces that do not break
    let there = format!(
        "document.querySelector('dialog')?.innerText.replaceAll('\\u00a0', ' ').includes({words})"
    );
    phone.wait_until("words", &there).await;
}

/// What is stored of the outing.
async fn wait_for_stored(phone: &Phone, part: &str) {
    let part = json!(part);
    let stored = format!("Object.values(localStorage).some(text => text.includes({part}))");
    phone.wait_until("what is stored", &stored).await;
}

/// The frame's lens and aim are those it was drawn with, within what is asked for: 13.8325 mm, k1
/// −0.0177, and the aim within 0.05°.
#[tokio::test]
async fn a_frame_is_measured_and_taken_into_the_outing() {
    let server = Server::from_dist();
    let phone = opened(&server, OUTING, "dusk", (360, 780)).await;
    phone.choose_file("#frame", &frame(FRAME)).await;
    phone.wait_until("the verdict", MEASURED).await;
    wait_for_words(&phone, "Sharp: trails under 1.5 px").await;
    wait_for_words(&phone, "identified to 0.").await;
    let drawn = "(() => { const canvas = document.querySelector('.frame-picture canvas');
        const data = canvas.getContext('2d').getImageData(0, 0, canvas.width, canvas.height).data;
        return data.some((value, place) => place % 4 < 3 && value > 0) })()";
    phone.wait_until("the picture", drawn).await;
    // nothing is assumed of the clock
    assert!(
        phone
            .holds("document.querySelector('#use-aim').disabled")
            .await
    );
    wait_for_words(&phone, "say above whose time its clock shows").await;
    phone.tap_text("the site's time").await;
    phone
        .wait_until(
            "the aim",
            "document.querySelector('#use-aim')?.disabled === false",
        )
        .await;

    phone.tap("#use-aim").await;
    assert_aim(&phone, &AIM_DEG).await;
    phone.tap("#use-lens").await;
    wait_for_stored(&phone, "&mm=13.83&").await;
    wait_for_stored(&phone, "&distort=-0.017").await;
    wait_for_words(&phone, "none is seen in it").await;
    let in_use = "[...document.querySelectorAll('.in-use')].map(key => key.id)";
    assert_eq!(phone.eval(in_use).await, json!(["use-aim", "use-lens"]));
    // with one tap the last is taken back, and only that
    phone.tap("#undo-offer").await;
    wait_for_stored(&phone, "&mm=14&").await;
    wait_for_stored(&phone, "&aim=").await;
    assert_eq!(phone.eval(in_use).await, json!(["use-aim"]));
    // what was measured is there when the sheet is opened again, and after a file that is none
    phone.close_sheet().await;
    phone.open_sheet("#open-frame").await;
    phone.wait_until("the verdict", MEASURED).await;
    phone.wait_until("the picture", drawn).await;
    assert_eq!(phone.eval(in_use).await, json!(["use-aim"]));
    let folder = TempFolder::new("test-frame-none");
    let text = folder.write("night.jpg", b"no picture");
    phone.choose_file("#frame", &text).await;
    wait_for_words(&phone, "The picture before stands below.").await;
    wait_for_words(&phone, "Sharp: trails under 1.5 px").await;
    assert_eq!(phone.errors().await, json!([]));
}

async fn assert_aim(phone: &Phone, want: &[(f64, f64)]) {
    wait_for_stored(phone, "&aim=").await;
    let aim = phone
        .eval(
            "Object.values(localStorage).map(text => /&aim=([^&]*)/.exec(text)?.[1])
                 .find(one => one)",
        )
        .await;
    let aim = aim.as_str().expect("an aim").split('_');
    for (got, (want, within)) in aim.zip(want) {
        let got: f64 = got.parse().expect("a number");
        assert!((got - want).abs() < *within, "{got}, want {want}");
    }
}

/// A frame with coma says by how much to stop down; its skyline goes into the site; and a camera
/// that was held upright is.
#[tokio::test]
async fn a_lens_is_told_and_a_skyline_taken() {
    let server = Server::from_dist();
    let phone = opened(&server, COMA_OUTING, "dusk", (360, 780)).await;
    phone.choose_file("#frame", &frame(COMA)).await;
    wait_for_words(&phone, "The lens: corners of").await;
    wait_for_words(&phone, "At f/4 corner stars are half as wide.").await;
    phone.tap_text("the site's time").await;
    phone
        .wait_until(
            "the skyline",
            "document.querySelector('#use-skyline')?.disabled === false",
        )
        .await;
    phone.tap("#use-aim").await;
    assert_aim(&phone, &COMA_AIM_DEG).await;
    wait_for_stored(&phone, "&held=upright").await;
    phone.tap("#use-skyline").await;
    wait_for_stored(&phone, "&line=").await;
    let line = "Object.values(localStorage).map(text => /&line=([^&]*)/.exec(text)?.[1])
                    .find(one => one)";
    let measured = phone.eval(line).await;
    // a thumb corrects the border, and what was measured can be had back
    let border = "document.querySelector('.frame-picture .border').getAttribute('d')";
    let before = phone.eval(border).await;
    phone.tap("#correct-border").await;
    phone.run(DRAG_BORDER).await;
    phone
        .wait_until("another border", &format!("{border} !== {before}"))
        .await;
    phone.tap("#use-skyline").await;
    phone
        .wait_until("another skyline", &format!("({line}) !== {measured}"))
        .await;
    phone.tap("#undo-offer").await;
    phone
        .wait_until("the measured skyline", &format!("({line}) === {measured}"))
        .await;
    phone.tap("#border-as-measured").await;
    phone
        .wait_until("the measured border", &format!("{border} === {before}"))
        .await;
    phone.tap("#correct-border").await;
    phone.run(DRAG_BORDER).await;
    assert_eq!(
        phone.eval(border).await,
        before,
        "it takes no thumb any more"
    );
    // the skyline of the site is the measured one still; it is taken back as well
    phone.close_sheet().await;
    phone.undo().await;
    phone
        .wait_until(
            "no skyline",
            "!Object.values(localStorage).some(text => text.includes('&line='))",
        )
        .await;
    assert_eq!(phone.errors().await, json!([]));
}

/// On both screens and in each theme the sheet fits, and in red all of it is red.
#[tokio::test]
async fn it_fits_and_is_red_in_red() {
    let server = Server::from_dist();
    for screen in SCREENS {
        for theme in THEMES {
            let phone = opened(&server, OUTING, theme, screen).await;
            phone.choose_file("#frame", &frame(FRAME)).await;
            phone.wait_until("the verdict", MEASURED).await;
            phone.tap("#clock-code").await;
            phone
                .wait_until("the code", "document.querySelector('.code path')")
                .await;
            let faults = phone.run(FAULTS).await;
            assert_eq!(faults, json!([]), "{theme}, {screen:?}");
            if theme == "red" {
                let heights = "document.querySelector('.sheet-body').scrollHeight";
                let height = phone.eval(heights).await.as_u64().expect("a height");
                for top in (0..height).step_by(400) {
                    let roll = format!("document.querySelector('.sheet-body').scrollTo(0, {top})");
                    phone.run(&roll).await;
                    let stray = |pixel: &[u8; 3]| pixel[1] > ROUNDING || pixel[2] > ROUNDING;
                    assert!(
                        !phone.screenshot().await.iter().any(stray),
                        "{screen:?} at {top}"
                    );
                }
            }
            assert_eq!(phone.errors().await, json!([]));
        }
    }
}

/// Without a network, and with no request: the file stays on the phone.
#[tokio::test]
async fn it_works_offline() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    phone.open_link(&server.address_with(OUTING)).await;
    phone.wait_for_offline_copy().await;
    phone.set_online(false).await;
    phone.reload().await;
    // the browser itself looks for a newer service worker
    let asked = || {
        let paths = server.requested_paths();
        paths.iter().filter(|path| !path.ends_with("sw.js")).count()
    };
    let before = asked();
    phone.open_sheet("#open-frame").await;
    phone.choose_file("#frame", &frame(FRAME)).await;
    phone.wait_until("the verdict", MEASURED).await;
    wait_for_words(&phone, "Sharp: trails under 1.5 px").await;
    assert_eq!(asked(), before);
}
