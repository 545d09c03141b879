//! A small fixed set of row numbers, for unions a million times over.

/// Row numbers the set can hold: operations and tools of one car are far fewer.
pub const CAPACITY: usize = 512;

/// A set of numbers under [`CAPACITY`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Hash)]
pub struct Bits([u64; 8]);

impl Bits {
    /// The empty set.
    pub const EMPTY: Self = Self([0; 8]);

    /// Adds a number; one out of range is refused with `false`.
    pub fn insert(&mut self, number: usize) -> bool {
        match self.0.get_mut(number / 64) {
            Some(word) => {
                *word |= 1 << (number % 64);
                true
            }
            None => false,
        }
    }

    /// Both together.
    #[must_use]
    pub fn union(self, other: Self) -> Self {
        let mut out = self.0;
        for (word, more) in out.iter_mut().zip(other.0) {
            *word |= more;
        }
        Self(out)
    }

    /// What the other set does not have.
    #[must_use]
    pub fn without(self, other: Self) -> Self {
        let mut out = self.0;
        for (word, less) in out.iter_mut().zip(other.0) {
            *word &= !less;
        }
        Self(out)
    }

    /// What both have.
    #[must_use]
    pub fn intersection(self, other: Self) -> Self {
        self.without(self.without(other))
    }

    /// True if nothing is in it.
    #[must_use]
    pub fn is_empty(self) -> bool {
        self.0 == [0; 8]
    }

    /// How many are in it.
    #[must_use]
    pub fn len(self) -> usize {
        self.0.iter().map(|word| word.count_ones() as usize).sum()
    }

    /// True if the number is in it.
    #[must_use]
    pub fn contains(self, number: usize) -> bool {
        self.0
            .get(number / 64)
            .is_some_and(|word| word >> (number % 64) & 1 == 1)
    }

    /// The numbers in it, rising.
    pub fn iter(self) -> impl Iterator<Item = usize> {
        (0..8).flat_map(move |at| {
            let mut word = self.0[at];
            std::iter::from_fn(move || {
                if word == 0 {
                    return None;
                }
                let bit = word.trailing_zeros() as usize;
                word &= word - 1;
                Some(at * 64 + bit)
            })
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_set_gives_back_what_was_put_in_and_refuses_what_is_out_of_range() {
        let mut set = Bits::EMPTY;
        for number in [0, 63, 64, 200, 511] {
            assert!(set.insert(number));
        }
        assert!(!set.insert(512));
        assert_eq!(set.iter().collect::<Vec<_>>(), [0, 63, 64, 200, 511]);
        assert_eq!(set.len(), 5);
        let mut other = Bits::EMPTY;
        other.insert(64);
        assert!(!set.without(other).contains(64));
        assert_eq!(set.intersection(other), other);
    }
}
