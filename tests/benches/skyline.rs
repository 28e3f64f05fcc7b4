//! How long the skyline over a tile takes.

use std::io::Cursor;

use tarnlight::angle::Angle;
use tarnlight::land::sighting::BEND;
use tarnlight::land::skyline::{Skyline, Viewpoint, skyline};
use tarnlight::land::terrain::Terrain;
use tarnlight::land::tile::Tile;

fn main() {
    divan::main();
}

/// Points along a side of a tile of one second.
const SIDE: usize = 3601;

/// Rough ground, high mountains and valleys down to a few points wide.
fn rough() -> Vec<u8> {
    let mut bytes = Vec::with_capacity(2 * SIDE * SIDE);
    for row in 0..SIDE {
        for column in 0..SIDE {
            let (x, y) = (column as f64, row as f64);
            let wide = (x * 0.004).sin() * (y * 0.005).cos() * 900.0;
            let narrow = (x * 0.031 + y * 0.017).sin() * (y * 0.041).cos() * 250.0;
            let fine = (x * 0.7 + (y * 0.9).sin()).sin() * 25.0;
            let height = (1600.0 + wide + narrow + fine) as i16;
            bytes.extend(height.to_be_bytes());
        }
    }
    bytes
}

/// From the file in memory to the skyline, read as a whole.
#[divan::bench]
fn skyline_of_a_tile_of_one_second(bencher: divan::Bencher<'_, '_>) {
    let bytes = rough();
    bencher.bench_local(|| seen(divan::black_box(&bytes)));
}

fn seen(bytes: &[u8]) -> Option<Skyline> {
    let eye = Viewpoint {
        latitude: Angle::from_degrees(46.52),
        longitude: Angle::from_degrees(9.51),
        height_m: None,
    };
    let tile = Tile {
        name: "N46E009.hgt".to_owned(),
        bytes: Cursor::new(bytes),
    };
    let terrain = Terrain::read(vec![tile], eye.latitude, eye.longitude).ok()?;
    skyline(&terrain, eye, BEND).ok()
}
