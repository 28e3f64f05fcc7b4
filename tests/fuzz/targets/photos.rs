//! Photos: what the camera wrote into a JPEG, PNG, TIFF or raw file.

use exif::experimental::Writer;
use exif::{Field, In, Rational, Tag, Value};
use tarnlight::astrometry::decode::FrameFacts;
use tarnlight::camera::photo::PhotoFacts;

use super::{MB, MemoryLimit, Target};

pub const TARGET: Target = Target {
    name: "photos",
    seeds,
    run,
    memory: MemoryLimit {
        least: MB,
        per_byte: 500,
        most: 64 * MB,
    },
};

fn fields() -> Vec<Field> {
    let field = |tag, value| Field {
        tag,
        ifd_num: In::PRIMARY,
        value,
    };
    let ratio = |num, denom| Value::Rational(vec![Rational { num, denom }]);
    let text = |text: &str| Value::Ascii(vec![text.as_bytes().to_vec()]);
    vec![
        field(Tag::Orientation, Value::Short(vec![6])),
        field(Tag::PixelXDimension, Value::Long(vec![6000])),
        field(Tag::PixelYDimension, Value::Long(vec![4000])),
        field(Tag::FocalPlaneXResolution, ratio(6000, 36)),
        field(Tag::FocalPlaneResolutionUnit, Value::Short(vec![4])),
        field(Tag::FocalLength, ratio(20, 1)),
        field(Tag::FocalLengthIn35mmFilm, Value::Short(vec![20])),
        field(Tag::FNumber, ratio(18, 10)),
        field(Tag::ExposureTime, ratio(13, 1)),
        field(Tag::PhotographicSensitivity, Value::Short(vec![3200])),
        field(Tag::DateTimeOriginal, text("2026:06:14 23:10:05")),
        field(Tag::SubSecTimeOriginal, text("25")),
        field(Tag::OffsetTimeOriginal, text("+02:00")),
    ]
}

fn seeds() -> Vec<Vec<u8>> {
    let both = [false, true].map(|little| {
        let fields = fields();
        let mut writer = Writer::new();
        for field in &fields {
            writer.push_field(field);
        }
        let mut file = std::io::Cursor::new(Vec::new());
        writer.write(&mut file, little).expect("memory takes it");
        file.into_inner()
    });
    // in a JPEG: APP1 of CIPA DC-008
    let length = u16::try_from(both[0].len() + 8).expect("a small file");
    let jpeg = [
        &[0xFF, 0xD8, 0xFF, 0xE1][..],
        &length.to_be_bytes(),
        b"Exif\0\0",
        &both[0],
        &[0xFF, 0xD9],
    ]
    .concat();
    let camera = include_bytes!("../../frames/open-09.jpg")[..4000].to_vec();
    let mut seeds = both.to_vec();
    seeds.extend([jpeg, camera]);
    seeds
}

fn run(input: &[u8]) {
    match PhotoFacts::read(input) {
        Ok(facts) => {
            let numbers = [facts.focal_mm, facts.f_number];
            let finite = |value: &Option<f64>| value.is_none_or(|it| it.is_finite() && it > 0.0);
            assert!(numbers.iter().all(finite), "{facts:?}");
            if let Some(sensor) = facts.sensor() {
                assert!(sensor.pitch_um().is_finite(), "{sensor:?}");
            }
        }
        Err(why) => assert!(!why.to_string().is_empty()),
    }
    let facts = FrameFacts::read(input);
    let positive = |value: f64| value.is_finite() && value > 0.0;
    assert!(facts.exposure_s.is_none_or(positive), "{facts:?}");
}
