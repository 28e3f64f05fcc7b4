//! How likely a number of matches is by chance.

/// Logarithm to the base ten of the probability that at least `hits` of `tries` independent tries
/// succeed, each with a probability `share`; at most 0.
///
/// The binomial tail by its first term and a geometric bound of the others: an upper bound, close
/// where the result is small.
pub fn log10_tail(hits: usize, tries: usize, share: f64) -> f64 {
    if hits == 0 || hits > tries {
        return if hits == 0 { 0.0 } else { f64::NEG_INFINITY };
    }
    let share = share.clamp(1e-12, 1.0 - 1e-12);
    let (k, n) = (hits as f64, tries as f64);
    if k <= n * share {
        return 0.0;
    }
    let term = log_factorial(n) - log_factorial(k) - log_factorial(n - k)
        + k * share.ln()
        + (n - k) * (1.0 - share).ln();
    // each further term is less than this share of the one before
    let ratio = (n - k) / (k + 1.0) * share / (1.0 - share);
    let rest = if ratio < 1.0 {
        -(1.0 - ratio).ln()
    } else {
        0.0
    };
    ((term + rest) / std::f64::consts::LN_10).min(0.0)
}

/// ln n!, by Stirling's series (M. Abramowitz & I. A. Stegun, 6.1.41, from memory); exact to 1e-4.
fn log_factorial(n: f64) -> f64 {
    if n < 1.5 {
        return 0.0;
    }
    n * n.ln() - n + 0.5 * (std::f64::consts::TAU * n).ln() + 1.0 / (12.0 * n)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Tails summed by hand: of ten tries with a tenth, at least five: 0.001635; of three with a
    /// half, all three: 0.125; of 38 with 0.0027, at least four: 3.6e-6.
    #[test]
    fn agrees_with_sums() {
        for (hits, tries, share, want) in [
            (5, 10, 0.1, 1.635e-3_f64),
            (3, 3, 0.5, 0.125),
            (4, 38, 0.0027, 3.62e-6),
        ] {
            let got = log10_tail(hits, tries, share);
            assert!(
                (got - want.log10()).abs() < 0.03,
                "{hits} of {tries}: {got}, want {}",
                want.log10()
            );
        }
        assert_eq!(log10_tail(0, 9, 0.1), 0.0);
    }
}
