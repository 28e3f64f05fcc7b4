//! Dew on the lens, from temperature and humidity.

use crate::outing::plan::Weather;

/// Coefficients of Magnus's formula over water: 17.625 and 243.04 °C (O. A.
/// Alduchov & R. E. Eskridge, *J. Appl. Meteorol.* 35 (1996) 601).
const MAGNUS: f64 = 17.625;
const MAGNUS_C: f64 = 243.04;

/// How much colder than the air glass gets under a clear sky, °C (common practice: a few degrees).
const GLASS_COLDER_C: f64 = 4.0;

/// Twice that: no dew is expected for a while.
const SAFE_C: f64 = 8.0;

/// How near dew is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Dew {
    /// The glass will fog: warm it before it does.
    Now,
    /// It will when the air cools a little more.
    Soon,
    /// Not expected.
    Far,
}

impl Weather {
    /// The dew point, °C.
    ///
    /// Source: Magnus's formula with the coefficients of Alduchov & Eskridge 1996,
    /// within 0.4 % of the pressure from −40 to 50 °C.
    ///
    /// ```text
    /// 10 °C, 85 %  →  7.59 °C
    /// ```
    pub fn dew_point_c(self) -> f64 {
        let gamma = (self.humidity_percent / 100.0).ln()
            + MAGNUS * self.celsius / (MAGNUS_C + self.celsius);
        MAGNUS_C * gamma / (MAGNUS - gamma)
    }

    /// How near dew on the lens is.
    pub fn dew(self) -> Dew {
        match self.celsius - self.dew_point_c() {
            gap if gap < GLASS_COLDER_C => Dew::Now,
            gap if gap < SAFE_C => Dew::Soon,
            _ => Dew::Far,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn weather(celsius: f64, humidity_percent: f64) -> Weather {
        Weather {
            celsius,
            humidity_percent,
        }
    }

    /// The formula computed independently; the second by a handbook's psychrometric table (from
    /// memory: 20 °C and 50 % have a dew point of 9.3 °C).
    #[test]
    fn dew_points_are_the_known_ones() {
        let table = [
            (10.0, 85.0, 7.594, 1e-3),
            (20.0, 50.0, 9.3, 0.06),
            (-5.0, 100.0, -5.0, 1e-9),
        ];
        for (celsius, humid, want, near) in table {
            let got = weather(celsius, humid).dew_point_c();
            assert!(
                (got - want).abs() < near,
                "{celsius} °C, {humid} %: {got}, want {want}"
            );
        }
    }

    #[test]
    fn damp_nights_are_told_from_dry_ones() {
        assert_eq!(weather(10.0, 85.0).dew(), Dew::Now);
        assert_eq!(weather(10.0, 65.0).dew(), Dew::Soon);
        assert_eq!(weather(15.0, 30.0).dew(), Dew::Far);
    }

    #[test]
    fn every_weather_that_can_be_typed_has_a_dew_point() {
        for celsius in -50..=50 {
            for humid in 1..=100 {
                let got = weather(f64::from(celsius), f64::from(humid)).dew_point_c();
                assert!(
                    got.is_finite() && got <= f64::from(celsius) + 1e-9,
                    "{celsius} {humid}: {got}"
                );
            }
        }
    }
}
