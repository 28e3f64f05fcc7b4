//! Frames of the night: pictures decoded, small ones measured and searched for a code. To identify
//! stars takes seconds, and sees no byte of the file any more.

use std::io::Cursor;

use rand_pcg::Pcg64Mcg;
use rand_pcg::rand_core::{Rng, SeedableRng};
use tarnlight::astrometry::decode::DecodedPicture;
use tarnlight::astrometry::measure::PictureMeasure;
use tarnlight::outing::test_frame::clock_code;

use super::{MB, MemoryLimit, Target};

pub const TARGET: Target = Target {
    name: "frames",
    seeds,
    run,
    memory: MemoryLimit {
        least: 4 * MB,
        // a byte of LZW may hold 2559 pixels, of four bytes each, as they are read and turned upright
        per_byte: 2 * 4 * 2559,
        most: 500 * MB,
    },
};

/// Pictures of more pixels are decoded and no more: to measure them takes too long here.
const MEASURED_PX: usize = 40_000;

const WIDTH: usize = 160;
const HEIGHT: usize = 112;

/// A night of some dots over noise, in red, green and blue.
fn night() -> Vec<u8> {
    let mut random = Pcg64Mcg::seed_from_u64(5);
    let mut rgb: Vec<u8> = (0..WIDTH * HEIGHT * 3)
        .map(|_| 20 + (random.next_u64() % 6) as u8)
        .collect();
    for _ in 0..60 {
        let (x, y) = (
            2 + random.next_u64() as usize % (WIDTH - 4),
            2 + random.next_u64() as usize % (HEIGHT - 4),
        );
        let light = 60 + (random.next_u64() % 190) as u8;
        for (dx, dy, part) in [(0, 0, 1), (1, 0, 2), (0, 1, 2), (1, 1, 4)] {
            let at = ((y + dy) * WIDTH + x + dx) * 3;
            rgb[at..at + 3].fill(light / part);
        }
    }
    rgb
}

fn png(rgb: &[u8]) -> Vec<u8> {
    let mut file = Vec::new();
    let mut encoder = png::Encoder::new(&mut file, WIDTH as u32, HEIGHT as u32);
    encoder.set_color(png::ColorType::Rgb);
    encoder.set_depth(png::BitDepth::Eight);
    let mut writer = encoder.write_header().expect("a header");
    writer.write_image_data(rgb).expect("pixels");
    writer.finish().expect("an end");
    file
}

fn tiff(rgb: &[u8]) -> Vec<u8> {
    let mut file = Cursor::new(Vec::new());
    let encoder = tiff::encoder::TiffEncoder::new(&mut file).expect("a file");
    let mut encoder = encoder.with_compression(tiff::encoder::Compression::Lzw);
    encoder
        .write_image::<tiff::encoder::colortype::RGB8>(WIDTH as u32, HEIGHT as u32, rgb)
        .expect("pixels");
    file.into_inner()
}

/// A camera's JPEG cut to a few of its blocks: another size in its header (ITU-T T.81, B.2.2), and
/// an end sooner.
fn jpeg() -> Vec<u8> {
    let mut file = include_bytes!("../../frames/open-09.jpg").to_vec();
    let header = file.windows(2).position(|pair| pair == [0xFF, 0xC0]);
    let header = header.expect("a frame header");
    file[header + 5..header + 9].copy_from_slice(&[0, HEIGHT as u8, 0, WIDTH as u8]);
    file.truncate(12_000);
    file.extend([0xFF, 0xD9]);
    file
}

/// A raw file as TIFF describes one: a directory that names one JPEG.
fn raw() -> Vec<u8> {
    let jpeg = &include_bytes!("../../frames/open-09.jpg")[..20_000];
    let mut file = b"II\x2a\x00\x08\x00\x00\x00\x02\x00".to_vec();
    for (tag, value) in [(0x0201_u16, 38), (0x0202, jpeg.len() as u32)] {
        file.extend(tag.to_le_bytes());
        file.extend([4, 0, 1, 0, 0, 0]);
        file.extend(value.to_le_bytes());
    }
    file.extend([0; 4]);
    file.extend(jpeg);
    file
}

fn seeds() -> Vec<Vec<u8>> {
    let rgb = night();
    vec![png(&rgb), tiff(&rgb), jpeg(), raw()]
}

fn run(input: &[u8]) {
    let decoded = match DecodedPicture::read(input) {
        Ok(decoded) => decoded,
        Err(why) => {
            assert!(!why.to_string().is_empty());
            return;
        }
    };
    let picture = &decoded.picture;
    assert_eq!(picture.pixels.len(), picture.width * picture.height);
    assert!(picture.pixels.iter().all(|value| value.is_finite()));
    if picture.pixels.len() > MEASURED_PX {
        return;
    }
    let measure = PictureMeasure::new(picture);
    for star in &measure.stars.stars {
        let numbers = [star.at.x_px, star.at.y_px, star.flux, star.long_px];
        assert!(numbers.iter().all(|value| value.is_finite()), "{star:?}");
    }
    if let Err(why) = clock_code::read(&decoded) {
        assert!(!why.is_empty());
    }
}
