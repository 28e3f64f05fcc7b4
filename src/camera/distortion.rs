//! How a real lens departs from its projection: radial distortion.
//!
//! A star at the projection's radius r is imaged at the radius
//!
//! ```text
//! r_d = r (1 + k1 q + k2 q²),   q = (r / half the sensor's diagonal)²
//! ```
//!
//! in the same direction from the centre. Stars therefore move r_d/r times as fast tangentially and
//! dr_d/dr = 1 + 3 k1 q + 5 k2 q² times as fast radially: a few per cent of distortion change a
//! trail in a corner by up to three times as much.
//!
//! Radii here are in units of half the sensor's diagonal, so that the corner of
//! the sensor is at the distorted radius 1.
//!
//! Source: D. C. Brown, *Photogrammetric Engineering* 37 (1971) 855 (from
//! memory).

/// Least dr_d/dr required out to the corner, relative to the centre. Below it the inverse is
/// ill-conditioned; no lens sold comes near it.
const LEAST_GROWTH: f64 = 0.01;

/// While the polynomial grows, r_d is more than r times 4/9: the minimum of 1 + k1 q + k2 q² is 1 −
/// k1²/(4 k2), and unlimited growth requires 9 k1² < 20 k2.
const MOST_STRETCH: f64 = 9.0 / 4.0;

/// Maximum steps of the inverse. Four are usual; a radius ten thousand times the corner's takes
/// forty.
const MOST_STEPS: u32 = 100;

/// Relative tolerance of the inverse.
const SETTLED: f64 = 1e-15;

/// The coefficients of radial distortion.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Distortion {
    /// First coefficient; negative for barrel distortion.
    pub k1: f64,
    /// Second coefficient.
    pub k2: f64,
}

impl Distortion {
    /// No distortion.
    pub const NONE: Self = Self { k1: 0.0, k2: 0.0 };

    /// Whether there is no distortion.
    pub fn is_none(self) -> bool {
        self == Self::NONE
    }

    /// r_d/r at an ideal radius: the tangential scale relative to an ideal lens.
    pub fn tangential_scale(self, ideal: f64) -> f64 {
        let q = ideal * ideal;
        1.0 + self.k1 * q + self.k2 * q * q
    }

    /// dr_d/dr at an ideal radius: the radial scale relative to an ideal lens.
    pub fn radial_scale(self, ideal: f64) -> f64 {
        let q = ideal * ideal;
        1.0 + 3.0 * self.k1 * q + 5.0 * self.k2 * q * q
    }

    /// The largest ideal radius up to which the distorted one grows; infinite where it grows
    /// without limit.
    ///
    /// ```
    /// use tarnlight::camera::distortion::Distortion;
    /// let barrel = Distortion { k1: -0.03, k2: 0.0 };
    /// assert!((barrel.growth_limit() - (1.0 / 0.09_f64).sqrt()).abs() < 1e-12);
    /// ```
    pub fn growth_limit(self) -> f64 {
        // the least positive root of 1 + linear q + square q²
        let (linear, square) = (3.0 * self.k1, 5.0 * self.k2);
        let discriminant = linear * linear - 4.0 * square;
        if discriminant < 0.0 {
            return f64::INFINITY;
        }
        let root = discriminant.sqrt();
        // the form of the root without cancellation
        let q = if linear < 0.0 {
            2.0 / (root - linear)
        } else {
            (linear + root) / (-2.0 * square)
        };
        if q > 0.0 { q.sqrt() } else { f64::INFINITY }
    }

    /// The distorted radius of an ideal one. `None` beyond [`growth_limit`](Self::growth_limit),
    /// where the picture would fold over itself.
    pub fn distorted(self, ideal: f64) -> Option<f64> {
        (0.0..=self.growth_limit())
            .contains(&ideal)
            .then(|| ideal * self.tangential_scale(ideal))
    }

    /// The ideal radius of a distorted one: the inverse of [`distorted`](Self::distorted). `None`
    /// where there is no image.
    ///
    /// By bracketed Newton's method. Within 1e-12 out to the corner for every pair that
    /// [`reaches_corner`](Self::reaches_corner); the error is that of rounding over
    /// [`radial_scale`](Self::radial_scale).
    ///
    /// ```
    /// use tarnlight::camera::distortion::Distortion;
    /// let barrel = Distortion { k1: -0.03, k2: 0.0 };
    /// let ideal = barrel.ideal(1.0).unwrap();
    /// assert!((ideal * (1.0 - 0.03 * ideal * ideal) - 1.0).abs() < 1e-14);
    /// ```
    pub fn ideal(self, distorted: f64) -> Option<f64> {
        let limit = self.growth_limit();
        let imaged = distorted >= 0.0
            && distorted.is_finite()
            && (limit.is_infinite() || distorted <= limit * self.tangential_scale(limit));
        if !imaged {
            return None;
        }
        let (mut low, mut high) = (0.0, limit.min(MOST_STRETCH * distorted));
        let mut ideal = distorted.min(high);
        for _ in 0..MOST_STEPS {
            let miss = ideal * self.tangential_scale(ideal) - distorted;
            if miss > 0.0 {
                high = ideal;
            } else {
                low = ideal;
            }
            let newton = ideal - miss / self.radial_scale(ideal);
            let next = if (low..=high).contains(&newton) {
                newton
            } else {
                (low + high) / 2.0
            };
            let step = (next - ideal).abs();
            ideal = next;
            if step <= SETTLED * ideal {
                break;
            }
        }
        Some(ideal)
    }

    /// Whether the radius grows steadily out to the corner of the sensor, so that every point of
    /// the frame shows one direction.
    ///
    /// ```
    /// use tarnlight::camera::distortion::Distortion;
    /// let reaches = |k1, k2| Distortion { k1, k2 }.reaches_corner();
    /// // with k2 = 0 the largest radius is 2/3 · (−3 k1)^(−1/2), which is 1 at k1 = −4/27
    /// assert!(reaches(-0.148, 0.0) && !reaches(-0.149, 0.0));
    /// ```
    pub fn reaches_corner(self) -> bool {
        let grows = |ideal: f64| self.radial_scale(ideal) >= LEAST_GROWTH;
        // between centre and corner the growth is least where 3 k1 + 10 k2 q = 0
        let turn = (-3.0 * self.k1 / (10.0 * self.k2)).sqrt();
        self.ideal(1.0).is_some_and(|corner| {
            let turns_inside = turn < corner;
            grows(corner) && (!turns_inside || grows(turn))
        })
    }

    /// The least r_d/r from the centre to the corner; `None` where the corner is not reached.
    pub fn least_tangential_scale(self) -> Option<f64> {
        let corner = self.ideal(1.0).filter(|_| self.reaches_corner())?;
        // between the two r_d/r has its extremum where k1 + 2 k2 q = 0
        let turn = (-self.k1 / (2.0 * self.k2)).sqrt();
        let turns_at = if turn < corner { turn } else { 0.0 };
        let scales = [0.0, turns_at, corner].map(|ideal| self.tangential_scale(ideal));
        Some(scales.into_iter().fold(f64::INFINITY, f64::min))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Pairs over the whole input range, those of real lenses among them.
    fn pairs() -> impl Iterator<Item = Distortion> {
        let steps = || (-20..=20).map(|step| f64::from(step) / 40.0);
        let even = steps().flat_map(move |k1| steps().map(move |k2| Distortion { k1, k2 }));
        let real = [(-0.03, 0.0), (-0.11, 0.04), (0.02, -0.01), (-0.148, 0.0)];
        even.chain(real.map(|(k1, k2)| Distortion { k1, k2 }))
    }

    /// Computed by hand: r_d and dr_d/dr at r = 1 are 1 + k1 + k2 and 1 + 3 k1 + 5 k2; at r = 1/2
    /// they are (1 + k1/4 + k2/16)/2 and 1 + 3 k1/4 + 5 k2/16.
    #[test]
    fn agrees_with_the_worked_radii() {
        let table = [
            // k1, k2, r, r_d, dr_d/dr
            (-0.03, 0.0, 1.0, 0.97, 0.91),
            (-0.10, 0.04, 1.0, 0.94, 0.90),
            (-0.10, 0.04, 0.5, 0.488_75, 0.937_5),
            (0.05, -0.01, 1.0, 1.04, 1.10),
            (0.05, -0.01, 0.5, 0.505_937_5, 1.034_375),
        ];
        for (k1, k2, ideal, want, growth) in table {
            let distortion = Distortion { k1, k2 };
            let got = distortion.distorted(ideal).unwrap_or(f64::NAN);
            assert!((got - want).abs() < 1e-12, "{distortion:?}: {got}");
            let got = distortion.radial_scale(ideal);
            assert!((got - growth).abs() < 1e-12, "{distortion:?}: {got}");
        }
    }

    #[test]
    fn growth_is_the_slope_of_the_radius() {
        for distortion in pairs() {
            let limit = distortion.growth_limit().min(2.0);
            let radius = |ideal: f64| ideal * distortion.tangential_scale(ideal);
            for tenth in 1..10 {
                let (ideal, step) = (limit * f64::from(tenth) / 10.0, 1e-5);
                let slope = (radius(ideal + step) - radius(ideal - step)) / (2.0 * step);
                let got = distortion.radial_scale(ideal);
                assert!((got - slope).abs() < 1e-7, "{distortion:?} {ideal}: {got}");
            }
        }
    }

    /// Before the limit the radius grows; a little beyond it, it does not.
    #[test]
    fn the_limit_is_where_growth_ends() {
        let mut ended = 0;
        for distortion in pairs() {
            let limit = distortion.growth_limit();
            let beyond = limit * (1.0 + 1e-9);
            let to = if limit.is_finite() { limit } else { 50.0 };
            for share in 0..1000 {
                let ideal = to * f64::from(share) / 1000.0;
                assert!(
                    distortion.radial_scale(ideal) > 0.0,
                    "{distortion:?} {ideal}"
                );
            }
            if limit.is_finite() {
                ended += 1;
                // at a double root the growth only pauses
                let growth = distortion.radial_scale(limit);
                assert!(growth.abs() < 1e-12, "{distortion:?}: {growth}");
                assert_eq!(distortion.distorted(beyond), None);
                let farthest = limit * distortion.tangential_scale(limit);
                assert_eq!(distortion.ideal(farthest * (1.0 + 1e-9)), None);
                let back = distortion.ideal(farthest).unwrap_or(f64::NAN);
                assert!((back / limit - 1.0).abs() < 1e-7, "{distortion:?}: {back}");
            }
        }
        assert!(ended > 500, "{ended}");
    }

    #[test]
    fn ideal_and_distorted_are_inverse() {
        let mut worst: f64 = 0.0;
        for distortion in pairs().filter(|pair| pair.reaches_corner()) {
            for share in 0..=400 {
                let distorted = f64::from(share) / 400.0;
                let ideal = distortion.ideal(distorted).unwrap_or(f64::NAN);
                let back = distortion.distorted(ideal).unwrap_or(f64::NAN);
                assert!(
                    (back - distorted).abs() < 1e-15,
                    "{distortion:?} {distorted}"
                );
                let again = distortion.ideal(back).unwrap_or(f64::NAN);
                worst = worst.max((again - ideal).abs());
            }
            // far outside the frame, where trails may run
            for distorted in [1.5, 3.0, 40.0, 14_000.0] {
                if let Some(ideal) = distortion.ideal(distorted) {
                    let back = distortion.distorted(ideal).unwrap_or(f64::NAN);
                    assert!((back / distorted - 1.0).abs() < 1e-14, "{distortion:?}");
                }
            }
        }
        assert!(worst < 1e-12, "{worst}");
    }

    /// Rejected pairs stop growing, or nearly so, before the corner; accepted ones do not.
    #[test]
    fn the_corner_is_reached_or_not() {
        let (mut taken, mut rejected) = (0, 0);
        for distortion in pairs() {
            let walk = (0..=3000).map(|step| f64::from(step) / 1000.0);
            let inside =
                walk.take_while(|ideal| ideal * distortion.tangential_scale(*ideal) <= 1.0);
            let grows = inside.fold((true, 0.0), |(grows, last), ideal| {
                let next = ideal * distortion.tangential_scale(ideal);
                (
                    grows && next >= last && distortion.radial_scale(ideal) > 0.005,
                    next,
                )
            });
            let reached = grows.0 && grows.1 > 0.99;
            assert_eq!(reached, distortion.reaches_corner(), "{distortion:?}");
            taken += usize::from(reached);
            rejected += usize::from(!reached);
        }
        assert!(taken > 500 && rejected > 500, "{taken} {rejected}");
    }

    /// Against the least of a thousand radii.
    #[test]
    fn the_least_scale_is_found() {
        for distortion in pairs() {
            let Some(got) = distortion.least_tangential_scale() else {
                assert!(!distortion.reaches_corner(), "{distortion:?}");
                continue;
            };
            let corner = distortion.ideal(1.0).unwrap_or(f64::NAN);
            let walk = (0..=1000).map(|step| corner * f64::from(step) / 1000.0);
            let scales = walk.map(|ideal| distortion.tangential_scale(ideal));
            let least = scales.fold(f64::INFINITY, f64::min);
            assert!(
                (got - least).abs() < 1e-5 && got <= least + 1e-15,
                "{distortion:?}"
            );
        }
    }

    #[test]
    fn no_distortion_changes_nothing() {
        assert!(Distortion::NONE.reaches_corner());
        assert_eq!(Distortion::NONE.least_tangential_scale(), Some(1.0));
        assert_eq!(Distortion::NONE.growth_limit(), f64::INFINITY);
        for radius in [0.0, 0.3, 1.0, 17.0] {
            assert_eq!(Distortion::NONE.distorted(radius), Some(radius));
            assert_eq!(Distortion::NONE.ideal(radius), Some(radius));
        }
    }

    #[test]
    fn what_is_no_radius_has_none() {
        let barrel = Distortion { k1: -0.03, k2: 0.0 };
        for odd in [-0.1, f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            assert_eq!(barrel.ideal(odd), None);
            assert_eq!(barrel.distorted(odd), None);
        }
        for odd in [f64::NAN, f64::NEG_INFINITY] {
            let odd = Distortion { k1: odd, k2: 0.0 };
            assert!(!odd.reaches_corner(), "{odd:?}");
        }
    }
}
