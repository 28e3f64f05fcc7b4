//! The page's own symbols, drawn with one stroke on a grid of 32 by 24.

use yew::prelude::*;

/// A symbol.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Symbol {
    /// How long?: the trail between two brackets that allow it.
    Trail,
    /// When?: the core's bow over a ridge.
    Bow,
    /// Where?: the corners of a frame about a ridge.
    Frame,
    /// Why track?: a point here, a stroke there.
    Split,
    /// More: a cairn.
    Cairn,
    /// A step down.
    Minus,
    /// A step up.
    Plus,
    /// The rest of the inputs is drawn up.
    Up,
    /// The rest of the inputs is put back.
    Down,
    /// The last edit is taken back.
    Undo,
    /// An edit taken back is made again.
    Redo,
    /// A camera body.
    Camera,
    /// A site.
    Ridge,
    /// A page of paper.
    Card,
    /// Something goes to somebody else.
    Share,
    /// A lamp.
    Display,
    /// A night to keep.
    Pennant,
}

/// Outline, drawn as a stroke, and filled parts.
type Paths = (&'static str, &'static str);

impl Symbol {
    const fn paths(self) -> Paths {
        match self {
            Self::Trail => ("M5 6v12M27 6v12M5 12h22", "M10 9h12v6H10z"),
            Self::Bow => ("M5 14C10 4 22 4 27 14M3 20l7-4 4 3 6-5 9 6", ""),
            Self::Frame => (
                "M5 9V4h6M27 9V4h-6M5 17v4h6M27 17v4h-6M8 16l5-5 4 3 3-3 4 5",
                "",
            ),
            Self::Split => (
                "M16 3v3M16 10v3M16 17v4M20 16l7-7",
                "M6.5 12a3 3 0 1 0 6 0a3 3 0 1 0-6 0",
            ),
            Self::Cairn => (
                "M6 19a10 3.2 0 1 0 20 0a10 3.2 0 1 0-20 0M9.500 12a6.500 2.600 0 1 0 13 0a6.500 2.600 0 1 0-13 0M12.500 5.500a3.500 2 0 1 0 7 0a3.500 2 0 1 0-7 0",
                "",
            ),
            Self::Minus => ("M8 12h16", ""),
            Self::Plus => ("M8 12h16M16 4v16", ""),
            Self::Up => ("M9 15l7-7 7 7", ""),
            Self::Down => ("M9 9l7 7 7-7", ""),
            Self::Undo => ("M12 5L6 10l6 5M6 10h13a5 5 0 0 1 0 10h-5", ""),
            Self::Redo => ("M20 5l6 5-6 5M26 10H13a5 5 0 0 0 0 10h5", ""),
            Self::Camera => (
                "M4 8h6l2-3h8l2 3h6v12H4zM11 14a5 5 0 1 0 10 0a5 5 0 1 0-10 0",
                "",
            ),
            Self::Ridge => ("M2 19l8-10 5 6 4-4 11 8", ""),
            Self::Card => ("M8 3h16v18H8zM12 8h8M12 12h8M12 16h5", ""),
            Self::Share => ("M16 15V3M11 8l5-5 5 5M7 12v8h18v-8", ""),
            Self::Display => (
                "M11 12a5 5 0 1 0 10 0a5 5 0 1 0-10 0M16 2v2M16 20v2M6 12H4M28 12h-2M8.900 5l1.500 1.500M23.100 5l-1.500 1.500M8.900 19l1.500-1.500M23.100 19l-1.500-1.500",
                "",
            ),
            Self::Pennant => ("M9 22V3l14 5-14 5", ""),
        }
    }
}

/// A symbol, hidden from screen readers: words stand beside it.
pub fn symbol(symbol: Symbol) -> Html {
    let (outline, filled) = symbol.paths();
    html! {
        <svg class="symbol" viewBox="0 0 32 24" aria-hidden="true">
            <path d={outline} />
            <path class="filled" d={filled} />
        </svg>
    }
}
