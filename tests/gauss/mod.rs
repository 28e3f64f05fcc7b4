//! The normal distribution to some fifteen digits, for reference values.

/// Share of a Gaussian of σ 1 below `z`.
///
/// Φ(z) = ½ + φ(z) Σ z^(2n+1)/(1·3·5…(2n+1)) near the middle, and beyond 4 the continued
/// fraction of its tail. Source: M. Abramowitz & I. A. Stegun, *Handbook of Mathematical
/// Functions* (1964), 26.2.11 and 26.2.14.
pub fn below(z: f64) -> f64 {
    const SERIES_TO: f64 = 4.0;
    if z.abs() < SERIES_TO {
        let (mut term, mut sum, mut odd) = (z, z, 1.0);
        while term.abs() > 1e-17 * sum.abs() {
            odd += 2.0;
            term *= z * z / odd;
            sum += term;
        }
        return 0.5 + density(z) * sum;
    }
    let size = z.abs();
    let fraction = (1..=60)
        .rev()
        .fold(size, |rest, n| size + f64::from(n) / rest);
    let tail = density(size) / fraction;
    if z < 0.0 { tail } else { 1.0 - tail }
}

/// Density of a Gaussian of σ 1 at `z`.
pub fn density(z: f64) -> f64 {
    (-z * z / 2.0).exp() / std::f64::consts::TAU.sqrt()
}

/// M. Abramowitz & I. A. Stegun (1964), table 26.1.
#[test]
fn agrees_with_the_table() {
    for (z, want) in [
        (0.0, 0.5),
        (0.5, 0.691_462_461_274_013),
        (1.0, 0.841_344_746_068_543),
        (2.0, 0.977_249_868_051_821),
        (-3.0, 0.001_349_898_031_630),
        (3.999_999, 0.999_968_328_624),
        (4.000_001, 0.999_968_328_892),
        (-5.0, 2.866_515_719e-7),
    ] {
        assert!((below(z) - want).abs() < 1e-12, "{z}: {}", below(z));
    }
}
