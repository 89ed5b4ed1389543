//! Chance that can be had again: the same seed gives the same numbers on every machine.

/// A stream of numbers from one seed (the step of `SplitMix64`, by Steele, Lea and Flood, 2014).
#[derive(Clone, Debug)]
pub(crate) struct Chance(u64);

impl Chance {
    /// A stream of its own for each pair of seed and strand.
    pub(crate) fn new(seed: u64, strand: u64) -> Self {
        let mut first = Self(seed ^ 0x9e37_79b9_7f4a_7c15);
        let mixed = first.next();
        let mut second = Self(mixed ^ strand.wrapping_mul(0xd134_2543_de82_ef95));
        second.next();
        second
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// From 0 to just under 1.
    pub(crate) fn share(&mut self) -> f64 {
        #[expect(
            clippy::cast_precision_loss,
            reason = "53 bits are exactly what a float holds"
        )]
        let bits = (self.next() >> 11) as f64;
        bits / 9_007_199_254_740_992.0
    }

    /// From `low` to `high`.
    pub(crate) fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.share()
    }

    /// One of `0..count`; 0 when there is nothing to choose from.
    pub(crate) fn below(&mut self, count: usize) -> usize {
        let wide = u128::from(self.next()) * (count as u128);
        usize::try_from(wide >> 64).unwrap_or(0)
    }

    /// The list in another order.
    pub(crate) fn shuffle<T>(&mut self, list: &mut [T]) {
        for i in (1..list.len()).rev() {
            let j = self.below(i + 1);
            list.swap(i, j);
        }
    }

    /// Near 0, both ways, mostly within 1: the sum of twelve shares, less six.
    pub(crate) fn bell(&mut self) -> f64 {
        let mut sum = -6.0;
        for _ in 0..12 {
            sum += self.share();
        }
        sum
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_same_seed_gives_the_same_numbers_and_another_strand_others() {
        let (mut a, mut b, mut c) = (Chance::new(7, 1), Chance::new(7, 1), Chance::new(7, 2));
        let first: Vec<u64> = (0..8).map(|_| a.next()).collect();
        assert_eq!(first, (0..8).map(|_| b.next()).collect::<Vec<_>>());
        assert_ne!(first, (0..8).map(|_| c.next()).collect::<Vec<_>>());
    }

    #[test]
    fn shares_fill_the_range_evenly() {
        let mut chance = Chance::new(1, 0);
        let mut counts = [0_u32; 10];
        for _ in 0..10_000 {
            counts[chance.below(10)] += 1;
        }
        assert!(counts.iter().all(|c| (850..1150).contains(c)), "{counts:?}");
        assert_eq!(chance.below(0), 0);
    }
}
