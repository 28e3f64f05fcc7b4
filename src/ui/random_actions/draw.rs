//! Random values, the same ones for the same seed.

use chrono::{DateTime, Days, NaiveDate, Utc};
use rand_pcg::Pcg64Mcg;
use rand_pcg::rand_core::{Rng, SeedableRng};

use crate::angle::Angle;
use crate::outing::plan::NIGHT_MIN;
use crate::outing::plan::bounds::{BEARING, Bounds, SIGHTED};
use crate::sky::moment::YEARS;

/// Draws values.
pub struct Draw(Pcg64Mcg);

impl Draw {
    pub fn new(seed: u64) -> Self {
        Self(Pcg64Mcg::seed_from_u64(seed))
    }

    /// Below `limit`.
    pub fn below(&mut self, limit: usize) -> usize {
        (self.0.next_u64() >> 16) as usize % limit.max(1)
    }

    pub fn flag(&mut self) -> bool {
        self.below(2) == 1
    }

    /// One of several.
    pub fn one<T: Copy>(&mut self, all: &[T]) -> T {
        all[self.below(all.len())]
    }

    /// From 0 to 1.
    pub fn share(&mut self) -> f64 {
        (self.0.next_u64() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// Within the bounds of a field, at an end every fourth time; to the four places that the
    /// written form keeps, as typed.
    pub fn within(&mut self, bounds: Bounds) -> f64 {
        let Bounds { least, most, .. } = bounds;
        let value = match self.below(8) {
            0 => least,
            1 => most,
            // every order of magnitude
            2..=4 if least > 0.0 => (least.ln() + (most / least).ln() * self.share()).exp(),
            _ => least + (most - least) * self.share(),
        };
        ((value * 1e4).round() / 1e4).clamp(least, most)
    }

    /// The same, or nothing.
    pub fn perhaps(&mut self, bounds: Bounds) -> Option<f64> {
        self.flag().then(|| self.within(bounds))
    }

    /// The same, of a share in percent.
    pub fn perhaps_share(&mut self, bounds: Bounds) -> Option<f64> {
        self.perhaps(bounds).map(|percent| percent / 100.0)
    }

    pub fn angle(&mut self, bounds: Bounds) -> Angle {
        Angle::from_degrees(self.within(bounds))
    }

    /// As from a sensor or a finger: usual, large, or none at all.
    pub fn measured(&mut self) -> f64 {
        match self.below(12) {
            0 => 0.0,
            1 => 1e9,
            2 => -1e9,
            _ => 720.0 * (self.share() - 0.5),
        }
    }

    /// A direction along the ground and above it.
    pub fn place(&mut self) -> (Angle, Angle) {
        (self.angle(BEARING), self.angle(SIGHTED))
    }

    /// A date of the years that are covered, the first and the last among them; seldom another.
    pub fn date(&mut self) -> NaiveDate {
        let date = |year, month, day| NaiveDate::from_ymd_opt(year, month, day).expect("a date");
        match self.below(20) {
            0 => date(*YEARS.start(), 1, 1),
            1 => date(*YEARS.end(), 12, 31),
            2 => date(2101, 1, 1),
            3 => date(1, 1, 1),
            _ => self.night(),
        }
    }

    /// A date of the years that are covered.
    pub fn night(&mut self) -> NaiveDate {
        let first = NaiveDate::from_ymd_opt(*YEARS.start(), 1, 1).expect("a date");
        let last = NaiveDate::from_ymd_opt(*YEARS.end(), 12, 31).expect("a date");
        let days = (last - first).num_days().unsigned_abs();
        first + Days::new(self.0.next_u64() % (days + 1))
    }

    pub fn minute(&mut self) -> u16 {
        match self.below(6) {
            0 => 0,
            1 => NIGHT_MIN - 1,
            _ => self.below(usize::from(NIGHT_MIN)) as u16,
        }
    }

    /// A phone's clock: of these years, at the ends of those that are covered, seldom beyond.
    pub fn instant(&mut self) -> DateTime<Utc> {
        let seconds = match self.below(16) {
            0 => 0,
            1 => -631_152_000,
            2 => 4_133_980_799,
            3 => 4_133_980_800,
            _ => 1_700_000_000 + (self.share() * 3e8) as i64,
        };
        DateTime::from_timestamp(seconds, 0).expect("a time")
    }

    /// A name as people type it, too long ones among them.
    pub fn name(&mut self) -> String {
        let word = self.one(&["", " ", "tarn & ridge", "é☃", "\u{202e}x", "0123456789"]);
        word.repeat(self.below(8))
    }
}
