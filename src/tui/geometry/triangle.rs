//! The triangle of cheap, reliable, fast: where letters, trails and rings stand.
//!
//! A place is the three chances as shares: it shows balance. How much stands in the ring round the capital.

use super::{to_cell, to_f64};
use crate::engine::triangle::Shares;

/// One car on the triangle: cheap, reliable, fast, each 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TriangleCar {
    /// Capital letter; the small one is the car before the work.
    pub letter: char,
    /// As it stands.
    pub before: Option<[f64; 3]>,
    /// With the work done.
    pub after: Option<[f64; 3]>,
}

/// A letter on its cell.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Letter {
    /// The letter.
    pub letter: char,
    /// Column.
    pub column: usize,
    /// Row.
    pub row: usize,
}

/// A drawn triangle, without the words of its corners.
#[derive(Debug, Clone, PartialEq)]
pub struct Triangle {
    /// Rows of cells.
    pub rows: Vec<String>,
    /// Where the letters stand.
    pub letters: Vec<Letter>,
}

/// Rows for a width in cells: 0.87 of half of it.
#[must_use]
pub fn rows_for(width: usize) -> usize {
    to_cell((0.87 * to_f64(width) / 2.0).round()).max(1)
}

/// Stands where the user's weights are.
pub const MARK: char = '+';

/// Draws up to four cars on a width of cells, and the mark of weights, if any.
#[must_use]
pub fn triangle(
    cars: &[TriangleCar],
    weights: Option<Shares>,
    width: usize,
    ascii: bool,
) -> Triangle {
    let height = rows_for(width);
    let mut letters = place(cars, width, height);
    let mark = weights.map(|weights| [weights.cheap, weights.reliable, weights.fast]);
    if let Some(cell) = want(mark, width, height)
        && let Some(found) = nearest_free(&letters, MARK, cell, width, height)
    {
        letters.push(found);
    }
    let mut grid = Grid::new(width, height);
    if !ascii {
        grid.sides();
    }
    for car in cars {
        if let (Some(before), Some(after)) = (
            spot(car.before, width, height),
            spot(car.after, width, height),
        ) {
            grid.trail(before, after);
        }
        if let (Some(after), Some(chances), false) =
            (spot(car.after, width, height), car.after, ascii)
        {
            grid.ring(after, chances);
        }
    }
    let mut cells = if ascii { grid.ascii() } else { grid.braille() };
    for letter in &letters {
        if let Some(cell) = cells
            .get_mut(letter.row)
            .and_then(|row| row.get_mut(letter.column))
        {
            *cell = letter.letter;
        }
    }
    Triangle {
        rows: cells
            .into_iter()
            .map(|row| row.into_iter().collect())
            .collect(),
        letters,
    }
}

/// The weights that a cell stands for, with those beside the triangle brought to its side; none further off.
#[must_use]
pub fn weights_at(column: usize, row: usize, width: usize) -> Option<Shares> {
    let height = rows_for(width);
    let reliable = 1.0 - (to_f64(row) + 0.5) / to_f64(height);
    let fast = (to_f64(column) + 0.5) / to_f64(width) - reliable / 2.0;
    let shares = Shares {
        cheap: 1.0 - fast - reliable,
        fast,
        reliable,
    };
    let near = shares.cheap > -0.08 && shares.fast > -0.08;
    near.then(|| shares.brought_inside())
}

/// Place in dots, two a cell across and four a cell down; `None` where a chance is unknown or all are nothing.
fn spot(chances: Option<[f64; 3]>, width: usize, height: usize) -> Option<(f64, f64)> {
    let [cheap, reliable, fast] = chances?.map(|chance| chance.clamp(0.0, 1.0));
    let sum = cheap + reliable + fast;
    if !(sum > 0.0 && sum.is_finite()) {
        return None;
    }
    let across = (fast + reliable / 2.0) / sum * to_f64(2 * width - 1);
    let down = (1.0 - reliable / sum) * to_f64(4 * height - 1);
    Some((across, down))
}

/// The cell a car wants.
fn want(chances: Option<[f64; 3]>, width: usize, height: usize) -> Option<(usize, usize)> {
    let (across, down) = spot(chances, width, height)?;
    Some((
        to_cell(across / 2.0).min(width.saturating_sub(1)),
        to_cell(down / 4.0).min(height.saturating_sub(1)),
    ))
}

/// Own cell, then right, left, up, down, the four corners, two right, two left.
const AROUND: [(isize, isize); 11] = [
    (0, 0),
    (1, 0),
    (-1, 0),
    (0, -1),
    (0, 1),
    (1, -1),
    (-1, -1),
    (1, 1),
    (-1, 1),
    (2, 0),
    (-2, 0),
];

/// Capitals first in order of mark, each on its cell or the nearest free; then small letters, but not beside their own capital.
fn place(cars: &[TriangleCar], width: usize, height: usize) -> Vec<Letter> {
    let mut letters: Vec<Letter> = Vec::new();
    for car in cars {
        if let Some(cell) = want(car.after, width, height)
            && let Some(found) = nearest_free(&letters, car.letter, cell, width, height)
        {
            letters.push(found);
        }
    }
    for car in cars {
        let Some(cell) = want(car.before, width, height) else {
            continue;
        };
        let capital = letters.iter().find(|letter| letter.letter == car.letter);
        let beside = capital.is_some_and(|capital| {
            capital.column.abs_diff(cell.0) <= 1 && capital.row.abs_diff(cell.1) <= 1
        });
        let small = car.letter.to_ascii_lowercase();
        if !beside && let Some(found) = nearest_free(&letters, small, cell, width, height) {
            letters.push(found);
        }
    }
    letters
}

fn nearest_free(
    letters: &[Letter],
    letter: char,
    cell: (usize, usize),
    width: usize,
    height: usize,
) -> Option<Letter> {
    AROUND.iter().find_map(|(right, down)| {
        let column = cell.0.checked_add_signed(*right).filter(|at| *at < width)?;
        let row = cell.1.checked_add_signed(*down).filter(|at| *at < height)?;
        let free = !letters
            .iter()
            .any(|other| (other.column, other.row) == (column, row));
        free.then_some(Letter {
            letter,
            column,
            row,
        })
    })
}

/// Dots: two a cell across, four a cell down.
struct Grid {
    width: usize,
    height: usize,
    dots: Vec<bool>,
}

impl Grid {
    fn new(width: usize, height: usize) -> Self {
        Self {
            width: width * 2,
            height: height * 4,
            dots: vec![false; width * height * 8],
        }
    }

    fn set(&mut self, across: f64, down: f64) {
        let (x, y) = (to_cell(across.round()), to_cell(down.round()));
        if across >= -0.5 && down >= -0.5 && x < self.width && y < self.height {
            self.dots[y * self.width + x] = true;
        }
    }

    fn has(&self, x: usize, y: usize) -> bool {
        self.dots.get(y * self.width + x).copied().unwrap_or(false)
    }

    fn sides(&mut self) {
        let (right, bottom) = (
            to_f64(self.width.saturating_sub(1)),
            to_f64(self.height.saturating_sub(1)),
        );
        for y in 0..self.height {
            let share = to_f64(y) / bottom.max(1.0) * right / 2.0;
            self.set(right / 2.0 - share - 0.01, to_f64(y));
            self.set(right / 2.0 + share + 0.01, to_f64(y));
        }
        for x in 0..self.width {
            self.set(to_f64(x), bottom);
        }
    }

    /// A dotted trail from before to after: one dot in four.
    fn trail(&mut self, from: (f64, f64), to: (f64, f64)) {
        let (across, down) = (to.0 - from.0, to.1 - from.1);
        let dots = to_cell((across.hypot(down) / 4.0).floor());
        for at in 1..=dots {
            let share = to_f64(at) * 4.0 / across.hypot(down).max(1.0);
            if share < 1.0 {
                self.set(from.0 + across * share, from.1 + down * share);
            }
        }
    }

    /// A ring of dots whose radius grows with the mean of the three; none under 35 in 100.
    fn ring(&mut self, center: (f64, f64), chances: [f64; 3]) {
        let mean = chances.iter().sum::<f64>() / 3.0;
        if mean < 0.35 {
            return;
        }
        let radius = 3.0 + 6.0 * (mean - 0.35) / 0.65;
        for at in 0..6 {
            let angle = f64::from(at) * std::f64::consts::FRAC_PI_3 + std::f64::consts::FRAC_PI_6;
            self.set(
                center.0 + radius * libm::cos(angle),
                center.1 + radius * libm::sin(angle),
            );
        }
    }

    fn braille(&self) -> Vec<Vec<char>> {
        const BITS: [[u32; 2]; 4] = [[0x01, 0x08], [0x02, 0x10], [0x04, 0x20], [0x40, 0x80]];
        (0..self.height / 4)
            .map(|row| {
                (0..self.width / 2)
                    .map(|column| {
                        let mut bits = 0;
                        for (down, pair) in BITS.iter().enumerate() {
                            for (across, bit) in pair.iter().enumerate() {
                                if self.has(column * 2 + across, row * 4 + down) {
                                    bits |= bit;
                                }
                            }
                        }
                        match bits {
                            0 => ' ',
                            bits => char::from_u32(0x2800 + bits).unwrap_or(' '),
                        }
                    })
                    .collect()
            })
            .collect()
    }

    fn ascii(&self) -> Vec<Vec<char>> {
        let (width, height) = (self.width / 2, self.height / 4);
        let half = to_f64(width) / 2.0;
        (0..height)
            .map(|row| {
                let share = to_f64(row) / to_f64(height.saturating_sub(1)).max(1.0);
                let left = to_cell((half - 1.0 - share * (half - 1.0)).round());
                let right = width.saturating_sub(1).saturating_sub(left);
                (0..width)
                    .map(|column| {
                        if column == left {
                            '/'
                        } else if column == right {
                            '\\'
                        } else if row + 1 == height && column > left && column < right {
                            '_'
                        } else if (0..8)
                            .any(|dot| self.has(column * 2 + dot % 2, row * 4 + dot / 2))
                        {
                            '.'
                        } else {
                            ' '
                        }
                    })
                    .collect()
            })
            .collect()
    }
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use std::collections::BTreeSet;

    #[test]
    fn the_three_sizes_have_the_drawn_heights() {
        // 20x9, 32x14, 48x21.
        assert_eq!([20, 32, 48].map(rows_for), [9, 14, 21]);
    }

    #[test]
    fn a_car_that_is_only_reliable_stands_at_the_top() {
        let car = TriangleCar {
            letter: 'A',
            before: None,
            after: Some([0.0, 0.9, 0.0]),
        };
        let drawn = triangle(&[car], None, 20, true);
        assert_eq!(drawn.letters[0].row, 0);
        assert!(drawn.letters[0].column.abs_diff(10) <= 1);
    }

    #[test]
    fn an_unknown_chance_is_no_place() {
        let car = TriangleCar {
            letter: 'A',
            before: None,
            after: None,
        };
        assert!(triangle(&[car], None, 20, false).letters.is_empty());
    }

    fn chances() -> impl Strategy<Value = Option<[f64; 3]>> {
        proptest::option::weighted(0.9, proptest::array::uniform3(0.0..1.0_f64))
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 2_000, failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn every_capital_is_shown_near_its_place_and_no_two_letters_share_a_cell(
            cars in proptest::collection::vec((chances(), chances()), 1..5),
            weights in proptest::array::uniform3(0.001..1.0_f64),
            width in prop_oneof![Just(20_usize), Just(32), Just(48), 16_usize..60]
        ) {
            let cars: Vec<TriangleCar> = cars.into_iter().zip(['A', 'B', 'C', 'D'])
                .map(|((before, after), letter)| TriangleCar { letter, before, after }).collect();
            let sum: f64 = weights.iter().sum();
            let [cheap, reliable, fast] = weights.map(|weight| weight / sum);
            let weights = Shares { cheap, fast, reliable };
            let drawn = triangle(&cars, Some(weights), width, false);
            let twin = triangle(&cars, Some(weights), width, true);
            prop_assert_eq!(&drawn.letters, &twin.letters);
            let cells: BTreeSet<_> = drawn.letters.iter().map(|letter| (letter.column, letter.row)).collect();
            prop_assert_eq!(cells.len(), drawn.letters.len());
            let height = rows_for(width);
            let mark = drawn.letters.iter().find(|letter| letter.letter == MARK).expect("the mark is shown");
            if let Some(tapped) = weights_at(mark.column, mark.row, width) {
                // A tap on the mark leaves the weights within three cells of where they were.
                let off = (tapped.reliable - reliable).abs().max((tapped.fast - fast).abs());
                prop_assert!(off <= 3.5 / f64::from(u16::try_from(height).unwrap_or(1)), "{tapped:?} {weights:?}");
            }
            for car in &cars {
                let wanted = want(car.after, width, height);
                let shown = drawn.letters.iter().find(|letter| letter.letter == car.letter);
                prop_assert_eq!(wanted.is_some(), shown.is_some());
                if let (Some(wanted), Some(shown)) = (wanted, shown) {
                    prop_assert!(wanted.0.abs_diff(shown.column) <= 2 && wanted.1.abs_diff(shown.row) <= 2);
                    let row: Vec<char> = drawn.rows[shown.row].chars().collect();
                    prop_assert_eq!(row[shown.column], car.letter);
                }
            }
            for row in drawn.rows.iter().chain(&twin.rows) {
                prop_assert_eq!(row.chars().count(), width);
            }
        }
    }
}
