//! A picture as numbers: linear luminance on a grid of pixels, and places in it.

/// Shortest side of a picture, px, in which stars are sought.
pub const SHORTEST_SIDE_PX: usize = 64;

/// A picture in linear luminance, row by row from the upper left, as it is seen upright.
#[derive(Debug, Clone, PartialEq)]
pub struct Picture {
    /// Pixels across.
    pub width: usize,
    /// Pixels down.
    pub height: usize,
    /// Luminance, 0 to 1 where the file's values are full: decoded values, the sRGB curve undone.
    /// `width` times `height` of them.
    pub pixels: Vec<f32>,
}

/// A place in the picture, px: to the right and down from the upper left corner; the centre of the
/// first pixel is at (0.5, 0.5).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PicturePoint {
    /// To the right, px.
    pub x_px: f64,
    /// Down, px.
    pub y_px: f64,
}

impl PicturePoint {
    /// Distance to another place, px.
    pub fn distance_px(self, other: Self) -> f64 {
        (self.x_px - other.x_px).hypot(self.y_px - other.y_px)
    }
}

impl Picture {
    /// A row of pixels; empty below the picture.
    pub fn row(&self, y: usize) -> &[f32] {
        let start = y.saturating_mul(self.width);
        self.pixels
            .get(start..start.saturating_add(self.width))
            .unwrap_or(&[])
    }

    /// The middle of the picture.
    pub fn middle(&self) -> PicturePoint {
        PicturePoint {
            x_px: self.width as f64 / 2.0,
            y_px: self.height as f64 / 2.0,
        }
    }
}
