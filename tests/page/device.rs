//! A wake lock that is refused, and a photo as cameras write it.

use exif::experimental::Writer;
use exif::{Field, In, Rational, Tag, Value};
use serde_json::json;

use super::phone::Phone;
use super::server::Server;
use super::temp_folder::TempFolder;

/// No wake locks, one refused with an exception, and one refused later.
const REFUSALS: [&str; 3] = [
    "delete Navigator.prototype.wakeLock",
    "Object.defineProperty(navigator, 'wakeLock', {value: {request() { throw new Error('no'); }}})",
    "Object.defineProperty(navigator, 'wakeLock', {value: {request: () => new Promise((_, no) =>
        setTimeout(no, 200, new DOMException('low battery', 'NotAllowedError')))}})",
];

#[tokio::test]
async fn a_screen_that_may_not_stay_on_says_so() {
    let server = Server::from_dist();
    for refusal in REFUSALS {
        let phone = Phone::new(360, 780).await;
        phone.add_init_script(refusal).await;
        phone.open(&server.address()).await;
        phone.open_sheet("#open-display").await;
        phone.tap_text("Stays on").await;
        let told = "document.querySelector('.notices').textContent.includes('keep the screen on')";
        phone.wait_until("a sentence", told).await;
        let chosen = "document.querySelector('[aria-label=screen] [aria-pressed=true]').innerText";
        phone
            .wait_until(
                "the true state",
                &format!("{chosen} === 'Screen may sleep'"),
            )
            .await;
        assert_eq!(phone.errors().await, json!([]), "{refusal:.50}");
    }
}

/// The smallest JPEG with camera data (markers SOI, APP1, EOI: ITU-T T.81; APP1: CIPA DC-008), of
/// an invented camera: 6000 × 4000 pixels, 35 mm, as wide as 53 mm on full frame, f/1.4.
fn jpeg() -> Vec<u8> {
    let ratio = |num, denom| Value::Rational(vec![Rational { num, denom }]);
    let fields = [
        (Tag::PixelXDimension, Value::Long(vec![6000])),
        (Tag::PixelYDimension, Value::Long(vec![4000])),
        (Tag::FocalLengthIn35mmFilm, Value::Short(vec![53])),
        (Tag::FocalLength, ratio(35, 1)),
        (Tag::FNumber, ratio(14, 10)),
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
    let mut tiff = std::io::Cursor::new(Vec::new());
    writer.write(&mut tiff, false).expect("writes to memory");
    let segment = [b"Exif\0\0".to_vec(), tiff.into_inner()].concat();
    let length = u16::try_from(segment.len() + 2).expect("a short segment");
    let mut file = vec![0xFF, 0xD8, 0xFF, 0xE1];
    file.extend(length.to_be_bytes());
    file.extend(segment);
    file.extend([0xFF, 0xD9]);
    file
}

#[tokio::test]
async fn a_jpeg_fills_the_kit_and_a_cut_one_does_no_harm() {
    let server = Server::from_dist();
    let phone = Phone::new(320, 640).await;
    phone.open(&server.address()).await;
    let folder = TempFolder::new("jpeg");
    let whole = jpeg();
    let mut filled = None;
    for (name, bytes) in [
        ("night.jpg", &whole[..]),
        ("cut.jpg", &whole[..whole.len() / 2]),
        ("start.jpg", &whole[..3]),
        ("empty.jpg", &[]),
    ] {
        // a sheet that was closed forgets the photo before
        phone.open_sheet("#open-kit").await;
        let invited = "document.querySelector('.photo p').innerText.startsWith('Open a picture')";
        phone.wait_until("the invitation", invited).await;
        phone
            .choose_file("#photo", &folder.write(name, bytes))
            .await;
        phone
            .wait_until("a sentence", &format!("!({invited})"))
            .await;
        let (said, kit) = (
            phone.text(".photo p").await,
            phone.text("dialog .in-use").await,
        );
        match &filled {
            None => {
                assert!(kit.starts_with("35 mm · f/1.4 · 24 MP"), "{name}: {kit}");
                assert!(said.starts_with("Read from the photo"), "{name}: {said}");
                filled = Some(kit);
            }
            Some(filled) => {
                let refused =
                    said.contains("holds no camera data") || said.contains("does not say");
                assert!(refused, "{name}: {said}");
                assert_eq!(kit, *filled, "{name}: the kit stays");
            }
        }
        phone.close_sheet().await;
    }
    assert_eq!(phone.errors().await, json!([]));
}
