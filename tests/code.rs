//! Codes against the standard they follow and a decoder written by others, `rqrr`.
//!
//! Facts of the standard: ISO/IEC 18004:2015.
#![cfg(not(target_arch = "wasm32"))]

use rqrr::PreparedImage;
use tarnlight::angle::Angle;
use tarnlight::land::ridge::{RidgeLine, Sighting};
use tarnlight::outing::plan::Outing;
use tarnlight::outing::share::qr::{MOST_BYTES, QUIET, QrCode, draw};
use tarnlight::outing::share::query;
use tarnlight::outing::share::short_link::{LeftOut, shortened_to};

/// Where the page might be served.
const PAGE: &str = "https://someone.example.org/night/tarnlight/#";

/// A code as a grey picture, with its quiet squares: so many dots to a square, and how light dark
/// and light squares are.
fn picture(code: &QrCode, dots: usize, dark: u8, light: u8) -> (usize, Vec<u8>) {
    let width = (code.side + 2 * QUIET) * dots;
    let grey = (0..width * width).map(|place| {
        let at = |dots_along: usize| (dots_along / dots).checked_sub(QUIET);
        let (column, row) = (at(place % width), at(place / width));
        let square = column
            .zip(row)
            .filter(|(c, r)| *c < code.side && *r < code.side);
        match square {
            Some((column, row)) if code.dark[row * code.side + column] => dark,
            _ => light,
        }
    });
    (width, grey.collect())
}

/// What the decoder reads, and the version it finds.
fn decoded((width, grey): &(usize, Vec<u8>)) -> (String, usize) {
    let mut image =
        PreparedImage::prepare_from_greyscale(*width, *width, |x, y| grey[y * width + x]);
    let grids = image.detect_grids();
    assert_eq!(grids.len(), 1, "one code is seen");
    let (facts, text) = grids[0].decode().expect("it decodes");
    (text, facts.version.0)
}

fn code(text: &str) -> QrCode {
    draw(text).unwrap_or_else(|| panic!("{} bytes fit", text.len()))
}

/// A link's bytes: what forms are made of, and no two alike.
fn bytes(count: usize) -> String {
    let letters = b"abcdefghijklmnopqrstuvwxyz0123456789&=.*_%-+/:#";
    let mut state = 0x2545_F491_u32;
    let next = || {
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        char::from(letters[(state >> 16) as usize % letters.len()])
    };
    std::iter::repeat_with(next).take(count).collect()
}

#[test]
fn an_independent_decoder_reads_every_size() {
    for count in [1, 14, 40, 120, 333, 600, 990, 997, 998, 1100, MOST_BYTES] {
        let text = bytes(count);
        let drawn = code(&text);
        for dots in [2, 3, 5] {
            let (read, version) = decoded(&picture(&drawn, dots, 0, 255));
            assert_eq!(read, text, "{count} bytes at {dots} dots");
            // 5.1: version V has 17 + 4 V squares to a side
            assert_eq!(drawn.side, 17 + 4 * version);
            assert!(version <= 25);
        }
    }
    assert_eq!(draw(&bytes(MOST_BYTES + 1)), None);
}

/// Bytes that versions hold at medium correction: table 7 (from memory).
#[test]
fn correction_is_medium_where_that_fits() {
    for (count, version) in [
        (14, 1),
        (15, 2),
        (213, 10),
        (214, 11),
        (666, 20),
        (667, 21),
        (997, 25),
    ] {
        assert_eq!(code(&bytes(count)).side, 17 + 4 * version, "{count} bytes");
    }
}

/// 7.3.2 and 7.9 with figure 25: the format's fifteen bits at a corner have the correction; its
/// first two bits are 00 for medium, 01 for low, after the mask 10 is taken off.
#[test]
fn the_correction_told_is_the_one_wished_for_or_better() {
    let message = |code: &QrCode| {
        let dark = |column: usize| code.dark[8 * code.side + column];
        (!dark(0), dark(1))
    };
    let (low, medium) = ((false, true), (false, false));
    assert_eq!(message(&code(&bytes(997))), medium);
    assert_eq!(message(&code(&bytes(998))), low);
    assert_eq!(message(&code(&bytes(MOST_BYTES))), low);
}

/// 6.3.3: in three corners a dark square of 3, in a light ring, in a dark ring of 7; 6.3.4: a light
/// line around; 6.3.5: rows and columns of dark and light in turn between them, at 6.
#[test]
fn finders_and_timing_stand_where_the_standard_has_them() {
    for count in [20, 300, 1200] {
        let code = code(&bytes(count));
        let last = code.side - 1;
        let dark = |x: usize, y: usize| code.dark[y * code.side + x];
        for (right, down) in [(false, false), (true, false), (false, true)] {
            for y in 0..8_usize {
                for x in 0..8_usize {
                    let from_middle = x.abs_diff(3).max(y.abs_diff(3));
                    let wanted = matches!(from_middle, 0 | 1 | 3);
                    let at = (
                        if right { last - x } else { x },
                        if down { last - y } else { y },
                    );
                    assert_eq!(dark(at.0, at.1), wanted, "{count}: {at:?}");
                }
            }
        }
        for place in 8..code.side - 8 {
            assert_eq!(dark(place, 6), place % 2 == 0);
            assert_eq!(dark(6, place), place % 2 == 0);
        }
        // 7.9.1: one square is always dark
        assert!(dark(8, code.side - 8));
    }
}

/// 6.3.8: four light squares all around.
#[test]
fn four_quiet_squares_stand_around() {
    assert_eq!(QUIET, 4);
    let (width, grey) = picture(&code("v=1"), 1, 0, 255);
    let edge = |place: usize| place < 4 || place >= width - 4;
    let at = |place: usize| edge(place % width) || edge(place / width);
    assert!(
        (0..grey.len())
            .filter(|&place| at(place))
            .all(|place| grey[place] == 255)
    );
    assert_eq!(grey[4 * width + 4], 0, "the corner's ring begins there");
}

/// In the red look light squares are #ff0000. A camera that makes grey of it by ITU-R BT.601 sees
/// 0.299 of full light, one by BT.709 0.2126; one whose picture is also underexposed by a stop,
/// half of that.
#[test]
fn red_and_black_is_read_too() {
    let text = format!("{PAGE}{}", query::write(&Outing::default()));
    let drawn = code(&text);
    for share in [0.299, 0.2126, 0.1063] {
        let light = (255.0 * share) as u8;
        assert_eq!(decoded(&picture(&drawn, 3, 0, light)).0, text, "{share}");
    }
}

/// Damage up to the correction's share is repaired: table 12, low is 7 %.
#[test]
fn a_smudge_is_made_whole() {
    let text = bytes(MOST_BYTES);
    let (width, mut grey) = picture(&code(&text), 3, 0, 255);
    // some 2 % of the squares, away from what finds the code
    let smudge = width / 7;
    for y in 0..smudge {
        for x in 0..smudge {
            grey[(width / 2 + y) * width + width / 2 + x] = 255;
        }
    }
    assert_eq!(decoded(&(width, grey)).0, text);
}

/// From an outing with a skyline far too long for a code to what the other phone reads.
#[test]
fn a_long_outing_arrives_with_its_skyline_thinned() {
    let mut outing = Outing::default();
    let height = |degrees: f64| 12.0 + 6.0 * (degrees / 23.0).sin() + (degrees / 1.7).sin();
    outing.site.ridge = RidgeLine::new(
        Angle::ZERO,
        (0..1440)
            .map(|step| f64::from(step) / 4.0)
            .map(|degrees| Sighting {
                bearing: Angle::from_degrees(degrees),
                height: Angle::from_degrees(height(degrees)),
            }),
    );
    assert!(query::write(&outing).len() > 10_000);
    let short = shortened_to(&outing, MOST_BYTES - PAGE.len()).expect("fits");
    let LeftOut::Detail(within) = short.left_out else {
        panic!("{:?}", short.left_out);
    };
    let text = format!("{PAGE}{}", short.text);
    let (read, _) = decoded(&picture(&code(&text), 2, 0, 255));
    let (_, form) = read.split_once('#').expect("a link");
    let reading = query::read(form);
    assert_eq!(reading.errors, Vec::<String>::new());
    for degrees in 0..360 {
        let bearing = Angle::from_degrees(f64::from(degrees));
        let was = outing.site.ridge.height(bearing).degrees();
        let is = reading.outing.site.ridge.height(bearing).degrees();
        assert!(
            (was - is).abs() <= within.degrees() + 0.02,
            "{degrees}°: {was} and {is}"
        );
    }
}
