//! Somebody at the site for a stretch of nights: what stands where, what the Moon
//! costs, and what becomes of an evening.

use chrono::NaiveDate;

use super::evening::{Evening, HARMLESS_MAG, Window, Without, edge};
use super::over_ridge::over_ridge;
use super::plan::{MoonLimit, Outing};
use crate::angle::Angle;
use crate::land::ridge::RidgeLine;
use crate::light::air::extinction;
use crate::light::brightness::Surface;
use crate::light::moonlight::Moonlit;
use crate::light::twilight::night_sky;
use crate::sky::almanac::{Almanac, Body};
use crate::sky::altitude::{Air, ApparentAltitude, TrueAltitude};
use crate::sky::crossings::zero_between;
use crate::sky::moment::Moment;
use crate::sky::night::{Course, Night, SunLine, noon};
use crate::sky::observer::{Observer, Seen, Standing};
use crate::sky::places::AU_KM;
use crate::sky::spans::{Span, Spans};
use crate::vector::Vector;

/// Time between looks at the moon cost, days.
const COST_STEP: f64 = 20.0 / 1440.0;

/// The moment the cost turns is found to this, magnitudes: a hundredth of what
/// the model is good to.
const COST_CLOSE_MAG: f64 = 5e-4;

/// In so many rounds at most, which leaves a few seconds.
const COST_ROUNDS: usize = 4;

/// How things stand at one moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// The core.
    pub core: Standing,
    /// The Sun.
    pub sun: Standing,
    /// The Moon.
    pub moon: Standing,
    /// Lit share of the Moon.
    pub lit: f64,
    /// How many magnitudes the Moon brightens the sky at the core; zero while
    /// it is down, nothing while the core is.
    pub moon_cost: Option<f64>,
    /// Brightness of the sky at the core, or overhead while the core is down;
    /// nothing in bright twilight and by day.
    pub sky: Option<Surface>,
}

/// Somebody at the site with an almanac at hand.
#[derive(Debug, Clone)]
pub struct Watch {
    almanac: Almanac,
    observer: Observer,
    ridge: RidgeLine,
    longitude: Angle,
    air: Air,
    extinction: f64,
    dark: Surface,
}

impl Watch {
    /// A watch over so many nights from a date on.
    pub fn over(outing: &Outing, date: NaiveDate, nights: u32) -> Self {
        let longitude = outing.site.longitude;
        let start = noon(date, longitude).plus_days(-0.25);
        Self {
            almanac: Almanac::over(start, f64::from(nights) + 0.5),
            observer: Observer::at(outing.site.on_earth()),
            ridge: outing.site.ridge.clone(),
            longitude,
            air: outing.site.air(),
            extinction: extinction(outing.site.height_m),
            dark: Surface::from_magnitude(outing.site.dark_v),
        }
    }

    /// The sky overhead without Moon and twilight.
    pub const fn dark(&self) -> Surface {
        self.dark
    }

    /// The air over the site.
    pub const fn air(&self) -> Air {
        self.air
    }

    /// The night of a date.
    pub fn night(&self, date: NaiveDate) -> Night<'_> {
        Night::from(&self.almanac, self.observer, noon(date, self.longitude))
    }

    /// What the night of a date offers.
    pub fn evening(&self, date: NaiveDate, limit: MoonLimit) -> Evening {
        let night = self.night(date);
        let sun = SunLine::ALL.map(|line| night.sun_at(line));
        let moon = night.moon_at_horizon();
        let core = self.over_ridge(&night, Body::Core);
        let dark = Spans::of(&sun[3], false);
        let core_up = Spans::of(&core, true);
        let moon_up = Spans::of(&moon, true);
        let before_moon = dark.and(&core_up);
        let allowed = self.moon_allows(&night, &before_moon, &moon, limit);
        let open = before_moon.and(&allowed);
        let why = |at: f64| edge(at, &dark, &core_up, &moon);
        let windows: Vec<Window> = open
            .0
            .iter()
            .map(|span| Window {
                span: *span,
                opens: why(span.start),
                closes: why(span.end),
            })
            .collect();
        let flat = || night.core_at(self.air.unseen(ApparentAltitude(Angle::ZERO)));
        let without = windows.is_empty().then(|| match () {
            () if core_up.0.is_empty() && Spans::of(&flat(), true).0.is_empty() => {
                Without::NeverRises
            }
            () if core_up.0.is_empty() => Without::BehindRidge,
            () if dark.0.is_empty() => Without::NotDark,
            () if before_moon.0.is_empty() => Without::CoreByDay,
            () => Without::Moon,
        });
        Evening {
            date,
            start: night.start(),
            sun,
            moon,
            core,
            dark,
            core_up,
            moon_up,
            windows,
            without,
        }
    }

    /// A body and the ridge line.
    pub fn over_ridge(&self, night: &Night<'_>, body: Body) -> Course {
        over_ridge(night, body, &self.ridge, self.air)
    }

    /// When the Moon is as harmless as asked.
    fn moon_allows(
        &self,
        night: &Night<'_>,
        within: &Spans,
        moon: &Course,
        limit: MoonLimit,
    ) -> Spans {
        let down = Spans::of(moon, false);
        match limit {
            MoonLimit::Any => return Spans(vec![Span::NIGHT]),
            MoonLimit::None => return down,
            MoonLimit::Harmless => {}
        }
        let mut allowed = Vec::new();
        let up = Spans::of(moon, true);
        let over = |at: f64| self.cost(night, at) - HARMLESS_MAG;
        for span in within.and(&up).0 {
            // looked at at even steps, closed in on where it changes sides
            let steps = ((span.end - span.start) / COST_STEP).ceil().max(1.0) as usize;
            let at =
                |step: usize| span.start + (span.end - span.start) * step as f64 / steps as f64;
            let mut last = over(span.start);
            let mut open = (last <= 0.0).then_some(span.start);
            for step in 1..=steps {
                let next = over(at(step));
                if (next <= 0.0) != (last <= 0.0) {
                    let ends = [(at(step - 1), last), (at(step), next)];
                    let turn = zero_between(&over, ends, COST_ROUNDS, COST_CLOSE_MAG);
                    match open.take() {
                        Some(start) => allowed.push(Span { start, end: turn }),
                        None => open = Some(turn),
                    }
                }
                last = next;
            }
            if let Some(start) = open {
                let end = span.end;
                allowed.push(Span { start, end });
            }
        }
        Spans::joined(down.0.into_iter().chain(allowed).collect())
    }

    /// The moon cost at the core so many days into the night; 0 while the Moon
    /// is down.
    fn cost(&self, night: &Night<'_>, at: f64) -> f64 {
        let moment = night.start().plus_days(at);
        let see = |body| night.see(body, at);
        self.moonlit(see(Body::Core), see(Body::Moon), moment)
            .cost(self.dark)
    }

    fn moonlit(&self, core: Seen, moon: Seen, moment: Moment) -> Moonlit {
        let moon = (moon, self.almanac.phase_angle(moment));
        self.moonlit_at((core.altitude(), core.angle_to(moon.0)), moon)
    }

    /// The Moon as seen from the site so many days into the night, and its phase angle.
    pub fn moon(&self, night: &Night<'_>, at: f64) -> (Seen, Angle) {
        let moment = night.start().plus_days(at);
        (night.see(Body::Moon, at), self.almanac.phase_angle(moment))
    }

    /// Moon and sky towards a bearing and altitude, for a [`moon`](Self::moon).
    pub fn moonlit_towards(
        &self,
        moon: (Seen, Angle),
        (bearing, altitude): (Angle, TrueAltitude),
    ) -> Moonlit {
        let standing = moon.0.standing();
        let there = Vector::towards(standing.bearing, standing.altitude.0);
        let separation = Vector::towards(bearing, altitude.0).angle_to(there);
        self.moonlit_at((altitude, separation), moon)
    }

    /// Moon and sky at an altitude and so far from the Moon.
    fn moonlit_at(
        &self,
        (altitude, separation): (TrueAltitude, Angle),
        (moon, phase_angle): (Seen, Angle),
    ) -> Moonlit {
        let down = |altitude: TrueAltitude| {
            let apparent = self.air.seen(altitude);
            Angle::from_degrees(90.0 - apparent.0.degrees())
        };
        Moonlit {
            phase_angle,
            moon_zenith: down(moon.altitude()),
            target_zenith: down(altitude),
            separation,
            extinction: self.extinction,
            distance_km: moon.distance_au() * AU_KM,
        }
    }

    /// How things stand so many days into the night of a date.
    pub fn reading(&self, date: NaiveDate, at: f64) -> Reading {
        let night = self.night(date);
        let moment = night.start().plus_days(at);
        let see = |body| night.see(body, at);
        let (core, moon) = (see(Body::Core), see(Body::Moon));
        let sun = see(Body::Sun).standing();
        let core_up = core.height() > 0.0;
        let moonlit = if core_up {
            self.moonlit(core, moon, moment)
        } else {
            let overhead = TrueAltitude(Angle::from_degrees(90.0));
            self.moonlit_towards(self.moon(&night, at), (Angle::ZERO, overhead))
        };
        let dark = moonlit.dark_sky(self.dark);
        let depression = Angle::from_radians(-sun.altitude.0.radians());
        let sky = night_sky(depression, dark);
        Reading {
            core: core.standing(),
            sun,
            moon: moon.standing(),
            lit: self.almanac.lit_share(moment),
            moon_cost: core_up.then(|| moonlit.cost(self.dark)),
            sky: sky.map(|sky| sky + moonlit.moonlight()),
        }
    }

    /// A body's height as it looks, degrees, so many days into the night.
    pub fn height_deg(&self, night: &Night<'_>, body: Body, at: f64) -> f64 {
        let altitude = night.see(body, at).standing().altitude;
        self.air.seen(altitude).0.degrees()
    }

    /// How high the ridge line stands under the core so many days into the
    /// night, degrees.
    pub fn ridge_under_core_deg(&self, night: &Night<'_>, at: f64) -> f64 {
        let bearing = night.see(Body::Core, at).standing().bearing;
        self.ridge.height(bearing).degrees()
    }

    /// The core's height as it looks.
    pub fn apparent(&self, standing: Standing) -> ApparentAltitude {
        self.air.seen(standing.altitude)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Full Moon on 24 November 2026 (almanacs, from memory): at local midnight it stands
    /// high, and the sky overhead, told while the core is down, is brighter by magnitudes;
    /// at the new Moon of 9 November it is the site's own.
    #[test]
    fn the_sky_overhead_has_the_moon_in_it() {
        let mut outing = Outing::default();
        outing.site.longitude = Angle::ZERO;
        let sky = |day: u32| {
            let date = NaiveDate::from_ymd_opt(2026, 11, day).expect("a date");
            let reading = Watch::over(&outing, date, 1).reading(date, 0.5);
            assert_eq!(reading.moon_cost, None, "the core is down");
            reading
                .sky
                .and_then(Surface::magnitude)
                .expect("a dark sky")
        };
        assert!((16.0..19.5).contains(&sky(24)), "{}", sky(24));
        assert!((sky(9) - 21.6).abs() < 1e-6, "{}", sky(9));
    }
}
