//! Tiles of invented ground, as files in memory.

use std::io::Cursor;

use tarnlight::angle::Angle;
use tarnlight::land::error::TerrainError;
use tarnlight::land::skyline::{HorizonPoint, Skyline, Viewpoint, skyline};
use tarnlight::land::terrain::Terrain;
use tarnlight::land::tile::Tile;
use tiff::encoder::colortype::{ColorType, Gray32Float, GrayI16};
use tiff::encoder::{Compression, TiffEncoder, TiffValue};
use tiff::tags::Tag;

/// A file: its name and bytes.
pub type File = (String, Vec<u8>);

/// An SRTM tile with this south-west corner, of ground by latitude and
/// longitude, metres.
pub fn hgt(south: i32, west: i32, side: usize, ground: impl Fn(f64, f64) -> i16) -> File {
    let mut bytes = Vec::with_capacity(2 * side * side);
    let steps = (side - 1) as f64;
    for row in 0..side {
        for column in 0..side {
            let latitude = f64::from(south + 1) - row as f64 / steps;
            let longitude = f64::from(west) + column as f64 / steps;
            bytes.extend(ground(latitude, longitude).to_be_bytes());
        }
    }
    let letter = |value: i32, plus, minus| if value < 0 { minus } else { plus };
    let name = format!(
        "{}{:02}{}{:03}.hgt",
        letter(south, 'N', 'S'),
        south.abs(),
        letter(west, 'E', 'W'),
        west.abs(),
    );
    (name, bytes)
}

/// How a GeoTIFF is laid out.
#[derive(Clone, Copy)]
pub struct Sheet {
    pub rows: u32,
    pub columns: u32,
    /// Of the first pixel's middle, degrees.
    pub north: f64,
    pub west: f64,
    pub step: f64,
    /// Whether the tiepoint is a pixel's corner instead of its centre.
    pub area: bool,
    pub compression: Compression,
}

impl Sheet {
    fn write<C: ColorType>(&self, ground: &dyn Fn(f64, f64) -> C::Inner) -> File
    where
        [C::Inner]: TiffValue,
    {
        let mut pixels = Vec::new();
        for row in 0..self.rows {
            for column in 0..self.columns {
                let latitude = self.north - f64::from(row) * self.step;
                let longitude = self.west + f64::from(column) * self.step;
                pixels.push(ground(latitude, longitude));
            }
        }
        let mut bytes = Cursor::new(Vec::new());
        let mut encoder = TiffEncoder::new(&mut bytes)
            .expect("memory takes it")
            .with_compression(self.compression);
        let mut image = encoder
            .new_image::<C>(self.columns, self.rows)
            .expect("memory takes it");
        let half = if self.area { self.step / 2.0 } else { 0.0 };
        let tie = [0.0, 0.0, 0.0, self.west - half, self.north + half, 0.0];
        let raster = if self.area { 1 } else { 2 };
        let keys: [u16; 16] = [
            1, 1, 0, 3, 1024, 0, 1, 2, 1025, 0, 1, raster, 2048, 0, 1, 4326,
        ];
        let tags = image.encoder();
        tags.write_tag(Tag::ModelPixelScaleTag, &[self.step, self.step, 0.0][..])
            .expect("memory takes it");
        tags.write_tag(Tag::ModelTiepointTag, &tie[..])
            .expect("memory takes it");
        tags.write_tag(Tag::GeoKeyDirectoryTag, &keys[..])
            .expect("memory takes it");
        image.write_data(&pixels).expect("memory takes it");
        ("ground.tif".to_owned(), bytes.into_inner())
    }

    /// Ground in whole metres.
    pub fn whole(&self, ground: impl Fn(f64, f64) -> i16) -> File {
        self.write::<GrayI16>(&ground)
    }

    /// Ground in metres and parts.
    pub fn float(&self, ground: impl Fn(f64, f64) -> f32) -> File {
        self.write::<Gray32Float>(&ground)
    }
}

/// An eye by its numbers, degrees and metres.
pub fn eye(latitude: f64, longitude: f64, height_m: impl Into<Option<f64>>) -> Viewpoint {
    Viewpoint {
        latitude: Angle::from_degrees(latitude),
        longitude: Angle::from_degrees(longitude),
        height_m: height_m.into(),
    }
}

/// The terrain of files around an eye.
pub fn terrain(files: &[File], eye: Viewpoint) -> Result<Terrain, TerrainError> {
    let tiles = files.iter().map(|(name, bytes)| Tile {
        name: name.clone(),
        bytes: Cursor::new(bytes.as_slice()),
    });
    Terrain::read(tiles.collect(), eye.latitude, eye.longitude)
}

/// The skyline of files.
pub fn seen(files: &[File], eye: Viewpoint, bend: f64) -> Result<Skyline, TerrainError> {
    skyline(&terrain(files, eye)?, eye, bend)
}

/// What is seen in a direction, degrees, a multiple of a quarter.
pub fn towards(skyline: &Skyline, bearing: f64) -> HorizonPoint {
    let point = skyline.points[(bearing * 4.0) as usize];
    assert!((point.bearing.degrees() - bearing).abs() < 1e-9);
    point
        .top
        .unwrap_or_else(|| panic!("nothing known at {bearing}°"))
}
