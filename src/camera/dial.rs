//! The camera's own dials: marked third-stop settings and their exact values.
//!
//! A shutter marked 30 s stays open 32 s, and one marked 15 s stays open 16 s:
//! the marks are rounded, the times are powers of two. A limit is therefore
//! rounded down by exact durations, and the mark is what the page shows.
//!
//! Marks are the nominal series (common practice); exact values are 2^(n/3) s and 100 · 2^(n/3), as
//! most bodies keep them. F-numbers are in [`f_number`](crate::camera::f_number).

/// Marked shutter times from 1/8000 s to 30 s, shortest first, a third of a
/// stop apart. The mark "1" is at [`ONE_SECOND`].
const SHUTTER_MARKS: [&str; 55] = [
    "1/8000", "1/6400", "1/5000", "1/4000", "1/3200", "1/2500", "1/2000", "1/1600", "1/1250",
    "1/1000", "1/800", "1/640", "1/500", "1/400", "1/320", "1/250", "1/200", "1/160", "1/125",
    "1/100", "1/80", "1/60", "1/50", "1/40", "1/30", "1/25", "1/20", "1/15", "1/13", "1/10", "1/8",
    "1/6", "1/5", "1/4", "0.3", "0.4", "0.5", "0.6", "0.8", "1", "1.3", "1.6", "2", "2.5", "3.2",
    "4", "5", "6", "8", "10", "13", "15", "20", "25", "30",
];

/// Index of the mark "1" in [`SHUTTER_MARKS`].
const ONE_SECOND: i32 = 39;

/// Marked ISO values from 100 to 25600, a third of a stop apart.
const ISO_MARKS: [u32; 25] = [
    100, 125, 160, 200, 250, 320, 400, 500, 640, 800, 1000, 1250, 1600, 2000, 2500, 3200, 4000,
    5000, 6400, 8000, 10000, 12800, 16000, 20000, 25600,
];

/// Longest bulb time, s.
const LONGEST_BULB_S: u32 = 43_200;

/// Greatest number of thirds below half a day: 2^(46/3) s is 11 h 28 min.
const LAST_THIRD: i32 = 46;

/// 2 to the powers 0, 1/3 and 2/3.
const THIRD_POWERS: [f64; 3] = [1.0, 1.259_921_049_894_873_2, 1.587_401_051_968_199_4];

/// 2^(n/3), within one rounding of the exact value. (The general power function would add a table
/// of 4 kB to the page.)
pub(super) fn third_stops(thirds: i32) -> f64 {
    2_f64.powi(thirds.div_euclid(3)) * THIRD_POWERS[thirds.rem_euclid(3) as usize % 3]
}

/// The third of a stop from 1 s up that is nearest to a time of 1 s or more.
fn nearest_third(seconds: f64) -> i32 {
    let half_a_third = third_stops(1).sqrt();
    let below = |third: &i32| third_stops(*third) * half_a_third < seconds;
    (0..LAST_THIRD)
        .find(|third| !below(third))
        .unwrap_or(LAST_THIRD)
}

/// A shutter setting.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shutter {
    /// A mark of the dial, in thirds of a stop from 1 s.
    Marked(i8),
    /// Bulb or a timer, whole seconds, above the 32 s of the mark 30.
    Bulb(u32),
}

/// A time limit rounded down to the dial.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DialTime {
    /// The longest setting within the limit.
    Set(Shutter),
    /// Even the shortest mark is too long.
    TooShort,
    /// No setting is too long.
    NoLimit,
}

impl Shutter {
    /// The longest setting whose exact time is at most `seconds`.
    ///
    /// Between 25.4 s and 32 s that is the mark 25, from 33 s on bulb for the whole seconds. `None`
    /// below 1/8192 s or when `seconds` is NaN.
    ///
    /// ```
    /// use tarnlight::camera::dial::Shutter;
    /// let mark = |seconds| Shutter::at_most(seconds).map(|shutter| shutter.mark());
    /// assert_eq!(mark(15.5).as_deref(), Some("13"));
    /// assert_eq!(mark(16.0).as_deref(), Some("15"));
    /// ```
    pub fn at_most(seconds: f64) -> Option<Self> {
        if seconds >= f64::from(Self::FIRST_BULB_S) {
            return Some(Self::Bulb((seconds.min(f64::from(LONGEST_BULB_S))) as u32));
        }
        (Self::SHORTEST..=Self::LONGEST)
            .rev()
            .map(Self::Marked)
            .find(|shutter| shutter.exact_s() <= seconds)
    }

    const SHORTEST: i8 = -(ONE_SECOND as i8);
    const LONGEST: i8 = 15;
    const FIRST_BULB_S: u32 = 33;

    /// Exact time, s: 2^(n/3), or the bulb's seconds.
    pub fn exact_s(self) -> f64 {
        match self {
            Self::Marked(third) => third_stops(third.into()),
            Self::Bulb(seconds) => f64::from(seconds),
        }
    }

    /// The mark on the dial or the timer, without its unit.
    pub fn mark(self) -> String {
        match self {
            Self::Marked(third) => usize::try_from(i32::from(third) + ONE_SECOND)
                .ok()
                .and_then(|place| SHUTTER_MARKS.get(place))
                .map_or_else(String::new, |mark| (*mark).to_owned()),
            Self::Bulb(seconds) => seconds.to_string(),
        }
    }

    /// `thirds` of a stop longer (or shorter); past 30 s in whole seconds of bulb a third of a stop
    /// apart. Stops at 1/8000 s and at half a day.
    pub fn stepped(self, thirds: i32) -> Self {
        // bulb seconds need not be a third of a stop, and must not be rounded up
        if thirds == 0 {
            return self;
        }
        let from = match self {
            Self::Marked(third) => i32::from(third),
            Self::Bulb(seconds) => nearest_third(seconds.into()),
        };
        let to = from
            .saturating_add(thirds)
            .clamp(i32::from(Self::SHORTEST), LAST_THIRD);
        match i8::try_from(to) {
            Ok(third) if third <= Self::LONGEST => Self::Marked(third),
            _ => Self::Bulb(third_stops(to).round() as u32),
        }
    }
}

impl DialTime {
    /// From a limit, rounded down.
    pub fn new(limit: crate::camera::clean_time::CleanTime) -> Self {
        match limit.seconds() {
            None => Self::NoLimit,
            Some(seconds) => Shutter::at_most(seconds).map_or(Self::TooShort, Self::Set),
        }
    }

    /// The setting; the shortest where even that is too long, the longest without a limit.
    pub fn setting(self) -> Shutter {
        match self {
            Self::Set(shutter) => shutter,
            Self::TooShort => Shutter::Marked(0).stepped(i32::MIN),
            Self::NoLimit => Shutter::Marked(0).stepped(i32::MAX),
        }
    }

    /// The setting, where there is one.
    pub fn shutter(self) -> Option<Shutter> {
        match self {
            Self::Set(shutter) => Some(shutter),
            Self::TooShort | Self::NoLimit => None,
        }
    }
}

/// The next of some usual values above (`up`) or below this one; the same at the ends. The values
/// ascend.
pub fn next_of(usual: &[f64], value: f64, up: bool) -> f64 {
    let found = if up {
        usual.iter().find(|usual| **usual > value)
    } else {
        usual.iter().rfind(|usual| **usual < value)
    };
    found.copied().unwrap_or(value)
}

/// Marked ISO values with their exact ones, 100 · 2^(n/3), slowest first.
pub fn iso_scale() -> impl Iterator<Item = (u32, f64)> {
    ISO_MARKS
        .iter()
        .zip(0..)
        .map(|(&mark, third)| (mark, 100.0 * third_stops(third)))
}

/// The next marked ISO above (`up`) or below this one; the same at the ends of the
/// scale.
///
/// ```
/// use tarnlight::camera::dial::next_iso;
/// assert_eq!(next_iso(1600.0, true), 2000.0);
/// ```
pub fn next_iso(iso: f64, up: bool) -> f64 {
    next_of(&ISO_MARKS.map(f64::from), iso, up)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Exact times of the marks from 1 s to 30 s, by 2^(n/3), computed independently.
    #[test]
    fn marks_last_what_they_last() {
        let table = [
            ("1", 1.0),
            ("1.3", 1.260),
            ("1.6", 1.587),
            ("2", 2.0),
            ("2.5", 2.520),
            ("3.2", 3.175),
            ("4", 4.0),
            ("5", 5.040),
            ("6", 6.350),
            ("8", 8.0),
            ("10", 10.079),
            ("13", 12.699),
            ("15", 16.0),
            ("20", 20.159),
            ("25", 25.398),
            ("30", 32.0),
        ];
        for (third, (mark, exact)) in (0_i8..).zip(table) {
            let shutter = Shutter::Marked(third);
            assert_eq!(shutter.mark(), mark);
            assert!(
                (shutter.exact_s() - exact).abs() < 6e-4,
                "{mark}: {}",
                shutter.exact_s()
            );
        }
    }

    /// Every mark is within an eighth of a stop of its exact time, so the list has no gap and no
    /// duplicate.
    #[test]
    fn every_mark_is_near_its_time() {
        for third in Shutter::SHORTEST..=Shutter::LONGEST {
            let shutter = Shutter::Marked(third);
            let mark = shutter.mark();
            let message = match mark.split_once('/') {
                Some((_, under)) => 1.0 / under.parse::<f64>().expect("a number"),
                None => mark.parse().expect("a number"),
            };
            let miss = (message / shutter.exact_s()).log2();
            assert!(miss.abs() < 0.12, "{mark}: {miss} stops");
        }
    }

    #[test]
    fn rounds_down_by_exact_time() {
        let table = [
            (15.5, "13"),
            (16.0, "15"),
            (15.999, "13"),
            (31.9, "25"),
            (32.0, "30"),
            (32.9, "30"),
            (33.0, "33"),
            (61.7, "61"),
            (0.26, "1/4"),
            (0.24, "1/5"),
            (1.0 / 8192.0, "1/8000"),
        ];
        for (limit, want) in table {
            let got = Shutter::at_most(limit).map(Shutter::mark);
            assert_eq!(got.as_deref(), Some(want), "{limit} s");
        }
        for none in [0.0, -1.0, 1e-4, f64::NAN] {
            assert_eq!(Shutter::at_most(none), None, "{none} s");
        }
    }

    #[test]
    fn no_step_changes_nothing() {
        for seconds in [33, 61, 4714, 43_200] {
            assert_eq!(Shutter::Bulb(seconds).stepped(0), Shutter::Bulb(seconds));
        }
    }

    #[test]
    fn stepping_goes_on_into_bulb_and_back() {
        let thirty = Shutter::Marked(15);
        assert_eq!(thirty.stepped(1), Shutter::Bulb(40));
        assert_eq!(thirty.stepped(3), Shutter::Bulb(64));
        assert_eq!(Shutter::Bulb(40).stepped(-1), thirty);
        assert_eq!(Shutter::Bulb(61).stepped(-3), thirty);
        assert_eq!(
            thirty.stepped(i32::MAX).stepped(i32::MIN),
            Shutter::Marked(-39)
        );
        assert_eq!(Shutter::Bulb(u32::MAX).stepped(1), Shutter::Bulb(41_285));
    }

    #[test]
    fn isos_step_along_the_marks() {
        let table = [
            (1600.0, true, 2000.0),
            (1600.0, false, 1250.0),
            (1700.0, false, 1600.0),
            (25_600.0, true, 25_600.0),
            (409_600.0, false, 25_600.0),
            (50.0, false, 50.0),
        ];
        for (iso, up, want) in table {
            assert_eq!(next_iso(iso, up), want, "{iso} {up}");
        }
    }

    /// Exact ISO values by 100 · 2^(n/3), computed independently.
    #[test]
    fn iso_values_are_what_they_are() {
        let table = [
            (125, 126.0),
            (640, 635.0),
            (1000, 1007.9),
            (2500, 2539.8),
            (6400, 6400.0),
        ];
        for (mark, want) in table {
            let exact = iso_scale()
                .find(|(at, _)| *at == mark)
                .map(|(_, exact)| exact);
            let got = exact.expect("on the scale");
            assert!((got - want).abs() < 0.06, "ISO {mark}: {got}");
        }
    }
}
