//! Tiles of elevation: a name and the bytes of a file, real-shaped SRTM and GeoTIFF among the seeds.

use tarnlight::land::terrain::MOST_BYTES;
use tiff::encoder::Compression;

use super::{MB, MemoryLimit, Target};
use crate::tiles::{Sheet, eye, hgt, seen};

pub const TARGET: Target = Target {
    name: "tiles",
    seeds,
    run,
    memory: MemoryLimit {
        // the skyline itself, and rows read ahead of an SRTM tile
        least: 4 * MB,
        // what a byte of LZW can hold, as a file's part and again in the grid
        per_byte: 2 * 2559,
        most: MOST_BYTES + 4 * MB,
    },
};

const NAMES: [&str; 4] = ["ground.tif", "N46E009.hgt", "S47W010.hgt", "x"];

/// The file's first byte tells its name; and the eye is where the seeds are.
fn seeds() -> Vec<Vec<u8>> {
    let sheet = |compression, area| Sheet {
        rows: 61,
        columns: 61,
        north: 46.53,
        west: 9.47,
        step: 0.001,
        area,
        compression,
    };
    let ground = |latitude: f64, longitude: f64| ((latitude + longitude) * 37.0) as i16;
    let mut seeds: Vec<Vec<u8>> = [
        Compression::Uncompressed,
        Compression::Lzw,
        Compression::Packbits,
    ]
    .into_iter()
    .flat_map(|way| [sheet(way, true), sheet(way, false)])
    .map(|sheet| named(0, &sheet.whole(ground).1))
    .collect();
    seeds.push(named(0, include_bytes!("../../reference/ground_float.tif")));
    seeds.push(named(0, include_bytes!("../../reference/ground.tif")));
    seeds.push(named(1, &hgt(46, 9, 1201, |_, _| 500).1));
    seeds
}

fn named(name: u8, bytes: &[u8]) -> Vec<u8> {
    [&[name], bytes].concat()
}

fn run(input: &[u8]) {
    let Some((name, bytes)) = input.split_first() else {
        return;
    };
    let name = NAMES[usize::from(*name) % NAMES.len()];
    let file = [(name.to_owned(), bytes.to_vec())];
    match seen(&file, eye(46.5, 9.5, None), 0.13) {
        Ok(skyline) => {
            for point in &skyline.points {
                let top = point.top.map(|top| top.height.degrees());
                assert!(
                    top.is_none_or(|top| (-90.0..=90.0).contains(&top)),
                    "{top:?}"
                );
            }
        }
        Err(why) => assert!(why.to_string().len() > 15, "{why}"),
    }
}
