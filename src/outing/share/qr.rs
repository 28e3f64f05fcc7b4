//! A link as a QR code.
//!
//! Source: ISO/IEC 18004:2015. The code is made by the library `qrcodegen`; this module chooses its
//! size and error correction.

use qrcodegen::{QrCodeEcc, QrSegment, Version};
use serde::{Deserialize, Serialize};

/// The largest version drawn.
///
/// It has 117 modules to a side, 125 with the quiet zone. On the narrowest screen supported, 320
/// px, of which 288 are left between the margins of a sheet, a module is 2.3 px: some 0.4 mm on a
/// phone 60 mm wide (common practice: no less than 0.33 mm). Version 31 would have 2 px.
const LARGEST: u8 = 25;

/// Capacity of version 25 at the lowest error correction, bytes: ISO/IEC 18004:2015, table 7.
pub const MOST_BYTES: usize = 1273;

/// Width of the quiet zone, modules: ISO/IEC 18004:2015, 6.3.8.
pub const QUIET: usize = 4;

/// A code: rows of modules, from the top.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct QrCode {
    /// Modules to a side, without the quiet zone.
    pub side: usize,
    /// Whether each is dark, row by row.
    pub dark: Vec<bool>,
}

/// A text as a code; `None` where it is longer than [`MOST_BYTES`].
///
/// Error correction level M, 15 %, where that fits into the largest version, else L, 7 % (ISO/IEC
/// 18004:2015, table 12); higher where the version stays the same. Measured: an independent decoder
/// reads the text.
///
/// ```
/// use tarnlight::outing::share::qr;
/// assert_eq!(qr::draw("https://example.org/#v=1").unwrap().side, 25);
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
