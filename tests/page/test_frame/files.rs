//! Files that are opened as a test frame: other kinds, handed over, stopped while they are measured.

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use serde_json::json;
use tarnlight::astrometry::decode::DecodedPicture;

use super::super::built::Built;
use super::super::phone::Phone;
use super::super::server::{Fault, Server};
use super::super::temp_folder::TempFolder;
use super::{FRAME, MEASURED, OUTING, frame, opened, wait_for_words};

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
    wait_for_words(&phone, "It stays on this phone.").await;
    server.clear_faults();
    phone
        .run(&format!("await fetch('{loader}', {{cache: 'reload'}})"))
        .await;
    phone.choose_file("#frame", &frame(FRAME)).await;
    phone.wait_until("the verdict", MEASURED).await;
    assert_eq!(phone.errors().await, json!([]));
}

/// Each stage of the measuring is told; and stopped at any of them, nothing comes.
#[tokio::test]
async fn it_can_be_stopped_at_each_stage() {
    const STAGES: [&str; 4] = ["Reading", "Finding", "Measuring", "Identifying"];
    // each stage is drawn before the next one is heard of
    const WATCH: &str = "window.stages = [];
        window.stopAt = null;
        new MutationObserver(() => {
            const word = document.querySelector('.waits span')?.innerText.split(' ')[0];
            if (!word || window.stages.at(-1) === word) return;
            window.stages.push(word);
            if (word === window.stopAt) document.querySelector('#stop-frame').click();
        }).observe(document.body, {subtree: true, childList: true, characterData: true});";
    let server = Server::from_dist();
    let phone = opened(&server, OUTING, "dusk", (360, 780)).await;
    phone.run(WATCH).await;
    for stage in STAGES {
        phone
            .run(&format!("window.stages = []; window.stopAt = '{stage}'"))
            .await;
        phone.choose_file("#frame", &frame(FRAME)).await;
        let reached = format!("window.stages.at(-1) === '{stage}'");
        phone.wait_until(stage, &reached).await;
        wait_for_words(&phone, "It stays on this phone.").await;
        assert!(!phone.holds(MEASURED).await, "{stage}");
    }
    phone.run("window.stages = []; window.stopAt = null").await;
    phone.choose_file("#frame", &frame(FRAME)).await;
    phone.wait_until("the verdict", MEASURED).await;
    let told = phone
        .eval("window.stages.filter(word => word !== 'Getting')")
        .await;
    assert_eq!(told, json!(STAGES));
    assert_eq!(phone.errors().await, json!([]));
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
