//! A clock to be photographed: a code with the second of UTC, and a photo of it read.
//!
//! What the camera's clock says in the file, less the second in the code, is how far it is ahead.
//! Both are cut to whole seconds, so it is good to a second.

use chrono::{DateTime, Datelike};

use super::clock_time::clock_ms;
use super::report::ClockReading;
use crate::astrometry::decode::{DecodedPicture, FrameFacts};
use crate::astrometry::picture::Picture;
use crate::sky::moment::YEARS;

/// Before the seconds since 1970 in a code.
const PREFIX: &str = "UTC";

/// Longer sides at which a code is sought, px: one that fills the picture is found small and
/// smooth, a small one needs its pixels.
const SIDES_PX: [usize; 4] = [500, 800, 1300, 2100];

/// Those at which a code that fills the picture is found: the first ones.
const LARGE: usize = 2;

const NO_TIME: &str = "this shows the clock, but the picture's file has no time";

/// The text of the code that is shown during a second, UTC since 1970.
///
/// It is as short as a code of 21 modules to a side holds with 15 % of error correction.
pub fn text(utc_s: i64) -> String {
    format!("{PREFIX}{utc_s}")
}

/// The second in a code's text; `None` for any other code.
fn second(text: &str) -> Option<i64> {
    let seconds = text.strip_prefix(PREFIX)?.parse().ok()?;
    let instant = DateTime::from_timestamp(seconds, 0)?;
    YEARS.contains(&instant.year()).then_some(seconds)
}

/// Reads the camera's clock from a photo of the code. Fails with a sentence.
pub fn read(decoded: &DecodedPicture) -> Result<ClockReading, String> {
    read_if_any(decoded).unwrap_or_else(|| {
        Err(
            "no code was found; let it fill the picture, stop down to f/16, and expose so short \
             that its white is not blown out"
                .to_owned(),
        )
    })
}

/// The same; `None` where the picture shows no such code.
pub fn read_if_any(decoded: &DecodedPicture) -> Option<Result<ClockReading, String>> {
    Some(reading(&decoded.facts, find(&decoded.picture, &SIDES_PX)?))
}

/// The same for a code that fills a good part of the picture, found in some tens of ms.
pub fn read_large(decoded: &DecodedPicture) -> Option<Result<ClockReading, String>> {
    let utc_s = find(&decoded.picture, &SIDES_PX[..LARGE])?;
    Some(reading(&decoded.facts, utc_s))
}

fn reading(facts: &FrameFacts, utc_s: i64) -> Result<ClockReading, String> {
    let ahead_s = ahead_s(facts, utc_s).ok_or(NO_TIME)?;
    Ok(ClockReading { ahead_s, utc_s })
}

/// What the camera's clock is ahead of the second that a code holds.
fn ahead_s(facts: &FrameFacts, utc_s: i64) -> Option<f64> {
    // a code stands for a second, and so does a clock without fractions: half a second in the mean
    const HALF_MS: i64 = 500;
    let taken_ms = clock_ms(facts.taken?.local);
    let whole = taken_ms.rem_euclid(1000) == 0;
    let taken_ms = taken_ms + if whole { HALF_MS } else { 0 };
    let ahead_ms = taken_ms.checked_sub(utc_s.checked_mul(1000)?.checked_add(HALF_MS)?)?;
    Some(ahead_ms as f64 / 1000.0)
}

/// The second in the code that a picture shows, sought at these sides, px.
fn find(picture: &Picture, sides_px: &[usize]) -> Option<i64> {
    let longest = picture.width.max(picture.height);
    sides_px.iter().find_map(|side| {
        let step = longest.div_ceil(*side).max(1);
        let small = shrunk(picture, step)?;
        // a screen in the dark may have been photographed in its negative colours
        [false, true].into_iter().find_map(|negative| {
            let grey = |x: usize, y: usize| {
                let value = small.grey[y * small.width + x];
                if negative { 255 - value } else { value }
            };
            let mut prepared =
                rqrr::PreparedImage::prepare_from_greyscale(small.width, small.height, grey);
            let grids = prepared.detect_grids();
            grids.iter().find_map(|grid| second(&grid.decode().ok()?.1))
        })
    })
}

struct Grey {
    width: usize,
    height: usize,
    grey: Vec<u8>,
}

/// Means over squares of `step` pixels, as a screen shows them.
fn shrunk(picture: &Picture, step: usize) -> Option<Grey> {
    let (width, height) = (picture.width / step, picture.height / step);
    if width == 0 || height == 0 {
        return None;
    }
    let mut grey = Vec::with_capacity(width * height);
    let mut sums = vec![0.0_f32; width];
    for row in 0..height {
        sums.fill(0.0);
        for y in row * step..(row + 1) * step {
            for (sum, square) in sums.iter_mut().zip(picture.row(y).chunks_exact(step)) {
                *sum += square.iter().sum::<f32>();
            }
        }
        let area = (step * step) as f32;
        // near enough to a screen's curve: what counts is dark against bright
        grey.extend(
            sums.iter()
                .map(|sum| ((sum / area).max(0.0).sqrt() * 255.0) as u8),
        );
    }
    Some(Grey {
        width,
        height,
        grey,
    })
}

#[cfg(test)]
pub(crate) mod tests {
    use super::*;
    use crate::astrometry::decode::ClockTime;
    use crate::outing::share::qr;

    pub(crate) const NOON: i64 = 1_783_598_400;

    /// A code on a screen, turned, small and blurred, dark and noisy, in a dark room.
    pub(crate) fn photographed(turn_deg: f64, module_px: f64, blur: usize) -> Picture {
        let code = qr::draw(&text(NOON));
        let code = code.expect("a short text");
        let (width, height) = (900, 700);
        let (sin, cos) = turn_deg.to_radians().sin_cos();
        let half = code.side as f64 / 2.0;
        let quiet = 4.0;
        let mut seed = 1_u32;
        let mut noise = || {
            seed = seed.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            (seed >> 8) as f32 / (1 << 24) as f32
        };
        let lit = |x: usize, y: usize| {
            let (x, y) = (x as f64 - 400.0, y as f64 - 330.0);
            let u = (cos * x + sin * y) / module_px + half;
            let v = (cos * y - sin * x) / module_px + half;
            let inside = |place: f64| (-quiet..2.0 * half + quiet).contains(&place);
            if !inside(u) || !inside(v) {
                return 0.02;
            }
            let (column, row) = (u.floor() as isize, v.floor() as isize);
            let modules = 0..code.side as isize;
            let dark = modules.contains(&column)
                && modules.contains(&row)
                && code.dark[row as usize * code.side + column as usize];
            if dark { 0.04 } else { 0.6 }
        };
        let sharp: Vec<f32> = (0..width * height)
            .map(|place| lit(place % width, place / width))
            .collect();
        let mean = |place: usize| {
            let (x, y) = (place % width, place / width);
            let mut sum = 0.0;
            let mut count = 0.0;
            for row in y.saturating_sub(blur)..=(y + blur).min(height - 1) {
                for column in x.saturating_sub(blur)..=(x + blur).min(width - 1) {
                    sum += sharp[row * width + column];
                    count += 1.0;
                }
            }
            sum / count
        };
        let pixels = (0..width * height)
            .map(|place| mean(place) + 0.03 * noise())
            .collect();
        Picture {
            width,
            height,
            pixels,
        }
    }

    #[test]
    fn a_photographed_code_is_read_turned_and_blurred() {
        let table = [
            (0.0, 7.0, 0),
            (62.0, 14.0, 0),
            (97.0, 14.0, 2),
            (8.0, 20.0, 3),
            (200.0, 20.0, 4),
        ];
        for (turn_deg, module_px, blur) in table {
            let found = find(&photographed(turn_deg, module_px, blur), &SIDES_PX);
            assert_eq!(found, Some(NOON), "{turn_deg}°, {module_px} px, {blur}");
        }
        let mut negative = photographed(8.0, 14.0, 2);
        for value in &mut negative.pixels {
            *value = 0.7 - *value;
        }
        assert_eq!(find(&negative, &SIDES_PX), Some(NOON));
    }

    #[test]
    fn other_codes_and_no_codes_are_none() {
        for text in [
            "UTC",
            "UTCnow",
            "UTC99999999999999",
            "1783598400",
            "https://example.org",
        ] {
            assert_eq!(second(text), None, "{text}");
        }
        let empty = Picture {
            width: 64,
            height: 64,
            pixels: vec![0.0; 4096],
        };
        assert_eq!(find(&empty, &SIDES_PX), None);
    }

    /// The code fits the smallest version: 21 modules (ISO/IEC 18004:2015, table 1).
    #[test]
    fn the_code_is_as_coarse_as_can_be() {
        let code = qr::draw(&text(NOON));
        assert_eq!(code.expect("a code").side, 21);
    }

    /// 12:00:07.5 by the clock during the second that begins at 10:00:00 UTC.
    #[test]
    fn the_offset_is_clock_less_code() {
        let facts = |milliseconds: i64| FrameFacts {
            taken: Some(ClockTime {
                local: DateTime::from_timestamp_millis(milliseconds)
                    .expect("a time")
                    .naive_utc(),
                offset: None,
            }),
            ..FrameFacts::default()
        };
        let ahead = |milliseconds| ahead_s(&facts(milliseconds), NOON);
        assert_eq!(ahead(1000 * NOON + 7_207_000), Some(7207.0));
        assert_eq!(ahead(1000 * NOON + 7_207_900), Some(7207.4));
        assert_eq!(ahead_s(&FrameFacts::default(), NOON), None);
        assert_eq!(ahead_s(&facts(0), i64::MAX), None);
    }
}
