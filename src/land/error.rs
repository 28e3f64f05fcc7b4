//! What can be wrong with tiles, in plain sentences.

use std::fmt;

/// Why there is no skyline; prints as a plain sentence.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum TerrainError {
    /// No file was opened.
    NoTiles,
    /// More files than are read together.
    TooManyTiles,
    /// One file, by its name, and what is wrong with it.
    Tile(String, TileError),
    /// The site lies in none of the tiles.
    Elsewhere,
    /// The site's height was asked of the tiles, and they do not know it.
    HeightUnknown,
    /// The site is no place on the Earth, or too near a pole.
    NoSuchPlace,
    /// The bend of light is out of bounds.
    Bend,
    /// More heights lie around the site than a phone should hold.
    TooFine,
    /// The phone gives no more memory.
    NoMemory,
}

/// What is wrong with one file; prints as the end of a sentence.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TileError {
    /// It cannot be read, or ends early.
    CutShort,
    /// It is neither an SRTM tile nor a TIFF.
    Unknown,
    /// It is packed.
    Packed,
    /// Its name does not tell its corner.
    Name,
    /// Its length is not that of an SRTM tile.
    Length,
    /// A TIFF that does not hold together.
    Broken,
    /// A TIFF with more than one value a point, or with colours.
    Bands,
    /// A TIFF whose heights are in a form not read here.
    Samples,
    /// A TIFF that does not say where it lies.
    Nowhere,
    /// A TIFF in a map projection.
    Projected,
    /// A TIFF of other degrees than WGS84's.
    Datum,
    /// A TIFF that is turned, mirrored, or has impossible steps or corners.
    Turned,
    /// A TIFF with heights in feet.
    Feet,
    /// More points, or larger parts, than are read here.
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
