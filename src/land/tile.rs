//! A file of heights: its format, layout and heights.

use std::io::{Read, Seek, SeekFrom};

use crate::land::error::{TerrainError, TileError};
use crate::land::geotiff::GeoTiff;
use crate::land::hgt::Hgt;

/// Most points along a side of a tile.
pub(super) const LONGEST_SIDE: usize = 100_000;

/// Steps between points, degrees: from a decimetre to ten kilometres.
const STEPS_DEG: [f64; 2] = [1e-6, 0.1];

/// A file as it was opened.
#[derive(Debug)]
pub struct Tile<R> {
    /// The file's name, which for an SRTM tile is its corner.
    pub name: String,
    /// Its bytes, read on demand.
    pub bytes: R,
}

/// Positions of a tile's points: rows from north to south, columns from west to east, degrees.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Layout {
    /// Number of rows.
    pub rows: usize,
    /// Number of columns.
    pub columns: usize,
    /// Latitude of the first row.
    pub north: f64,
    /// Longitude of the first column.
    pub west: f64,
    /// From one row to the next one south.
    pub down: f64,
    /// From one column to the next one east.
    pub across: f64,
    /// Whether heights have fractions of a metre.
    pub fractions: bool,
}

impl Layout {
    /// Checks that the layout is on the Earth.
    pub(super) fn checked(self) -> Result<Self, TileError> {
        let sides = [self.rows, self.columns];
        if sides.iter().any(|&side| side > LONGEST_SIDE) {
            return Err(TileError::TooLarge);
        }
        let step = |step: f64| (STEPS_DEG[0]..=STEPS_DEG[1]).contains(&step);
        let latitude = |latitude: f64| (-90.5..=90.5).contains(&latitude);
        let fits = sides.iter().all(|&side| side >= 2)
            && step(self.down)
            && step(self.across)
            && latitude(self.north)
            && latitude(self.south())
            && (-540.0..=540.0).contains(&self.west);
        if fits {
            Ok(self)
        } else {
            Err(TileError::Turned)
        }
    }

    /// Number of points.
    pub(super) fn points(&self) -> usize {
        self.rows.saturating_mul(self.columns)
    }

    /// Latitude of the last row.
    pub(super) fn south(&self) -> f64 {
        self.north - self.down * (self.rows - 1) as f64
    }

    /// Longitude of the last column.
    pub(super) fn east(&self) -> f64 {
        self.west + self.across * (self.columns - 1) as f64
    }

    /// The same, shifted by whole turns of longitude to be near a longitude.
    pub(super) fn near(self, longitude: f64) -> Self {
        let middle = (self.west + self.east()) / 2.0;
        let turns = ((longitude - middle) / 360.0).round();
        Self {
            west: self.west + 360.0 * turns,
            ..self
        }
    }

    /// Whether a place is within the points.
    pub(super) fn holds(&self, latitude: f64, longitude: f64) -> bool {
        (self.south()..=self.north).contains(&latitude)
            && (self.west..=self.east()).contains(&longitude)
    }
}

/// A range of rows and columns of a tile: from the first, up to but not including the second.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Part {
    pub rows: [usize; 2],
    pub columns: [usize; 2],
}

/// Receives heights of one row from a column on, metres; NaN for voids.
pub(super) type RowSink<'a> = dyn FnMut(usize, usize, &[f32]) + 'a;

/// A tile whose header has been read.
pub(super) enum TileReader<R: Read + Seek> {
    Hgt(Hgt<R>),
    GeoTiff(Box<GeoTiff<R>>),
}

impl<R: Read + Seek> TileReader<R> {
    /// Reads a file's header.
    pub fn open(tile: Tile<R>) -> Result<(String, Self), TerrainError> {
        let Tile { name, mut bytes } = tile;
        let kind = kind(&name, &mut bytes);
        let opened = match kind {
            Ok(Kind::Hgt) => Hgt::open(&name, bytes).map(Self::Hgt),
            Ok(Kind::Tiff) => GeoTiff::open(bytes).map(|tiff| Self::GeoTiff(Box::new(tiff))),
            Err(fault) => Err(fault),
        };
        match opened {
            Ok(opened) => Ok((name, opened)),
            Err(fault) => Err(TerrainError::Tile(name, fault)),
        }
    }

    pub fn layout(&self) -> Layout {
        match self {
            Self::Hgt(hgt) => hgt.layout(),
            Self::GeoTiff(tiff) => tiff.layout(),
        }
    }

    /// Most bytes that [`read`](Self::read) holds at a time.
    pub fn part_bytes(&mut self) -> usize {
        match self {
            Self::Hgt(hgt) => hgt.part_bytes(),
            Self::GeoTiff(tiff) => tiff.part_bytes(),
        }
    }

    pub fn read(&mut self, part: Part, take: &mut RowSink<'_>) -> Result<(), TileError> {
        match self {
            Self::Hgt(hgt) => hgt.read(part, take),
            Self::GeoTiff(tiff) => tiff.read(part, take),
        }
    }
}

enum Kind {
    Hgt,
    Tiff,
}

/// The kind of a file, by its first bytes or its name.
fn kind(name: &str, bytes: &mut (impl Read + Seek)) -> Result<Kind, TileError> {
    let mut head = [0; 4];
    bytes
        .seek(SeekFrom::Start(0))
        .map_err(|_| TileError::CutShort)?;
    bytes
        .read_exact(&mut head)
        .map_err(|_| TileError::CutShort)?;
    // the library reads from the current position
    bytes
        .seek(SeekFrom::Start(0))
        .map_err(|_| TileError::CutShort)?;
    let named = |end: &str| {
        let from = name.len().checked_sub(end.len());
        let last = from.and_then(|from| name.get(from..));
        last.is_some_and(|last| last.eq_ignore_ascii_case(end))
    };
    match &head {
        // by its name first: a tile's first heights may be any bytes
        _ if named(".hgt") => Ok(Kind::Hgt),
        b"II*\0" | b"MM\0*" | b"II+\0" | b"MM\0+" => Ok(Kind::Tiff),
        [b'P', b'K', ..] | [0x1f, 0x8b, ..] => Err(TileError::Packed),
        _ => Err(TileError::Unknown),
    }
}
