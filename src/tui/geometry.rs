//! Where things stand: scales, pools of words, strokes and letters as plain numbers. Pure; nothing here draws.

pub mod chance_bar;
pub mod ladder;
pub mod rail;
pub mod triangle;

/// The cell of a value on a thread of `width` cells from `least` to `greatest`.
#[must_use]
pub fn cell_of(value: f64, least: f64, greatest: f64, width: usize) -> usize {
    if width == 0 {
        return 0;
    }
    let span = greatest - least;
    if !(span > 0.0 && value.is_finite()) {
        return 0;
    }
    let last = to_f64(width - 1);
    to_cell(((value - least) / span * last).round().clamp(0.0, last))
}

/// A count as a number for drawing.
#[must_use]
pub fn to_f64(count: usize) -> f64 {
    u32::try_from(count).map_or(f64::from(u32::MAX), f64::from)
}

/// A number of zero or more as a cell; anything else is the first cell.
#[must_use]
pub fn to_cell(value: f64) -> usize {
    if value.is_finite() && value > 0.0 {
        // In range by the check above and the cap.
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let cell = value.min(1.0e6) as usize;
        cell
    } else {
        0
    }
}
