//! A tiny seeded source of chance: the same seed gives the same packs and jobs on every machine.

pub struct Dice(u64);

impl Dice {
    pub fn new(seed: u64) -> Self {
        let mut dice = Dice(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ 0x5DEE_CE66_D1CE_4E5B);
        dice.next();
        dice
    }

    /// The mixing steps of the generator known as splitmix64.
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    pub fn below(&mut self, n: usize) -> usize {
        (self.next() % n as u64) as usize
    }

    /// True in so many of a hundred throws.
    pub fn chance(&mut self, of_hundred: usize) -> bool {
        self.below(100) < of_hundred
    }

    pub fn pick<T: Clone>(&mut self, from: &[T]) -> T {
        from[self.below(from.len())].clone()
    }

    /// The place of one of several weights, by weight.
    pub fn weighed(&mut self, weights: &[usize]) -> usize {
        let mut at = self.below(weights.iter().sum());
        for (place, weight) in weights.iter().enumerate() {
            if at < *weight {
                return place;
            }
            at -= weight;
        }
        unreachable!("the weights add up")
    }
}
