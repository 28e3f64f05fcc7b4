//! The camera's clock: by a photographed code, and by a skyline that does not fit.

use std::time::Duration;

use rqrr::PreparedImage;
use serde_json::json;
use tarnlight::outing::share::qr;

use super::super::server::Server;
use super::super::temp_folder::TempFolder;
use super::{FRAME, MEASURED, OUTING, frame, opened, wait_for_stored, wait_for_words};

/// A frame over hills (see `tests/frames/frames.json`), its camera and site.
const HILLS: &str = "open-01.jpg";
const HILLS_OUTING: &str = "v=1&lat=-30.2&lon=-70.8&high=2200&zone=-5&sensor=36x24&px=2400x1600\
                            &mm=20&f=1.8";

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

/// The clock's code opened where frames are is read, with no frame and after one; and stars opened where
/// the code is get a sentence.
#[tokio::test]
async fn clock_and_frame_are_told_apart() {
    const READ: &str = "The camera's clock is 20 s fast. Kept with the kit.";
    let server = Server::from_dist();
    let folder = TempFolder::new("test-frame-either");
    let photo = folder.write("code.png", &photographed_code());
    let phone = opened(&server, OUTING, "dusk", (360, 780)).await;
    phone.choose_file("#frame", &photo).await;
    wait_for_words(&phone, READ).await;
    wait_for_stored(&phone, "&clock=7220_2026-07-09").await;
    wait_for_words(&phone, "It stays on this phone.").await;
    phone.tap("#undo-clock").await;
    phone.choose_file("#frame", &frame(FRAME)).await;
    phone.wait_until("the verdict", MEASURED).await;
    phone.choose_file("#frame", &photo).await;
    wait_for_words(&phone, READ).await;
    // the frame stands, and is explained by the clock
    wait_for_words(&phone, "Time by the camera's clock as measured.").await;
    phone.tap("#clock-code").await;
    phone.choose_file("#code-photo", &frame(FRAME)).await;
    wait_for_words(&phone, "No code was found").await;
    assert!(phone.holds(MEASURED).await);
    assert_eq!(phone.errors().await, json!([]));
}

/// A clock seven minutes off turns hills that are known away from where they are: one tap sets it
/// right, another takes that back.
#[tokio::test]
async fn a_skyline_that_does_not_fit_sets_the_clock() {
    let server = Server::from_dist();
    // that of the file is 5 h behind UTC, and right; of 480 s what is beyond quarters of an hour counts, −420 s
    let link = format!("{HILLS_OUTING}&clock=480_2028-09-16&line={}", hills());
    let phone = opened(&server, &link, "dusk", (360, 780)).await;
    phone.choose_file("#frame", &frame(HILLS)).await;
    wait_for_words(&phone, "The skyline fits a clock 7 min earlier.").await;
    phone.tap("#clock-by-skyline").await;
    phone
        .wait_until(
            "no hint",
            "!document.querySelector('#by-skyline') && !document.querySelector('.waits')",
        )
        .await;
    let ahead_s = phone
        .eval(
            "Object.values(localStorage).map(text => /&clock=([-\\d]+)_/.exec(text)?.[1])
                 .find(one => one)",
        )
        .await;
    let ahead_s: f64 = ahead_s.as_str().expect("a clock").parse().expect("seconds");
    assert!((ahead_s + 18_000.0).abs() <= 15.0, "{ahead_s} s");
    phone.tap("#undo-offer").await;
    wait_for_stored(&phone, "&clock=480_2028-09-16").await;
    wait_for_words(&phone, "The skyline fits a clock 7 min earlier.").await;
    assert_eq!(phone.errors().await, json!([]));
}

/// The drawn skyline of the frame, as links have it.
fn hills() -> String {
    let list = std::fs::read_to_string(frame("frames.json")).expect("the list");
    let list: serde_json::Value = serde_json::from_str(&list).expect("JSON");
    let cases = list["cases"].as_array().expect("cases");
    let name = HILLS.split('.').next().expect("a name");
    let case = cases.iter().find(|case| case["id"] == name).expect("it");
    let points = case["truth"]["skyline"].as_array().expect("a skyline");
    let point = |point: &serde_json::Value| {
        let number = |place: usize| point[place].as_f64().expect("a number");
        format!("{:.2}*{:.2}", number(0), number(1))
    };
    points.iter().map(point).collect::<Vec<_>>().join("_")
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
