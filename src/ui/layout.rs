//! How the page is divided: four widths, each with a place for the horizon strip, the picture,
//! the words and the keys.
//!
//! Style sheets place the parts by the class of the layout; pictures take their size from here,
//! so that what is drawn in them is in screen pixels at every width.

use crate::browser::viewport::Viewport;
use crate::decimal::fixed;

/// From this width on a window is a desk's, px.
const DESK_PX: f64 = 1000.0;

/// From this width on a window is a tablet's, px.
const TABLET_PX: f64 = 600.0;

/// Below this height a window wider than high is a phone on its side, px.
const SIDE_PX: f64 = 480.0;

/// Width of the rail of questions, px.
const RAIL_PX: f64 = 92.0;

/// Deck and bar of questions on an upright phone; the bar alone on a tablet, px.
const DECK_AND_BAR_PX: f64 = 137.0;
const BAR_PX: f64 = 72.0;

/// Keys and questions beside the picture on a phone on its side, px.
const SIDE_KEYS_PX: f64 = 162.0;

/// Column of words and keys on a tablet and at a desk, px.
const TABLET_COLUMN_PX: f64 = 284.0;
const DESK_COLUMN_PX: f64 = 332.0;

/// Space beside the words, px.
pub const MARGIN_PX: f64 = 16.0;

/// The division of a window.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LayoutKind {
    /// A phone held upright.
    Phone,
    /// A phone on its side.
    Side,
    /// A tablet.
    Tablet,
    /// A desk.
    Desk,
}

/// A width and a height, CSS px.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Size {
    /// Width, CSS px.
    pub width: f64,
    /// Height, CSS px.
    pub height: f64,
}

impl Size {
    /// The coordinates of a drawing in px of the screen, as its `viewBox`, with so many decimals.
    pub fn view_box(self, decimals: usize) -> String {
        format!(
            "0 0 {} {}",
            fixed(self.width, decimals),
            fixed(self.height, decimals)
        )
    }

    /// The largest rectangle of this width over height in it.
    pub fn fitted(self, aspect_ratio: f64) -> Self {
        let height = self.height.min(self.width / aspect_ratio);
        Self {
            width: height * aspect_ratio,
            height,
        }
    }
}

/// How a window is divided.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Layout(pub Viewport);

impl Layout {
    /// The division.
    pub fn kind(self) -> LayoutKind {
        let Viewport {
            width_px,
            height_px,
            ..
        } = self.0;
        if width_px >= DESK_PX {
            LayoutKind::Desk
        } else if height_px < SIDE_PX && width_px > height_px {
            LayoutKind::Side
        } else if width_px >= TABLET_PX {
            LayoutKind::Tablet
        } else {
            LayoutKind::Phone
        }
    }

    /// Whether the night and the frame stand together.
    pub fn is_desk(self) -> bool {
        self.kind() == LayoutKind::Desk
    }

    /// Whether words and keys stand in a column beside the picture.
    pub fn has_column(self) -> bool {
        matches!(self.kind(), LayoutKind::Tablet | LayoutKind::Desk)
    }

    /// The class that style sheets place the parts by.
    pub fn class(self) -> &'static str {
        match self.kind() {
            LayoutKind::Phone => "phone",
            LayoutKind::Side => "side",
            LayoutKind::Tablet => "tablet",
            LayoutKind::Desk => "desk",
        }
    }

    /// The horizon strip; `None` where the picture takes the whole screen.
    pub fn strip(self) -> Option<Size> {
        let Viewport {
            width_px,
            height_px,
            ..
        } = self.0;
        let (width, height) = match self.kind() {
            LayoutKind::Phone if height_px < 700.0 => (width_px, 88.0),
            LayoutKind::Phone => (width_px, 104.0),
            LayoutKind::Side => return None,
            LayoutKind::Tablet => (width_px, 132.0),
            LayoutKind::Desk if width_px >= 1600.0 => (width_px - RAIL_PX, 176.0),
            LayoutKind::Desk => (width_px - RAIL_PX, 136.0),
        };
        Some(Size { width, height })
    }

    /// Bearings across the horizon strip, degrees.
    pub fn strip_span_deg(self) -> f64 {
        match self.kind() {
            LayoutKind::Phone | LayoutKind::Side => 150.0,
            LayoutKind::Tablet => 230.0,
            LayoutKind::Desk => 360.0,
        }
    }

    /// Where the pictures of a screen stand: all that is left beside strip, keys, questions and
    /// the column of words.
    pub fn stage(self) -> Size {
        let Viewport {
            width_px,
            height_px,
            ..
        } = self.0;
        let strip = self.strip().map_or(0.0, |strip| strip.height);
        let (width, height) = match self.kind() {
            LayoutKind::Phone => (width_px, height_px - strip - DECK_AND_BAR_PX),
            LayoutKind::Side => (width_px - SIDE_KEYS_PX, height_px),
            LayoutKind::Tablet => (width_px - TABLET_COLUMN_PX, height_px - strip - BAR_PX),
            LayoutKind::Desk => (width_px - RAIL_PX - DESK_COLUMN_PX, height_px - strip),
        };
        Size {
            width: width.max(200.0),
            height: height.max(200.0),
        }
    }

    /// Width of the words and keys: the column, or the page between its margins.
    pub fn column_width(self) -> f64 {
        match self.kind() {
            LayoutKind::Tablet => TABLET_COLUMN_PX - 2.0 * MARGIN_PX,
            LayoutKind::Desk => DESK_COLUMN_PX - 2.0 * MARGIN_PX,
            _ => self.stage().width - 2.0 * MARGIN_PX,
        }
    }

    /// What a sheet has for its content, without title and keys.
    pub fn sheet(self) -> Size {
        let stage = self.stage();
        match self.kind() {
            LayoutKind::Phone => Size {
                width: stage.width,
                height: stage.height - 8.0,
            },
            LayoutKind::Side => Size {
                width: self.0.width_px,
                height: stage.height - 140.0,
            },
            LayoutKind::Tablet | LayoutKind::Desk => Size {
                width: stage.width,
                height: stage.height - 150.0,
            },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn layout(width_px: f64, height_px: f64) -> Layout {
        Layout(Viewport {
            width_px,
            height_px,
            text_scale: 1.0,
        })
    }

    #[test]
    fn each_window_has_its_division() {
        for (width, height, kind) in [
            (320.0, 640.0, LayoutKind::Phone),
            (360.0, 780.0, LayoutKind::Phone),
            (780.0, 360.0, LayoutKind::Side),
            (820.0, 1180.0, LayoutKind::Tablet),
            (1366.0, 768.0, LayoutKind::Desk),
            (1920.0, 1080.0, LayoutKind::Desk),
        ] {
            assert_eq!(layout(width, height).kind(), kind, "{width}×{height}");
        }
    }

    /// Deck and bar take at most a quarter of the screen and 140 px of 360×780, and what is left
    /// there holds an upright frame of 2:3 as wide as the screen.
    #[test]
    fn the_picture_gets_the_most_of_the_screen() {
        let phone = layout(360.0, 780.0);
        let strip = phone.strip().expect("a strip");
        assert!(780.0 - strip.height - phone.stage().height <= 140.0);
        assert!(phone.stage().height >= 360.0 * 1.5 - 1.0);
        const { assert!(DECK_AND_BAR_PX / 640.0 <= 0.25 && SIDE_KEYS_PX / 780.0 <= 0.25) };
        let fitted = phone.stage().fitted(2.0 / 3.0);
        assert!(fitted.width <= 360.0 && fitted.height <= phone.stage().height);
    }
}
