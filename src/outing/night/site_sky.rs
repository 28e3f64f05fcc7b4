//! The sky of a site over some nights: positions, moon cost, and the results for a night.

use chrono::NaiveDate;

use crate::angle::Angle;
use crate::land::ridge::RidgeLine;
use crate::light::brightness::SurfaceBrightness;
use crate::light::moonlight::MoonGeometry;
use crate::light::twilight::Direction;
use crate::outing::exposure::sky_brightness::SkyBrightnessModel;
use crate::outing::night::horizon_crossings::over_ridge;
use crate::outing::night::windows::UsableTime;
use crate::outing::night::{NightWindows, best_of};
use crate::outing::plan::limits::Limits;
use crate::outing::plan::site::Site;
use crate::sky::almanac::{Almanac, SkyBody};
use crate::sky::altitude::{Air, ApparentAltitude, TrueAltitude};
use crate::sky::night::{Course, Night, SunAltitudeLimit, noon};
use crate::sky::observer::{Horizontal, Observer, Topocentric};
use crate::sky::positions::AU_KM;
use crate::sky::spans::{Span, Spans};
use crate::sky::subject::Subject;

/// The sky at one moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SkyReading {
    /// The subject: the core, unless another was chosen.
    pub core: Horizontal,
    /// The Sun.
    pub sun: Horizontal,
    /// The Moon.
    pub moon: Horizontal,
    /// Illuminated fraction of the Moon.
    pub lit: f64,
    /// Magnitudes by which the Moon brightens the sky at the subject; `None` while that is
    /// down.
    pub moon_cost: Option<f64>,
    /// Brightness of the sky at the subject, or overhead while that is down; `None` in bright
    /// twilight and by day.
    pub sky: Option<SurfaceBrightness>,
}

/// A site's observer, air and skyline, with an almanac.
#[derive(Debug, Clone)]
pub struct SiteSky {
    almanac: Almanac,
    observer: Observer,
    ridge: RidgeLine,
    longitude: Angle,
    air: Air,
    extinction: f64,
    dark: SurfaceBrightness,
}

impl SiteSky {
    /// The sky of a site and a subject over `nights` nights from a date.
    pub fn over(site: &Site, subject: Subject, date: NaiveDate, nights: u32) -> Self {
        let observer = Observer::at(site.on_earth());
        Self::with_observer(site.air(), observer, (site, subject), (date, nights))
    }

    /// The same with a given observer and air.
    pub fn with_observer(
        air: Air,
        observer: Observer,
        (site, subject): (&Site, Subject),
        (date, nights): (NaiveDate, u32),
    ) -> Self {
        let start = noon(date, site.longitude).plus_days(-0.25);
        Self {
            almanac: Almanac::with_subject(subject, start, f64::from(nights) + 0.5),
            observer,
            ridge: site.ridge.clone(),
            longitude: site.longitude,
            air,
            extinction: site.extinction(),
            dark: SurfaceBrightness::from_magnitude(site.sky_brightness),
        }
    }

    /// The zenith brightness without Moon and twilight.
    pub const fn dark(&self) -> SurfaceBrightness {
        self.dark
    }

    /// Magnitudes lost per air mass.
    pub const fn extinction(&self) -> f64 {
        self.extinction
    }

    /// The skyline of the site.
    pub const fn ridge(&self) -> &RidgeLine {
        &self.ridge
    }

    /// The air over the site.
    pub const fn air(&self) -> Air {
        self.air
    }

    /// The night of a date.
    pub fn night(&self, date: NaiveDate) -> Night<'_> {
        Night::new(&self.almanac, self.observer, noon(date, self.longitude))
    }

    /// The results for the night of a date.
    pub fn night_windows(&self, date: NaiveDate, limits: &Limits) -> NightWindows {
        let night = self.night(date);
        let usable = self.usable(&night, limits);
        let moon = night.moon_course();
        let best_at = self.best_moment(&night, &usable);
        NightWindows {
            date,
            start: night.start(),
            sun: SunAltitudeLimit::ALL.map(|line| night.sun_course(line)),
            moon_up: Spans::new(&moon, true),
            moon,
            core: self.over_ridge(&night, SkyBody::Subject),
            usable,
            best_at,
        }
    }

    /// The moment shown first, days since noon; see [`NightWindows::best_at`].
    fn best_moment(&self, night: &Night<'_>, usable: &UsableTime) -> f64 {
        if let Some(window) = best_of(&usable.windows) {
            return self.brightest(night, window.span);
        }
        let Some(Span { start, end }) = usable.dark.longest() else {
            let lowest = night.extreme(SkyBody::Sun, false);
            return lowest.map_or(0.5, |turn| turn.at);
        };
        let height = |at| night.topocentric(SkyBody::Subject, at).sin_altitude();
        match night.extreme(SkyBody::Subject, true) {
            Some(top) if (start..=end).contains(&top.at) => top.at,
            _ if height(start) >= height(end) => start,
            _ => end,
        }
    }

    /// A body relative to the ridge line.
    pub fn over_ridge(&self, night: &Night<'_>, body: SkyBody) -> Course {
        over_ridge(night, body, &self.ridge, self.air)
    }

    /// Moon and sky at an altitude and a distance from the Moon.
    pub(in crate::outing) fn moonlit_at(
        &self,
        (altitude, separation): (TrueAltitude, Angle),
        (moon, sun): (Topocentric, Topocentric),
    ) -> MoonGeometry {
        MoonGeometry {
            phase_angle: moon.phase_angle(sun),
            moon_zenith: Angle::from_degrees(90.0 - moon.altitude().0.degrees()),
            target_zenith: self.zenith_distance(altitude),
            separation,
            extinction: self.extinction,
            distance_km: moon.distance_au() * AU_KM,
        }
    }

    /// Twilight at an altitude and a distance from the Sun; `None` in bright twilight.
    pub(in crate::outing) fn twilight_at(
        &self,
        (altitude, separation): (TrueAltitude, Angle),
        sun: Topocentric,
    ) -> Option<SurfaceBrightness> {
        Direction {
            sun_altitude: sun.altitude().0,
            zenith_distance: self.zenith_distance(altitude),
            separation,
            extinction: self.extinction,
        }
        .twilight()
    }

    /// The apparent zenith distance of a true altitude.
    pub(in crate::outing) fn zenith_distance(&self, altitude: TrueAltitude) -> Angle {
        Angle::from_degrees(90.0 - self.air.to_apparent(altitude).0.degrees())
    }

    /// The sky, `at` days into the night of a date.
    pub fn reading(&self, date: NaiveDate, at: f64) -> SkyReading {
        let night = self.night(date);
        let core = night.topocentric(SkyBody::Subject, at);
        let core_up = self.apparent_altitude(core.horizontal()).0 > Angle::ZERO;
        let light = self.subject_light(&night, at);
        let sky = if core_up {
            light.sky
        } else {
            let overhead = (Angle::ZERO, Angle::from_degrees(90.0));
            SkyBrightnessModel::at(self, (date, at))
                .towards(overhead)
                .whole
        };
        SkyReading {
            core: core.horizontal(),
            sun: night.topocentric(SkyBody::Sun, at).horizontal(),
            moon: night.topocentric(SkyBody::Moon, at).horizontal(),
            lit: self
                .almanac
                .illuminated_fraction(night.start().plus_days(at)),
            moon_cost: core_up.then_some(light.moon_cost),
            sky,
        }
    }

    /// A body's apparent altitude, degrees, `at` days into the night.
    pub fn height_deg(&self, night: &Night<'_>, body: SkyBody, at: f64) -> f64 {
        let altitude = night.topocentric(body, at).horizontal().altitude;
        self.air.to_apparent(altitude).0.degrees()
    }

    /// The ridge line's altitude at the subject's bearing, degrees, `at` days into the night.
    pub fn ridge_under_core_deg(&self, night: &Night<'_>, at: f64) -> f64 {
        let bearing = night.topocentric(SkyBody::Subject, at).horizontal().bearing;
        self.ridge.height(bearing).degrees()
    }

    /// The apparent altitude of a position.
    pub fn apparent_altitude(&self, position: Horizontal) -> ApparentAltitude {
        self.air.to_apparent(position.altitude)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Full Moon on 24 November 2026 (almanacs, from memory): at local midnight it is high, and the
    /// sky overhead, reported while the core is down, is brighter by magnitudes; at the new Moon of
    /// 9 November it is the site's own.
    #[test]
    fn the_sky_overhead_has_the_moon_in_it() {
        let site = Site::default();
        let sky = |day: u32| {
            let date = NaiveDate::from_ymd_opt(2026, 11, day).expect("a date");
            let reading = SiteSky::over(&site, Subject::Core, date, 1).reading(date, 0.5);
            assert_eq!(reading.moon_cost, None, "the core is down");
            reading
                .sky
                .and_then(SurfaceBrightness::magnitude)
                .expect("a dark sky")
        };
        assert!((16.0..19.5).contains(&sky(24)), "{}", sky(24));
        assert!((sky(9) - 21.6).abs() < 1e-6, "{}", sky(9));
    }
}
