//! A series of frames: number in a time, interval, space on the card, battery.

use crate::camera::dial::{Shutter, next_of};
use crate::camera::sensor::Sensor;
use crate::outing::plan::camera_body::CameraBody;
use crate::sky::spans::Span;

/// Seconds in a minute.
pub const MIN_S: f64 = 60.0;

/// Seconds in a day.
const DAY_S: f64 = 86_400.0;

/// Megabytes in a gigabyte, as cards are sold.
const GB_MB: f64 = 1000.0;

/// Total times of the stepper, minutes.
const USUAL_MIN: [f64; 12] = [
    2.0, 5.0, 10.0, 15.0, 20.0, 30.0, 45.0, 60.0, 90.0, 120.0, 180.0, 240.0,
];

/// The next usual total time above (`up`) or below this one; the same at the ends.
///
/// ```
/// use tarnlight::outing::exposure::sequence::next_total_min;
/// assert_eq!(next_total_min(12.0, true), 15.0);
/// ```
pub fn next_total_min(total_min: f64, up: bool) -> f64 {
    next_of(&USUAL_MIN, total_min, up)
}

/// Frames of one shutter time, one after another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sequence {
    /// The setting.
    pub shutter: Shutter,
    /// From the start of one exposure to the start of the next, whole seconds.
    pub interval_s: u32,
    /// Number.
    pub frames: u32,
    /// From the first start to the last end, s.
    pub lasts_s: f64,
    /// Space on the card, GB.
    pub card_gb: f64,
    /// Battery charges used.
    pub charges: f64,
}

impl Sequence {
    /// The series of a shutter setting that fits into `total_min`; at least one frame.
    ///
    /// The interval is the exact exposure plus the writing time, rounded up to whole seconds, so
    /// that frames do not overlap.
    ///
    /// ```text
    /// "30 s" and 1 s to write, 10 min  →  every 33 s, 18 frames
    /// ```
    pub fn new(shutter: Shutter, total_min: f64, body: &CameraBody, sensor: Sensor) -> Self {
        let each_s = shutter.exact_s();
        let interval_s = interval_s(each_s, body.write_s());
        let more = (total_min * MIN_S - each_s) / f64::from(interval_s);
        // a float to integer cast saturates, and maps NaN to 0
        let frames = (more.max(0.0) as u32).saturating_add(1);
        Self::counted(shutter, frames, body, sensor)
    }

    /// The series of `frames` frames.
    pub fn counted(shutter: Shutter, frames: u32, body: &CameraBody, sensor: Sensor) -> Self {
        let each_s = shutter.exact_s();
        let interval_s = interval_s(each_s, body.write_s());
        let count = f64::from(frames);
        Self {
            shutter,
            interval_s,
            frames,
            lasts_s: (count - 1.0).max(0.0) * f64::from(interval_s) + each_s,
            card_gb: count * body.file_mb(sensor) / GB_MB,
            charges: count * f64::from(interval_s) / MIN_S / body.charge_min(),
        }
    }

    /// The last moment at which the series can start and still end within a span, days since the
    /// night began; `None` where the span is shorter than the series.
    ///
    /// ```text
    /// 593 s, a window to 0.6 days  →  0.6 − 593/86400 = 0.593137
    /// ```
    pub fn latest_start(&self, span: Span) -> Option<f64> {
        let start = span.end - self.lasts_s / DAY_S;
        (start >= span.start).then_some(start)
    }
}

/// The shortest interval in whole seconds without overlap.
pub fn interval_s(each_s: f64, write_s: f64) -> u32 {
    ((each_s + write_s).ceil() as u32).max(1)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::outing::plan::kit::Kit;

    fn series(shutter: Shutter, total_min: f64) -> Sequence {
        let kit = Kit::default();
        Sequence::new(shutter, total_min, &kit.body, kit.sensor)
    }

    /// Common practice: a marked 30 s lasts 32 s, so with writing the interval is 33 s
    /// at least.
    #[test]
    fn intervals_leave_room_for_writing() {
        let marked_30 = Shutter::at_most(32.0).expect("a mark");
        assert_eq!(marked_30.mark(), "30");
        let got = series(marked_30, 10.0);
        // 600 = 17 × 33 + 39: the eighteenth starts at 561 s and ends at 593 s
        assert_eq!((got.interval_s, got.frames, got.lasts_s), (33, 18, 593.0));
        assert_eq!(interval_s(1.26, 0.0), 2);
        assert_eq!(interval_s(0.001, 0.0), 1);
    }

    /// No start before the end of the frame before and its writing; one more frame
    /// would not fit.
    #[test]
    fn frames_fit_and_no_more_would() {
        for seconds in [0.01, 0.8, 1.26, 8.0, 32.0, 33.0, 120.0, 700.0] {
            let shutter = Shutter::at_most(seconds).expect("a setting");
            for total_min in [1.0, 10.0, 59.0] {
                let got = series(shutter, total_min);
                assert!(f64::from(got.interval_s) >= shutter.exact_s() + 1.0 - 1e-9);
                assert!(
                    got.lasts_s <= total_min * 60.0 || got.frames == 1,
                    "{got:?}"
                );
                let next = got.lasts_s + f64::from(got.interval_s);
                assert!(
                    next > total_min * 60.0,
                    "{seconds} s, {total_min} min: {got:?}"
                );
            }
        }
    }

    /// 593 s before 14:24 of the span's clock is 14:14:07; a span a second shorter than the series
    /// has no start.
    #[test]
    fn a_series_starts_in_time() {
        let got = series(Shutter::at_most(32.0).expect("a mark"), 10.0);
        let span = |start| Span { start, end: 0.6 };
        let start = got.latest_start(span(0.5)).expect("room");
        let want = f64::from((14 * 60 + 14) * 60 + 7) / 86_400.0;
        assert!((start - want).abs() < 1e-9, "{start}");
        assert_eq!(got.latest_start(span(0.6 - 592.0 / 86_400.0)), None);
        assert!(got.latest_start(span(0.6 - 593.1 / 86_400.0)).is_some());
    }

    #[test]
    fn cards_and_batteries() {
        let shutter = Shutter::at_most(8.0).expect("a mark");
        let got = series(shutter, 10.0);
        assert_eq!(got.frames, 66);
        assert!((got.card_gb - 66.0 * 0.0288).abs() < 1e-9, "{got:?}");
        assert!(
            (got.charges - 66.0 * 9.0 / 60.0 / 150.0).abs() < 1e-9,
            "{got:?}"
        );
    }
}
