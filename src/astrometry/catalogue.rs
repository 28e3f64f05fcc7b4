//! The stars to the seventh magnitude, by which pictures are identified.
//!
//! The data are ESA's Hipparcos catalogue (1997, SP-1200) in the new reduction of F. van Leeuwen,
//! *A&A* 474 (2007) 653. `.tools/catalogue` writes them and documents the file's format.

use crate::angle::Angle;
use crate::vector::Vector;

const DATA: &[u8] = include_bytes!("catalogue.bin");

/// Epoch of the places, years.
const EPOCH_YEAR: f64 = 2025.0;

/// Steps of right ascension and declination in a turn and a half turn.
const RIGHT_ASCENSION_STEPS: u32 = 1 << 22;
const DECLINATION_STEPS: u32 = 1 << 21;

/// Unit of the proper motions: 10 mas, in radians.
const MOTION_UNIT: f64 = 10.0e-3 / 3600.0 * std::f64::consts::PI / 180.0;

/// Columns of bytes.
const COLUMNS: usize = 12;

/// Offset of the magnitudes, tenths.
const MAGNITUDE_OFFSET: f64 = 20.0;

/// A star of the catalogue.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CatalogueStar {
    /// Its number in the Hipparcos catalogue.
    pub hip: u32,
    /// Its ICRS unit vector at the year asked for.
    pub direction: Vector,
    /// Hp magnitude, a band a little redder and wider than V.
    pub magnitude: f64,
}

/// All of them at a year such as 2025.5, bright to faint: 13 943 stars to Hp 7.0.
///
/// Magnitudes are to a tenth; places are within 0.22″ of the catalogue's, carried along its proper
/// motions, which for stars of a close pair may err by some arcseconds.
pub fn catalogue(year: f64) -> Vec<CatalogueStar> {
    let Some((head, data)) = DATA.split_first_chunk::<4>() else {
        return Vec::new();
    };
    let count = (u32::from_be_bytes(*head) as usize).min(data.len() / COLUMNS);
    let column = |index: usize| &data[index * count..(index + 1) * count];
    let columns: [&[u8]; COLUMNS] = std::array::from_fn(column);
    let byte = |index: usize, row: usize| u32::from(columns[index][row]);
    let three = |first: usize, row: usize| {
        byte(first, row) << 16 | byte(first + 1, row) << 8 | byte(first + 2, row)
    };
    let motion = |first: usize, row: usize| {
        let pair = [columns[first][row], columns[first + 1][row]];
        f64::from(i16::from_be_bytes(pair)) * MOTION_UNIT * (year - EPOCH_YEAR)
    };
    let (mut hip, mut turn) = (0, 0);
    let mut stars = Vec::with_capacity(count);
    for (row, step) in columns[0].iter().enumerate() {
        hip += u32::from(*step);
        turn = (turn + three(2, row)) % RIGHT_ASCENSION_STEPS;
        let right_ascension = (f64::from(turn) + 0.5) / f64::from(RIGHT_ASCENSION_STEPS) * 360.0;
        let height = (f64::from(three(5, row)) + 0.5) / f64::from(DECLINATION_STEPS) * 180.0;
        let right_ascension = Angle::from_degrees(right_ascension);
        let place = Vector::from_spherical(right_ascension, Angle::from_degrees(height - 90.0));
        let east = Vector::new(-right_ascension.sin(), right_ascension.cos(), 0.0);
        let moved = place
            .plus(east.times(motion(8, row)))
            .plus(place.cross(east).times(motion(10, row)));
        stars.push(CatalogueStar {
            hip,
            direction: moved.times(1.0 / moved.length()),
            magnitude: (f64::from(columns[1][row]) - MAGNITUDE_OFFSET) / 10.0,
        });
    }
    // a stable sort: equal magnitudes stay in the order of their numbers
    stars.sort_by(|a, b| a.magnitude.total_cmp(&b.magnitude));
    stars
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_whole_file_is_read() {
        let stars = catalogue(2025.0);
        assert_eq!(stars.len(), 13_943);
        assert_eq!(DATA.len(), 4 + COLUMNS * stars.len());
        for pair in stars.windows(2) {
            assert!(pair[0].magnitude <= pair[1].magnitude, "{pair:?}");
        }
        assert!((stars[13_942].magnitude - 7.0).abs() < 1e-9);
    }

    /// Places for J2000.0 by the handbooks (SIMBAD's, from memory), to 0.1″, with the fastest of
    /// the bright stars among them.
    #[test]
    fn known_stars_stand_where_handbooks_have_them() {
        let table = [
            // HIP, hours, minutes, seconds; degrees, minutes, seconds
            (32_349, (6.0, 45.0, 8.917), (true, 16.0, 42.0, 58.02)),
            (91_262, (18.0, 36.0, 56.336), (false, 38.0, 47.0, 1.28)),
            (69_673, (14.0, 15.0, 39.672), (false, 19.0, 10.0, 56.67)),
            (11_767, (2.0, 31.0, 49.095), (false, 89.0, 15.0, 50.79)),
        ];
        let stars = catalogue(2000.0);
        for (hip, (hours, minutes, seconds), (south, degrees, arcminutes, arcseconds)) in table {
            let star = stars.iter().find(|star| star.hip == hip);
            let right_ascension =
                Angle::from_degrees(15.0 * (hours + minutes / 60.0 + seconds / 3600.0));
            let declination = Angle::from_dms(south, degrees, arcminutes, arcseconds);
            let want = Vector::from_spherical(right_ascension, declination);
            let miss = star.map(|star| star.direction.angle_to(want).degrees() * 3600.0);
            assert!(miss.is_some_and(|miss| miss < 0.8), "HIP {hip}: {miss:?}″");
        }
    }
}
