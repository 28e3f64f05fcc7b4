//! Errors of elevation tiles, with their messages.

use std::fmt;

/// Why there is no skyline; displays as a sentence.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum TerrainError {
    /// No file was opened.
    NoTiles,
    /// More files than are read together.
    TooManyTiles,
    /// A file's name and its error.
    Tile(String, TileError),
    /// The site is in none of the tiles.
    Elsewhere,
    /// The site's height is needed from the tiles, and is void there.
    HeightUnknown,
    /// The site is not on the Earth, or too near a pole.
    NoSuchPlace,
    /// The refraction coefficient is out of bounds.
    Bend,
    /// More heights around the site than a phone should hold.
    TooFine,
    /// Out of memory.
    NoMemory,
}

/// An error of one file; displays as the end of a sentence.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TileError {
    /// It cannot be read, or ends early.
    CutShort,
    /// It is neither an SRTM tile nor a TIFF.
    Unknown,
    /// It is compressed.
    Packed,
    /// Its name has no corner.
    Name,
    /// Its length is not that of an SRTM tile.
    Length,
    /// An inconsistent TIFF.
    Broken,
    /// A TIFF with more than one value a point, or with colours.
    Bands,
    /// A TIFF with an unsupported sample format.
    Samples,
    /// A TIFF without georeferencing.
    Nowhere,
    /// A TIFF in a map projection.
    Projected,
    /// A TIFF with another datum than WGS84.
    Datum,
    /// A TIFF that is rotated, mirrored, or has invalid steps or corners.
    Turned,
    /// A TIFF with heights in feet.
    Feet,
    /// More points, or larger strips or tiles, than supported.
    TooLarge,
}

impl fmt::Display for TerrainError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(match self {
            Self::NoTiles => "open at least one elevation tile",
            Self::TooManyTiles => "open at most 64 elevation tiles at once",
            Self::Tile(file, fault) => {
                out.write_str(file)?;
                out.write_str(" ")?;
                return fault.fmt(out);
            }
            Self::Elsewhere => "the site lies outside every tile opened",
            Self::HeightUnknown => {
                "the tiles have no height at the site; type how high it lies and open them again"
            }
            Self::NoSuchPlace => "a skyline is worked out between 85° south and 85° north",
            Self::Bend => "the bend of light must be from -1 to 0.9",
            Self::TooFine => {
                "these tiles have too many heights around the site; open tiles of one arc second"
            }
            Self::NoMemory => "the phone has not enough memory for these tiles",
        })
    }
}

impl fmt::Display for TileError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(match self {
            Self::CutShort => "cannot be read to its end",
            Self::Unknown => "is neither an .hgt tile nor a GeoTIFF",
            Self::Packed => "is packed; unpack it first",
            Self::Name => "must be named after its south-west corner, such as N46E009.hgt",
            Self::Length => "is not as long as an .hgt tile of 1 or 3 arc seconds",
            Self::Broken => "is a TIFF that cannot be read",
            Self::Bands => "must hold heights only, one for each point",
            Self::Samples => {
                "holds heights in a form not read here; 16 or 32 bits, packed by LZW or Deflate, are"
            }
            Self::Nowhere => "does not say where on the Earth it lies",
            Self::Projected => "is in a map projection; turn it into WGS84 degrees (EPSG:4326)",
            Self::Datum => "is not in WGS84 degrees (EPSG:4326)",
            Self::Turned => "is not laid out with north up, in steps of degrees",
            Self::Feet => "holds heights in feet; metres are needed",
            Self::TooLarge => "has more points, or larger parts, than are read here",
        })
    }
}
