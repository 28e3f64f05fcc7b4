//! The stars to about the fifth magnitude.
//!
//! The data are ESA's Hipparcos catalogue (1997, SP-1200) in the new reduction of F. van Leeuwen,
//! *A&A* 474 (2007) 653. `.tools/stars` writes them and documents the file's format and the
//! processing.

use crate::angle::Angle;
use crate::vector::Vector;

const DATA: &[u8] = include_bytes!("stars.bin");

/// Magnitude of the first group, and from one group to the next.
const BRIGHTEST: f64 = -1.1;
const GROUP: f64 = 0.1;

/// Bits of a coordinate in the columns of small steps, and in the last column.
const COARSE: u32 = 8;
const FINE: u32 = 12;

/// A star.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Star {
    /// Its ICRS unit vector at epoch 2030.0 (first axis to right ascension 0h, third to the north
    /// pole).
    pub direction: Vector,
    /// Hp magnitude, a band a little redder and wider than V, within 0.2 of it for most stars.
    pub magnitude: f64,
}

/// All of them, bright to faint, about 1600.
///
/// Magnitudes are to a tenth; positions are within 0.7″ of the catalogue's propagated to 2030.0,
/// which for stars of a close pair may err by some arcseconds. In the 20 years on either side the
/// nearest star moves by 70″, all but thirty stars by less than 20″.
///
/// Measured against Gaia DR3 (`tests/frame_stars.rs`).
///
/// ```
/// let first = tarnlight::sky::stars::stars().next().expect("Sirius");
/// assert!((first.magnitude + 1.1).abs() < 1e-9);
/// ```
pub fn stars() -> impl Iterator<Item = Star> {
    let (groups, rest) = DATA.split_first().unwrap_or((&0, &[]));
    let (counts, columns) = rest.split_at_checked((*groups).into()).unwrap_or_default();
    let (steps, rest) = columns.split_at(columns.len() / 5);
    let (heights, fine) = rest.split_at(steps.len().min(rest.len()));
    let groups = counts.iter().enumerate();
    let groups = groups.flat_map(|(group, count)| (0..*count).map(move |_| group));
    let rows = groups.zip(steps.iter().zip(heights).zip(fine.chunks_exact(3)));
    rows.scan(
        (0, 0),
        |(last_group, turn), (group, ((step, height), fine))| {
            if *last_group != group {
                (*last_group, *turn) = (group, 0);
            }
            *turn += u32::from(*step);
            let fine = fine.iter().fold(0, |all, byte| all << 8 | u32::from(*byte));
            let right_ascension = share(*turn, fine >> FINE);
            let declination = share((*height).into(), fine & ((1 << FINE) - 1));
            Some(Star {
                direction: Vector::from_spherical(
                    Angle::from_degrees(360.0 * right_ascension),
                    Angle::from_degrees(180.0 * declination - 90.0),
                ),
                magnitude: BRIGHTEST + GROUP * group as f64,
            })
        },
    )
}

/// The centre of a cell, as a share of the range.
fn share(coarse: u32, fine: u32) -> f64 {
    (f64::from(coarse << FINE | fine) + 0.5) / f64::from(1 << (COARSE + FINE))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// How many stars there are to a magnitude, by other catalogues: 15 to V 1.0 or
    /// so, 48 to 2.0, 171 to 3.0, 513 to 4.0, 1602 to 5.0 (C. W. Allen,
    /// *Astrophysical Quantities*, from memory). Close pairs and the band make
    /// a difference of some per cent.
    #[test]
    fn are_as_many_as_there_are() {
        for (magnitude, want) in [(2.0, 48.0), (3.0, 171.0), (4.0, 513.0), (5.0, 1602.0)] {
            let count = stars().filter(|star| star.magnitude < magnitude + 0.01);
            let share = count.count() as f64 / want;
            assert!((0.85..1.15).contains(&share), "to {magnitude}: {share}");
        }
    }

    #[test]
    fn are_unit_vectors_bright_to_faint() {
        let mut last = -2.0;
        for star in stars() {
            assert!((star.direction.length() - 1.0).abs() < 1e-12, "{star:?}");
            assert!(star.magnitude >= last, "{star:?}");
            last = star.magnitude;
        }
        assert!((last - 5.0).abs() < 1e-9, "{last}");
    }

    /// The file has a row for each star, and every row is read in full.
    #[test]
    fn the_whole_file_is_read() {
        let groups = usize::from(DATA[0]);
        let message: usize = DATA[1..=groups]
            .iter()
            .map(|count| usize::from(*count))
            .sum();
        assert_eq!(stars().count(), message);
        assert_eq!(DATA.len(), 1 + groups + 5 * message);
    }

    /// The brightest of each region, by the right ascension and declination any
    /// handbook prints for J2000.0 (from memory), to the arcminute; in thirty
    /// years the fastest of them moves by 0.6′.
    #[test]
    fn the_bright_ones_stand_where_handbooks_have_them() {
        let table = [
            ("Sirius", (6.0, 45.1), (true, 16.0, 43.0)),
            ("Canopus", (6.0, 24.0), (true, 52.0, 42.0)),
            ("Arcturus", (14.0, 15.7), (false, 19.0, 11.0)),
            ("Vega", (18.0, 36.9), (false, 38.0, 47.0)),
            ("Capella", (5.0, 16.7), (false, 46.0, 0.0)),
            ("Antares", (16.0, 29.4), (true, 26.0, 26.0)),
            ("Fomalhaut", (22.0, 57.6), (true, 29.0, 37.0)),
            ("Polaris", (2.0, 31.8), (false, 89.0, 16.0)),
        ];
        for (name, (hours, minutes), (south, degrees, arcminutes)) in table {
            let right_ascension = Angle::from_degrees(15.0 * (hours + minutes / 60.0));
            let declination = Angle::from_dms(south, degrees, arcminutes, 0.0);
            let want = Vector::from_spherical(right_ascension, declination);
            let bright = stars().take_while(|star| star.magnitude < 2.2);
            let away = bright.map(|star| star.direction.angle_to(want).degrees() * 60.0);
            let nearest = away.fold(f64::INFINITY, f64::min);
            assert!(nearest < 1.6, "{name}: {nearest}′");
        }
    }
}
