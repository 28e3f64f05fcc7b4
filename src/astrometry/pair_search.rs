//! Hypotheses of where a camera points: pairs of bright stars in the picture taken for pairs of
//! the catalogue.
//!
//! Two stars of about the right separation determine how the camera is turned and its focal
//! length. Of the other bright stars near them at least three or four must then stand on a star of the catalogue.
//! This looks at every pair of the catalogue that is possible, and so needs no table of shapes; the
//! search is fast because most hypotheses fail at the first stars tried.

use crate::astrometry::matching::SkyStar;
use crate::astrometry::star_index::StarIndex;
use crate::vector::Vector;

/// Separations of pairs used, as shares of the group's radius.
const LEAST_SEPARATION: f64 = 0.25;
const MOST_SEPARATION: f64 = 1.3;

/// Expected stars of the catalogue for each group's area; bright detections are few, and where the
/// sky is poor they are fainter than on average.
const STARS_IN_GROUP: f64 = 25.0;

/// Tolerance at which a star counts as standing on one of the catalogue: a share of the group's
/// radius and of the distance from the pair.
const FIXED_TOLERANCE: f64 = 0.008;
const GROWING_TOLERANCE: f64 = 0.015;
const MOST_TOLERANCE: f64 = 0.03;

/// Stars besides the pair that must stand on one of the catalogue, of few and of `MANY` or more, and
/// after how many tries a hypothesis without any is dropped.
const NEEDED_OF_FEW: usize = 3;
const NEEDED_OF_MANY: usize = 4;
const MANY: usize = 8;
const PATIENCE: usize = 3;

/// A star that so many of its group outshine is outshone in the catalogue, within a group's radius, by
/// at most `OUTSHONE_FACTOR` times as many and `OUTSHONE_MORE`: colours and air change the order, and
/// ground or clouds hide brighter ones.
const OUTSHONE_FACTOR: usize = 2;
const OUTSHONE_MORE: usize = 6;

/// A check of a hypothesis takes about as long as so many hypotheses.
const CHECK_COST: usize = 2000;

/// Half the relative range of focal lengths that one search covers.
pub const SCALE_RANGE: f64 = 0.045;

/// By how much the difference in brightness of two stars may differ from the catalogue's,
/// magnitudes: colours, air and the darker corners.
const BRIGHTNESS_TOLERANCE: f64 = 1.5;

/// A bright star of the picture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GroupStar {
    /// Its direction in the camera's axes.
    pub direction: Vector,
    /// Its magnitude, from any zero point.
    pub magnitude: f64,
    /// Whether it may be brighter than that.
    pub saturated: bool,
}

/// The bright stars of the catalogue with their pairs, for groups of one angular radius.
pub struct PairTable {
    directions: Vec<Vector>,
    magnitudes: Vec<f64>,
    /// How many stars within the group's radius outshine each.
    outshone: Vec<u16>,
    index: StarIndex,
    pairs: Vec<CataloguePair>,
    radius: f64,
}

/// Distance of two unit vectors as the bits of an `f32`, which sort as the number does, and the two
/// rows below them: one number is sorted several times faster than a tuple.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct CataloguePair(u64);

impl CataloguePair {
    fn new(distance: f32, first: u16, second: u16) -> Self {
        let rows = u64::from(first) << 16 | u64::from(second);
        Self(u64::from(distance.to_bits()) << 32 | rows)
    }

    fn distance(self) -> f32 {
        f32::from_bits((self.0 >> 32) as u32)
    }

    fn rows(self) -> (usize, usize) {
        ((self.0 >> 16) as usize & 0xffff, self.0 as usize & 0xffff)
    }
}

/// A hypothesis: three axes in the picture and on the sky, and the factor by which separations on the
/// sky are larger.
#[derive(Debug, Clone, Copy)]
pub struct Hypothesis {
    /// Axes by the pair in the camera's own axes.
    pub in_camera: [Vector; 3],
    /// The same on the sky.
    pub on_sky: [Vector; 3],
    /// Separation on the sky over that by the focal length assumed.
    pub scale: f64,
}

impl PairTable {
    /// A table for groups of `radius` radians, from stars brightest first.
    pub fn new(sky: &[SkyStar], radius: f64) -> Self {
        let share = (1.0 - radius.cos()) / 2.0;
        let count = (STARS_IN_GROUP / share.max(1e-6)) as usize;
        let count = count.clamp(60, usize::from(u16::MAX)).min(sky.len());
        let directions: Vec<_> = sky[..count].iter().map(|star| star.direction).collect();
        let reach = MOST_TOLERANCE * radius;
        let index = StarIndex::new(&directions, reach);
        let (least, most) = (
            LEAST_SEPARATION * radius * (1.0 - SCALE_RANGE),
            MOST_SEPARATION * radius * (1.0 + SCALE_RANGE),
        );
        let coarse = (most < 0.3).then(|| StarIndex::new(&directions, most));
        let mut pairs = Vec::new();
        let mut outshone = vec![0_u16; count];
        let mut join = |first: usize, second: usize| {
            let apart = directions[first].plus(directions[second].times(-1.0));
            let squared = apart.dot(apart);
            if squared < radius * radius {
                outshone[first] = outshone[first].saturating_add(1);
            }
            if squared < most * most && squared > least * least {
                let pair = CataloguePair::new(squared.sqrt() as f32, first as u16, second as u16);
                pairs.push(pair);
            }
        };
        for (first, &direction) in directions.iter().enumerate() {
            match &coarse {
                Some(index) => {
                    for &second in index.near(direction) {
                        if (second as usize) < first {
                            join(first, second as usize);
                        }
                    }
                }
                None => {
                    for second in 0..first {
                        join(first, second);
                    }
                }
            }
        }
        pairs.sort_unstable();
        Self {
            directions,
            magnitudes: sky[..count].iter().map(|star| star.magnitude).collect(),
            outshone,
            index,
            pairs,
            radius,
        }
    }

    /// Tries the pairs of a group of stars whose ranks add to at most `ranks`, brightest first, until
    /// `accept` takes a hypothesis; `budget` counts down the hypotheses still allowed. `skipped`
    /// stars were brighter than the group.
    pub fn search<T>(
        &self,
        group: &[GroupStar],
        (ranks, skipped): (usize, usize),
        budget: &mut usize,
        mut accept: impl FnMut(&Hypothesis) -> Option<T>,
    ) -> Option<T> {
        let count = group.len();
        for sum in 1..(2 * count).saturating_sub(2).min(ranks + 1) {
            for first in 0..sum.div_ceil(2) {
                let second = sum - first;
                if second >= count {
                    continue;
                }
                let found = self.search_pair(group, (first, second, skipped), budget, &mut accept);
                if found.is_some() {
                    return found;
                }
                if *budget == 0 {
                    return None;
                }
            }
        }
        None
    }

    fn search_pair<T>(
        &self,
        group: &[GroupStar],
        (first, second, skipped): (usize, usize, usize),
        budget: &mut usize,
        accept: &mut impl FnMut(&Hypothesis) -> Option<T>,
    ) -> Option<T> {
        let (one, two) = (&group[first], &group[second]);
        let (a, b) = (one.direction, two.direction);
        let distance = b.plus(a.times(-1.0)).length();
        let separations = LEAST_SEPARATION * self.radius..MOST_SEPARATION * self.radius;
        if !separations.contains(&distance) {
            return None;
        }
        let in_camera = axes_of(a, b)?;
        let others = group.iter().enumerate();
        let others = others.filter(|(row, _)| *row != first && *row != second);
        let mut others: Vec<Other> = others
            .map(|(_, star)| {
                let [_, along, across] = in_camera.map(|axis| axis.dot(star.direction));
                let squared = along * along + across * across;
                let tolerance = FIXED_TOLERANCE * self.radius + GROWING_TOLERANCE * squared.sqrt();
                Other {
                    along,
                    across,
                    squared,
                    tolerance: tolerance.min(MOST_TOLERANCE * self.radius),
                }
            })
            .collect();
        if others.len() < NEEDED_OF_FEW {
            return None;
        }
        // what is not of the sky is often the brightest: those are tried last
        let brightest = others.len() / 3;
        others.rotate_left(brightest);
        let fainter = two.magnitude - one.magnitude;
        let differences = match (one.saturated, two.saturated) {
            (false, false) => fainter - BRIGHTNESS_TOLERANCE..fainter + BRIGHTNESS_TOLERANCE,
            (true, false) => fainter - BRIGHTNESS_TOLERANCE..f64::INFINITY,
            (false, true) => f64::NEG_INFINITY..fainter + BRIGHTNESS_TOLERANCE,
            (true, true) => f64::NEG_INFINITY..f64::INFINITY,
        };
        let least = (distance * (1.0 - SCALE_RANGE)) as f32;
        let most = (distance * (1.0 + SCALE_RANGE)) as f32;
        let outshone = [first, second].map(|rank| OUTSHONE_FACTOR * rank + skipped + OUTSHONE_MORE);
        let start = self.pairs.partition_point(|pair| pair.distance() < least);
        let end = self.pairs.partition_point(|pair| pair.distance() <= most);
        for pair in &self.pairs[start..end] {
            let (one, two) = pair.rows();
            for (one, two) in [(one, two), (two, one)] {
                let seldom = usize::from(self.outshone[one]) > outshone[0]
                    || usize::from(self.outshone[two]) > outshone[1];
                if seldom || !differences.contains(&(self.magnitudes[two] - self.magnitudes[one])) {
                    continue;
                }
                *budget = budget.saturating_sub(1);
                if *budget == 0 {
                    return None;
                }
                let (one, two) = (self.directions[one], self.directions[two]);
                let Some(on_sky) = axes_of(one, two) else {
                    continue;
                };
                let scale = f64::from(pair.distance()) / distance;
                if self.stands(&others, &on_sky, scale) {
                    *budget = budget.saturating_sub(CHECK_COST).max(1);
                    let found = accept(&Hypothesis {
                        in_camera,
                        on_sky,
                        scale,
                    });
                    if found.is_some() {
                        return found;
                    }
                }
            }
        }
        None
    }

    /// Whether enough of the other stars stand on one of the catalogue.
    fn stands(&self, others: &[Other], on_sky: &[Vector; 3], scale: f64) -> bool {
        let needed = if others.len() < MANY {
            NEEDED_OF_FEW
        } else {
            NEEDED_OF_MANY
        };
        let mut hits = 0;
        for (tried, other) in others.iter().enumerate() {
            if hits + (others.len() - tried) < needed || (tried == PATIENCE && hits == 0) {
                return false;
            }
            let outward = (1.0 - scale * scale * other.squared).max(0.0).sqrt();
            let place = on_sky[0]
                .times(outward)
                .plus(on_sky[1].times(scale * other.along))
                .plus(on_sky[2].times(scale * other.across));
            let near = self.index.near(place).iter().any(|&row| {
                let apart = self.directions[row as usize].plus(place.times(-1.0));
                apart.dot(apart) < other.tolerance * other.tolerance
            });
            if near {
                hits += 1;
                if hits >= needed {
                    return true;
                }
            }
        }
        false
    }
}

/// Another star of a group, relative to a pair.
struct Other {
    along: f64,
    across: f64,
    /// Square of the distance from the pair's middle.
    squared: f64,
    tolerance: f64,
}

/// Axes by a pair: towards its middle, from the first to the second, and across. `None` for equal
/// or opposite directions.
fn axes_of(first: Vector, second: Vector) -> Option<[Vector; 3]> {
    let middle = first.plus(second);
    let along = second.plus(first.times(-1.0));
    let (length, apart) = (middle.length(), along.length());
    if length < 1e-9 || apart < 1e-9 {
        return None;
    }
    let (middle, along) = (middle.times(1.0 / length), along.times(1.0 / apart));
    Some([middle, along, middle.cross(along)])
}
