//! An outing shortened to the capacity of a QR code.
//!
//! The skyline is the longest part, and simplifying it moves the minute the core rises above it
//! only a little: half a degree is two minutes of the sky's rotation, more where the core moves
//! along the ridge. So the line is simplified, more and more, until the text fits; after that it is
//! omitted, and last the names.

use crate::angle::Angle;
use crate::land::ridge::RidgeLine;
use crate::outing::plan::Outing;
use crate::outing::share::query;

/// Tolerances of the simplified skyline, finest first, degrees. Coarser than the last it would be
/// useless.
const COARSER_DEG: [f64; 9] = [0.1, 0.2, 0.3, 0.5, 0.7, 1.0, 1.5, 2.0, 3.0];

/// What a short link omits of the outing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum LeftOut {
    /// Nothing.
    Nothing,
    /// Sightings, with the skyline within this tolerance.
    Detail(Angle),
    /// All sightings of the skyline.
    Skyline,
    /// These, and the names of site and kit.
    Names,
}

/// An outing in the written form, and what it omits.
#[derive(Debug, Clone, PartialEq)]
pub struct ShortLink {
    /// The written form.
    pub text: String,
    /// What it omits.
    pub left_out: LeftOut,
}

/// The outing written in at most `room` bytes, with as much of it as fits; `None` where even the
/// rest is longer.
///
/// ```
/// use tarnlight::outing::{plan::Outing, share::short_link::{LeftOut, shortened_to}};
/// let short = shortened_to(&Outing::default(), 80).unwrap();
/// assert_eq!(short.left_out, LeftOut::Nothing);
/// assert!(shortened_to(&Outing::default(), 20).is_none());
/// ```
pub fn shortened_to(outing: &Outing, room: usize) -> Option<ShortLink> {
    let fits = |outing: &Outing, left_out| {
        let text = query::write(outing);
        (text.len() <= room).then_some(ShortLink { text, left_out })
    };
    if let Some(whole) = fits(outing, LeftOut::Nothing) {
        return Some(whole);
    }
    let mut less = outing.clone();
    for degrees in COARSER_DEG {
        let within = Angle::from_degrees(degrees);
        less.site.ridge = outing.site.ridge.thinned(within);
        if let Some(short) = fits(&less, LeftOut::Detail(within)) {
            return Some(short);
        }
    }
    less.site.ridge = RidgeLine::level(outing.site.ridge.all_round());
    if let Some(short) = fits(&less, LeftOut::Skyline) {
        return Some(short);
    }
    less.site.name.clear();
    less.kit.name.clear();
    fits(&less, LeftOut::Names)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::land::ridge::Sighting;
    use crate::outing::share::qr;

    /// A jagged skyline all round, at even steps.
    fn jagged() -> Outing {
        let mut outing = Outing::default();
        let height = |degrees: f64| {
            8.0 + 5.0 * (degrees / 17.0).sin() + (degrees / 2.3).sin() + 0.3 * (degrees * 1.9).sin()
        };
        let sightings = (0..720).map(|step| f64::from(step) / 2.0);
        outing.site.ridge = RidgeLine::new(
            Angle::from_degrees(2.0),
            sightings.map(|degrees| Sighting {
                bearing: Angle::from_degrees(degrees),
                height: Angle::from_degrees(height(degrees)),
            }),
        );
        outing
    }

    #[test]
    fn what_fits_is_left_alone() {
        let outing = Outing::default();
        let text = query::write(&outing);
        let short = shortened_to(&outing, text.len()).expect("fits");
        assert_eq!((short.text, short.left_out), (text, LeftOut::Nothing));
    }

    /// The simplified line is within the tolerance of the original, wherever it was sighted, and
    /// the next finer one would not fit.
    #[test]
    fn a_skyline_is_thinned_no_more_than_it_must_be_and_said_to_be() {
        let outing = jagged();
        for room in [4000, 2000, qr::MOST_BYTES - 40, 800] {
            let short = shortened_to(&outing, room).expect("fits");
            assert!(short.text.len() <= room);
            let LeftOut::Detail(within) = short.left_out else {
                panic!("{room}: {:?}", short.left_out);
            };
            let finer = COARSER_DEG.iter().rfind(|finer| **finer < within.degrees());
            if let Some(finer) = finer {
                let mut finer_one = outing.clone();
                finer_one.site.ridge = outing.site.ridge.thinned(Angle::from_degrees(*finer));
                assert!(query::write(&finer_one).len() > room);
            }
            let read = query::read(&short.text);
            assert_eq!(read.errors, Vec::<String>::new());
            for step in 0..3600 {
                let bearing = Angle::from_degrees(f64::from(step) / 10.0);
                let [was, is] = [&outing, &read.outing]
                    .map(|outing| outing.site.ridge.height(bearing).degrees());
                // and the rounding to hundredths in the form
                let allowed = within.degrees() + 0.02;
                assert!((was - is).abs() <= allowed, "{room}: {was} and {is}");
            }
        }
    }

    #[test]
    fn where_no_skyline_fits_the_level_and_the_rest_stand() {
        let mut outing = jagged();
        outing.site.name = "☃".repeat(40);
        outing.kit.name = "tele".to_owned();
        let short = shortened_to(&outing, 480).expect("fits");
        assert_eq!(short.left_out, LeftOut::Skyline);
        let read = query::read(&short.text).outing;
        assert_eq!(read.site.ridge, RidgeLine::level(Angle::from_degrees(2.0)));
        assert_eq!(read.site.name, outing.site.name);
        let short = shortened_to(&outing, 100).expect("fits");
        assert_eq!(short.left_out, LeftOut::Names);
        assert_eq!(query::read(&short.text).outing.kit.lens, outing.kit.lens);
        assert_eq!(shortened_to(&outing, 60), None);
    }
}
