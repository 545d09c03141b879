//! Luck with an address: every random number is a pure function of (seed, stable id, draw).
//!
//! Philox 2x64-10 (Salmon, Moraes, Dror & Shaw 2011, "Parallel random numbers: as easy as 1, 2, 3"). Random access, so a new sign
//! reshuffles nothing it does not touch, cars share their luck, and the number of threads cannot matter.

/// Key schedule and multiplier of Philox 2x64 (Salmon et al. 2011, table 2).
const MULTIPLIER: u64 = 0xD2B7_4407_B1CE_6E93;
const WEYL: u64 = 0x9E37_79B9_7F4A_7C15;

/// Ten rounds of Philox 2x64.
#[must_use]
#[inline]
pub fn philox2x64_10(counter: [u64; 2], key: u64) -> [u64; 2] {
    let ([mut c0, mut c1], mut key) = (counter, key);
    for _ in 0..10 {
        let product = u128::from(MULTIPLIER).wrapping_mul(u128::from(c0));
        (c0, c1) = (high(product) ^ key ^ c1, low(product));
        key = key.wrapping_add(WEYL);
    }
    [c0, c1]
}

#[expect(clippy::cast_possible_truncation, reason = "the low half is meant")]
fn low(wide: u128) -> u64 {
    wide as u64
}

fn high(wide: u128) -> u64 {
    low(wide >> 64)
}

/// The address of one uncertain quantity, from its name in words.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct StableId(u64);

impl StableId {
    /// FNV-1a over the parts with a divider between them: `StableId::of(&["fault", "ENG01", "present"])`.
    #[must_use]
    pub fn of(parts: &[&str]) -> Self {
        let mut hash: u64 = 0xCBF2_9CE4_8422_2325;
        for part in parts {
            for byte in part.bytes().chain([0x1F]) {
                hash = (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01B3);
            }
        }
        Self(hash)
    }
}

/// A source of uniform numbers for one seed.
///
/// A uniform number is 32 bits: eight that sixteen draws take from one turn of the generator, and 24 more that are looked up only where
/// eight do not decide. Most questions ("is this fault there?", "what does this part cost?") are settled by the first eight.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Luck {
    key: u64,
}

/// Draws that share one turn of the generator.
pub const DRAWS_A_TURN: u32 = 16;
/// The same, for arrays of one value a draw of the turn.
pub const LANES: usize = DRAWS_A_TURN as usize;

/// Parts of the counter: the first eight bits, the 24 after them, and numbers of their own.
const FIRST: u32 = 0;
const FINE: u32 = 8;
const FRACTION: u32 = 16;

/// A chance on the scale of the 32 bits: the number lies under it with that chance.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Threshold(u32);

impl Threshold {
    /// Of a chance 0 to 1, to the nearest 2^-32; under 0 or no number counts as 0.
    #[must_use]
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "clamped; a float over the range is held at its greatest"
    )]
    pub fn of(chance: f64) -> Self {
        Self((chance.clamp(0.0, 1.0) * 4_294_967_296.0).round() as u32)
    }

    /// The first eight bits.
    #[inline]
    pub(crate) fn first(self) -> u8 {
        (self.0 >> 24) as u8
    }

    fn rest(self) -> u32 {
        self.0 & 0x00FF_FFFF
    }
}

impl Luck {
    /// Luck of a seed.
    #[must_use]
    pub fn new(seed: u64) -> Self {
        Self { key: seed }
    }

    #[inline]
    fn words(self, id: StableId, turn: u32, part: u32) -> [u64; 2] {
        philox2x64_10([u64::from(part) << 32 | u64::from(turn), id.0], self.key)
    }

    /// 32 bits for one draw of a turn; `part` is the first of eight.
    fn wide(self, id: StableId, turn: u32, part: u32, lane: usize) -> u32 {
        let pair = lane / 2;
        // Four draws a turn of the generator.
        let part = part + [0, 0, 1, 1, 2, 2, 3, 3].get(pair).copied().unwrap_or(0);
        let word = self.words(id, turn, part)[pair % 2];
        half(if lane.is_multiple_of(2) {
            word
        } else {
            word >> 32
        })
    }

    /// The first eight bits of the numbers of the draws `16 * turn .. 16 * turn + 16`.
    #[must_use]
    #[inline]
    pub fn bytes(self, id: StableId, turn: u32) -> [u8; LANES] {
        let mut bytes = [0; LANES];
        let words = self.words(id, turn, FIRST);
        for (eight, word) in bytes.chunks_exact_mut(8).zip(words) {
            eight.copy_from_slice(&word.to_le_bytes());
        }
        bytes
    }

    /// In which draws of a turn the number lies under a threshold; bit i is draw `16 * turn + i`.
    #[must_use]
    #[inline]
    pub fn under(self, id: StableId, turn: u32, threshold: Threshold) -> u16 {
        let bytes = self.bytes(id, turn);
        let mut under = 0;
        for lane in lanes_of(candidates(&bytes, threshold)) {
            let lies = self.lies_under(bytes[lane], threshold, (id, turn, lane));
            under |= u16::from(lies) << lane;
        }
        under
    }

    /// Whether the number of one draw of a turn, whose first eight bits are known, lies under a threshold.
    #[inline]
    pub(crate) fn lies_under(
        self,
        byte: u8,
        threshold: Threshold,
        (id, turn, lane): (StableId, u32, usize),
    ) -> bool {
        let first = threshold.first();
        byte < first || (byte == first && self.fine(id, turn, lane) < threshold.rest())
    }

    /// The 24 bits after the first eight; never all ones, so that a chance of 1 always comes true.
    #[cold]
    fn fine(self, id: StableId, turn: u32, lane: usize) -> u32 {
        (self.wide(id, turn, FINE, lane) >> 8).min(0x00FF_FFFE)
    }

    /// A number inside (0, 1) of one draw of a turn, apart from the others of the same address.
    #[must_use]
    #[inline]
    pub(crate) fn fraction(self, id: StableId, turn: u32, lane: usize) -> f64 {
        unit(self.wide(id, turn, FRACTION, lane))
    }

    /// The number of one draw, inside (0, 1): the same that [`Luck::bytes`] begins and [`Luck::under`] compares.
    #[must_use]
    pub fn unit(self, id: StableId, draw: u32) -> f64 {
        let (turn, lane) = (draw / DRAWS_A_TURN, (draw % DRAWS_A_TURN) as usize);
        let byte = self.bytes(id, turn)[lane];
        unit(u32::from(byte) << 24 | self.fine(id, turn, lane))
    }

    /// A number inside (0, 1) for a whole turn, spread evenly over the turns: multiples of the golden ratio from a start of the seed's
    /// own (Weyl 1916; the ratio leaves the least gaps). Shares of any stretch of turns are right to about one turn.
    #[must_use]
    pub fn even(self, id: StableId, turn: u32) -> f64 {
        const GOLDEN: f64 = 0.618_033_988_749_894_8;
        let start = unit(self.wide(id, 0, FRACTION, 0));
        let place = (start + GOLDEN * (f64::from(turn) + 1.0)).fract();
        place.clamp(f64::EPSILON, 1.0 - f64::EPSILON)
    }
}

/// Lanes whose number may lie under a threshold, by its first eight bits: none of those that do is missing, others may be among them.
#[inline]
pub(crate) fn candidates(bytes: &[u8; LANES], threshold: Threshold) -> u16 {
    const ONES: u64 = 0x0101_0101_0101_0101;
    const TOPS: u64 = 0x8080_8080_8080_8080;
    /// Gathers the lowest bits of eight bytes in the highest byte.
    const GATHER: u64 = 0x0102_0408_1020_4080;
    let most = threshold.first();
    if most >= 127 {
        return u16::MAX;
    }
    // A byte under n is marked in its top bit by the borrow of subtracting n (A. Mycroft 1987, from memory); a borrow may also mark the
    // byte above it.
    let less = ONES * (u64::from(most) + 1);
    let (low, high) = bytes.split_at(LANES / 2);
    let marks = |eight: &[u8]| {
        let word = u64::from_le_bytes(eight.try_into().unwrap_or_default());
        let marked = word.wrapping_sub(less) & !word & TOPS;
        u16::from((marked >> 7).wrapping_mul(GATHER).to_be_bytes()[0])
    };
    marks(low) | marks(high) << 8
}

/// Lanes set in a mask, rising.
#[inline]
pub(crate) fn lanes_of(mask: u16) -> LanesOf {
    LanesOf(u32::from(mask))
}

/// Lanes set in a mask, rising.
#[derive(Debug, Clone, Copy)]
pub(crate) struct LanesOf(u32);

impl Iterator for LanesOf {
    type Item = usize;

    #[inline]
    fn next(&mut self) -> Option<usize> {
        if self.0 == 0 {
            return None;
        }
        // The remainder tells the compiler that every lane is inside its array.
        let lane = self.0.trailing_zeros() as usize % LANES;
        self.0 &= self.0 - 1;
        Some(lane)
    }
}

#[expect(clippy::cast_possible_truncation, reason = "the low half is meant")]
fn half(word: u64) -> u32 {
    word as u32
}

/// The middle of the word's cell, so neither 0 nor 1 can come out.
fn unit(word: u32) -> f64 {
    (f64::from(word) + 0.5) * (1.0 / 4_294_967_296.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Known-answer vectors published with the Random123 library of Salmon et al. (file `kat_vectors`, rows `philox2x64 10`).
    #[test]
    fn the_generator_gives_its_published_known_answers() {
        assert_eq!(
            philox2x64_10([0; 2], 0),
            [0xca00_a045_9843_d731, 0x66c2_4222_c9a8_45b5]
        );
        assert_eq!(
            philox2x64_10([u64::MAX; 2], u64::MAX),
            [0x65b0_21d6_0cd8_310f, 0x4d02_f322_2f86_df20]
        );
        assert_eq!(
            philox2x64_10(
                [0x243f_6a88_85a3_08d3, 0x1319_8a2e_0370_7344],
                0xa409_3822_299f_31d0
            ),
            [0x0a5e_742c_2997_341c, 0xb0f8_83d3_8000_de5d]
        );
    }

    #[test]
    fn one_number_is_the_same_alone_and_in_its_turn() {
        let luck = Luck::new(7);
        let id = StableId::of(&["fault", "ENG01"]);
        for turn in 0..300 {
            let bytes = luck.bytes(id, turn);
            for (lane, draw) in (16 * turn..).take(LANES).enumerate() {
                let number = luck.unit(id, draw);
                assert!((number * 256.0).floor() - f64::from(bytes[lane]) == 0.0);
                for chance in [0.0, 0.004, number - 1e-8, number + 1e-8, 0.3, 0.51, 1.0] {
                    let threshold = Threshold::of(chance);
                    let wanted = number < chance;
                    assert_eq!(luck.under(id, turn, threshold) >> lane & 1 == 1, wanted);
                    assert_eq!(
                        luck.lies_under(bytes[lane], threshold, (id, turn, lane)),
                        wanted
                    );
                }
            }
        }
    }

    #[test]
    fn numbers_lie_under_a_chance_as_often_as_it_says() {
        let (luck, id) = (Luck::new(3), StableId::of(&["fault", "ENG02"]));
        for chance in [0.0007, 0.03, 0.2, 0.5, 0.9] {
            let hits: u32 = (0..10_000)
                .map(|turn| luck.under(id, turn, Threshold::of(chance)).count_ones())
                .sum();
            let error = 4.5 * (chance * (1.0 - chance) / 160_000.0_f64).sqrt();
            assert!(
                (f64::from(hits) / 160_000.0 - chance).abs() < error,
                "{chance}"
            );
        }
    }

    #[test]
    fn even_numbers_leave_no_stretch_short() {
        let (luck, id) = (Luck::new(5), StableId::of(&["component"]));
        for turns in [31_u32, 125, 1_250] {
            for (from, to) in [(0.0, 0.1), (0.35, 0.6), (0.9, 1.0)] {
                let inside = (0..turns).filter(|turn| {
                    let place = luck.even(id, *turn);
                    place >= from && place < to
                });
                let share = inside.count() as f64 / f64::from(turns);
                assert!(
                    (share - (to - from)).abs() < 2.0 / f64::from(turns),
                    "{turns} {from}"
                );
            }
        }
    }

    #[test]
    fn names_that_run_together_have_addresses_of_their_own() {
        assert_ne!(StableId::of(&["ab", "c"]), StableId::of(&["a", "bc"]));
    }
}
