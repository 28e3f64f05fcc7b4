//! The field card: the outing on one page.

use crate::angle::Angle;
use crate::camera::dial::Shutter;
use crate::outing::exposure::Answer;
use crate::outing::exposure::by_focal_length::tracked;
use crate::outing::exposure::sequence::{MIN_S, Sequence};
use crate::outing::exposure::settings::Settings;
use crate::outing::exposure::sky_brightness::SkyBrightnessModel;
use crate::outing::exposure::strategies::clean_at;
use crate::outing::night::site_sky::SiteSky;
use crate::outing::night::{NightWindows, Window};
use crate::outing::plan::{NIGHT_MIN, Outing, Support};
use crate::sky::altitude::ApparentAltitude;
use crate::sky::spans::Spans;

/// Two moments closer than this are shown as one: a minute, in days.
const SAME_MINUTE: f64 = 1.0 / 1440.0;

/// The core at a moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CoreMoment {
    /// When, in days since the night's noon.
    pub at: f64,
    /// True bearing.
    pub bearing: Angle,
    /// Apparent altitude.
    pub height: ApparentAltitude,
    /// Whether it is the moment of best light.
    pub best: bool,
    /// Whether it is the moment the camera is pointed and set for.
    pub set: bool,
}

/// The Moon during the card's moments.
#[derive(Debug, Clone, PartialEq)]
pub struct Moon {
    /// Whether it is up at any of them.
    pub up: bool,
    /// Illuminated fraction, 0 to 1.
    pub lit: f64,
    /// Its greatest cost at the card's moments, magnitudes; `None` while the core is down.
    pub cost_mag: Option<f64>,
    /// When it rises (`true`) and sets between sunset and sunrise, days since noon.
    pub turns: Vec<(f64, bool)>,
}

/// The camera at the moment it is pointed and set for.
#[derive(Debug, Clone, PartialEq)]
pub struct Camera {
    /// The moment, days since noon: the selected one, or that of the best light where the selected
    /// one is outside the night's windows.
    pub at: f64,
    /// Its pointing: the chosen frame, or the core, where that is up; true bearing and altitude.
    pub towards: (Angle, Angle),
    /// The shutter time.
    pub answer: Answer,
    /// The settings.
    pub settings: Settings,
}

/// The card's values.
#[derive(Debug, Clone, PartialEq)]
pub struct FieldCard {
    /// The shot window that the selected moment lies in, else the one whose light is worth most.
    pub window: Option<Window>,
    /// The core when the window opens, when its light is best, when the camera is set for, and when
    /// it closes, in order and without duplicates; at the selected moment where there is no window.
    pub core: Vec<CoreMoment>,
    /// The Moon.
    pub moon: Moon,
    /// Pointing and settings of the camera.
    pub camera: Camera,
}

impl FieldCard {
    /// The card of a night; `at` is the selected moment, days into the night.
    ///
    /// Times are as good as [`NightWindows`]'s, settings as [`Settings`]'.
    ///
    /// ```
    /// use tarnlight::outing::{field::card::FieldCard, night::site_sky::SiteSky, plan::Outing};
    /// let outing = Outing::default();
    /// let date = chrono::NaiveDate::from_ymd_opt(2027, 6, 4).unwrap();
    /// let site_sky = SiteSky::over(&outing.site, outing.subject, date, 1);
    /// let evening = site_sky.night_windows(date, &outing.limits);
    /// let card = FieldCard::new(&outing, (&site_sky, &evening), 0.5);
    /// assert_eq!(card.camera.settings.series.shutter.mark(), "8");
    /// assert!((1..=4).contains(&card.core.len()));
    /// ```
    pub fn new(outing: &Outing, (site_sky, evening): (&SiteSky, &NightWindows), at: f64) -> Self {
        let camera = Camera::new(outing, (site_sky, evening), at);
        let window = evening.around(at);
        let best_at = window.map(|_| evening.best_at_minute());
        let best_at = best_at.filter(|at| window.is_some_and(|window| window.span.contains(*at)));
        let mut moments = vec![camera.at];
        if let Some(Window { span, .. }) = window {
            moments = vec![span.start, span.end];
            for inside in best_at.into_iter().chain([camera.at]) {
                let apart = |moment: &f64| (moment - inside).abs() >= SAME_MINUTE;
                if moments.iter().all(apart) {
                    moments.push(inside);
                }
            }
            moments.sort_by(f64::total_cmp);
        }
        let same = |one: f64, other: f64| (one - other).abs() < SAME_MINUTE;
        let mut moon = Moon {
            up: false,
            lit: 0.0,
            cost_mag: None,
            turns: Vec::new(),
        };
        let mut core = Vec::with_capacity(moments.len());
        for at in moments {
            let reading = site_sky.reading(evening.date, at);
            core.push(CoreMoment {
                at,
                bearing: reading.core.bearing,
                height: site_sky.apparent_altitude(reading.core),
                best: best_at.is_some_and(|best_at| same(best_at, at)),
                set: same(camera.at, at),
            });
            moon.lit = reading.lit;
            if let Some(cost) = reading.moon_cost {
                moon.cost_mag = Some(moon.cost_mag.map_or(cost, |most| most.max(cost)));
            }
            moon.up |= evening.moon_up.0.iter().any(|span| span.contains(at));
        }
        if let Some(Window { span, .. }) = window {
            moon.up = Spans(vec![span]).intersection(&evening.moon_up).minutes() > 1.0;
        }
        let sun_down = Spans::new(&evening.sun[0], false);
        let by_night = |at: f64| sun_down.0.iter().any(|span| span.contains(at));
        for crossing in &evening.moon.crossings {
            if by_night(crossing.at) {
                moon.turns.push((crossing.at, crossing.up));
            }
        }
        Self {
            window,
            core,
            moon,
            camera,
        }
    }
}

impl Camera {
    /// For `at` days into a night, where it lies in a shot window or the night has none; else for the
    /// moment of best light. To the minute.
    pub fn new(outing: &Outing, (site_sky, evening): (&SiteSky, &NightWindows), at: f64) -> Self {
        let at = match evening.around(at) {
            Some(window) if !window.span.contains(at) => evening.best_at_minute(),
            _ => at,
        };
        // a float to integer cast saturates
        let minute = (at * f64::from(NIGHT_MIN)).round() as u16;
        let then = Outing {
            night: Some(evening.date),
            minute: Some(minute.min(NIGHT_MIN - 1)),
            ..outing.clone()
        };
        let pointing = then.pointing();
        let towards = (pointing.frame.bearing, pointing.frame.tilt);
        let lights = SkyBrightnessModel::at(site_sky, (evening.date, at));
        let sky = lights.towards(pointing.exposed_for());
        let answer = Answer::compute(&then);
        let series = series_of(&then, &answer);
        let settings = match outing.support {
            Support::Tripod => Settings::new(&then, series, outing.f_number, &sky),
            Support::Tracker => {
                Settings::longest_unsaturated(&then, series.shutter, outing.f_number, &sky)
            }
        };
        Self {
            at,
            towards,
            answer,
            settings,
        }
    }
}

/// The frames of an outing: the only place that decides their length, never longer than the total
/// time. On a tracker saturation may still shorten them.
pub fn series_of(outing: &Outing, answer: &Answer) -> Sequence {
    let (kit, total_min) = (&outing.kit, outing.stack_min);
    let mut shutter = match outing.support {
        Support::Tripod => answer.shutter(),
        Support::Tracker => tracked(outing, middle_share(outing, answer)).shutter(outing),
    };
    if let Some(longest) = Shutter::at_most(total_min * MIN_S)
        && longest.exact_s() < shutter.exact_s()
    {
        shutter = longest;
    }
    Sequence::new(shutter, total_min, &kit.body, kit.sensor)
}

/// Share of the trail allowed that the middle of the frame may have, so that the place that must
/// stay sharp is within it on a tracker too: less than 1 where that place moves faster on the
/// sensor than the middle.
fn middle_share(outing: &Outing, answer: &Answer) -> f64 {
    let middle = clean_at(outing, outing.kit.lens.focal_mm);
    match (answer.clean.seconds(), middle.seconds()) {
        (Some(kept), Some(middle)) => (kept / middle).min(1.0),
        _ => 1.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::light::tracking::TrackingRate;
    use crate::outing::night::WindowBoundary;
    use crate::outing::plan::KeepSharp;
    use crate::outing::plan::pointing::Pointing;
    use chrono::NaiveDate;

    fn card(outing: &Outing, date: (i32, u32, u32), at: f64) -> FieldCard {
        let date = NaiveDate::from_ymd_opt(date.0, date.1, date.2).expect("a date");
        let site_sky = SiteSky::over(&outing.site, outing.subject, date, 1);
        let evening = site_sky.night_windows(date, &outing.limits);
        FieldCard::new(outing, (&site_sky, &evening), at)
    }

    fn at(latitude: f64, longitude: f64) -> Outing {
        let mut outing = Outing::default();
        outing.site.latitude = Angle::from_degrees(latitude);
        outing.site.longitude = Angle::from_degrees(longitude);
        outing
    }

    /// Dark of the Moon on 4 June 2027 (new Moon at 19:40 UT, almanacs; from memory):
    /// the core passes its highest inside the window, due south and no lower than at
    /// either end; from 36° N that is 90° − 36° − 29.0° (the core's declination).
    #[test]
    fn the_core_is_highest_in_the_middle_of_a_new_moon_window() {
        let card = card(&at(36.0, 0.0), (2027, 6, 4), 0.0);
        assert_eq!(card.core.len(), 3, "{card:?}");
        let [opens, top, closes] = [0, 1, 2].map(|place| card.core[place]);
        assert!(top.best && top.set && !opens.best && !closes.best);
        // shown for a whole minute, in half of which it moves by 0.13° in bearing up there
        assert!((top.bearing.degrees() - 180.0).abs() < 0.14, "{top:?}");
        assert!((top.height.0.degrees() - 25.0).abs() < 0.1, "{top:?}");
        assert!(opens.height.0 < top.height.0 && closes.height.0 < top.height.0);
        assert!(opens.bearing < top.bearing && top.bearing < closes.bearing);
        let window = card.window.expect("a window");
        assert_eq!((opens.at, closes.at), (window.span.start, window.span.end));
        assert_eq!(card.moon.up, window.closes == WindowBoundary::MoonCost);
    }

    /// A minute of the window is what the camera is pointed for: an hour after its highest point the
    /// core is west of south, and the card tells both moments.
    #[test]
    fn a_minute_of_the_window_is_kept() {
        let outing = at(36.0, 0.0);
        let best = card(&outing, (2027, 6, 4), 0.0);
        let later_at = best.camera.at + 1.0 / 24.0;
        let later = card(&outing, (2027, 6, 4), later_at);
        assert_eq!(later.camera.at, later_at);
        assert_eq!(later.core.len(), 4, "{later:?}");
        assert!(later.core[1].best && !later.core[1].set);
        assert!(later.core[2].set && !later.core[2].best);
        assert!(later.core[2].bearing.degrees() > 190.0, "{later:?}");
        assert!(later.camera.towards.0 > best.camera.towards.0, "{later:?}");
        assert!(later.core.is_sorted_by(|one, next| one.at < next.at));
    }

    /// In early March the core still climbs when it gets light: its highest is the window's end,
    /// and shown once.
    #[test]
    fn a_moment_is_told_once() {
        let card = card(&at(36.0, 0.0), (2027, 3, 8), 0.0);
        assert_eq!(card.core.len(), 2, "{card:?}");
        assert!(card.core[1].best && card.core[1].set && !card.core[0].best);
    }

    /// A night computed with the IAU's routines (ERFA): from 36° N 112° W on 2025-06-21 at 03:59 UT
    /// the core is 10° up at bearing 137.5°. North of 61° there is no window, and the card shows
    /// the selected minute; here the window of 36° N is closed by a ridge.
    #[test]
    fn without_a_window_it_tells_the_minute_looked_at() {
        let mut outing = at(36.0, -112.0);
        outing.site.ridge = outing.site.ridge.at_level(Angle::from_degrees(50.0));
        // noon there is at 19:28 UT
        let card = card(&outing, (2025, 6, 20), f64::from(8 * 60 + 31) / 1440.0);
        assert_eq!((card.window, card.core.len()), (None, 1));
        let stand = card.core[0];
        assert!((stand.height.0.degrees() - 10.0).abs() < 0.2, "{stand:?}");
        assert!((stand.bearing.degrees() - 137.5).abs() < 0.1, "{stand:?}");
    }

    /// Full Moon on 18 June 2027 (almanacs, from memory: 19 June, 00:45 UT): it is up all night,
    /// low at midsummer, fully lit, and costs magnitudes.
    #[test]
    fn a_full_moon_costs_and_is_told() {
        let card = card(&at(36.0, 0.0), (2027, 6, 18), 0.5);
        assert!(card.moon.up && card.moon.lit > 0.97, "{:?}", card.moon);
        assert!(card.moon.cost_mag.expect("the core is up") > 1.0);
        let rises = card.moon.turns.iter().filter(|(_, up)| *up).count();
        assert!(rises <= 1 && card.moon.turns.len() <= 2, "{:?}", card.moon);
    }

    #[test]
    fn frames_fill_the_time() {
        let mut outing = at(36.0, 0.0);
        outing.stack_min = 30.0;
        let series = card(&outing, (2027, 6, 4), 0.5).camera.settings.series;
        assert!(series.lasts_s <= 1800.0 && series.lasts_s > 1780.0);
        assert_eq!(series, series_of(&outing, &Answer::compute(&outing)));
        // on a tracker frames are longer, and still fill it
        let tracked = Outing {
            support: Support::Tracker,
            ..outing.clone()
        };
        let on_tracker = series_of(&tracked, &Answer::compute(&tracked));
        assert!(on_tracker.shutter.exact_s() > 100.0, "{on_tracker:?}");
        assert!(on_tracker.lasts_s <= 1800.0 && on_tracker.lasts_s > 1700.0);
        // a star that never trails leaves one frame as long as the time there is
        outing.keep_sharp = KeepSharp::Declination(Angle::from_degrees(90.0));
        let series = series_of(&outing, &Answer::compute(&outing));
        assert_eq!((series.frames, series.lasts_s), (1, 1800.0));
    }
    /// First principles: at half rate the whole frame stays sharp for twice as long as on the
    /// tripod, but for the tracker's own errors; the middle for longer than that.
    #[test]
    fn the_whole_frame_is_kept_on_a_tracker_too() {
        let mut outing = at(36.0, 0.0);
        outing.support = Support::Tracker;
        outing.mount.rate = TrackingRate::Half;
        let longest_s = |outing: &Outing| {
            let share = middle_share(outing, &Answer::compute(outing));
            tracked(outing, share).longest_s
        };
        let middle_s = longest_s(&outing);
        outing.keep_sharp = KeepSharp::WholeFrame;
        let answer = Answer::compute(&outing);
        let tripod_s = answer.clean.seconds().expect("a limit");
        let got = longest_s(&outing) / tripod_s;
        assert!((1.8..=2.02).contains(&got), "{got} times the tripod");
        assert!(middle_s > 1.5 * longest_s(&outing), "{middle_s} s");
    }

    /// In early October the core is past its highest when it gets dark: the camera is pointed at
    /// its position then, and set for that moment, whatever minute outside the window is selected.
    #[test]
    fn the_camera_is_pointed_where_the_core_stands_in_the_window() {
        let outing = at(36.0, 0.0);
        let evening = card(&outing, (2026, 10, 10), 0.5);
        let top = evening.core.iter().find(|stand| stand.best).expect("a top");
        // 0.3° of a 20 mm lens: refraction, and up to a minute to the whole one in the window
        const NEAR_MM: f64 = 0.11;
        let answer = &evening.camera.answer;
        let place = answer.view.place_of(top.bearing, top.height.0);
        let (place, core) = place.zip(answer.target_at).expect("in the frame");
        let miss_mm = (place.x_mm - core.x_mm).hypot(place.y_mm - core.y_mm);
        assert!(miss_mm < NEAR_MM, "{evening:?}");
        assert!(top.bearing.degrees() > 190.0, "{evening:?}");
        let dawn = card(&outing, (2026, 10, 10), 0.75);
        assert_eq!(dawn.camera, evening.camera);
        let framed = Outing {
            frame: Some(Pointing::at(outing.subject, outing.site.latitude).frame),
            ..outing.clone()
        };
        let set = card(&framed, (2026, 10, 10), 0.5);
        assert_eq!(set.camera.towards.0.degrees(), 180.0, "as it was set");
    }
}
