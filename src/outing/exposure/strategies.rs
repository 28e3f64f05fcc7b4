//! Four strategies for the same time: one long frame, a stack on the tripod, frames on a tracker,
//! and those with the lens stopped down.
//!
//! All four have the same subject, in the middle of the frame, and the same elapsed time.

use crate::angle::Angle;
use crate::camera::clean_time::{CleanTime, centre_clean_time};
use crate::camera::dial::Shutter;
use crate::camera::drift::centre_speed_um_s;
use crate::camera::f_number::next_f_number;
use crate::camera::view::SensorPoint;
use crate::light::tracking_residual::{KEEP_FRACTION, TrackingResidual};
use crate::outing::exposure::sequence::Sequence;
use crate::outing::exposure::settings::{Settings, shutter_below};
use crate::outing::exposure::sky_brightness::SkyBrightness;
use crate::outing::plan::pointing::AimTarget;
use crate::outing::plan::{KeepSharp, Outing};

/// Longest frame on a tracker, s (common practice: longer ones gain little and lose more to wind,
/// aircraft and vibration).
pub const TRACKED_MOST_S: f64 = 120.0;

/// Thirds of a stop by which a tracked lens is stopped down, for the sake of its
/// corners (common practice: one to two stops).
const STOPPED_THIRDS: usize = 4;

/// Frames are shortened to fill the time to no less than this share.
const LEAST_SHARE: f64 = 0.6;

/// Ratio of times from which a stack counts as too long against a tracker.
pub const TOO_MANY_TIMES: f64 = 2.0;

/// One strategy.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Strategy {
    /// Settings and light.
    pub settings: Settings,
    /// Trail of a star in a single frame, pixels.
    pub trail_px: f64,
    /// Fraction of frames kept.
    pub fraction_kept: f64,
}

impl Strategy {
    /// Signal-to-noise ratio of a pixel of the subject.
    pub fn signal_to_noise(&self) -> f64 {
        self.settings.signal_to_noise(self.fraction_kept)
    }
}

/// The four strategies at one focal length.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Strategies {
    /// Focal length, mm.
    pub focal_mm: f64,
    /// Clean time on a tripod, in the middle of the frame.
    pub clean: CleanTime,
    /// One frame of the whole time, on a tripod.
    pub single_frame: Strategy,
    /// Frames of the clean time, on a tripod.
    pub stack: Strategy,
    /// Frames on a tracker.
    pub tracked: Strategy,
    /// The same, stopped down.
    pub stopped_down: Strategy,
}

/// The tracked exposure at a focal length.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tracked {
    /// Longest frame, s; infinite without a limit.
    pub longest_s: f64,
    /// Residual motion of a star.
    pub residual: TrackingResidual,
    /// The trail allowed, on the sky.
    pub allowed: Angle,
}

impl Tracked {
    /// The setting with which tracked frames fill the outing's time: within the longest frame and
    /// [`TRACKED_MOST_S`].
    pub fn shutter(&self, outing: &Outing) -> Shutter {
        let total_s = outing.stack_min * 60.0;
        let limit_s = self.longest_s.min(TRACKED_MOST_S).min(total_s);
        evenly(limit_s, total_s, outing.kit.body.write_s())
    }

    /// Fraction of frames of a length that are kept.
    fn fraction_kept(&self, seconds: f64) -> f64 {
        self.residual.fraction_kept(seconds, self.allowed)
    }

    /// The trail within which eight frames in ten of a length stay, over the one allowed.
    fn trail_share(&self, seconds: f64) -> f64 {
        let share = self
            .residual
            .trail_at_fraction(seconds, KEEP_FRACTION)
            .radians()
            / self.allowed.radians();
        if share.is_finite() { share } else { 0.0 }
    }
}

/// The declination of what must stay sharp in the middle of the frame.
pub fn declination(outing: &Outing) -> Angle {
    if outing.keep_sharp == KeepSharp::Centre
        && let Some(middle) = outing.view().declination_at(SensorPoint::CENTRE)
    {
        return middle;
    }
    match outing.keep_sharp {
        KeepSharp::Declination(declination) => declination,
        // subject or equator: it depends on the latitude, not on where the camera points
        _ => AimTarget::new(outing.subject, outing.site.latitude).declination(),
    }
}

/// Clean time on a tripod of what must stay sharp, in the middle of the frame, at a focal length.
pub fn clean_at(outing: &Outing, focal_mm: f64) -> CleanTime {
    let allowed_um = outing.allowed_px() * outing.kit.sensor.pitch_um();
    centre_clean_time(focal_mm, declination(outing), allowed_um)
}

/// The longest setting within a limit with which frames fill the time without a remainder.
fn evenly(limit_s: f64, total_s: f64, write_s: f64) -> Shutter {
    let count = ((total_s + write_s) / (limit_s + write_s)).ceil();
    let each_s = (total_s + write_s) / count - write_s;
    let fits = each_s.is_finite() && each_s >= LEAST_SHARE * limit_s;
    shutter_below(if fits { each_s } else { limit_s })
}

impl Strategies {
    /// The four strategies for the outing's camera at a focal length and the f-number in use.
    pub fn new(outing: &Outing, focal_mm: f64, sky: &SkyBrightness, tracked: Tracked) -> Self {
        let total_s = outing.stack_min * 60.0;
        let sensor = outing.kit.sensor;
        let speed_px_s = centre_speed_um_s(focal_mm, declination(outing)) / sensor.pitch_um();
        let on_tripod = |settings: Settings| Strategy {
            settings,
            trail_px: speed_px_s * settings.each_s(),
            fraction_kept: 1.0,
        };
        let all_in_one = shutter_below(total_s);
        let series = Sequence::new(all_in_one, outing.stack_min, &outing.kit.body, sensor);
        let one = Settings::new(outing, series, outing.f_number, sky);
        let clean = clean_at(outing, focal_mm);
        let clean_s = clean.seconds().unwrap_or(total_s).min(total_s);
        let stack =
            Settings::longest_unsaturated(outing, shutter_below(clean_s), outing.f_number, sky);
        let celestial_to_horizontal = tracked.shutter(outing);
        let on_tracker = |f_number: f64, like: Option<Strategy>| {
            let settings =
                Settings::longest_unsaturated(outing, celestial_to_horizontal, f_number, sky);
            let each_s = settings.each_s();
            // frames of equal length have the same trails
            match like.filter(|like| like.settings.each_s() == each_s) {
                Some(like) => Strategy { settings, ..like },
                None => Strategy {
                    settings,
                    trail_px: tracked.trail_share(each_s) * outing.allowed_px(),
                    fraction_kept: tracked.fraction_kept(each_s),
                },
            }
        };
        let on_track = on_tracker(outing.f_number, None);
        let stopped_down = (0..STOPPED_THIRDS).fold(outing.f_number, |f, _| next_f_number(f, true));
        Self {
            focal_mm,
            clean,
            single_frame: on_tripod(one),
            stack: on_tripod(stack),
            tracked: on_track,
            stopped_down: on_tracker(stopped_down, Some(on_track)),
        }
    }

    /// All four, in the order shown.
    pub const fn all(&self) -> [Strategy; 4] {
        [
            self.single_frame,
            self.stack,
            self.tracked,
            self.stopped_down,
        ]
    }

    /// The stack on a tripod that matches the tracked frames; `None` where no number of frames
    /// does.
    pub fn matching(&self, outing: &Outing) -> Option<Sequence> {
        if self.stack.settings.saturated() || self.tracked.settings.saturated() {
            return None;
        }
        let Settings { series, rates, .. } = self.stack.settings;
        let wanted = self.tracked.signal_to_noise();
        let frames = rates.frames_to_match(wanted, series.shutter.exact_s())?;
        let frames = (frames.ceil() as u32).max(1);
        let kit = &outing.kit;
        Some(Sequence::counted(
            series.shutter,
            frames,
            &kit.body,
            kit.sensor,
        ))
    }

    /// Signal-to-noise ratio of the tracked frames over that of the stack.
    pub fn gain(&self) -> f64 {
        let gain = self.tracked.signal_to_noise() / self.stack.signal_to_noise();
        if gain.is_finite() { gain } else { 1.0 }
    }

    /// Elapsed time of a stack on a tripod over that of the tracked frames, for the same signal to
    /// noise; `None` where no stack matches.
    pub fn times_longer(&self, outing: &Outing) -> Option<f64> {
        let stack = self.matching(outing)?;
        Some(stack.lasts_s / self.tracked.settings.series.lasts_s)
    }
}

/// The focal length between two from which a stack takes more than twice the elapsed time of
/// tracked frames, mm; `None` where the longer one does not.
///
/// `ways` returns the four strategies at a focal length. Frames and seconds are whole, so that near
/// the result a slightly longer lens may need less; good to 1 %.
pub fn too_long_mm(
    outing: &Outing,
    (shortest_mm, longest_mm): (f64, f64),
    ways: impl Fn(f64) -> Strategies,
) -> Option<f64> {
    const HALVINGS: u32 = 9;
    let too_long = |focal_mm: f64| {
        let times = ways(focal_mm).times_longer(outing);
        times.is_none_or(|times| times > TOO_MANY_TIMES)
    };
    if !too_long(longest_mm) {
        return None;
    }
    let (mut short, mut long) = (shortest_mm, longest_mm);
    for _ in 0..HALVINGS {
        let middle = (short * long).sqrt();
        if too_long(middle) {
            long = middle;
        } else {
            short = middle;
        }
    }
    Some(long)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::light::brightness::SurfaceBrightness;
    use crate::sky::altitude::ApparentAltitude;

    /// A sky at the zenith of 21.5 without extinction, as in the reference table.
    fn sky() -> SkyBrightness {
        SkyBrightness {
            altitude: ApparentAltitude(Angle::from_degrees(90.0)),
            dark: SurfaceBrightness::from_magnitude(21.5),
            whole: Some(SurfaceBrightness::from_magnitude(21.5)),
            moon_mag: 0.0,
            twilight_mag: 0.0,
            air_masses: 1.0,
            lost_mag: 0.0,
        }
    }

    /// A tracker without any error.
    const STEADY: Tracked = Tracked {
        longest_s: f64::INFINITY,
        residual: TrackingResidual {
            along_rad_s: 0.0,
            across_rad_s: 0.0,
            periodic_amplitude_rad: 0.0,
            periodic_frequency_rad_s: 0.01,
        },
        allowed: Angle::from_degrees(0.01),
    };

    fn outing() -> Outing {
        let mut outing = Outing {
            f_number: 2.8,
            iso: Some(6400.0),
            ..Outing::default()
        };
        outing.kit.body.insert_read_noise(6400.0, 2.5);
        outing
    }

    /// 6 µm, f/2.8, a sky of 21.5, two pixels at the core against tracked frames of 120 s, computed
    /// independently: focal length, clean time, times longer.
    #[test]
    fn penalties_of_the_worked_table() {
        let table = [
            (14.0, 13.44, 1.25),
            (24.0, 7.84, 1.46),
            (50.0, 3.76, 1.99),
            (85.0, 2.21, 2.70),
            (135.0, 1.39, 3.72),
            (200.0, 0.94, 5.05),
        ];
        for (focal_mm, clean_s, times) in table {
            let ways = Strategies::new(&outing(), focal_mm, &sky(), STEADY);
            let got = ways.clean.seconds().expect("a limit");
            assert!(
                (got - clean_s).abs() < 6e-3,
                "{focal_mm} mm: {got} s, want {clean_s}"
            );
            // five of them and the pauses between fill ten minutes
            assert_eq!(ways.tracked.settings.each_s(), 119.0);
            assert_eq!(ways.tracked.settings.series.frames, 5);
            let rates = ways.stack.settings.rates;
            let got = rates.time_penalty(got, 120.0);
            // the table takes f/2.8 as printed; its exact value gathers 2 % less light
            assert!(
                (got / times - 1.0).abs() < 0.02,
                "{focal_mm} mm: {got}, want {times}"
            );
        }
    }

    /// Below the focal length found a stack takes less than twice the time, above it more; by the
    /// reference table that is between 24 mm and 85 mm.
    #[test]
    fn too_long_is_where_it_takes_twice_the_time() {
        let outing = outing();
        let ways = |focal_mm| Strategies::new(&outing, focal_mm, &sky(), STEADY);
        let focal_mm = too_long_mm(&outing, (10.0, 600.0), ways).expect("a focal length");
        assert!((24.0..85.0).contains(&focal_mm), "{focal_mm} mm");
        for (share, too_long) in [(0.9, false), (1.0, true), (1.1, true)] {
            let times = ways(share * focal_mm).times_longer(&outing);
            let times = times.expect("a number of frames");
            assert_eq!(times > TOO_MANY_TIMES, too_long, "× {share}: {times}");
        }
        assert_eq!(too_long_mm(&outing, (10.0, 14.0), ways), None);
    }

    #[test]
    fn the_matching_stack_matches() {
        for focal_mm in [14.0, 50.0, 135.0, 600.0] {
            let outing = outing();
            let ways = Strategies::new(&outing, focal_mm, &sky(), STEADY);
            let series = ways.matching(&outing).expect("a number of frames");
            let mut stack = ways.stack;
            stack.settings.series = series;
            let (got, want) = (stack.signal_to_noise(), ways.tracked.signal_to_noise());
            assert!(got >= want, "{focal_mm} mm: {got}, want {want}");
            stack.settings.series.frames -= 1;
            assert!(
                stack.signal_to_noise() < want,
                "{focal_mm} mm: one less would do"
            );
        }
    }

    /// Common practice: a tracker is of little use at 14 mm and of much at 135 mm; stopping down
    /// costs light; one long frame has long trails.
    #[test]
    fn long_lenses_gain_most() {
        let gain = |focal_mm| Strategies::new(&outing(), focal_mm, &sky(), STEADY).gain();
        assert!(gain(14.0) < 1.3, "{}", gain(14.0));
        assert!(gain(135.0) > 2.0, "{}", gain(135.0));
        let ways = Strategies::new(&outing(), 135.0, &sky(), STEADY);
        assert!(ways.single_frame.trail_px > 500.0, "{ways:?}");
        assert!(ways.stack.trail_px <= outing().allowed_px(), "{ways:?}");
        assert!(ways.stopped_down.signal_to_noise() < ways.tracked.signal_to_noise());
        assert_eq!(ways.stopped_down.settings.f_number, 4.5);
    }

    #[test]
    fn every_camera_has_four_ways() {
        for focal_mm in [1.0, 10.0, 3000.0] {
            for stack_min in [1.0, 600.0] {
                for tracked_s in [0.0, 1e-9, 5.0, f64::INFINITY, f64::NAN] {
                    for keep_sharp in [
                        KeepSharp::Core,
                        KeepSharp::Declination(Angle::from_degrees(90.0)),
                    ] {
                        let outing = Outing {
                            stack_min,
                            keep_sharp,
                            ..Outing::default()
                        };
                        let tracked = Tracked {
                            longest_s: tracked_s,
                            ..STEADY
                        };
                        let ways = Strategies::new(&outing, focal_mm, &sky(), tracked);
                        for way in ways.all() {
                            assert!(way.signal_to_noise().is_finite(), "{way:?}");
                            assert!(way.trail_px.is_finite(), "{way:?}");
                        }
                        assert!(ways.gain().is_finite());
                        let times = ways.times_longer(&outing);
                        assert!(times.is_none_or(f64::is_finite), "{times:?}");
                        let _ = ways.matching(&outing);
                    }
                }
            }
        }
    }
}
