//! Pictures of every screen and sheet, as contact sheets: run by `make pictures`, looked at by
//! people.

use std::fs;
use std::path::{Path, PathBuf};

use serde_json::{Value, json};

use super::phone::Phone;
use super::server::Server;
use super::themes::{THEMES, store};

/// Where the pictures go.
const FOLDER: &str = "target/pictures";

/// The skies: name, and the written form of an outing under it.
const SKIES: [(&str, &str); 2] = [
    (
        "july",
        "v=1&lat=46.52&lon=9.91&high=1980&zone=Europe/Zurich&place=Tarn+below+the+pass\
         &line=0*4_25*6_50*7.5_75*5_100*6.5_120*8_135*6_150*4.5_162*3_172*2.2_180*2.8_190*3.4_200*2.6\
         _210*3.8_222*5_235*6.5_250*5.5_270*7_290*8_310*6_335*5\
         &night=2027-07-05&minute=726&held=upright",
    ),
    (
        "june-69n",
        "v=1&lat=69.3&lon=18.4&zone=Europe/Oslo&place=Fjord+in+June\
         &line=0*2_60*5_120*7_180*4_240*6_300*3&night=2027-06-20&minute=720",
    ),
];

/// The four divisions of the window, and a small phone: name and size, CSS px.
const WIDTHS: [(&str, (u32, u32)); 5] = [
    ("phone", (360, 780)),
    ("small", (320, 640)),
    ("side", (780, 360)),
    ("tablet", (820, 1180)),
    ("desk", (1366, 768)),
];

/// What is pictured: a name, and the buttons that lead there; one with a question mark is tapped
/// where it is, and what is not in a drawer needs none.
const VIEWS: [(&str, &[&str]); 21] = [
    ("how-long", &["#show-exposure"]),
    ("when", &["#show-night"]),
    ("where", &["#show-framing"]),
    ("why-track", &["#show-tracking"]),
    ("more", &["#show-more"]),
    ("inputs", &["#show-exposure", "#draw-up"]),
    ("season", &["#show-night", "#open-season"]),
    (
        "limits",
        &["#show-night", "[aria-label='night'] .step-value"],
    ),
    ("lenses", &["#show-framing", "#open-lenses"]),
    ("ground", &["#show-framing", "#draw-up?", "#open-ground"]),
    ("panorama", &["#show-framing", "#open-panorama"]),
    ("skyline", &["#show-framing", "#open-skyline"]),
    (
        "sharpness",
        &[
            "#show-exposure",
            "#draw-up?",
            "[aria-label='trail allowed'] .step-value",
        ],
    ),
    (
        "frames",
        &[
            "#show-exposure",
            "#draw-up?",
            "[aria-label='ISO'] .step-value",
        ],
    ),
    (
        "tracker",
        &["#show-tracking", "#draw-up?", "#tracker-sheet"],
    ),
    ("kit", &["#show-more", "#open-kit"]),
    ("site", &["#show-more", "#open-site"]),
    ("frame", &["#show-more", "#open-frame"]),
    ("card", &["#show-more", "#open-card"]),
    ("share", &["#show-more", "#open-share"]),
    ("display", &["#show-more", "#open-display"]),
];

/// Pictures of the README, in `tests/pictures`: the name there, and which it is.
const README: [(&str, &str); 8] = [
    ("how-long", "july-phone-dusk-how-long"),
    ("how-long-red", "july-phone-red-how-long"),
    ("when", "july-phone-dusk-when"),
    ("where", "july-phone-dusk-where"),
    ("why-track", "july-phone-dusk-why-track"),
    ("season", "july-phone-paper-season"),
    ("panorama", "july-phone-dusk-panorama"),
    ("card", "july-phone-red-card"),
];

/// Space between pictures of a contact sheet, and its colour.
const GAP: usize = 16;
const TABLE: [u8; 3] = [0x44, 0x48, 0x4a];

/// Width of a contact sheet at the most, pixels.
const SHEET_WIDTH: usize = 2400;

/// A picture: width, height, and red, green and blue row by row.
struct Picture {
    width: usize,
    height: usize,
    pixels: Vec<[u8; 3]>,
}

impl Picture {
    fn empty(width: usize, height: usize) -> Self {
        Self {
            width,
            height,
            pixels: vec![TABLE; width * height],
        }
    }

    /// Puts another one into this, with its upper left corner here.
    fn put(&mut self, other: &Self, (left, top): (usize, usize)) {
        for (row, line) in other.pixels.chunks(other.width).enumerate() {
            let start = (top + row) * self.width + left;
            self.pixels[start..start + line.len()].copy_from_slice(line);
        }
    }

    fn save(&self, path: &Path) {
        let file = fs::File::create(path).expect("the folder can be written");
        let mut encoder = png::Encoder::new(file, self.width as u32, self.height as u32);
        encoder.set_color(png::ColorType::Rgb);
        encoder.set_depth(png::BitDepth::Eight);
        let mut writer = encoder.write_header().expect("a header");
        writer
            .write_image_data(self.pixels.as_flattened())
            .expect("the picture can be written");
    }
}

/// Pictures side by side, as many in a row as fit.
fn contact_sheet(pictures: &[Picture]) -> Picture {
    let (width, height) = pictures
        .first()
        .map_or((1, 1), |one| (one.width, one.height));
    let across = ((SHEET_WIDTH - GAP) / (width + GAP)).clamp(1, pictures.len().max(1));
    let down = pictures.len().div_ceil(across);
    let mut sheet = Picture::empty(GAP + across * (width + GAP), GAP + down * (height + GAP));
    for (place, picture) in pictures.iter().enumerate() {
        let left = GAP + place % across * (width + GAP);
        let top = GAP + place / across * (height + GAP);
        sheet.put(picture, (left, top));
    }
    sheet
}

/// Goes back to How long? without a sheet, then to a view. False where the view is not to be had
/// in this division: what a desk shows at once has no button there.
async fn show(phone: &Phone, steps: &[&str]) -> bool {
    while phone.holds("document.querySelector('dialog')").await {
        phone
            .run("document.querySelector('#sheet-done').click()")
            .await;
        phone.wait_for_no_sheet().await;
    }
    for step in steps {
        let (css, needed) = match step.strip_suffix('?') {
            Some(css) => (css, false),
            None => (*step, true),
        };
        let css = json!(css);
        let found = format!(
            "const found = document.querySelector({css});
             if (found && found.ariaExpanded !== 'true') found.click();
             return !!found || !{needed}"
        );
        if phone.run(&found).await != Value::Bool(true) {
            return false;
        }
        // pictures are drawn within two frames; those of the worker come when they come
        phone
            .run(
                "await new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))",
            )
            .await;
    }
    true
}

async fn pictured(
    address: &str,
    form: &str,
    theme: &str,
    size: (u32, u32),
) -> Vec<(String, Picture)> {
    let phone = Phone::new(size.0, size.1).await;
    phone
        .add_init_script(&format!("try {{ {} }} catch (blocked) {{}}", store(theme)))
        .await;
    phone.open_link(&format!("{address}#{form}")).await;
    let mut pictures = Vec::new();
    for (name, steps) in VIEWS {
        if !show(&phone, steps).await {
            continue;
        }
        if name == "why-track" {
            phone
                .wait_until("the worker draws", super::tracking::DRAWN)
                .await;
        }
        let (width, height) = (size.0 as usize, size.1 as usize);
        let pixels = phone.screenshot().await;
        assert_eq!(pixels.len(), width * height, "{name}");
        pictures.push((
            name.to_owned(),
            Picture {
                width,
                height,
                pixels,
            },
        ));
    }
    assert_eq!(phone.errors().await, json!([]), "{theme} {size:?}");
    pictures
}

/// Every screen and sheet in three themes, four widths and under two skies.
#[tokio::test]
#[ignore = "pictures to look at: make pictures"]
async fn contact_sheets() {
    let server = Server::from_dist();
    let folder = PathBuf::from(FOLDER);
    fs::create_dir_all(&folder).expect("a folder");
    let mut index = String::from(
        "<!DOCTYPE html><meta charset=utf-8><title>Tarnlight in pictures</title>\
         <style>body{background:#44484a;color:#eee;font:16px sans-serif}img{max-width:100%}</style>",
    );
    for (sky, form) in SKIES {
        for (width, size) in WIDTHS {
            for theme in THEMES {
                let pictures = pictured(&server.address(), form, theme, size).await;
                for (view, picture) in &pictures {
                    picture.save(&folder.join(format!("{sky}-{width}-{theme}-{view}.png")));
                }
                let pictures: Vec<_> = pictures.into_iter().map(|(_, picture)| picture).collect();
                let name = format!("{sky}-{width}-{theme}.png");
                contact_sheet(&pictures).save(&folder.join(&name));
                index += &format!("<h2>{sky}, {width}, {theme}</h2><img src='{name}'>");
            }
        }
    }
    fs::write(folder.join("index.html"), index).expect("the index");
    for (name, picture) in README {
        let from = folder.join(picture).with_extension("png");
        let to = Path::new("tests/pictures").join(name).with_extension("png");
        fs::copy(from, to).expect("a picture of the README");
    }
}
