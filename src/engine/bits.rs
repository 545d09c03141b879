//! Small fixed sets of row numbers, for unions a million times over.

/// Words of a set of faults.
const FAULT_WORDS: usize = 4;
/// Words of a set of shared things: labour steps at home and at a garage, and tools.
const THING_WORDS: usize = 8;
/// Shared things that a set can hold.
pub const MOST_THINGS: usize = THING_WORDS * 64;

/// A set of faults by their place: up to 256, where the tables have some 170.
pub type FaultSet = Bits<FAULT_WORDS>;
/// A set of shared things by their place: up to [`MOST_THINGS`].
pub type ThingSet = Bits<THING_WORDS>;

/// A set of numbers under 64 times its words.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Bits<const WORDS: usize>([u64; WORDS]);

impl<const WORDS: usize> Default for Bits<WORDS> {
    fn default() -> Self {
        Self::EMPTY
    }
}

impl Bits<1> {
    /// The set of the bits of a word.
    #[must_use]
    #[inline]
    pub fn of_word(word: u64) -> Self {
        Self([word])
    }
}

impl<const WORDS: usize> Bits<WORDS> {
    /// The empty set.
    pub const EMPTY: Self = Self([0; WORDS]);

    /// Adds a number; one out of range is refused with `false`.
    #[inline]
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
    #[inline]
    pub fn union(self, other: Self) -> Self {
        let mut out = self.0;
        for (word, more) in out.iter_mut().zip(other.0) {
            *word |= more;
        }
        Self(out)
    }

    /// What the other set does not have.
    #[must_use]
    #[inline]
    pub fn without(self, other: Self) -> Self {
        let mut out = self.0;
        for (word, less) in out.iter_mut().zip(other.0) {
            *word &= !less;
        }
        Self(out)
    }

    /// What both have.
    #[must_use]
    #[inline]
    pub fn intersection(self, other: Self) -> Self {
        self.without(self.without(other))
    }

    /// True if nothing is in it.
    #[must_use]
    #[inline]
    pub fn is_empty(self) -> bool {
        self.0 == [0; WORDS]
    }

    /// How many are in it.
    #[must_use]
    #[inline]
    pub fn len(self) -> usize {
        self.0.iter().map(|word| word.count_ones() as usize).sum()
    }

    /// True if the number is in it.
    #[must_use]
    #[inline]
    pub fn contains(self, number: usize) -> bool {
        self.0
            .get(number / 64)
            .is_some_and(|word| word >> (number % 64) & 1 == 1)
    }

    /// The least number in it.
    #[must_use]
    #[inline]
    pub fn first(self) -> Option<usize> {
        self.iter().next()
    }

    /// The numbers in it, rising.
    #[inline]
    pub fn iter(self) -> Numbers<WORDS> {
        Numbers {
            words: self.0,
            at: 0,
        }
    }
}

/// Numbers of a set, rising.
#[derive(Debug, Clone)]
pub struct Numbers<const WORDS: usize> {
    words: [u64; WORDS],
    at: usize,
}

impl<const WORDS: usize> Iterator for Numbers<WORDS> {
    type Item = usize;

    #[inline]
    fn next(&mut self) -> Option<usize> {
        while self.at < WORDS {
            let word = self.words[self.at];
            if word != 0 {
                self.words[self.at] = word & (word - 1);
                return Some(self.at * 64 + word.trailing_zeros() as usize);
            }
            self.at += 1;
        }
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_set_gives_back_what_was_put_in_and_refuses_what_is_out_of_range() {
        let mut set = ThingSet::EMPTY;
        for number in [0, 63, 64, 200, 511] {
            assert!(set.insert(number));
        }
        assert!(!set.insert(512));
        assert_eq!(set.iter().collect::<Vec<_>>(), [0, 63, 64, 200, 511]);
        assert_eq!(set.len(), 5);
        let mut other = ThingSet::EMPTY;
        other.insert(64);
        assert!(!set.without(other).contains(64));
        assert_eq!(set.intersection(other), other);
    }
}
