//! The error function.

/// erf x, within 1.5e-7 (M. Abramowitz & I. A. Stegun, *Handbook of Mathematical Functions*, 1964,
/// 7.1.26; from memory).
pub(super) fn erf(x: f64) -> f64 {
    let t = 1.0 / (1.0 + 0.327_591_1 * x.abs());
    let series = t
        * (0.254_829_592
            + t * (-0.284_496_736
                + t * (1.421_413_741 + t * (-1.453_152_027 + t * 1.061_405_429))));
    (1.0 - series * (-x * x).exp()).copysign(x)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Values of the table of the handbook (from memory).
    #[test]
    fn agrees_with_the_table() {
        let table = [
            (0.0, 0.0),
            (0.5, 0.520_499_877_8),
            (1.0, 0.842_700_792_9),
            (2.0, 0.995_322_265_0),
            (-1.0, -0.842_700_792_9),
        ];
        for (x, want) in table {
            assert!((erf(x) - want).abs() < 2e-7, "erf {x}: {}", erf(x));
        }
    }
}
