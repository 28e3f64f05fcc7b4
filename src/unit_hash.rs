//! Numbers that look random and are the same on every machine.

/// A pseudo-random number from 0 to under 1, a function of `number`.
///
/// Source: S. Vigna's finisher of SplitMix64, public domain, from memory.
pub fn unit_hash(number: u64) -> f64 {
    let mut mixed = number.wrapping_mul(0x9e37_79b9_7f4a_7c15);
    mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    // 53 bits are all a double holds
    ((mixed ^ (mixed >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Mean and variance of an even spread from 0 to 1 are 1/2 and 1/12, and neighbours have
    /// nothing in common.
    #[test]
    fn numbers_are_spread_evenly() {
        const COUNT: u64 = 100_000;
        let (mut sum, mut squares, mut products) = (0.0, 0.0, 0.0);
        for number in 0..COUNT {
            let (off, next) = (unit_hash(number) - 0.5, unit_hash(number + 1) - 0.5);
            sum += off;
            squares += off * off;
            products += off * next;
        }
        let count = COUNT as f64;
        assert!((sum / count).abs() < 0.005, "{}", sum / count);
        assert!((squares / count - 1.0 / 12.0).abs() < 0.001);
        assert!((products / count).abs() < 0.001);
    }
}
