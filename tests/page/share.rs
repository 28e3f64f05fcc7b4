//! Sharing with another phone: the code, the link, files out and in.

use rqrr::PreparedImage;
use serde_json::json;

use super::SCREENS;
use super::night::HANDED;
use super::phone::Phone;
use super::server::Server;
use super::temp_folder::TempFolder;
use super::themes::{ROUNDING, THEMES, store};

/// A high pass in the Alps, with a kit of its own.
const ALPS: &str = "v=1&lat=46.52&lon=9.91&sensor=36x24&px=6000x4000&mm=24&f=1.4&sharp=2&keep=core\
                    &high=2240&zone=Europe%2FZurich&place=Pass&night=2027-06-04";

/// Device pixels to a CSS px.
const DOTS: u32 = 3;

async fn shared(server: &Server, hash: &str, theme: &str, (width, height): (u32, u32)) -> Phone {
    let phone = Phone::new(width, height).await;
    let screen = json!({
        "width": width, "height": height, "deviceScaleFactor": DOTS, "mobile": true,
    });
    phone
        .cdp("Emulation.setDeviceMetricsOverride", screen)
        .await;
    phone.add_init_script(&store(theme)).await;
    phone.open_link(&server.address_with(hash)).await;
    open_sheet(&phone).await;
    phone
}

async fn open_sheet(phone: &Phone) {
    phone.open_sheet("#open-share").await;
    phone
        .wait_until("the code", "document.querySelector('.code path')")
        .await;
}

/// What a camera reads off the screen, its colours converted to grey by ITU-R BT.601.
async fn read_code(phone: &Phone, width: u32) -> String {
    let pixels = phone.screenshot().await;
    let width = (width * DOTS) as usize;
    let grey = |x: usize, y: usize| {
        let [red, green, blue] = pixels[y * width + x].map(f64::from);
        (0.299 * red + 0.587 * green + 0.114 * blue) as u8
    };
    let mut image = PreparedImage::prepare_from_greyscale(width, pixels.len() / width, grey);
    let grids = image.detect_grids();
    assert_eq!(grids.len(), 1, "one code is seen");
    grids[0].decode().expect("it decodes").1
}

async fn assert_only_red(phone: &Phone) {
    let stray = |pixel: &[u8; 3]| pixel[1] > ROUNDING || pixel[2] > ROUNDING;
    assert!(!phone.screenshot().await.iter().any(stray), "only red");
}

/// Every theme on both screens; the sheet fits, and in red all pixels are red.
#[tokio::test]
async fn a_code_is_drawn_and_a_camera_reads_the_link() {
    let server = Server::from_dist();
    for screen in SCREENS {
        for theme in THEMES {
            let phone = shared(&server, ALPS, theme, screen).await;
            let read = read_code(&phone, screen.0).await;
            assert_eq!(read, server.address_with(ALPS), "{theme}, {} px", screen.0);
            if theme == "red" {
                assert_only_red(&phone).await;
                phone
                    .run("document.querySelector('.sheet-body').scrollTo(0, 9999)")
                    .await;
                assert_only_red(&phone).await;
            }
            let fits = "document.querySelector('.sheet-body').scrollWidth
                            <= document.querySelector('.sheet-body').clientWidth
                        && [...document.querySelectorAll('dialog button, dialog label.wide')]
                            .every(one => one.offsetHeight >= 56)";
            assert_eq!(
                phone.eval(fits).await,
                json!(true),
                "{theme}, {} px",
                screen.0
            );
            assert_eq!(phone.errors().await, json!([]));
        }
    }
}

/// On the narrowest screen the largest code still has squares of two px, and what it lacks is said;
/// the link lacks nothing.
#[tokio::test]
async fn a_long_skyline_is_thinned_in_the_code_and_said_to_be() {
    let server = Server::from_dist();
    let line: Vec<_> = (0..720)
        .map(|step| {
            let degrees = f64::from(step) / 2.0;
            let height = 12.0 + 6.0 * (degrees / 23.0).sin() + (degrees / 1.7).sin();
            format!("{degrees:.2}*{height:.2}")
        })
        .collect();
    let line = format!("&line={}", line.join("_"));
    let hash = ALPS.replace("&night", &format!("{line}&night"));
    let phone = shared(&server, &hash, "red", (320, 640)).await;
    let said = phone.text("dialog").await;
    assert!(
        said.contains("in the code; the link has all of it"),
        "{said}"
    );
    let square = "(() => { const code = document.querySelector('.code');
         return code.getBoundingClientRect().width / code.viewBox.baseVal.width })()";
    let square = phone.eval(square).await.as_f64().expect("a number");
    assert!(square >= 2.0, "{square} px");
    let read = read_code(&phone, 320).await;
    assert!(
        read.starts_with(&server.address_with("v=1&lat=46.52&lon=9.91")),
        "{read}"
    );
    assert!(read.contains("&line=0.00*") && read.len() <= 1273, "{read}");
    let link = phone.eval("document.querySelector('#link').value").await;
    assert_eq!(link, json!(server.address_with(&hash)));
    // another phone opens the link in the code
    phone.open_blank().await;
    phone.open_link(&read).await;
    assert_eq!(phone.text(".notices").await, "");
}

#[tokio::test]
async fn the_link_is_copied_or_marked() {
    let server = Server::from_dist();
    for (clipboard, copied) in [
        ("{writeText: async text => { window.copied = text; }}", true),
        (
            "{writeText: async () => { throw new DOMException('no', 'NotAllowedError'); }}",
            false,
        ),
        ("undefined", false),
    ] {
        let phone = Phone::new(360, 780).await;
        phone
            .add_init_script(&format!(
                "Object.defineProperty(navigator, 'clipboard', {{value: {clipboard}}})"
            ))
            .await;
        phone.open_link(&server.address_with(ALPS)).await;
        open_sheet(&phone).await;
        phone.tap_text("Copy the link").await;
        let told = if copied { "Copied" } else { "hold it and copy" };
        phone
            .wait_until(
                "a word",
                &format!("document.querySelector('dialog').innerText.includes('{told}')"),
            )
            .await;
        let link = json!(server.address_with(ALPS));
        let found = if copied {
            "window.copied"
        } else {
            "(() => { const box = document.activeElement;
                 return box.value.slice(box.selectionStart, box.selectionEnd) })()"
        };
        assert_eq!(phone.eval(found).await, link);
        assert_eq!(phone.errors().await, json!([]));
    }
}

/// Kits and sites go out of one phone, and into another that has its own.
#[tokio::test]
async fn files_go_out_of_one_phone_and_into_another() {
    let server = Server::from_dist();
    let one = Phone::new(360, 780).await;
    one.add_init_script(HANDED).await;
    one.open_link(&server.address_with(ALPS)).await;
    open_sheet(&one).await;
    assert!(
        one.text("dialog")
            .await
            .contains("No kits or sites are saved")
    );
    let file = |word: &'static str| {
        let one = &one;
        async move {
            one.run("window.handed = null").await;
            one.tap_text(word).await;
            one.wait_until("the file", "window.handed").await;
            let file = one.run("return await window.handed").await;
            file.as_str().expect("a text").to_owned()
        }
    };
    let outing = file("This outing as a file").await;
    assert_eq!(outing, format!("tarnlight 1\nouting {ALPS}\n"));
    one.close_sheet().await;
    for (sheet, save) in [
        ("#open-kit", "Save this kit"),
        ("#open-site", "Save this site"),
    ] {
        one.open_sheet(sheet).await;
        one.tap_text(save).await;
        one.close_sheet().await;
    }
    open_sheet(&one).await;
    let lists = file("All kits and sites").await;
    let lines: Vec<_> = lines_begin(&lists);
    assert_eq!(lines, ["tarnlight", "kit", "site"], "{lists}");
    assert_eq!(one.errors().await, json!([]));

    let other = Phone::new(320, 640).await;
    other.open(&server.address()).await;
    other.open_sheet("#open-kit").await;
    other.tap_text("Save this kit").await;
    other.close_sheet().await;
    open_sheet(&other).await;
    let told =
        |what: &str| format!("document.querySelector('dialog').innerText.includes('{what}')");
    let folder = TempFolder::new("share");
    let path = folder.write("lists.txt", lists.as_bytes());
    other.choose_file("#bundle", &path).await;
    other
        .wait_until("both", &told("1 kit taken in. 1 site taken in."))
        .await;
    // the same once more
    other.choose_file("#bundle", &path).await;
    other
        .wait_until("neither", &told("1 kit here already. 1 site here already."))
        .await;
    let path = folder.write("newer.txt", b"tarnlight 2\nkit v=2");
    other.choose_file("#bundle", &path).await;
    other
        .wait_until("a refusal", &told("made by a newer Tarnlight"))
        .await;
    let path = folder.write("outing.txt", outing.as_bytes());
    other.choose_file("#bundle", &path).await;
    other
        .wait_until("the outing", &told("The outing is in use now"))
        .await;
    // the code follows
    other
        .wait_until("the code", "document.querySelector('.code path')")
        .await;
    assert_eq!(
        other.eval("document.querySelector('#link').value").await,
        json!(server.address_with(ALPS))
    );
    other.close_sheet().await;
    other.show("exposure").await;
    assert_eq!(other.focal_length().await, "24 mm");
    other.undo().await;
    other.show("exposure").await;
    assert_eq!(other.focal_length().await, "20 mm");
    other.open_sheet("#open-kit").await;
    let kits = "document.querySelectorAll('.kits li').length";
    assert_eq!(other.eval(kits).await, json!(2));
    assert_eq!(other.errors().await, json!([]));
}

#[tokio::test]
async fn a_pasted_link_is_an_outing() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    phone.open(&server.address()).await;
    open_sheet(&phone).await;
    for (text, told) in [
        ("good night", "neither a file of ours nor a link"),
        (
            "Come! https://example.org/#v=1&mm=85&x=1",
            "x: means nothing here",
        ),
        // invalid: the 85 mm above stay
        (
            "https://example.org/#v=1&mm=0&lat=999",
            "The link was not taken: mm",
        ),
    ] {
        phone.paste("#pasted", text).await;
        let told = format!("document.querySelector('dialog').innerText.includes('{told}')");
        phone.wait_until("a sentence", &told).await;
    }
    phone.close_sheet().await;
    phone.show("exposure").await;
    assert_eq!(phone.focal_length().await, "85 mm");
}

/// Without a network the code is still drawn: the worker is part of the offline copy.
#[tokio::test]
async fn a_code_needs_no_network() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    phone.open(&server.address()).await;
    phone.wait_for_offline_copy().await;
    phone.set_online(false).await;
    phone.reload().await;
    open_sheet(&phone).await;
}

/// The first word of each line.
fn lines_begin(file: &str) -> Vec<&str> {
    file.lines()
        .filter_map(|line| line.split(' ').next())
        .collect()
}
