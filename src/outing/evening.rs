//! One night of an outing: dark hours, core hours, the Moon, and the shot
//! window they leave.
//!
//! A shot window is open while the Sun is 18° down, the core stands above the
//! ridge line as it looks through the air, and the Moon costs no more than is
//! allowed. Each end of a window has a reason.

use chrono::NaiveDate;

pub use super::watch::{Reading, Watch};
use crate::sky::almanac::Body;
use crate::sky::moment::Moment;
use crate::sky::night::{Course, Night};
use crate::sky::spans::{Span, Spans};

/// The moon cost that passes for harmless, magnitudes: a fifth of a magnitude
/// more sky, which the natural glow of the air changes by within an hour
/// (common practice).
pub const HARMLESS_MAG: f64 = 0.2;

/// Why a shot window begins or ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Edge {
    /// The sky gets dark, or light.
    Twilight,
    /// The core clears the ridge line, or goes behind it.
    Ridge,
    /// The Moon sets, or rises.
    Moon,
    /// The Moon becomes harmless, or stops being so.
    MoonCost,
    /// The night as reckoned here, noon to noon, begins or ends.
    Noon,
}

/// A shot window.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Window {
    /// When, in days since the night's noon.
    pub span: Span,
    /// Why it begins.
    pub opens: Edge,
    /// Why it ends.
    pub closes: Edge,
}

/// Why there is no shot window.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Without {
    /// The core never comes above the flat horizon at this latitude.
    NeverRises,
    /// It rises, but not above the ridge.
    BehindRidge,
    /// The Sun is never 18° down.
    NotDark,
    /// The core is over the ridge by day and twilight only.
    CoreByDay,
    /// The Moon costs too much all the while.
    Moon,
}

/// What a night offers.
#[derive(Debug, Clone, PartialEq)]
pub struct Evening {
    /// The date of the night's noon.
    pub date: NaiveDate,
    /// That noon.
    pub start: Moment,
    /// The Sun and each of its lines, sunset first.
    pub sun: [Course; 4],
    /// The Moon and the horizon.
    pub moon: Course,
    /// The core and the ridge line.
    pub core: Course,
    /// When it is dark.
    pub dark: Spans,
    /// When the core is above the ridge line.
    pub core_up: Spans,
    /// When the Moon is above the horizon.
    pub moon_up: Spans,
    /// The shot windows.
    pub windows: Vec<Window>,
    /// Why there are none.
    pub without: Option<Without>,
}

/// What happens at the end of a window.
pub(super) fn edge(at: f64, dark: &Spans, core_up: &Spans, moon: &Course) -> Edge {
    // a tenth of a second
    const SAME: f64 = 1e-6;
    let ends = |spans: &Spans| {
        let mut ends = spans.0.iter().flat_map(|span| [span.start, span.end]);
        ends.any(|end| (end - at).abs() < SAME)
    };
    if at <= SAME || at >= 1.0 - SAME {
        Edge::Noon
    } else if ends(dark) {
        Edge::Twilight
    } else if ends(core_up) {
        Edge::Ridge
    } else if moon
        .crossings
        .iter()
        .any(|crossing| (crossing.at - at).abs() < SAME)
    {
        Edge::Moon
    } else {
        Edge::MoonCost
    }
}

impl Evening {
    /// The longest window.
    pub fn best(&self) -> Option<Window> {
        let longer = |best: Option<Window>, window: &Window| match best {
            Some(best) if best.span.minutes() >= window.span.minutes() => Some(best),
            _ => Some(*window),
        };
        self.windows.iter().fold(None, longer)
    }

    /// The moment worth looking at first, days since noon: in the longest window
    /// where the core stands highest; without one, where it stands highest in
    /// the dark, or the middle of the night.
    pub fn best_moment(&self, night: &Night<'_>) -> f64 {
        let span = self.best().map(|window| window.span);
        let span = span.or_else(|| self.dark.longest());
        let Some(Span { start, end }) = span else {
            let lowest = night.extreme(Body::Sun, false);
            return lowest.map_or(0.5, |turn| turn.at);
        };
        let height = |at| night.see(Body::Core, at).height();
        match night.extreme(Body::Core, true) {
            Some(top) if (start..=end).contains(&top.at) => top.at,
            _ if height(start) >= height(end) => start,
            _ => end,
        }
    }

    /// Whether the Moon is up during some part of a window.
    pub fn moon_in_windows(&self) -> bool {
        let windows = self.windows.iter().map(|window| window.span).collect();
        Spans(windows).and(&self.moon_up).minutes() > 1.0
    }

    /// Minutes of all windows together.
    pub fn minutes(&self) -> f64 {
        self.windows
            .iter()
            .map(|window| window.span.minutes())
            .sum()
    }
}
