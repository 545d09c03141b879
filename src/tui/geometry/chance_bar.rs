//! A chance as ink on a thread, with a tick where an ordinary car of this age stands.

use super::{to_cell, to_f64};

/// The bar: `━┿━━━━╸───`. A chance over nothing shows at least half a cell of ink only from 1 in 2 of a half cell up.
#[must_use]
pub fn chance_bar(chance: f64, ordinary: Option<f64>, cells: usize) -> String {
    let chance = if chance.is_finite() {
        chance.clamp(0.0, 1.0)
    } else {
        0.0
    };
    let halves = to_cell((chance * to_f64(cells) * 2.0).round());
    let tick = ordinary
        .filter(|share| share.is_finite() && cells > 0)
        .map(|share| to_cell((share.clamp(0.0, 1.0) * to_f64(cells)).floor()).min(cells - 1));
    (0..cells)
        .map(|cell| {
            let inked = halves >= cell * 2 + 2;
            match (tick == Some(cell), inked) {
                (true, true) => '┿',
                (true, false) if halves > cell * 2 => '┿',
                (true, false) => '┼',
                (false, true) => '━',
                (false, false) if halves > cell * 2 => '╸',
                (false, false) => '─',
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_tick_is_in_ink_where_the_ink_reaches_it() {
        assert_eq!(chance_bar(0.58, Some(0.07), 20), "━┿━━━━━━━━━╸────────");
        assert_eq!(chance_bar(0.12, Some(0.16), 20), "━━╸┼────────────────");
        assert_eq!(chance_bar(1.0, None, 10), "━━━━━━━━━━");
        assert_eq!(chance_bar(0.0, None, 10), "──────────");
        assert_eq!(chance_bar(f64::NAN, Some(f64::NAN), 0), "");
    }
}
