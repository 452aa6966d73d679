//! Numbers that nobody foresees from the one before; from the same seed they are the same.

/// A generator (Steele, Lea and Flood, `SplitMix`, 2014).
#[derive(Clone, Debug)]
pub(in crate::cellar) struct Chance(pub(in crate::cellar) u64);

impl Chance {
    /// The next number.
    pub(in crate::cellar) fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut it = self.0;
        it = (it ^ (it >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        it = (it ^ (it >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        it ^ (it >> 31)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The first numbers from seed 1234567, as the reference code of `SplitMix` prints them (from memory:
    /// Vigna, splitmix64.c, and the test of it that is passed around).
    #[test]
    fn it_is_the_published_generator() {
        let mut chance = Chance(1_234_567);
        let first = [chance.next(), chance.next()];
        assert_eq!(
            first,
            [6_457_827_717_110_365_317, 3_203_168_211_198_807_973]
        );
    }
}
