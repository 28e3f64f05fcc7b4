//! Test frame: a picture of the night sky is opened, measured, and taken into the outing; and the
//! camera's clock by a photographed code.

use std::path::PathBuf;
use std::time::Duration;

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use rqrr::PreparedImage;
use serde_json::json;
use tarnlight::astrometry::decode::DecodedPicture;
use tarnlight::outing::share::qr;

use super::SCREENS;
use super::built::Built;
use super::layout::FAULTS;
use super::phone::Phone;
use super::server::{Fault, Server};
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

/// What the worker does not decode the browser does; what neither does gets a sentence.
#[tokio::test]
async fn other_kinds_of_files() {
    let server = Server::from_dist();
    let folder = TempFolder::new("test-frame-kinds");
    let phone = opened(&server, OUTING, "dusk", (360, 780)).await;
    let text = folder.write("night.jpg", b"no picture");
    phone.choose_file("#frame", &text).await;
    wait_for_words(
        &phone,
        "This phone cannot open this picture; export it as JPEG.",
    )
    .await;
    let picture = folder.write("night.bmp", &bitmap());
    phone.choose_file("#frame", &picture).await;
    phone.wait_until("the verdict", MEASURED).await;
    wait_for_words(&phone, "identified to 0.").await;
    wait_for_words(&phone, "the file has no time").await;
    phone.choose_file("#frame", &frame("dusk.png")).await;
    wait_for_words(&phone, "No stars").await;
    assert_eq!(phone.errors().await, json!([]));
}

/// Stopped, nothing comes; another picture is measured by another worker.
#[tokio::test]
async fn it_can_be_stopped() {
    let server = Server::from_dist();
    let loader = Built::from_dist().name_of("tarnlight-worker-loader");
    server.inject_fault(&loader, Fault::Truncated(0));
    let phone = Phone::new(360, 780).await;
    phone
        .add_init_script("delete Navigator.prototype.serviceWorker")
        .await;
    phone.open_link(&server.address_with(OUTING)).await;
    phone.open_sheet("#open-frame").await;
    phone.choose_file("#frame", &frame(FRAME)).await;
    phone.tap("#stop-frame").await;
    wait_for_words(&phone, "It is measured here and goes nowhere.").await;
    server.clear_faults();
    phone
        .run(&format!("await fetch('{loader}', {{cache: 'reload'}})"))
        .await;
    phone.choose_file("#frame", &frame(FRAME)).await;
    phone.wait_until("the verdict", MEASURED).await;
    assert_eq!(phone.errors().await, json!([]));
}

/// The code on the screen holds the present second, and changes with it.
#[tokio::test]
async fn the_code_on_the_screen_is_the_present_second() {
    let server = Server::from_dist();
    let phone = opened(&server, OUTING, "paper", (360, 780)).await;
    phone.tap("#clock-code").await;
    phone
        .wait_until("the code", "document.querySelector('#clock-squares')")
        .await;
    phone
        .run("document.querySelector('#clock-squares').scrollIntoView({block: 'center'})")
        .await;
    let mut read = Vec::new();
    // a screenshot may fall between two seconds
    for _ in 0..20 {
        let now = || phone.eval("Date.now() / 1000");
        let before = now().await.as_f64().expect("a time").floor() as i64;
        let pixels = phone.screenshot().await;
        let after = now().await.as_f64().expect("a time").floor() as i64;
        let grey = |x: usize, y: usize| pixels[y * 360 + x][1];
        let mut image = PreparedImage::prepare_from_greyscale(360, pixels.len() / 360, grey);
        for grid in image.detect_grids() {
            if let Ok((_, text)) = grid.decode() {
                let second: i64 = text["UTC".len()..].parse().expect("a second");
                assert!(
                    (before..=after).contains(&second),
                    "{before} {second} {after}"
                );
                read.push(second);
            }
        }
        read.dedup();
        if read.len() > 1 {
            break;
        }
        tokio::time::sleep(Duration::from_millis(300)).await;
    }
    assert!(read.len() > 1, "{read:?}");
}

/// A photo of the code, turned and blurred, taken at 14:00:20 by the camera's clock while the code
/// held 12:00:00 UTC.
#[tokio::test]
async fn a_photographed_code_sets_the_clock_right() {
    let server = Server::from_dist();
    let folder = TempFolder::new("test-frame-code");
    let phone = opened(&server, OUTING, "dusk", (320, 640)).await;
    phone.tap("#clock-code").await;
    phone.choose_file("#code-photo", &frame("dusk.png")).await;
    wait_for_words(&phone, "No code was found").await;
    let photo = folder.write("code.png", &photographed_code());
    phone.choose_file("#code-photo", &photo).await;
    wait_for_words(
        &phone,
        "The camera's clock is 20 s fast. Kept with the kit.",
    )
    .await;
    wait_for_stored(&phone, "&clock=7220_2026-07-09").await;
    phone.tap("#undo-clock").await;
    phone
        .wait_until(
            "no clock",
            "!Object.values(localStorage).some(text => text.includes('&clock='))",
        )
        .await;
    assert_eq!(phone.errors().await, json!([]));
}

/// With a clock that was measured the zone is not asked for.
#[tokio::test]
async fn a_clock_that_is_known_is_used() {
    let server = Server::from_dist();
    let link = format!("{OUTING}&clock=3600_2026-09-01");
    let phone = opened(&server, &link, "dusk", (360, 780)).await;
    phone.choose_file("#frame", &frame(FRAME)).await;
    phone
        .wait_until(
            "the aim",
            "document.querySelector('#use-aim')?.disabled === false",
        )
        .await;
    wait_for_words(&phone, "Time by the camera's clock as measured.").await;
    assert!(phone.holds("!document.querySelector('#which-clock')").await);
}

/// The frame as a bitmap of 24 bits, which holds no EXIF data (Windows bitmap, BITMAPINFOHEADER).
fn bitmap() -> Vec<u8> {
    let bytes = std::fs::read(frame(FRAME)).expect("a frame");
    let picture = DecodedPicture::read(&bytes).expect("a picture").picture;
    let row = (3 * picture.width).div_ceil(4) * 4;
    let size = (54 + row * picture.height) as u32;
    let mut file = b"BM".to_vec();
    for number in [size, 0, 54, 40, picture.width as u32, picture.height as u32] {
        file.extend(number.to_le_bytes());
    }
    file.extend([1, 0, 24, 0]);
    file.extend([0; 24]);
    // rows from below; the sRGB curve (IEC 61966-2-1) is put back
    for y in (0..picture.height).rev() {
        let start = file.len();
        for value in picture.row(y) {
            let coded = match *value {
                small if small <= 0.003_130_8 => 12.92 * small,
                value => 1.055 * value.powf(1.0 / 2.4) - 0.055,
            };
            file.extend([(255.0 * coded).round() as u8; 3]);
        }
        file.resize(start + row, 0);
    }
    file
}

/// A PNG (ISO/IEC 15948) of a screen with the code of 2026-07-09 12:00:00 UTC, and of a camera's
/// clock at 14:00:20.
fn photographed_code() -> Vec<u8> {
    use exif::experimental::Writer;
    use exif::{Field, In, Tag, Value};
    const NOON_S: i64 = 1_783_598_400;
    let code = qr::draw(&format!("UTC{NOON_S}")).expect("a short text");
    let (width, height) = (1200_usize, 900_usize);
    let (sin, cos) = 11_f64.to_radians().sin_cos();
    let light = |x: f64, y: f64| {
        let (x, y) = (x - 580.0, y - 460.0);
        let place = |along: f64| (along / 22.0 + code.side as f64 / 2.0).floor() as isize;
        let (column, row) = (place(cos * x + sin * y), place(cos * y - sin * x));
        let modules = 0..code.side as isize;
        let quiet = -4..code.side as isize + 4;
        if !quiet.contains(&column) || !quiet.contains(&row) {
            return 20.0;
        }
        let inside = modules.contains(&column) && modules.contains(&row);
        let dark = inside && code.dark[row as usize * code.side + column as usize];
        if dark { 40.0 } else { 210.0 }
    };
    // blurred over nine pixels
    let blurred = |place: usize| {
        let (x, y) = ((place % width) as f64, (place / width) as f64);
        let around = (-4..=4).flat_map(|row| (-4..=4).map(move |column| (column, row)));
        let sum: f64 = around
            .map(|(column, row)| light(x + f64::from(column), y + f64::from(row)))
            .sum();
        (sum / 81.0) as u8
    };
    let pixels: Vec<u8> = (0..width * height).map(blurred).collect();
    let mut file = Vec::new();
    let mut encoder = png::Encoder::new(&mut file, width as u32, height as u32);
    encoder.set_color(png::ColorType::Grayscale);
    let mut writer = encoder.write_header().expect("writes to memory");
    let taken = Field {
        tag: Tag::DateTimeOriginal,
        ifd_num: In::PRIMARY,
        value: Value::Ascii(vec![b"2026:07:09 14:00:20".to_vec()]),
    };
    let mut exif = std::io::Cursor::new(Vec::new());
    let mut notes = Writer::new();
    notes.push_field(&taken);
    notes.write(&mut exif, false).expect("writes to memory");
    writer
        .write_chunk(png::chunk::eXIf, exif.get_ref())
        .expect("writes to memory");
    writer.write_image_data(&pixels).expect("writes to memory");
    writer.finish().expect("writes to memory");
    file
}

/// A picture handed over by another program is opened, once; the address does not keep saying so.
#[tokio::test]
async fn a_picture_that_is_handed_over_is_opened() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    phone.open_link(&server.address_with(OUTING)).await;
    phone.wait_for_offline_copy().await;
    let picture = std::fs::read(frame(FRAME)).expect("a frame");
    let picture = json!(STANDARD.encode(picture));
    let answered = phone
        .run(&format!(
            "const bytes = Uint8Array.from(atob({picture}), letter => letter.charCodeAt(0));
             const form = new FormData();
             form.append('picture', new File([bytes], 'night.jpg', {{type: 'image/jpeg'}}));
             const post = {{method: 'POST', body: form}};
             const answer = await fetch('shared-picture', post);
             return answer.url"
        ))
        .await;
    assert_eq!(
        answered,
        json!(format!("{}?shared-picture", server.address()))
    );
    phone
        .open(&format!("{}?shared-picture", server.address()))
        .await;
    phone.wait_until("the verdict", MEASURED).await;
    assert_eq!(phone.eval("location.search").await, json!(""));
    let again = "fetch('shared-picture').then(answer => answer.status)";
    assert_eq!(phone.eval(again).await, json!(404), "taken out once");
    phone.reload().await;
    phone.close_sheets().await;
    phone.show("exposure").await;
    assert_eq!(phone.errors().await, json!([]));
}
