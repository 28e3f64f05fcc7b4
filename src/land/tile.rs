//! A file of heights: its format, layout and heights.

use std::io::{Read, Seek, SeekFrom};

use crate::land::error::{TerrainError, TileError};
use crate::land::geotiff::GeoTiff;
use crate::land::hgt::Hgt;
use crate::land::tile_layout::{Layout, Part, RowSink};

/// A file as it was opened.
#[derive(Debug)]
pub struct Tile<R> {
    /// The file's name, which for an SRTM tile is its corner.
    pub name: String,
    /// Its bytes, read on demand.
    pub bytes: R,
}

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
