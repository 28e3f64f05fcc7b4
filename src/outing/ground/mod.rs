//! Settings for the foreground: pictures of the ground, to be joined with those of the sky.
//!
//! The ground stands still, so its shutter may be open for minutes; what decides it is the light
//! that falls on it. In dusk and dawn there is a stretch in which the sky still lights it enough
//! for the longest time one wants to wait; later the Moon may; without both the sky's own glow has
//! to do. Times are rounded up to the dial: two stops below a meter's reading a third of a stop
//! more light does no harm, less is noise.

pub mod focus_steps;

use chrono::NaiveDate;

use crate::angle::Angle;
use crate::camera::dial::Shutter;
use crate::camera::f_number::exact_f_number;
use crate::camera::lens::Lens;
use crate::light::illuminance::{
    GROUND_BELOW_METER, ground_seconds, least_lx, moonlight_lx, night_sky_lx, twilight_lx,
};
use crate::outing::ground::focus_steps::{FocusStep, focus_steps};
use crate::outing::night::site_sky::SiteSky;
use crate::sky::almanac::SkyBody;
use crate::sky::altitude::TrueAltitude;
use crate::sky::night::Night;
use crate::sky::positions::AU_KM;
use crate::sky::spans::Span;

/// Sun's altitude at which the blue hour begins in dusk and ends in dawn, degrees: from then on
/// the sky is darker than what it lights, and blue (common practice: −4° to −6°).
const BLUE_FROM_DEG: f64 = -4.0;

/// Sun's altitude below which there is no twilight, degrees.
const NIGHT_DEG: f64 = -18.0;

/// Pictures listed of a blue hour, ends included.
const BLUE_STEPS: u32 = 5;

/// The camera for the ground.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GroundCamera {
    /// The lens, at the f-number in use.
    pub lens: Lens,
    /// ISO.
    pub iso: f64,
    /// Longest shutter time wanted in twilight, s.
    pub longest_s: f64,
    /// Circle of confusion, mm; see [`crate::camera::focus::USUAL_CIRCLE`].
    pub circle_mm: f64,
    /// Nearest foreground that must be sharp, mm from the lens.
    pub nearest_mm: f64,
}

/// An exposure of the ground.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GroundExposure {
    /// Light on the level ground, lx.
    pub illuminance_lx: f64,
    /// Shutter time, s, [`GROUND_BELOW_METER`] stops below a meter's reading.
    pub seconds: f64,
    /// The shortest setting that is at least as long; `None` beyond half a day.
    pub shutter: Option<Shutter>,
}

/// A picture in the blue hour.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BlueStep {
    /// Days since the night's noon.
    pub at: f64,
    /// True altitude of the Sun.
    pub sun_altitude: Angle,
    /// The exposure, with the light of Moon and night sky in it.
    pub exposure: GroundExposure,
}

/// When in dusk or dawn the sky lights the ground enough.
#[derive(Debug, Clone, PartialEq)]
pub struct BlueHour {
    /// From when to when, days since the night's noon.
    pub span: Span,
    /// Evenly spread over it, both ends included, in the order of time.
    pub steps: Vec<BlueStep>,
}

/// Settings for the foreground in a night.
#[derive(Debug, Clone, PartialEq)]
pub struct Ground {
    /// In the evening; `None` where the Sun never gets low enough, or twilight is always too weak
    /// for the shutter time wanted.
    pub dusk: Option<BlueHour>,
    /// In the morning.
    pub dawn: Option<BlueHour>,
    /// With the Moon of the minute looked at, and the night sky; `None` while the Moon is down or
    /// behind the skyline, when it does not light the ground.
    pub moon: Option<GroundExposure>,
    /// Without Moon and twilight.
    pub starlight: GroundExposure,
    /// Focus distances for all from the nearest foreground to infinity; empty where there are none.
    pub focus_steps: Vec<FocusStep>,
    /// ISO of all of them.
    pub iso: f64,
}

/// The shortest setting of at least this time; `None` beyond half a day and for NaN.
fn at_least(seconds: f64) -> Option<Shutter> {
    const MOST_S: f64 = 43_200.0;
    if seconds.is_nan() || seconds > MOST_S {
        return None;
    }
    let shortest = Shutter::Marked(0).stepped(i32::MIN);
    let below = Shutter::at_most(seconds).unwrap_or(shortest);
    Some(if below.exact_s() >= seconds {
        below
    } else if seconds > Shutter::Marked(15).exact_s() {
        Shutter::Bulb(seconds.ceil() as u32)
    } else {
        below.stepped(1)
    })
}

impl GroundCamera {
    fn f_number(&self) -> f64 {
        exact_f_number(self.lens.f_number).unwrap_or(self.lens.f_number)
    }

    /// The exposure in a light, lx.
    pub fn exposure(&self, illuminance_lx: f64) -> GroundExposure {
        let f_number = self.f_number();
        let seconds = ground_seconds(illuminance_lx, self.iso, f_number, GROUND_BELOW_METER);
        GroundExposure {
            illuminance_lx,
            seconds,
            shutter: at_least(seconds),
        }
    }

    /// The Sun's altitude, degrees, at which twilight with a night sky's light needs the longest
    /// time; −18° where the night sky alone needs less. `None` where it is above the start of the
    /// blue hour.
    fn darkest_sun_deg(&self, night_sky_lx: f64) -> Option<f64> {
        const ROUNDS: usize = 30;
        let least = least_lx(
            self.longest_s,
            self.iso,
            self.f_number(),
            GROUND_BELOW_METER,
        );
        let enough =
            |sun_deg: f64| twilight_lx(Angle::from_degrees(sun_deg)) + night_sky_lx >= least;
        if !enough(BLUE_FROM_DEG) {
            return None;
        }
        let (mut low, mut high) = (NIGHT_DEG, BLUE_FROM_DEG);
        if enough(low) {
            return Some(low);
        }
        for _ in 0..ROUNDS {
            let middle = (low + high) / 2.0;
            if enough(middle) {
                high = middle;
            } else {
                low = middle;
            }
        }
        Some(high)
    }
}

impl Ground {
    /// Settings for a night of a date; `at` is the minute looked at, in days since its noon.
    ///
    /// Twilight is good to a fifth on a clear night and to a factor of three under clouds,
    /// moonlight to a quarter, and the ground's own brightness, which is taken as 16 %, makes as
    /// much difference as either: a test frame decides.
    ///
    /// ```text
    /// 20 mm f/1.8, ISO 3200, 36° N in June, no longer than 30 s  →  until the Sun is 15.6° down
    /// ```
    pub fn new(camera: &GroundCamera, site_sky: &SiteSky, (date, at): (NaiveDate, f64)) -> Self {
        let night = site_sky.night(date);
        let light = GroundLight { site_sky, night };
        let [dusk, dawn] = [false, true].map(|dawn| light.blue_hour(camera, dawn));
        let night_sky_lx = light.night_sky_lx();
        let moon = Some(light.moon_lx(at)).filter(|lx| *lx > 0.0);
        Self {
            dusk,
            dawn,
            moon: moon.map(|lx| camera.exposure(lx + night_sky_lx)),
            starlight: camera.exposure(night_sky_lx),
            focus_steps: focus_steps(camera.lens, camera.circle_mm, camera.nearest_mm),
            iso: camera.iso,
        }
    }
}

/// The light on the ground over a night.
struct GroundLight<'a> {
    site_sky: &'a SiteSky,
    night: Night<'a>,
}

impl GroundLight<'_> {
    fn night_sky_lx(&self) -> f64 {
        night_sky_lx(self.site_sky.dark())
    }

    /// The Moon's; zero while it is behind the skyline.
    fn moon_lx(&self, at: f64) -> f64 {
        let [sun, moon] = [SkyBody::Sun, SkyBody::Moon].map(|it| self.night.topocentric(it, at));
        let position = moon.horizontal();
        let altitude = self.site_sky.apparent_altitude(position).0;
        if altitude <= self.site_sky.ridge().height(position.bearing) {
            return 0.0;
        }
        let distance_km = moon.distance_au() * AU_KM;
        let extinction = self.site_sky.extinction();
        moonlight_lx(moon.phase_angle(sun), altitude, extinction, distance_km)
    }

    fn step(&self, camera: &GroundCamera, at: f64) -> BlueStep {
        let sun_altitude = self.night.topocentric(SkyBody::Sun, at).altitude().0;
        let illuminance_lx = twilight_lx(sun_altitude) + self.moon_lx(at) + self.night_sky_lx();
        BlueStep {
            at,
            sun_altitude,
            exposure: camera.exposure(illuminance_lx),
        }
    }

    /// The blue hour of the evening or the morning.
    ///
    /// Where the Sun never is as low as its dark end, dusk and dawn meet when the Sun is lowest;
    /// where it is below the bright end even at noon, they begin and end there.
    fn blue_hour(&self, camera: &GroundCamera, dawn: bool) -> Option<BlueHour> {
        let darkest_deg = camera.darkest_sun_deg(self.night_sky_lx())?;
        let crossing = |sun_deg: f64| {
            let altitude = TrueAltitude(Angle::from_degrees(sun_deg));
            let course = self.night.course(SkyBody::Sun, altitude);
            let mut found = course.crossings.iter().filter(|it| it.up == dawn);
            // the first of the evening, the last of the morning
            let found = if dawn {
                found.next_back()
            } else {
                found.next()
            };
            (course.starts_above, found.map(|crossing| crossing.at))
        };
        let (bright_at_noon, bright) = crossing(BLUE_FROM_DEG);
        let (up_at_noon, dark) = crossing(darkest_deg);
        let bright = match bright {
            Some(at) => at,
            None if bright_at_noon || !up_at_noon => return None,
            None => f64::from(u8::from(dawn)),
        };
        let lowest = || self.night.extreme(SkyBody::Sun, false).map(|it| it.at);
        let dark = dark.or_else(lowest)?;
        let (start, end) = if dawn { (dark, bright) } else { (bright, dark) };
        let span = Span { start, end };
        let at = |step: u32| start + (end - start) * f64::from(step) / f64::from(BLUE_STEPS - 1);
        (end > start).then(|| BlueHour {
            span,
            steps: (0..BLUE_STEPS)
                .map(|step| self.step(camera, at(step)))
                .collect(),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::outing::plan::site::Site;
    use crate::sky::subject::Subject;

    const CAMERA: GroundCamera = GroundCamera {
        lens: Lens {
            focal_mm: 20.0,
            f_number: 2.8,
            projection: crate::camera::lens::Projection::Rectilinear,
            distortion: crate::camera::distortion::Distortion::NONE,
            star_width: None,
            corner_falloff_stops: None,
        },
        iso: 1600.0,
        longest_s: 30.0,
        circle_mm: 0.03,
        nearest_mm: 1500.0,
    };

    fn ground(camera: &GroundCamera, latitude: f64, date: (i32, u32, u32), at: f64) -> Ground {
        let site = Site {
            latitude: Angle::from_degrees(latitude),
            longitude: Angle::ZERO,
            ..Site::default()
        };
        let date = NaiveDate::from_ymd_opt(date.0, date.1, date.2).expect("a date");
        let site_sky = SiteSky::over(&site, Subject::Core, date, 1);
        Ground::new(camera, &site_sky, (date, at))
    }

    /// By hand: 250 · 2.828² / (1600 · 4 · 30) = 0.0104 lx is the least light; the table of
    /// twilight with the night's 0.0011 lx gives it at 11.7° down. And the ends are crossings: in
    /// the evening 4° down comes first, in the morning last.
    #[test]
    fn the_blue_hour_ends_where_the_longest_time_is_needed() {
        let ground = ground(&CAMERA, 36.0, (2026, 6, 14), 0.5);
        let (dusk, dawn) = (ground.dusk.expect("dusk"), ground.dawn.expect("dawn"));
        let suns = |hour: &BlueHour| -> Vec<f64> {
            hour.steps
                .iter()
                .map(|it| it.sun_altitude.degrees())
                .collect()
        };
        let (evening, morning) = (suns(&dusk), suns(&dawn));
        assert!((evening[0] + 4.0).abs() < 1e-3, "{evening:?}");
        assert!((evening[4] + 11.7).abs() < 0.1, "{evening:?}");
        assert!((morning[4] + 4.0).abs() < 1e-3, "{morning:?}");
        assert!((morning[0] - evening[4]).abs() < 1e-3, "{morning:?}");
        assert!(dusk.span.end < 0.5 && dawn.span.start > 0.5);
        // no Moon in that night, so that the last exposure is the longest one
        let last = dusk.steps[4].exposure;
        assert!((last.seconds - 30.0).abs() < 0.3, "{last:?}");
        assert_eq!(last.shutter.map(Shutter::mark).as_deref(), Some("30"));
        let first = dusk.steps[0].exposure;
        assert!(first.seconds < 0.05, "{first:?}");
    }

    /// Common practice: under a high full Moon a foreground takes tens of seconds at f/2.8 and ISO
    /// 800 or some seconds at ISO 1600 and more, in starlight many minutes. Full Moon on 24
    /// November 2026 (almanacs, from memory), new on 9 November.
    #[test]
    fn moonlight_and_starlight_as_people_use_them() {
        let full = ground(&CAMERA, 36.0, (2026, 11, 24), 0.5);
        let moon = full.moon.expect("up");
        assert!((0.18..0.36).contains(&moon.illuminance_lx), "{moon:?}");
        assert!((0.5..4.0).contains(&moon.seconds), "{moon:?}");
        let new = ground(&CAMERA, 36.0, (2026, 11, 9), 0.5);
        assert_eq!(new.moon, None);
        let minutes = new.starlight.seconds / 60.0;
        assert!((4.0..10.0).contains(&minutes), "{minutes} min");
        assert_eq!(new.starlight, full.starlight);
    }

    /// At 58° N in June the Sun is 8.6° down at midnight (90° − 58° − 23.4°): dusk ends and dawn
    /// begins there. At 66° N it never is 4° down; in December at 80° N it is far below all day.
    #[test]
    fn white_and_polar_nights() {
        let white = ground(&CAMERA, 58.0, (2026, 6, 20), 0.5);
        let (dusk, dawn) = (white.dusk.expect("dusk"), white.dawn.expect("dawn"));
        assert_eq!(dusk.span.end, dawn.span.start);
        let lowest = dusk.steps[4].sun_altitude.degrees();
        assert!((lowest + 8.6).abs() < 0.1, "{lowest}");
        let day = ground(&CAMERA, 66.0, (2026, 6, 20), 0.5);
        assert_eq!((day.dusk, day.dawn), (None, None));
        let dark = ground(&CAMERA, 85.0, (2026, 12, 20), 0.5);
        assert_eq!((dark.dusk, dark.dawn), (None, None));
        // the Sun is 5.4° down at noon there
        let polar = ground(&CAMERA, 72.0, (2026, 12, 20), 0.5);
        assert_eq!(polar.dusk.expect("dusk").span.start, 0.0);
        assert_eq!(polar.dawn.expect("dawn").span.end, 1.0);
    }

    /// By hand: 250 · 3.175 / (3200 · 4 · 30) = 0.00207 lx, less 0.00109 of the night sky; the
    /// table of twilight gives that with its own night's 0.00065 lx at 15.6° down.
    #[test]
    fn a_fast_lens_sees_by_the_last_of_twilight() {
        let fast = GroundCamera {
            lens: Lens {
                f_number: 1.8,
                ..CAMERA.lens
            },
            iso: 3200.0,
            ..CAMERA
        };
        let dusk = ground(&fast, 36.0, (2026, 6, 14), 0.5).dusk.expect("dusk");
        let last = dusk.steps[4].sun_altitude.degrees();
        assert!((last + 15.6).abs() < 0.1, "{last}");
    }

    #[test]
    fn a_slow_camera_has_no_blue_hour() {
        let slow = GroundCamera {
            iso: 100.0,
            longest_s: 0.1,
            ..CAMERA
        };
        let ground = ground(&slow, 36.0, (2026, 6, 14), 0.5);
        assert_eq!((ground.dusk, ground.dawn), (None, None));
    }

    #[test]
    fn times_are_rounded_up_to_the_dial() {
        for (seconds, mark) in [
            (0.00001, "1/8000"),
            (1.0, "1"),
            (1.01, "1.3"),
            (26.0, "30"),
            (32.0, "30"),
            (32.5, "33"),
            (100.2, "101"),
        ] {
            let got = at_least(seconds).map(Shutter::mark);
            assert_eq!(got.as_deref(), Some(mark), "{seconds}");
        }
        assert_eq!(at_least(f64::NAN), None);
        assert_eq!(at_least(f64::INFINITY), None);
        assert_eq!(at_least(50_000.0), None);
    }
}
