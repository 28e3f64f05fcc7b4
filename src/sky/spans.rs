//! Time spans and their intersections.
//!
//! Dark hours, core hours and hours without the Moon are each a few spans of a night; usable time
//! is their intersection.

use crate::sky::night::Course;

/// A span of time, days since the night began.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Span {
    /// Start.
    pub start: f64,
    /// End.
    pub end: f64,
}

impl Span {
    /// The whole night.
    pub const NIGHT: Self = Self {
        start: 0.0,
        end: 1.0,
    };

    /// Length, minutes.
    pub fn minutes(self) -> f64 {
        (self.end - self.start) * 1440.0
    }

    /// Whether a moment lies within.
    pub fn contains(self, at: f64) -> bool {
        (self.start..=self.end).contains(&at)
    }
}

/// Spans of a night, in order and disjoint.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Spans(pub Vec<Span>);

impl Spans {
    /// When a body is above an altitude, or below it.
    pub fn new(course: &Course, above: bool) -> Self {
        let mut spans = Vec::new();
        let mut open = (course.starts_above == above).then_some(0.0);
        for crossing in &course.crossings {
            if crossing.up == above {
                open = Some(crossing.at);
            } else if let Some(start) = open.take() {
                let end = crossing.at;
                spans.push(Span { start, end });
            }
        }
        if let Some(start) = open {
            spans.push(Span { start, end: 1.0 });
        }
        Self(spans)
    }

    /// Spans sorted, adjoining ones merged.
    pub fn merged(mut spans: Vec<Span>) -> Self {
        const TOUCH: f64 = 1e-6;
        let mut whole: Vec<Span> = Vec::with_capacity(spans.len());
        // there are few: a selection sort
        while let Some((place, _)) = spans.iter().enumerate().reduce(|first, next| {
            if next.1.start < first.1.start {
                next
            } else {
                first
            }
        }) {
            let span = spans.swap_remove(place);
            match whole.last_mut() {
                Some(last) if span.start <= last.end + TOUCH => last.end = last.end.max(span.end),
                _ => whole.push(span),
            }
        }
        Self(whole)
    }

    /// The intersection.
    pub fn intersection(&self, other: &Self) -> Self {
        let mut both = Vec::new();
        for one in &self.0 {
            for two in &other.0 {
                let (start, end) = (one.start.max(two.start), one.end.min(two.end));
                if start < end {
                    both.push(Span { start, end });
                }
            }
        }
        Self(both)
    }

    /// Total length, minutes.
    pub fn minutes(&self) -> f64 {
        self.0.iter().map(|span| span.minutes()).sum()
    }

    /// The longest; the earlier of two equal ones.
    pub fn longest(&self) -> Option<Span> {
        let longer = |best: Option<Span>, span: &Span| match best {
            Some(best) if best.minutes() >= span.minutes() => Some(best),
            _ => Some(*span),
        };
        self.0.iter().fold(None, longer)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sky::crossings::Crossing;

    fn course(starts_above: bool, at: &[f64]) -> Course {
        let mut up = !starts_above;
        let crossings = at.iter().map(|at| {
            let crossing = Crossing { at: *at, up };
            up = !up;
            crossing
        });
        Course {
            starts_above,
            crossings: crossings.collect(),
        }
    }

    #[test]
    fn above_and_below_share_out_the_night() {
        for (starts, at) in [
            (true, vec![]),
            (false, vec![]),
            (true, vec![0.3]),
            (false, vec![0.1, 0.9]),
            (true, vec![0.2, 0.5, 0.8]),
        ] {
            let course = course(starts, &at);
            let [above, below] = [true, false].map(|above| Spans::new(&course, above));
            let total = above.minutes() + below.minutes();
            assert!((total - 1440.0).abs() < 1e-9, "{starts} {at:?}: {total}");
            assert_eq!(
                above.intersection(&below),
                Spans::default(),
                "{starts} {at:?}"
            );
            assert_eq!(above.intersection(&above), above);
        }
    }

    #[test]
    fn overlaps_are_where_both_hold() {
        let one = Spans::new(&course(false, &[0.1, 0.4, 0.6]), true);
        let two = Spans::new(&course(true, &[0.2, 0.25, 0.7]), true);
        let both = one.intersection(&two);
        let ends: Vec<_> = both.0.iter().map(|span| (span.start, span.end)).collect();
        assert_eq!(ends, [(0.1, 0.2), (0.25, 0.4), (0.6, 0.7)]);
        assert_eq!(both.longest().map(|span| span.start), Some(0.25));
    }
}
