//! Chebyshev series: a moving direction over a period, from its values at a few nodes.
//!
//! Source: discrete orthogonality of Chebyshev polynomials at their zeros, and
//! C. W. Clenshaw's recurrence (M. Abramowitz & I. Stegun, *Handbook of
//! Mathematical Functions*, ch. 22, from memory).

use std::f64::consts::PI;

use crate::vector::Vector;

const ZERO: Vector = Vector::new(0.0, 0.0, 0.0);

/// A smooth vector function on [0, 1], by `N` terms.
#[derive(Debug, Clone)]
pub struct Chebyshev<const N: usize>([Vector; N]);

/// Weights of the node values in each term.
pub struct ChebyshevWeights<const N: usize>([[f64; N]; N]);

/// The nodes, on [0, 1].
pub fn nodes<const N: usize>() -> [f64; N] {
    std::array::from_fn(|node| (1.0 + angle::<N>(node).cos()) / 2.0)
}

fn angle<const N: usize>(node: usize) -> f64 {
    PI * (node as f64 + 0.5) / N as f64
}

impl<const N: usize> ChebyshevWeights<N> {
    /// Computes them.
    pub fn new() -> Self {
        Self(std::array::from_fn(|term| {
            let scale = if term == 0 { 1.0 } else { 2.0 } / N as f64;
            std::array::from_fn(|node| scale * (term as f64 * angle::<N>(node)).cos())
        }))
    }

    /// The series through these values at the [`nodes`].
    pub fn fit(&self, values: &[Vector; N]) -> Chebyshev<N> {
        Chebyshev(std::array::from_fn(|term| {
            let weighed = values.iter().zip(&self.0[term]);
            weighed.fold(ZERO, |sum, (value, weight)| sum.plus(value.times(*weight)))
        }))
    }
}

impl<const N: usize> Default for ChebyshevWeights<N> {
    fn default() -> Self {
        Self::new()
    }
}

impl<const N: usize> Chebyshev<N> {
    /// The value at `share`, clamped to [0, 1].
    #[inline]
    pub fn at(&self, share: f64) -> Vector {
        let x = 2.0 * share.clamp(0.0, 1.0) - 1.0;
        let (mut next, mut after) = (ZERO, ZERO);
        for term in self.0[1..].iter().rev() {
            let this = next.times(2.0 * x).plus(after.times(-1.0)).plus(*term);
            (after, next) = (next, this);
        }
        next.times(x).plus(after.times(-1.0)).plus(self.0[0])
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Polynomials of degree below the number of terms are exact.
    #[test]
    fn follows_a_polynomial() {
        let curve = |t: f64| Vector::new(1.0 - t, t * t * t - 0.5, 2.0 * t.powi(5) + t);
        let series = ChebyshevWeights::<6>::new().fit(&nodes().map(curve));
        for step in 0..=20 {
            let t = f64::from(step) / 20.0;
            let miss = series.at(t).plus(curve(t).times(-1.0)).length();
            assert!(miss < 1e-14, "{t}: {miss}");
        }
        assert_eq!(series.at(7.0), series.at(1.0), "held at the end");
    }
}
