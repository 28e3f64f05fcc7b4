//! Zero crossings and extrema of an altitude over a day.
//!
//! The function is sampled sixteen times a day, and once beyond either end. A sign change between
//! two samples is refined to a root; an extremum near zero is located and tested as well, so that a
//! short appearance between two samples is not missed. A body rises and sinks once a day, so there
//! is at most one extremum between two samples; within 2° of a pole there can be two, but then they
//! differ by less than 0.001°.

/// Samples a day.
const SAMPLES_PER_DAY: usize = 16;

/// Number of samples: the day's, its end, and one beyond either end.
pub const SAMPLE_COUNT: usize = SAMPLES_PER_DAY + 3;

/// Days between two samples.
const STEP: f64 = 1.0 / SAMPLES_PER_DAY as f64;

/// An extremum is assumed to lie within this of the highest or lowest sample beside it, as a share
/// of the neighbours' difference. The top of a sine is at most three quarters of an hour from a
/// sample, where it is lower by 0.02 of its amplitude, and the next sample is lower by at least
/// 0.13: ample.
const REACH: f64 = 1.0;

/// Tolerance of a root, days (a millisecond).
const CLOSE: f64 = 1e-8;

/// A zero crossing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Crossing {
    /// Days since the start.
    pub at: f64,
    /// Whether upwards.
    pub up: bool,
}

/// An extremum.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Extremum {
    /// Days since the start.
    pub at: f64,
    /// The value there.
    pub value: f64,
}

/// Evenly spaced samples of a function over a day.
#[derive(Debug, Clone)]
pub struct Samples {
    values: [f64; SAMPLE_COUNT],
}

/// The time of sample number `place`, days since the start.
pub const fn sample_time(place: usize) -> f64 {
    (place as f64 - 1.0) * STEP
}

impl Samples {
    /// From the values at [`sample_time`].
    pub const fn new(values: [f64; SAMPLE_COUNT]) -> Self {
        Self { values }
    }

    /// Whether it starts above zero.
    pub fn starts_above(&self) -> bool {
        self.values[1] > 0.0
    }

    /// Every zero crossing of the day, in order.
    ///
    /// `height` returns the sampled function and its approximate rate per day.
    pub fn crossings(&self, height: impl Fn(f64) -> (f64, f64)) -> Vec<Crossing> {
        let mut found = Vec::new();
        let mut keep = |from: (f64, f64), to: (f64, f64)| {
            if (from.1 > 0.0) != (to.1 > 0.0) {
                let at = refine_zero(&height, from, to);
                if (0.0..1.0).contains(&at) {
                    let up = to.1 > 0.0;
                    found.push(Crossing { at, up });
                }
            }
        };
        for place in 0..SAMPLE_COUNT - 1 {
            let ends = [place, place + 1].map(|place| (sample_time(place), self.values[place]));
            match self.extremum_near_zero(place, |at| height(at).0) {
                Some(turn) => {
                    let turn = (turn.at, turn.value);
                    keep(ends[0], turn);
                    keep(turn, ends[1]);
                }
                None => keep(ends[0], ends[1]),
            }
        }
        found
    }

    /// The extremum between this sample and the next, if it may have the opposite sign to both.
    fn extremum_near_zero(&self, place: usize, height: impl Fn(f64) -> f64) -> Option<Extremum> {
        let (from, to) = (self.values[place], self.values[place + 1]);
        if (from > 0.0) != (to > 0.0) {
            return None;
        }
        // the extremum lies beside the sample nearer to zero
        let (near, far) = if from.abs() <= to.abs() {
            (place, place + 1)
        } else {
            (place + 1, place)
        };
        let beyond = (2 * near)
            .checked_sub(far)
            .filter(|at| *at < SAMPLE_COUNT)?;
        let value = self.values[near];
        let rises = |other: f64| (other - value) * value.signum();
        let (one, two) = (rises(self.values[far]), rises(self.values[beyond]));
        if one < 0.0 || two < 0.0 || value.abs() > REACH * one.max(two) {
            return None;
        }
        let values = [beyond, near, far].map(|at| self.values[at]);
        let turn = extremum(&height, values, near, far > near);
        let (low, high) = (sample_time(place), sample_time(place + 1));
        (low..=high).contains(&turn.at).then_some(turn)
    }

    /// The extrema within the day, in order.
    pub fn extrema(&self, height: impl Fn(f64) -> f64) -> Vec<Extremum> {
        let mut found: Vec<Extremum> = Vec::with_capacity(2);
        for near in 1..SAMPLE_COUNT - 1 {
            let values = [near - 1, near, near + 1].map(|at| self.values[at]);
            let (before, after) = (values[1] - values[0], values[2] - values[1]);
            if before * after <= 0.0 && before != 0.0 {
                let turn = extremum(&height, values, near, true);
                if (0.0..1.0).contains(&turn.at) {
                    found.push(turn);
                }
            }
        }
        found
    }
}

/// The extremum near the middle one of three samples: first by the parabola through them, then by
/// one through three moments three minutes apart.
fn extremum(height: impl Fn(f64) -> f64, values: [f64; 3], near: usize, onward: bool) -> Extremum {
    const FINE: f64 = 3.0 / 1440.0;
    let step = if onward { STEP } else { -STEP };
    let rough = sample_time(near) + step * vertex(values);
    let fine = [rough - FINE, rough, rough + FINE].map(&height);
    let at = rough + FINE * vertex(fine);
    Extremum {
        at,
        value: height(at),
    }
}

/// The vertex of the parabola through three evenly spaced values, in steps from the middle one,
/// clamped to one step.
///
/// Source: J. Meeus, *Astronomical Algorithms*, 2nd ed. 1998, eq. 3.5.
fn vertex([y1, y2, y3]: [f64; 3]) -> f64 {
    let (a, b) = (y2 - y1, y3 - y2);
    let c = b - a;
    if c == 0.0 {
        return 0.0;
    }
    (-(a + b) / (2.0 * c)).clamp(-1.0, 1.0)
}

/// The zero in a bracket: Newton's method, with bisection where a step would leave the bracket or
/// convergence is slow.
fn refine_zero(height: impl Fn(f64) -> (f64, f64), from: (f64, f64), to: (f64, f64)) -> f64 {
    const ROUNDS: usize = 48;
    const NEWTON: usize = 8;
    let (mut low, mut high) = (from.0, to.0);
    let mut at = from.0 + (to.0 - from.0) * from.1 / (from.1 - to.1);
    for round in 0..ROUNDS {
        let inside = at > low && at < high;
        if !inside || round >= NEWTON {
            at = (low + high) / 2.0;
        }
        let (value, a_day) = height(at);
        if (value > 0.0) == (from.1 > 0.0) {
            low = at;
        } else {
            high = at;
        }
        if high - low < CLOSE {
            break;
        }
        let step = -value / a_day;
        let next = at + step;
        if step.abs() < CLOSE && next >= low && next <= high {
            return next;
        }
        // NaN is not inside either
        at = next;
    }
    at.max(low).min(high)
}

/// The zero in a bracket by false position (the Illinois variant).
///
/// Stops after `rounds` rounds, when the ends are a millisecond apart, or when the function is
/// nearer to zero than `near`. The function need not be smooth or continuous.
pub fn zero_between(
    over: &dyn Fn(f64) -> f64,
    [mut from, mut to]: [(f64, f64); 2],
    rounds: usize,
    near: f64,
) -> f64 {
    let share =
        |from: (f64, f64), to: (f64, f64)| from.0 + (to.0 - from.0) * from.1 / (from.1 - to.1);
    for _ in 0..rounds {
        let at = share(from, to);
        let value = over(at);
        if value.abs() < near || to.0 - from.0 < CLOSE {
            return at;
        }
        if (value <= 0.0) == (from.1 <= 0.0) {
            from = (at, value);
            to.1 /= 2.0;
        } else {
            to = (at, value);
            from.1 /= 2.0;
        }
    }
    share(from, to)
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::TAU;

    /// A sine whose zeros and extrema are known, at every offset and phase, down to appearances of
    /// a few seconds.
    #[test]
    fn finds_every_zero_of_a_sine() {
        for phase in 0..48 {
            let phase = f64::from(phase) / 48.0 + 0.003;
            for line in [
                -1.01,
                -0.999_999,
                -0.5,
                0.0,
                0.3,
                0.98,
                0.999_9,
                0.999_999_9,
                1.01,
            ] {
                let value = |t: f64| (TAU * (t - phase)).sin() - line;
                let height = |t: f64| (value(t), 0.97 * TAU * (TAU * (t - phase)).cos());
                let samples = Samples::new(std::array::from_fn(|place| value(sample_time(place))));
                let mut want = Vec::new();
                if f64::abs(line) < 1.0 {
                    let up = f64::asin(line) / TAU + phase;
                    let down = 0.5 - f64::asin(line) / TAU + phase;
                    for (at, is_up) in [(up, true), (down, false)] {
                        want.push((at.rem_euclid(1.0), is_up));
                    }
                }
                want.sort_by(|a, b| a.0.total_cmp(&b.0));
                let got = samples.crossings(height);
                assert_eq!(got.len(), want.len(), "line {line}, phase {phase}: {got:?}");
                for (got, want) in got.iter().zip(want) {
                    let slope = (1.0 - line * line).sqrt().max(1e-6);
                    let miss = (got.at - want.0).abs();
                    assert!(miss < 1e-9 + 1e-15 / slope, "line {line}: {miss}");
                    assert_eq!(got.up, want.1);
                }
                let turns = samples.extrema(value);
                assert_eq!(turns.len(), 2, "phase {phase}");
                for turn in turns {
                    let size = (turn.value + line).abs();
                    assert!((size - 1.0).abs() < 1e-12, "phase {phase}: {size}");
                }
            }
        }
    }

    /// A fast oscillation with a drift: crossings alternate.
    #[test]
    fn crossings_alternate() {
        for seed in 0..500 {
            let s = f64::from(seed);
            let drift = 0.02 * (s * 0.7).cos();
            let value = |t: f64| (TAU * t + s).sin() + drift * t - (s * 1.3).sin();
            let height = |t: f64| (value(t), TAU * (TAU * t + s).cos());
            let samples = Samples::new(std::array::from_fn(|place| value(sample_time(place))));
            let mut above = samples.starts_above();
            for crossing in samples.crossings(height) {
                assert_ne!(crossing.up, above, "seed {seed}");
                above = crossing.up;
            }
            assert_eq!(above, value(1.0) > 0.0, "seed {seed}");
        }
    }
}
