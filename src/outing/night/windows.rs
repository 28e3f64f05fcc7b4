//! The shot windows of a night: darkness, subject and Moon within their limits.
//!
//! `core` is the subject here, by default the core.

use crate::angle::Angle;
use crate::outing::night::horizon_crossings::{core_above, over_ridge};
use crate::outing::night::local_time::{Rounding, event_minute};
use crate::outing::night::site_sky::SiteSky;
use crate::outing::night::{NoWindowReason, Window, WindowBoundary};
use crate::outing::plan::limits::{DarknessLimit, HARMLESS_MAG, Limits, MoonLimit};
use crate::sky::almanac::SkyBody;
use crate::sky::altitude::ApparentAltitude;
use crate::sky::crossings::zero_between;
use crate::sky::night::{Course, Night};
use crate::sky::spans::{Span, Spans};

/// Least length of a window, minutes: the time to set up the camera (common practice).
pub const SHORTEST_MIN: f64 = 5.0;

/// Step of the moon cost's samples, days. About moonrise it grows from 0 to a magnitude in half an
/// hour.
pub(super) const COST_STEP_DAYS: f64 = 20.0 / 1440.0;

/// Tolerance of the cost's crossing, magnitudes: far below the model's accuracy, so that slow
/// crossings are good to seconds too.
const COST_CLOSE_MAG: f64 = 3e-7;

/// Most rounds; a dozen are usual.
const COST_ROUNDS: usize = 60;

/// Two moments closer than this are equal, days: a tenth of a second.
const SAME: f64 = 1e-6;

/// The part of a night within the limits.
#[derive(Debug, Clone, PartialEq)]
pub struct UsableTime {
    /// When the Sun is below the darkness limit.
    pub dark: Spans,
    /// When the core's apparent altitude is above ridge line and least height.
    pub core_up: Spans,
    /// The shot windows.
    pub windows: Vec<Window>,
    /// Why there are none.
    pub no_window_reason: Option<NoWindowReason>,
}

impl UsableTime {
    /// Minutes of all windows together.
    pub fn minutes(&self) -> f64 {
        self.windows.iter().map(|window| window.minutes).sum()
    }

    /// What they would be with any Moon.
    pub fn any_moon_minutes(&self) -> f64 {
        let spans = self.dark.intersection(&self.core_up).0.into_iter();
        let minutes = spans.map(Span::minutes);
        minutes.filter(|minutes| *minutes >= SHORTEST_MIN).sum()
    }
}

impl SiteSky {
    /// The part of a night within the limits.
    ///
    /// Ends by Sun, core and moonrise are those of [`Night`]; where the moon cost decides, good to
    /// some seconds of the model.
    pub fn usable(&self, night: &Night<'_>, limits: &Limits) -> UsableTime {
        let dark = Spans::new(
            &night.course(SkyBody::Sun, limits.darkness.sun_altitude()),
            false,
        );
        let core = core_above(night, self.ridge(), self.air(), limits.least_altitude());
        let core_up = Spans::new(&core, true);
        let before_moon = dark.intersection(&core_up);
        let mut windows = Vec::new();
        if long_enough(&before_moon) {
            let open = self.where_moon_allows(night, before_moon.clone(), limits.moon);
            let opened = open.0.iter();
            for span in opened.filter(|span| span.minutes() >= SHORTEST_MIN) {
                let edge = |at| self.edge(night, at, (&dark, &core_up), limits);
                windows.push(Window {
                    span: *span,
                    minutes: clock_minutes(night, *span),
                    opens: edge(span.start),
                    closes: edge(span.end),
                    equivalent_h: self.equivalent_hours(night, *span),
                });
            }
        }
        let no_window_reason = windows
            .is_empty()
            .then(|| self.no_window_reason(night, (&dark, &core_up, &before_moon), limits));
        UsableTime {
            dark,
            core_up,
            windows,
            no_window_reason,
        }
    }

    /// Easier limits that give a window where these give none, and its minutes; `None` where none
    /// do. Tried in the order of what they cost: less darkness, a lower core, any Moon, the first
    /// two, all three.
    pub fn easier_limits(&self, night: &Night<'_>, limits: &Limits) -> Option<(Limits, f64)> {
        let darkness = DarknessLimit::ALL
            .into_iter()
            .filter(|limit| *limit < limits.darkness)
            .map(|darkness| Limits {
                darkness,
                ..*limits
            });
        let whole_deg = limits.least_core.degrees().ceil() as u32;
        let lower = (0..whole_deg).rev().map(|degrees| Limits {
            least_core: Angle::from_degrees(degrees.into()),
            ..*limits
        });
        let any_moon = Limits {
            moon: MoonLimit::Any,
            ..*limits
        };
        let both = Limits {
            darkness: DarknessLimit::Down12,
            least_core: Angle::ZERO,
            ..*limits
        };
        let all = Limits {
            moon: MoonLimit::Any,
            ..both
        };
        let tried = darkness.chain(lower).chain([any_moon, both, all]);
        tried
            .map(|limits| (limits, self.usable(night, &limits).minutes()))
            .find(|(_, minutes)| *minutes > 0.0)
    }

    /// The parts of some spans in which the Moon is within its limit.
    fn where_moon_allows(&self, night: &Night<'_>, within: Spans, limit: MoonLimit) -> Spans {
        match limit {
            MoonLimit::Any => within,
            MoonLimit::None => within.intersection(&Spans::new(&night.moon_course(), false)),
            MoonLimit::Harmless => {
                let mut allowed = Vec::new();
                for span in within.0 {
                    self.push_harmless(night, span, &mut allowed);
                }
                Spans(allowed)
            }
        }
    }

    /// Appends the parts of a span in which the moon cost is harmless.
    fn push_harmless(&self, night: &Night<'_>, span: Span, allowed: &mut Vec<Span>) {
        let over = |at: f64| self.moon_cost(night, at) - HARMLESS_MAG;
        let steps = ((span.end - span.start) / COST_STEP_DAYS).ceil().max(1.0) as usize;
        let at = |step: usize| span.start + (span.end - span.start) * step as f64 / steps as f64;
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

    /// The reason for the end of a window.
    fn edge(
        &self,
        night: &Night<'_>,
        at: f64,
        (dark, core_up): (&Spans, &Spans),
        limits: &Limits,
    ) -> WindowBoundary {
        let ends = |spans: &Spans| {
            let mut ends = spans.0.iter().flat_map(|span| [span.start, span.end]);
            ends.any(|end| (end - at).abs() < SAME)
        };
        if at <= SAME || at >= 1.0 - SAME {
            WindowBoundary::Noon
        } else if ends(dark) {
            WindowBoundary::Twilight
        } else if ends(core_up) {
            let bearing = night.topocentric(SkyBody::Subject, at).horizontal().bearing;
            if self.ridge().height(bearing) < limits.least_core {
                WindowBoundary::LeastHeight
            } else {
                WindowBoundary::Ridge
            }
        } else if limits.moon == MoonLimit::None {
            WindowBoundary::Moon
        } else {
            WindowBoundary::MoonCost
        }
    }

    /// Why there is no window: the first condition that leaves too little.
    fn no_window_reason(
        &self,
        night: &Night<'_>,
        (dark, core_up, before_moon): (&Spans, &Spans, &Spans),
        limits: &Limits,
    ) -> NoWindowReason {
        if long_enough(before_moon) {
            return NoWindowReason::Moon;
        }
        let up = |course: &Course| Spans::new(course, true);
        let horizon = up(&night.subject_course(self.air().to_true(ApparentAltitude(Angle::ZERO))));
        // crossings of the skyline, computed only where the least height hides some of it
        let over_line = || {
            if limits.least_core > self.ridge().least_and_most().0 {
                up(&over_ridge(
                    night,
                    SkyBody::Subject,
                    self.ridge(),
                    self.air(),
                ))
            } else {
                core_up.clone()
            }
        };
        // at any time of day
        if core_up.0.is_empty() {
            return if horizon.0.is_empty() {
                NoWindowReason::NeverRises
            } else if over_line().0.is_empty() {
                NoWindowReason::BehindRidge
            } else {
                NoWindowReason::LeastHeight
            };
        }
        if !long_enough(dark) {
            NoWindowReason::NotDark
        } else if !long_enough(&dark.intersection(&horizon)) {
            NoWindowReason::CoreByDay
        } else if !long_enough(&dark.intersection(&over_line())) {
            NoWindowReason::BehindRidge
        } else {
            NoWindowReason::LeastHeight
        }
    }
}

/// Whether a span is long enough for a window.
fn long_enough(spans: &Spans) -> bool {
    spans.0.iter().any(|span| span.minutes() >= SHORTEST_MIN)
}

/// Whole minutes between a span's ends as a clock tells them.
fn clock_minutes(night: &Night<'_>, span: Span) -> f64 {
    let minute = |at: f64, rounding| event_minute(night.start().plus_days(at), rounding);
    let (start, end) = (
        minute(span.start, Rounding::Opening),
        minute(span.end, Rounding::Closing),
    );
    (end - start) as f64
}
