//! Luck with an address: every random number is a pure function of (seed, stable id, draw).
//!
//! Philox 4x32-10 (Salmon, Moraes, Dror & Shaw 2011, "Parallel random numbers: as easy as 1, 2, 3"). Random access, so a new sign
//! reshuffles nothing it does not touch, cars share their luck, and the number of threads cannot matter.

/// Key schedule and multipliers of Philox 4x32 (Salmon et al. 2011, table 2).
const MULTIPLIERS: [u32; 2] = [0xD251_1F53, 0xCD9E_8D57];
const WEYL: [u32; 2] = [0x9E37_79B9, 0xBB67_AE85];

/// Ten rounds of Philox 4x32.
#[must_use]
#[inline]
pub fn philox4x32_10(counter: [u32; 4], key: [u32; 2]) -> [u32; 4] {
    let [mut c0, mut c1, mut c2, mut c3] = counter;
    let [mut k0, mut k1] = key;
    for _ in 0..10 {
        let p0 = u64::from(MULTIPLIERS[0]) * u64::from(c0);
        let p1 = u64::from(MULTIPLIERS[1]) * u64::from(c2);
        (c0, c1, c2, c3) = (high(p1) ^ c1 ^ k0, low(p1), high(p0) ^ c3 ^ k1, low(p0));
        k0 = k0.wrapping_add(WEYL[0]);
        k1 = k1.wrapping_add(WEYL[1]);
    }
    [c0, c1, c2, c3]
}

#[expect(clippy::cast_possible_truncation, reason = "the low half is meant")]
fn low(wide: u64) -> u32 {
    wide as u32
}

fn high(wide: u64) -> u32 {
    low(wide >> 32)
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
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Luck {
    key: [u32; 2],
}

/// Draws that share one turn of the generator.
pub const DRAWS_A_TURN: u32 = 4;

impl Luck {
    /// Luck of a seed.
    #[must_use]
    pub fn new(seed: u64) -> Self {
        Self {
            key: [low(seed), high(seed)],
        }
    }

    /// Four uniform numbers, one for each of the draws `4 * turn .. 4 * turn + 4`, each inside (0, 1).
    #[must_use]
    #[inline]
    pub fn turn(self, id: StableId, turn: u32) -> [f64; 4] {
        philox4x32_10([turn, 0, low(id.0), high(id.0)], self.key).map(unit)
    }

    /// One uniform number inside (0, 1): the same that [`Luck::turn`] gives for this draw.
    #[must_use]
    pub fn unit(self, id: StableId, draw: u32) -> f64 {
        let four = self.turn(id, draw / DRAWS_A_TURN);
        four[(draw % DRAWS_A_TURN) as usize]
    }
}

/// The middle of the word's cell, so neither 0 nor 1 can come out.
fn unit(word: u32) -> f64 {
    (f64::from(word) + 0.5) * (1.0 / 4_294_967_296.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Known-answer vectors published with the Random123 library of Salmon et al. (file `kat_vectors`, rows `philox4x32 10`).
    #[test]
    fn the_generator_gives_its_published_known_answers() {
        assert_eq!(
            philox4x32_10([0; 4], [0; 2]),
            [0x6627_e8d5, 0xe169_c58d, 0xbc57_ac4c, 0x9b00_dbd8]
        );
        assert_eq!(
            philox4x32_10([u32::MAX; 4], [u32::MAX; 2]),
            [0x408f_276d, 0x41c8_3b0e, 0xa20b_c7c6, 0x6d54_51fd]
        );
        assert_eq!(
            philox4x32_10(
                [0x243f_6a88, 0x85a3_08d3, 0x1319_8a2e, 0x0370_7344],
                [0xa409_3822, 0x299f_31d0]
            ),
            [0xd16c_fe09, 0x94fd_cceb, 0x5001_e420, 0x2412_6ea1]
        );
    }

    #[test]
    fn one_number_is_the_same_alone_and_in_its_turn() {
        let luck = Luck::new(7);
        let id = StableId::of(&["fault", "ENG01"]);
        let four = luck.turn(id, 5);
        for (lane, draw) in (20..24).enumerate() {
            assert!((four[lane] - luck.unit(id, draw)).abs() < f64::EPSILON);
        }
    }

    #[test]
    fn names_that_run_together_have_addresses_of_their_own() {
        assert_ne!(StableId::of(&["ab", "c"]), StableId::of(&["a", "bc"]));
    }
}
