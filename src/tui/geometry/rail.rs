//! The rail: floor to asking on one thread, and the words under it.

use super::{cell_of, to_cell, to_f64};

/// One mark on the rail.
#[derive(Debug, Clone, PartialEq)]
pub struct Mark {
    /// Letter on the thread.
    pub letter: char,
    /// Word under it.
    pub word: &'static str,
    /// Exact value.
    pub value: f64,
    /// Cell of the letter; the value is exact, the cell is not.
    pub cell: usize,
}

/// A rail laid out on a width.
#[derive(Debug, Clone, PartialEq)]
pub struct Rail {
    /// Marks from the least to the greatest.
    pub marks: Vec<Mark>,
    /// First value of the scale.
    pub least: f64,
    /// Last value of the scale.
    pub greatest: f64,
    /// Cells.
    pub width: usize,
    /// Cells of ink, first and one past the last; equal where there is none.
    pub ink: (usize, usize),
}

/// Values of the marks; a mark without a value is not drawn.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct RailValues {
    /// What the car brings as scrap or in parts.
    pub floor: Option<f64>,
    /// First offer.
    pub open: Option<f64>,
    /// Glad to settle.
    pub settle: Option<f64>,
    /// Never over.
    pub limit: Option<f64>,
    /// What they ask.
    pub asks: Option<f64>,
    /// Worth, where the ladder stands on the rail.
    pub worth: Option<f64>,
}

impl RailValues {
    fn listed(self) -> Vec<(char, &'static str, f64)> {
        [
            ('f', "floor", self.floor),
            ('o', "open", self.open),
            ('s', "settle", self.settle),
            ('L', "LIMIT", self.limit),
            ('a', "asks", self.asks),
            ('w', "worth", self.worth),
        ]
        .into_iter()
        .filter_map(|(letter, word, value)| {
            let value = value.filter(|value| value.is_finite())?;
            Some((letter, word, value))
        })
        .collect()
    }
}

/// Lays the marks on a thread; `None` without any mark or cell.
#[must_use]
pub fn lay(values: RailValues, width: usize) -> Option<Rail> {
    let mut listed = values.listed();
    if listed.is_empty() || width < listed.len() {
        return None;
    }
    listed.sort_by(|a, b| a.2.total_cmp(&b.2));
    let least = listed.first()?.2;
    let greatest = listed.last()?.2;
    let wanted: Vec<usize> = listed
        .iter()
        .map(|(_, _, value)| cell_of(*value, least, greatest, width))
        .collect();
    let cells = apart(&wanted, width);
    let marks: Vec<Mark> = listed
        .iter()
        .zip(cells)
        .map(|((letter, word, value), cell)| Mark {
            letter: *letter,
            word,
            value: *value,
            cell,
        })
        .collect();
    let ink = ink(&marks, values);
    Some(Rail {
        marks,
        least,
        greatest,
        width,
        ink,
    })
}

/// Ink from the floor to the lesser of limit and asking; none if the limit is under the floor.
fn ink(marks: &[Mark], values: RailValues) -> (usize, usize) {
    let cell = |letter: char| {
        marks
            .iter()
            .find(|mark| mark.letter == letter)
            .map(|mark| mark.cell)
    };
    let Some(limit) = values.limit else {
        return (0, 0);
    };
    let from = match values.floor {
        Some(floor) if floor > limit => return (0, 0),
        Some(_) => cell('f').unwrap_or(0),
        None => 0,
    };
    let end = match values.asks {
        Some(asks) if asks < limit => cell('a'),
        _ => cell('L'),
    };
    (from, end.unwrap_or(from).max(from))
}

/// Moves cells right so that no two are the same, order kept; what passes the end is moved back left.
fn apart(wanted: &[usize], width: usize) -> Vec<usize> {
    let mut cells: Vec<usize> = Vec::with_capacity(wanted.len());
    for want in wanted {
        let least = cells.last().map_or(0, |cell: &usize| cell + 1);
        cells.push((*want).max(least));
    }
    let mut most = width;
    for cell in cells.iter_mut().rev() {
        *cell = (*cell).min(most.saturating_sub(1));
        most = *cell;
    }
    cells
}

impl Rail {
    /// Cell of any value on this rail's scale.
    #[must_use]
    pub fn cell(&self, value: f64) -> usize {
        cell_of(value, self.least, self.greatest, self.width)
    }

    /// Cell of a mark.
    #[must_use]
    pub fn mark(&self, letter: char) -> Option<usize> {
        self.marks
            .iter()
            .find(|mark| mark.letter == letter)
            .map(|mark| mark.cell)
    }

    /// Heights of the belief at each cell: 0 blank, 1 to 8.
    #[must_use]
    pub fn heights(&self, belief: &[f64], from: f64, to: f64) -> Vec<usize> {
        let last = to_f64(self.width.saturating_sub(1)).max(1.0);
        (0..self.width)
            .map(|cell| {
                let value = self.least + (self.greatest - self.least) * to_f64(cell) / last;
                let density = at(belief, from, to, value);
                if density < 0.06 {
                    0
                } else {
                    to_cell((density * 8.0).ceil()).clamp(1, 8)
                }
            })
            .collect()
    }
}

/// Density at a value, between the even steps; nothing outside.
fn at(belief: &[f64], from: f64, to: f64, value: f64) -> f64 {
    if belief.is_empty() || to <= from || !(from..=to).contains(&value) {
        return 0.0;
    }
    let place = (value - from) / (to - from) * to_f64(belief.len() - 1);
    let low = to_cell(place.floor());
    let share = place - to_f64(low);
    let first = belief.get(low).copied().unwrap_or(0.0);
    let second = belief.get(low + 1).copied().unwrap_or(first);
    let density = first + (second - first) * share;
    if density.is_finite() { density } else { 0.0 }
}

/// Most cells that a word may stand from its wanted place.
pub const FARTHEST: usize = 4;

/// Starts of words that want to stand centered under cells; `None` if one would end too far from its want.
///
/// Neighbors closer than one blank form a pool, centered on the mean of their wants; pools that touch merge.
#[must_use]
pub fn place_words(wants: &[(usize, usize)], width: usize) -> Option<Vec<usize>> {
    let total: usize = wants.iter().map(|(_, wide)| wide).sum::<usize>();
    let gaps = wants.len().saturating_sub(1);
    let slack = width.checked_sub(total + gaps)?;
    let wanted: Vec<usize> = wants
        .iter()
        .map(|(center, wide)| {
            center
                .saturating_sub(wide / 2)
                .min(width.saturating_sub(*wide))
        })
        .collect();
    // Without the words before it and one blank each, a word's start may only rise: pools are means of such starts.
    let mut taken = 0;
    let mut pools: Vec<(f64, usize)> = Vec::new();
    for (start, (_, wide)) in wanted.iter().zip(wants) {
        pools.push((to_f64(*start) - to_f64(taken), 1));
        taken += wide + 1;
        while let [.., before, last] = pools.as_slice() {
            if before.0 <= last.0 {
                break;
            }
            let count = before.1 + last.1;
            let mean = (before.0 * to_f64(before.1) + last.0 * to_f64(last.1)) / to_f64(count);
            pools.truncate(pools.len() - 2);
            pools.push((mean, count));
        }
    }
    let mut starts = Vec::with_capacity(wants.len());
    let mut taken = 0;
    let mut words = wants.iter();
    for (mean, count) in pools {
        for (_, wide) in words.by_ref().take(count) {
            starts.push(to_cell(mean.round()).min(slack) + taken);
            taken += wide + 1;
        }
    }
    let near = starts
        .iter()
        .zip(&wanted)
        .all(|(start, want)| start.abs_diff(*want) <= FARTHEST);
    near.then_some(starts)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::expect_used)]
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn the_rail_of_the_drawing_has_its_marks_in_the_drawn_cells() {
        // 36 wide: f at 0, o at 16, s at 20, L at 23, a at 35.
        let rail = lay(
            RailValues {
                floor: Some(390.0),
                open: Some(1075.0),
                settle: Some(1225.0),
                limit: Some(1350.0),
                asks: Some(1850.0),
                worth: None,
            },
            36,
        )
        .expect("five marks");
        let cells: Vec<_> = rail
            .marks
            .iter()
            .map(|mark| (mark.letter, mark.cell))
            .collect();
        assert_eq!(
            cells,
            [('f', 0), ('o', 16), ('s', 20), ('L', 23), ('a', 35)]
        );
        assert_eq!(rail.ink, (0, 23));
    }

    #[test]
    fn a_limit_under_the_floor_has_no_ink() {
        let rail = lay(
            RailValues {
                floor: Some(455.0),
                limit: Some(410.0),
                asks: Some(700.0),
                ..RailValues::default()
            },
            40,
        )
        .expect("three marks");
        assert_eq!(rail.ink, (0, 0));
        assert_eq!(rail.marks.first().map(|mark| mark.letter), Some('L'));
    }

    fn money() -> impl Strategy<Value = Option<f64>> {
        proptest::option::of((0_i32..400_000).prop_map(|cents| f64::from(cents) / 20.0))
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 10_000, failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn on_any_car_marks_stand_apart_and_ink_never_passes_the_limit(
            floor in money(), open in money(), settle in money(), limit in money(), asks in money(), width in 6_usize..140
        ) {
            let values = RailValues { floor, open, settle, limit, asks, worth: None };
            let Some(rail) = lay(values, width) else {
                prop_assert!(values.listed().is_empty());
                return Ok(());
            };
            for pair in rail.marks.windows(2) {
                prop_assert!(pair[0].cell < pair[1].cell, "{:?}", rail.marks);
                prop_assert!(pair[0].value <= pair[1].value);
            }
            prop_assert!(rail.marks.iter().all(|mark| mark.cell < width));
            let limit_cell = rail.mark('L').unwrap_or(0);
            prop_assert!(rail.ink.1 <= limit_cell.max(rail.ink.0));
        }

        #[test]
        fn no_two_words_touch_and_none_is_far_from_its_mark(
            mut cells in proptest::collection::vec(0_usize..120, 1..6),
            widths in proptest::collection::vec(4_usize..8, 6),
            width in 20_usize..140
        ) {
            cells.sort_unstable();
            let wants: Vec<(usize, usize)> = cells.iter().map(|cell| (*cell).min(width - 1)).zip(widths).collect();
            if let Some(starts) = place_words(&wants, width) {
                for at in 1..starts.len() {
                    prop_assert!(starts[at] > starts[at - 1] + wants[at - 1].1);
                }
                for (start, (center, wide)) in starts.iter().zip(&wants) {
                    prop_assert!(start + wide <= width);
                    let want = center.saturating_sub(wide / 2).min(width - wide);
                    prop_assert!(start.abs_diff(want) <= FARTHEST);
                }
            }
        }
    }
}
