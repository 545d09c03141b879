//! The places at which quantiles are tabulated.

/// Places between 0 and 1 at which quantiles are tabulated: even steps inside each halving towards either end, so that steep tails
/// are met with fine cells.
#[derive(Debug, Clone, Copy)]
pub(crate) struct UnitGrid;

/// Halvings towards each end.
const OCTAVES: usize = 12;
/// Even cells in each halving.
const CELLS: usize = 16;
/// Places on each side of one half, the middle not counted.
const SIDE: usize = OCTAVES * CELLS;

/// 2 to the minus `down`, exactly: this runs in the innermost loop.
const fn power_of_two(down: usize) -> f64 {
    const BIAS: u64 = 1023;
    f64::from_bits((BIAS - down as u64) << 52)
}

impl UnitGrid {
    /// Number of places.
    pub(crate) const LEN: usize = 2 * SIDE + 1;

    /// The least place; the greatest is as far from 1.
    pub(crate) const fn least() -> f64 {
        power_of_two(OCTAVES + 1)
    }

    /// Place `at`, rising with it.
    pub(crate) fn place(at: usize) -> f64 {
        if at <= SIDE {
            Self::tail(at)
        } else {
            1.0 - Self::tail(2 * SIDE - at)
        }
    }

    #[expect(clippy::cast_precision_loss, reason = "at most a few hundred")]
    fn tail(at: usize) -> f64 {
        let (octave, cell) = (at / CELLS, at % CELLS);
        // The last octave starts at one half.
        power_of_two(OCTAVES + 1 - octave) * (1.0 + cell as f64 / CELLS as f64)
    }

    /// The place at or under `u` and the share of the cell above it; `u` between the least and the greatest place.
    #[expect(
        clippy::cast_possible_truncation,
        reason = "bit fields of a float in 2^-13..=0.5"
    )]
    #[expect(clippy::cast_precision_loss, reason = "the low bits of a mantissa")]
    pub(crate) fn cell(u: f64) -> (usize, f64) {
        const MANTISSA: u32 = 52;
        const CELL_BITS: u32 = CELLS.trailing_zeros();
        let mirrored = u > 0.5;
        let tail = if mirrored { 1.0 - u } else { u };
        // Exponent and leading bits of the mantissa are the octave and the cell.
        let bits = tail.to_bits();
        let first = Self::least().to_bits() >> (MANTISSA - CELL_BITS);
        let at = ((bits >> (MANTISSA - CELL_BITS)) - first) as usize;
        let rest = bits & ((1u64 << (MANTISSA - CELL_BITS)) - 1);
        let share = rest as f64 / (1u64 << (MANTISSA - CELL_BITS)) as f64;
        if !mirrored {
            (at, share)
        } else if share > 0.0 {
            (2 * SIDE - at - 1, 1.0 - share)
        } else {
            (2 * SIDE - at, 0.0)
        }
    }
}
