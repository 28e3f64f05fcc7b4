//! Brightness of the sky where the camera points, and extinction of the subject.

use chrono::NaiveDate;

use crate::angle::Angle;
use crate::light::air::air_mass;
use crate::light::brightness::SurfaceBrightness;
use crate::outing::night::site_sky::SiteSky;
use crate::outing::plan::Outing;
use crate::sky::almanac::SkyBody;
use crate::sky::altitude::{ApparentAltitude, TrueAltitude};
use crate::sky::night::Night;
use crate::sky::observer::Topocentric;
use crate::vector::Vector;

/// Lowest altitude of the model, degrees; lower frames count as this: below it haze often hides the
/// sky's own light.
const LOWEST_DEG: f64 = 5.0;

/// The sky at a place, and the extinction there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SkyBrightness {
    /// Apparent altitude it is computed for.
    pub altitude: ApparentAltitude,
    /// The sky there without Moon and twilight.
    pub dark: SurfaceBrightness,
    /// The total; `None` in bright twilight and by day.
    pub whole: Option<SurfaceBrightness>,
    /// Magnitudes that the Moon adds to dark sky and twilight.
    pub moon_mag: f64,
    /// Magnitudes that twilight adds.
    pub twilight_mag: f64,
    /// Air mass; 1 below the horizon.
    pub air_masses: f64,
    /// Extinction, magnitudes.
    pub lost_mag: f64,
}

/// The sky's light at a moment, for any direction.
#[derive(Debug)]
pub struct SkyBrightnessModel<'a> {
    site_sky: &'a SiteSky,
    sun: Topocentric,
    moon: Topocentric,
}

impl<'a> SkyBrightnessModel<'a> {
    /// Moon and Sun, `at` days into the night of a date.
    pub fn at(site_sky: &'a SiteSky, (date, at): (NaiveDate, f64)) -> Self {
        Self::of(site_sky, &site_sky.night(date), at)
    }

    /// Moon and Sun, `at` days into a night of the site.
    pub fn of(site_sky: &'a SiteSky, night: &Night<'_>, at: f64) -> Self {
        Self {
            site_sky,
            sun: night.topocentric(SkyBody::Sun, at),
            moon: night.topocentric(SkyBody::Moon, at),
        }
    }

    /// The sky at a bearing and altitude.
    ///
    /// The zenith brightness is the site's; towards the horizon it changes as in K. Krisciunas & B.
    /// E. Schaefer, *PASP* 103 (1991) 1033, eq. 2. Moonlight is good to 8 to 23 %, twilight
    /// overhead to 0.2 mag and low down to perhaps half a magnitude, extinction to a third; light
    /// domes of towns are not modelled.
    ///
    /// ```text
    /// 21.6 overhead, 25° high from the sea  →  21.1 there, 0.66 mag lost
    /// ```
    pub fn towards(&self, (bearing, altitude): (Angle, Angle)) -> SkyBrightness {
        let altitude = Angle::from_degrees(altitude.degrees().clamp(LOWEST_DEG, 90.0));
        let there = Vector::from_spherical(bearing, altitude);
        let from = |body: Topocentric| {
            let position = body.horizontal();
            let towards = Vector::from_spherical(position.bearing, position.altitude.0);
            (body, there.angle_to(towards))
        };
        SkyBrightness::at(
            self.site_sky,
            TrueAltitude(altitude),
            from(self.sun),
            from(self.moon),
        )
    }
}

impl SkyBrightness {
    /// The sky at a true altitude and at these distances from Sun and Moon.
    pub(in crate::outing) fn at(
        site_sky: &SiteSky,
        altitude: TrueAltitude,
        (sun, from_sun): (Topocentric, Angle),
        (moon, from_moon): (Topocentric, Angle),
    ) -> Self {
        let moonlit = site_sky.moonlit_at((altitude, from_moon), (moon, sun));
        let twilight = site_sky.twilight_at((altitude, from_sun), sun);
        let apparent = site_sky.air().to_apparent(altitude);
        let dark = moonlit.dark_sky(site_sky.dark());
        let moonlight = moonlit.moonlight();
        let moonless = dark + twilight.unwrap_or(SurfaceBrightness::NONE);
        let air_masses = air_mass(apparent.0).unwrap_or(1.0);
        Self {
            altitude: apparent,
            dark,
            whole: twilight.map(|_| moonless + moonlight),
            moon_mag: moonless.brightened_by(moonlight),
            twilight_mag: twilight.map_or(0.0, |twilight| dark.brightened_by(twilight)),
            air_masses,
            lost_mag: site_sky.extinction() * air_masses,
        }
    }

    /// The sky for computing exposures: the total, or the dark sky where bright twilight or day has
    /// no model.
    pub fn for_exposure(&self) -> SurfaceBrightness {
        self.whole.unwrap_or(self.dark)
    }

    /// Brightness of an outing's subject after extinction.
    pub fn subject(&self, outing: &Outing) -> SurfaceBrightness {
        SurfaceBrightness::from_magnitude(outing.subject_brightness + self.lost_mag)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::light::exposure::{middle_iso, suggested_iso};
    use crate::outing::plan::Outing;

    fn light(altitude_deg: f64, at: f64) -> SkyBrightness {
        let mut outing = Outing::default();
        outing.site.longitude = Angle::ZERO;
        // the Moon is new on 14 June 2026 (a day before)
        let date = NaiveDate::from_ymd_opt(2026, 6, 14).expect("a date");
        let site_sky = SiteSky::over(&outing.site, outing.subject, date, 1);
        let towards = (
            Angle::from_degrees(180.0),
            Angle::from_degrees(altitude_deg),
        );
        SkyBrightnessModel::at(&site_sky, (date, at)).towards(towards)
    }

    /// At midnight of a new Moon the sky overhead is the site's, without additions, and extinction
    /// is that of one air mass: 0.281 (Green 1992, at the sea).
    #[test]
    fn overhead_it_is_the_sites_own() {
        let sky = light(90.0, 0.5);
        let v = sky.for_exposure().magnitude().expect("some light");
        assert!((v - 21.6).abs() < 1e-6, "{v}");
        assert_eq!((sky.moon_mag, sky.twilight_mag), (0.0, 0.0));
        assert!((sky.lost_mag - 0.2811).abs() < 1e-4, "{sky:?}");
    }

    /// Krisciunas & Schaefer's eq. 2 by hand for 25° with 0.2811 mag: X =
    /// (1 − 0.96 cos² 25°)^−½ = 2.1746, so 21.6 − 2.5 log X + 0.2811 (X − 1) = 21.087.
    #[test]
    fn lower_down_there_is_more_of_it() {
        let sky = light(25.0, 0.5);
        let v = sky.for_exposure().magnitude().expect("some light");
        // refraction lifts it by half a tenth of a degree, which is 0.001 mag
        assert!((v - 21.087).abs() < 3e-3, "{v}");
        assert!((sky.air_masses - 2.35).abs() < 0.02, "{sky:?}");
        let low = light(-20.0, 0.5);
        assert!((low.altitude.0.degrees() - 5.2).abs() < 0.1, "{low:?}");
    }

    #[test]
    fn twilight_is_told_until_it_is_too_bright() {
        // 19:50 in June at 36° N: the Sun is some 8° down
        let dusk = light(90.0, 19.87 / 24.0 - 0.5);
        assert!(dusk.twilight_mag > 3.0, "{dusk:?}");
        assert_eq!(light(90.0, 0.1).whole, None, "by day");
        assert_eq!(light(90.0, 0.1).for_exposure(), light(90.0, 0.5).dark);
    }

    /// The computed directions of twilight (`src/light/twilight.rs`): near the horizon it is a
    /// magnitude and more above that overhead, most towards the Sun; so the ISO suggested for a
    /// frame 20° up is stops lower than one for the zenith.
    #[test]
    fn twilight_is_that_of_the_direction() {
        let mut outing = Outing::default();
        outing.site.longitude = Angle::ZERO;
        let date = NaiveDate::from_ymd_opt(2026, 6, 14).expect("a date");
        let site_sky = SiteSky::over(&outing.site, outing.subject, date, 1);
        // 20:00 in June at 36° N: the Sun is some 10° down in the north-west, at 309°
        let lights = SkyBrightnessModel::at(&site_sky, (date, 20.0 / 24.0 - 0.5));
        let towards = |bearing: f64, altitude: f64| {
            lights.towards((Angle::from_degrees(bearing), Angle::from_degrees(altitude)))
        };
        let light = |sky: SkyBrightness| {
            let whole = sky.whole.expect("no bright twilight");
            whole.nanolamberts() - sky.dark.nanolamberts()
        };
        let overhead = light(towards(0.0, 90.0));
        for (bearing, want) in [(129.0, 1.0), (219.0, 1.7), (309.0, 2.9)] {
            let got = 2.5 * (light(towards(bearing, 20.0)) / overhead).log10();
            assert!((got - want).abs() < 0.2, "{bearing}°: {got} mag");
        }
        let iso = |sky: SkyBrightness| {
            let luminance = sky.for_exposure().luminance_cd_m2();
            f64::from(suggested_iso(middle_iso(luminance, 2.8, 1.0)))
        };
        let stops = (iso(towards(0.0, 90.0)) / iso(towards(309.0, 20.0))).log2();
        assert!(stops > 1.3, "{stops} stops");
    }

    #[test]
    fn the_air_dims_the_subject() {
        let outing = Outing::default();
        let glow = light(90.0, 0.5)
            .subject(&outing)
            .magnitude()
            .expect("light");
        assert!((glow - 23.281).abs() < 1e-3, "{glow}");
    }
}
