//! An almanac: subject, Sun and Moon computed once for a period.
//!
//! The series behind [`SolarSystemPositions`] cost some ten microseconds a moment, and a year of
//! nights needs tens of thousands. So Sun, subject and the Earth's axes, which move slowly, are
//! computed at a few nodes of every 32 days, the Moon at twice as many, and interpolated by
//! Chebyshev series. These are divided into short pieces with few terms, which cost a hundredth and
//! err by less than 0.05″, for the Moon 0.4″: 3 and 30 ms of the Earth's rotation.
//!
//! [`SolarSystemPositions`]: crate::sky::positions::SolarSystemPositions

use crate::sky::chebyshev::{Chebyshev, ChebyshevWeights, nodes};
use crate::sky::moment::Moment;
use crate::sky::positions::{Axes, moon_at, sun_and_star_at};
use crate::sky::subject::Subject;
use crate::vector::Vector;

/// Length of a period computed at once, days.
const SLOW_DAYS: f64 = 32.0;

/// Nodes in it for Sun, subject and axes.
const SLOW_NODES: usize = 10;

/// Nodes in it for the Moon.
const MOON_NODES: usize = 24;

/// Pieces it is divided into.
const PIECES: usize = 16;

/// Length of a piece, days.
const PIECE_DAYS: f64 = SLOW_DAYS / PIECES as f64;

/// Chebyshev terms of a piece, for Sun and subject, and for the Moon.
const TERMS: usize = 4;
const MOON_TERMS: usize = 6;

/// Maximum length, days: some eleven years.
const LONGEST_DAYS: f64 = 4000.0;

/// A body in an almanac.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SkyBody {
    /// The almanac's subject: the core, unless it was computed for another.
    Subject,
    /// The Sun.
    Sun,
    /// The Moon.
    Moon,
}

/// Positions of subject, Sun and Moon over a period.
#[derive(Debug, Clone)]
pub struct Almanac {
    start: Moment,
    pieces: Vec<Piece>,
}

/// The three bodies over one piece.
#[derive(Debug, Clone)]
struct Piece {
    subject: Chebyshev<TERMS>,
    sun: Chebyshev<TERMS>,
    moon: Chebyshev<MOON_TERMS>,
}

impl Almanac {
    /// The almanac of the core, Sun and Moon, `days` days from `start`, at most eleven years.
    ///
    /// Costs about a fifth of a millisecond for each 32 days.
    pub fn over(start: Moment, days: f64) -> Self {
        Self::with_subject(Subject::Core, start, days)
    }

    /// The same with another subject.
    pub fn with_subject(subject: Subject, start: Moment, days: f64) -> Self {
        let days = if days.is_finite() { days } else { 0.0 };
        let stretches = (days.clamp(0.0, LONGEST_DAYS) / SLOW_DAYS).ceil().max(1.0) as usize;
        let (maker, direction) = (PieceBuilder::default(), subject.direction());
        let mut pieces = Vec::with_capacity(stretches * PIECES);
        for stretch in 0..stretches {
            let from = start.plus_days(stretch as f64 * SLOW_DAYS);
            maker.cut(from, direction, &mut pieces);
        }
        Self { start, pieces }
    }

    /// First moment.
    pub const fn start(&self) -> Moment {
        self.start
    }

    /// The position of a body, along the axes of
    /// [`SolarSystemPositions`](crate::sky::positions::SolarSystemPositions); a moment outside is
    /// clamped to the nearer end.
    pub fn position(&self, body: SkyBody, moment: Moment) -> Vector {
        let along = (moment.days() - self.start.days()) / PIECE_DAYS;
        let last = self.pieces.len() - 1;
        // negative and NaN become 0
        let place = (along as usize).min(last);
        let (piece, share) = (&self.pieces[place], along - place as f64);
        match body {
            SkyBody::Subject => piece.subject.at(share),
            SkyBody::Sun => piece.sun.at(share),
            SkyBody::Moon => piece.moon.at(share),
        }
    }

    /// The illuminated fraction of the Moon's disc, 0 to 1, geocentric.
    ///
    /// Source: J. Meeus, *Astronomical Algorithms*, 2nd ed. 1998, eq. 48.1.
    pub fn illuminated_fraction(&self, moment: Moment) -> f64 {
        (1.0 + self.phase_angle(moment).cos()) / 2.0
    }

    /// The angle at the Moon between Sun and Earth, radians: 0 when full.
    pub fn phase_angle(&self, moment: Moment) -> crate::angle::Angle {
        let moon = self.position(SkyBody::Moon, moment);
        let sun = self.position(SkyBody::Sun, moment).plus(moon.times(-1.0));
        moon.times(-1.0).angle_to(sun)
    }
}

/// Chebyshev weights for making pieces.
#[derive(Default)]
struct PieceBuilder {
    slow: ChebyshevWeights<SLOW_NODES>,
    moon: ChebyshevWeights<MOON_NODES>,
    piece: ChebyshevWeights<TERMS>,
    moon_piece: ChebyshevWeights<MOON_TERMS>,
}

impl PieceBuilder {
    /// Computes a period and appends its pieces.
    fn cut(&self, start: Moment, direction: Vector, pieces: &mut Vec<Piece>) {
        let moment = |share: f64| start.plus_days(share * SLOW_DAYS);
        let moon = self.moon.fit(&nodes().map(|share| moon_at(moment(share))));
        let slow: [[Vector; 5]; SLOW_NODES] = nodes().map(|share| {
            let (sun, subject) = sun_and_star_at(moment(share), moon.at(share), direction);
            let Axes([one, two, three]) = Axes::at(moment(share));
            [sun, subject, one, two, three]
        });
        let slow: [Chebyshev<SLOW_NODES>; 5] =
            std::array::from_fn(|which| self.slow.fit(&slow.map(|at| at[which])));
        for piece in 0..PIECES {
            let within = |share: f64| (piece as f64 + share) / PIECES as f64;
            let axes = |share: f64| Axes([2, 3, 4].map(|which| slow[which].at(share)));
            let part = |which: usize| {
                let place = |share: f64| slow[which].at(share);
                self.piece
                    .fit(&nodes().map(|share| axes(within(share)).turn(place(within(share)))))
            };
            let moon_at = |share: f64| axes(within(share)).turn(moon.at(within(share)));
            pieces.push(Piece {
                sun: part(0),
                subject: part(1),
                moon: self.moon_piece.fit(&nodes().map(moon_at)),
            });
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sky::positions::SolarSystemPositions;

    /// The polynomials against the series they approximate, over a year.
    #[test]
    fn the_pieces_follow_the_series() {
        const ARCSECONDS: f64 = 206_265.0;
        let almanac = Almanac::over(Moment::from_days(9_496.5), 366.0);
        for step in 0..1000 {
            let moment = almanac.start().plus_days(f64::from(step) * 0.366);
            let want = SolarSystemPositions::at(moment);
            for (body, want, within) in [
                (SkyBody::Subject, want.core, 0.05),
                (SkyBody::Sun, want.sun, 0.05),
                (SkyBody::Moon, want.moon, 0.4),
            ] {
                let got = almanac.position(body, moment);
                let miss = got.plus(want.times(-1.0)).length() / want.length() * ARCSECONDS;
                assert!(miss < within, "{body:?}, step {step}: {miss}″");
            }
        }
    }

    #[test]
    fn no_moment_and_no_length_is_too_much() {
        for days in [f64::NAN, f64::INFINITY, -1.0, 0.0, 1e12] {
            let almanac = Almanac::over(Moment::from_days(0.0), days);
            for at in [f64::NAN, -1e300, 1e300, 0.0] {
                let place = almanac.position(SkyBody::Moon, Moment::from_days(at));
                assert!(at.is_nan() || place.length().is_finite(), "{days}, {at}");
            }
        }
    }
}
