//! A link as squares that another phone's camera reads: a QR code.
//!
//! Source: ISO/IEC 18004:2015. The code is made by the library `qrcodegen`; what
//! is decided here is how large it may become, and how much of it may be spoilt.

use qrcodegen::{QrCodeEcc, QrSegment, Version};
use serde::{Deserialize, Serialize};

/// The largest version drawn.
///
/// It has 117 squares to a side and, with four of quiet on either side, takes
/// 125. On the narrowest screen the page is made for, 320 px, of which 288 are
/// left between the margins of a sheet, a square is 2.3 px: some 0.4 mm on a
/// phone 60 mm wide, which a camera a hand's breadth away resolves several times
/// over (common practice: no less than 0.33 mm). Version 31 would come down to
/// 2 px.
const LARGEST: u8 = 25;

/// Most bytes that a code of version 25 holds, at its lowest correction: ISO/IEC
/// 18004:2015, table 7.
pub const MOST_BYTES: usize = 1273;

/// Squares left light around a code: ISO/IEC 18004:2015, 6.3.8.
pub const QUIET: usize = 4;

/// A code: rows of squares, from the top.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct QrCode {
    /// Squares to a side, without the quiet ones around.
    pub side: usize,
    /// Whether each is dark, row by row.
    pub dark: Vec<bool>,
}

/// Draws a text as a code; nothing where it is longer than [`MOST_BYTES`].
///
/// Medium correction, by which 15 % of it may be spoilt, where that fits into
/// the largest version, else low, 7 % (ISO/IEC 18004:2015, table 12); better
/// where it costs no larger a code. Measured: what an independent decoder reads
/// of it is the text.
///
/// ```
/// use tarnlight::outing::share::qr;
/// assert_eq!(code::draw("https://example.org/#v=1").unwrap().side, 25);
/// ```
pub fn draw(text: &str) -> Option<QrCode> {
    let segments = [QrSegment::make_bytes(text.as_bytes())];
    let at = |level| {
        qrcodegen::QrCode::encode_segments_advanced(
            &segments,
            level,
            Version::MIN,
            Version::new(LARGEST),
            None,
            true,
        )
    };
    let code = at(QrCodeEcc::Medium).or_else(|_| at(QrCodeEcc::Low)).ok()?;
    let side = code.size();
    let dark = (0..side * side)
        .map(|place| code.get_module(place % side, place / side))
        .collect();
    Some(QrCode {
        side: side as usize,
        dark,
    })
}
