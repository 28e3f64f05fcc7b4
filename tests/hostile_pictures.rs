//! Damaged and hostile picture files: whatever the bytes, decoding and measuring end in time and with
//! a value, without a panic and within bounded memory.
#![cfg(not(target_arch = "wasm32"))]

mod rendered;

use std::io::Cursor;
use std::time::{Duration, Instant};

use rand_pcg::Pcg64Mcg;
use rand_pcg::rand_core::{Rng, SeedableRng};
use rendered::Scene;
use tarnlight::astrometry::decode::{DecodedPicture, PictureError};
use tarnlight::astrometry::measure::PictureMeasure;
use tarnlight::astrometry::picture::Picture;

/// A file may take this long, decoded and measured; unoptimised, ten times as long.
const LONGEST: Duration = Duration::from_secs(if cfg!(debug_assertions) { 50 } else { 5 });

/// Mutations of each file; another number can be asked for, with other random numbers.
const MUTATIONS: usize = 96;
const ASKED: &str = "TARNLIGHT_MUTATIONS";

/// Measuring takes ten times longer than decoding: one in so many mutants is measured, and one in more
/// of those asked for.
const MEASURED_ONE_IN: usize = 6;
const ASKED_MEASURED_ONE_IN: usize = 48;

/// The process may never have held more than this, kB.
const MOST_KB: u64 = 500_000;

fn small_scene() -> Scene {
    Scene {
        width: 320,
        height: 213,
        focal_px: 220.0,
        centre: (160.0, 106.0),
        faintest: 6.0,
        hot_pixels: 3,
        ..Scene::default()
    }
}

fn png(rgb: &[u8], width: usize, height: usize) -> Vec<u8> {
    let mut file = Vec::new();
    let mut encoder = png::Encoder::new(&mut file, width as u32, height as u32);
    encoder.set_color(png::ColorType::Rgb);
    encoder.set_depth(png::BitDepth::Eight);
    let mut writer = encoder.write_header().expect("a header");
    writer.write_image_data(rgb).expect("pixels");
    writer.finish().expect("an end");
    file
}

fn tiff(rgb: &[u8], width: usize, height: usize) -> Vec<u8> {
    let mut file = Cursor::new(Vec::new());
    let mut encoder = tiff::encoder::TiffEncoder::new(&mut file).expect("a file");
    encoder
        .write_image::<tiff::encoder::colortype::RGB8>(width as u32, height as u32, rgb)
        .expect("pixels");
    file.into_inner()
}

/// A raw file as TIFF describes one: a directory that names one JPEG.
fn raw_with(jpeg: &[u8]) -> Vec<u8> {
    let mut file = b"II\x2a\x00\x08\x00\x00\x00".to_vec();
    file.extend(2_u16.to_le_bytes());
    let start = 8 + 2 + 24 + 4;
    for (tag, value) in [(0x0201_u16, start as u32), (0x0202, jpeg.len() as u32)] {
        file.extend(tag.to_le_bytes());
        file.extend(4_u16.to_le_bytes());
        file.extend(1_u32.to_le_bytes());
        file.extend(value.to_le_bytes());
    }
    file.extend([0; 4]);
    file.extend(jpeg);
    file
}

fn files() -> Vec<(&'static str, Vec<u8>)> {
    let scene = small_scene();
    let frame = scene.render();
    let jpeg = include_bytes!("frames/open-09.jpg").to_vec();
    vec![
        ("png", png(&frame.rgb, scene.width, scene.height)),
        ("tiff", tiff(&frame.rgb, scene.width, scene.height)),
        ("raw", raw_with(&jpeg)),
        ("jpeg", jpeg),
    ]
}

fn try_file(name: &str, bytes: &[u8], measured: bool) {
    let start = Instant::now();
    if let Ok(decoded) = DecodedPicture::read(bytes) {
        let picture = &decoded.picture;
        assert_eq!(picture.pixels.len(), picture.width * picture.height);
        assert!(
            picture.pixels.iter().all(|value| value.is_finite()),
            "{name}"
        );
        if measured {
            check_values(&PictureMeasure::new(picture));
        }
    }
    let took = start.elapsed();
    assert!(took < LONGEST, "{name}: {took:?}");
}

fn check_values(measure: &PictureMeasure) {
    for star in &measure.stars.stars {
        let all = [
            star.at.x_px,
            star.at.y_px,
            star.flux,
            star.long_px,
            star.wide_px,
        ];
        assert!(all.iter().all(|value| value.is_finite()), "{star:?}");
    }
    for stroke in &measure.strokes {
        let all = [stroke.length_px, stroke.width_px, stroke.angle.radians()];
        assert!(all.iter().all(|value| value.is_finite()), "{stroke:?}");
    }
}

#[test]
fn whole_files_are_read() {
    for (name, bytes) in files() {
        let decoded = DecodedPicture::read(&bytes);
        assert!(decoded.is_ok(), "{name}: {:?}", decoded.err());
    }
}

/// A PNG and a TIFF of the same pixels are the same picture.
#[test]
fn formats_agree() {
    let all = files();
    let read = |index: usize| {
        DecodedPicture::read(&all[index].1)
            .expect("a picture")
            .picture
    };
    let (one, other) = (read(0), read(1));
    let most = one
        .pixels
        .iter()
        .zip(&other.pixels)
        .map(|(one, other)| (one - other).abs())
        .fold(0.0, f32::max);
    assert!(most < 1e-6, "{most}");
    assert_eq!(read(2), read(3), "a raw's preview is the JPEG itself");
}

/// One of four kinds of damage.
fn mutated(good: &[u8], mutation: usize, random: &mut Pcg64Mcg) -> Vec<u8> {
    let mut bytes = good.to_vec();
    let mut below = |limit: usize| (random.next_u64() % limit.max(1) as u64) as usize;
    match mutation % 4 {
        0 => bytes.truncate(below(good.len())),
        1 => {
            // the headers decide what is allocated
            for _ in 0..4 {
                let at = below(good.len().min(700));
                bytes[at] = below(256) as u8;
            }
        }
        2 => {
            for _ in 0..20 {
                let at = below(good.len());
                bytes[at] ^= 1 << below(8);
            }
        }
        _ => {
            let at = below(good.len());
            let length = below(64).min(good.len() - at);
            let fill = if mutation % 8 == 3 { 0xFF } else { 0 };
            bytes[at..at + length].fill(fill);
        }
    }
    bytes
}

/// The most memory that this process ever held, kB; `None` where the system does not tell.
fn most_held_kb() -> Option<u64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find(|line| line.starts_with("VmHWM:"))?;
    line.split_whitespace().nth(1)?.parse().ok()
}

#[test]
fn mutated_files_never_panic() {
    let asked = std::env::var(ASKED).ok().and_then(|text| text.parse().ok());
    let (mutations, one_in, seed) = match asked {
        Some(asked) => (asked, ASKED_MEASURED_ONE_IN, asked as u64),
        None => (MUTATIONS, MEASURED_ONE_IN, 7),
    };
    let mut random = Pcg64Mcg::seed_from_u64(seed);
    for (name, good) in files() {
        for mutation in 0..mutations {
            let bytes = mutated(&good, mutation, &mut random);
            // so that every kind of damage is measured
            let measured = mutation / 4 % one_in == 0;
            try_file(name, &bytes, measured);
        }
    }
    let held_kb = most_held_kb();
    println!("the most memory held: {held_kb:?} kB");
    assert!(
        held_kb.is_none_or(|held_kb| held_kb < MOST_KB),
        "{held_kb:?} kB"
    );
}

#[test]
fn claims_of_size_are_not_believed() {
    // a JPEG that says it has 65 500 pixels a side
    let mut jpeg = include_bytes!("frames/open-09.jpg").to_vec();
    let at = jpeg
        .windows(2)
        .position(|pair| pair == [0xFF, 0xC0])
        .expect("a frame header");
    jpeg[at + 5..at + 9].copy_from_slice(&[0xFF, 0xDC, 0xFF, 0xDC]);
    assert_eq!(
        DecodedPicture::read(&jpeg).err(),
        Some(PictureError::TooLarge)
    );
    assert_eq!(
        DecodedPicture::read(b"plain text").err(),
        Some(PictureError::UnknownFormat)
    );
    assert_eq!(
        DecodedPicture::read(&[]).err(),
        Some(PictureError::UnknownFormat)
    );
}

/// Pictures no camera takes: even, noise alone, stripes, values that are not numbers.
#[test]
fn odd_pictures_are_measured_in_time() {
    let (width, height) = (900, 600);
    let mut random = Pcg64Mcg::seed_from_u64(3);
    let mut noise = || (random.next_u64() >> 40) as f32 / (1 << 24) as f32;
    let pictures: Vec<Vec<f32>> = vec![
        vec![0.0; width * height],
        vec![1.0; width * height],
        (0..width * height).map(|_| noise()).collect(),
        (0..width * height)
            .map(|index| ((index / 7) % 2) as f32)
            .collect(),
        (0..width * height)
            .map(|index| {
                if (index % 9, index / width % 9) == (4, 4) {
                    0.8
                } else {
                    0.01
                }
            })
            .collect(),
        vec![f32::NAN; width * height],
    ];
    for (index, pixels) in pictures.into_iter().enumerate() {
        let start = Instant::now();
        check_values(&PictureMeasure::new(&Picture {
            width,
            height,
            pixels,
        }));
        let took = start.elapsed();
        assert!(took < LONGEST, "{index}: {took:?}");
    }
    // down to a single pixel
    for (width, height) in [(0, 0), (1, 1), (3, 90), (90, 3), (20, 20)] {
        check_values(&PictureMeasure::new(&Picture {
            width,
            height,
            pixels: vec![0.1; width * height],
        }));
    }
}
