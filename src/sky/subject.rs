//! What a night is planned about: the core, or another bright part of the sky.
//!
//! A subject is a direction among the stars. Windows, path, aim and sharpness are computed for the
//! one chosen, as for the core.

use serde::{Deserialize, Serialize};

use crate::angle::Angle;
use crate::listed::listed;
use crate::sky::galactic_core::{CORE_DECLINATION, CORE_RIGHT_ASCENSION};
use crate::sky::galaxy::{GALACTIC_AXES, to_galactic};
use crate::vector::Vector;

listed! {
    /// A bright part of the Milky Way, or a galaxy beside it.
    ///
    /// The parts of the band are ten degrees and more across; their directions are the middles
    /// of the light there, by the model of [`galaxy`](crate::sky::galaxy) to some degrees.
    #[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
    #[serde(rename_all = "snake_case")]
    pub enum Subject {
        /// The core: the direction of the galactic centre.
        #[default]
        Core,
        /// The star cloud in Scutum, about the cluster M 11; northern summer, at middle height.
        ScutumCloud,
        /// The star clouds of Cygnus, overhead in the northern summer.
        SummerBand,
        /// The faint band opposite the core, between Orion's club and the feet of Gemini.
        WinterBand,
        /// The band from Carina to Crux, high in the southern autumn.
        SouthernBand,
        /// The Large Magellanic Cloud.
        MagellanicCloud,
    }
}

impl Subject {
    /// Right ascension and declination, ICRS.
    ///
    /// The core's are exact; see [`galactic_core`](crate::sky::galactic_core). Those of the band
    /// are given to 0.01° and belong to these galactic longitudes and latitudes: Scutum 27°, −3°;
    /// summer 75°, +1°; winter 195°, 0°; southern 290°, −0.5°. The Large Magellanic Cloud's are
    /// 05h23m34.5s −69°45′22″ (SIMBAD, from memory).
    const fn icrs(self) -> (Angle, Angle) {
        let (right_ascension_deg, declination_deg) = match self {
            Self::Core => return (CORE_RIGHT_ASCENSION, CORE_DECLINATION),
            Self::ScutumCloud => (282.83, -6.64),
            Self::SummerBand => (304.20, 37.17),
            Self::WinterBand => (94.47, 15.90),
            Self::SouthernBand => (165.72, -60.62),
            Self::MagellanicCloud => (80.89, -69.76),
        };
        (
            Angle::from_degrees(right_ascension_deg),
            Angle::from_degrees(declination_deg),
        )
    }

    /// Right ascension, ICRS, 0 to 360°.
    pub const fn right_ascension(self) -> Angle {
        self.icrs().0
    }

    /// Declination, ICRS.
    pub const fn declination(self) -> Angle {
        self.icrs().1
    }

    /// Position angle of the band, from north through east, towards growing galactic longitude;
    /// `None` for a subject beside it.
    ///
    /// The band lies along the galactic equator: at right angles to the direction of the galaxy's
    /// pole.
    pub fn band_position_angle(self) -> Option<Angle> {
        const BESIDE: Angle = Angle::from_degrees(15.0);
        let direction = self.direction();
        let (_, latitude) = to_galactic(direction);
        if latitude.degrees().abs() > BESIDE.degrees() {
            return None;
        }
        let [_, _, pole] = GALACTIC_AXES;
        let band = pole.cross(direction);
        let east = Vector::new(0.0, 0.0, 1.0).cross(direction);
        let north = direction.cross(east);
        Some(Angle::from_radians(band.dot(east).atan2(band.dot(north))))
    }

    /// The ICRS unit vector.
    pub fn direction(self) -> Vector {
        let (right_ascension, declination) = self.icrs();
        Vector::from_spherical(right_ascension, declination)
    }

    /// Its name with the article, within a sentence: `the core`, `the winter band`.
    pub const fn with_article(self) -> &'static str {
        match self {
            Self::Core => "the core",
            Self::ScutumCloud => "the Scutum cloud",
            Self::SummerBand => "the summer band",
            Self::WinterBand => "the winter band",
            Self::SouthernBand => "the southern band",
            Self::MagellanicCloud => "the Magellanic cloud",
        }
    }

    /// Its name alone: `core`, `winter band`.
    ///
    /// ```
    /// use tarnlight::sky::subject::Subject;
    /// assert_eq!(Subject::WinterBand.word(), "winter band");
    /// ```
    pub fn word(self) -> &'static str {
        let name = self.with_article();
        name.strip_prefix("the ").unwrap_or(name)
    }

    /// Its word in the written form and in the JSON-lines interface.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Core => "core",
            Self::ScutumCloud => "scutum",
            Self::SummerBand => "summer",
            Self::WinterBand => "winter",
            Self::SouthernBand => "southern",
            Self::MagellanicCloud => "magellanic",
        }
    }

    /// The subject of a key.
    ///
    /// ```
    /// use tarnlight::sky::subject::Subject;
    /// assert_eq!(Subject::from_key("winter"), Some(Subject::WinterBand));
    /// assert_eq!(Subject::from_key("sun"), None);
    /// ```
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|subject| subject.key() == key)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sky::galactic_core::Culmination;

    fn miss_deg(subject: Subject, (right_ascension, declination): (f64, f64)) -> f64 {
        let want = Vector::from_spherical(
            Angle::from_radians(right_ascension),
            Angle::from_radians(declination),
        );
        subject.direction().angle_to(want).degrees()
    }

    /// The IAU's routine from galactic to ICRS, `g2icrs`.
    #[test]
    fn parts_of_the_band_stand_at_their_galactic_coordinates() {
        for (subject, longitude, latitude) in [
            (Subject::ScutumCloud, 27.0, -3.0),
            (Subject::SummerBand, 75.0, 1.0),
            (Subject::WinterBand, 195.0, 0.0),
            (Subject::SouthernBand, 290.0, -0.5),
        ] {
            let want =
                sofars::coords::g2icrs(f64::to_radians(longitude), f64::to_radians(latitude));
            let miss = miss_deg(subject, want);
            assert!(miss < 0.01, "{subject:?}: {miss}°");
        }
    }

    /// Bright objects that a picture of each shows near its middle, J2000 (Messier's and the NGC
    /// catalogue, from memory): M 11; γ Cygni; the feet of Gemini (γ Geminorum) and Orion's club;
    /// η Carinae; the Tarantula nebula.
    #[test]
    fn landmarks_are_near() {
        for (subject, right_ascension_deg, declination_deg, within_deg) in [
            (Subject::Core, 266.42, -29.01, 0.01),
            (Subject::ScutumCloud, 282.77, -6.27, 1.0),
            (Subject::SummerBand, 305.56, 40.26, 4.0),
            (Subject::WinterBand, 99.43, 16.40, 6.0),
            (Subject::SouthernBand, 161.27, -59.68, 3.0),
            (Subject::MagellanicCloud, 84.68, -69.10, 2.0),
        ] {
            let (right_ascension, declination) = (
                f64::to_radians(right_ascension_deg),
                f64::to_radians(declination_deg),
            );
            let miss = miss_deg(subject, (right_ascension, declination));
            assert!(miss < within_deg, "{subject:?}: {miss}°");
        }
    }

    /// Common knowledge: in the Alps the summer band passes near the zenith, and Magellan's
    /// clouds, which never rise there, never set over Tasmania.
    #[test]
    fn they_rise_where_they_do() {
        let over = |subject: Subject, latitude_deg| {
            Culmination::new(subject.declination(), Angle::from_degrees(latitude_deg))
        };
        assert!(over(Subject::SummerBand, 46.5).altitude.degrees() > 80.0);
        assert!(!over(Subject::MagellanicCloud, 46.5).rises());
        assert!(!over(Subject::SouthernBand, 46.5).rises());
        let lower_deg = -90.0 + 42.0 - Subject::MagellanicCloud.declination().degrees();
        assert!(lower_deg > 20.0, "{lower_deg}°");
    }

    #[test]
    fn keys_are_read_back() {
        for subject in Subject::ALL {
            assert_eq!(Subject::from_key(subject.key()), Some(subject));
        }
    }
}
