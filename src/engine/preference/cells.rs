//! The triangle of weights cut into cells in each of which the order of the cars is one and the same.

use super::{TIE, Three, score};

/// Cells smaller than this share of the triangle are lines.
const LEAST: f64 = 1e-14;

/// How often a car takes which rank.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Ranks {
    /// Share of the triangle, the first rank first.
    pub shares: Vec<f64>,
    /// Mean of the weights that put it first.
    pub central: Option<Three>,
}

/// A convex polygon of weights.
type Cell = Vec<Three>;

/// Ranks of every car over all weights.
pub(super) fn ranks(rows: &[Option<Three>]) -> Vec<Ranks> {
    let ranked: Vec<(usize, &Three)> = rows
        .iter()
        .enumerate()
        .filter_map(|(at, row)| Some((at, row.as_ref()?)))
        .collect();
    let mut out = vec![Ranks::default(); rows.len()];
    for (at, _) in &ranked {
        out[*at].shares = vec![0.0; ranked.len()];
    }
    let mut first = vec![(0.0, [0.0; 3]); rows.len()];
    for cell in cells(&ranked) {
        let (area, center) = (area(&cell), center(&cell));
        let scores: Vec<f64> = ranked.iter().map(|(_, row)| score(row, &center)).collect();
        for ((at, _), own) in ranked.iter().zip(&scores) {
            let better = scores.iter().filter(|other| **other > own + TIE).count();
            let same = scores
                .iter()
                .filter(|other| (**other - own).abs() <= TIE)
                .count();
            #[expect(clippy::cast_precision_loss, reason = "a few cars")]
            let share = area / same.max(1) as f64;
            for rank in out[*at].shares.iter_mut().skip(better).take(same) {
                *rank += share;
            }
            if better == 0 {
                let (sum, mean) = &mut first[*at];
                *sum += share;
                for (mean, part) in mean.iter_mut().zip(center) {
                    *mean += share * part;
                }
            }
        }
    }
    for (ranks, (sum, mean)) in out.iter_mut().zip(first) {
        ranks.central = (sum > LEAST).then(|| mean.map(|part| part / sum));
    }
    out
}

/// Cuts the triangle along every line on which two cars score alike.
fn cells(ranked: &[(usize, &Three)]) -> Vec<Cell> {
    let mut cells: Vec<Cell> = vec![vec![[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]]];
    for (at, (_, one)) in ranked.iter().enumerate() {
        for (_, other) in ranked.iter().skip(at + 1) {
            let line = [0, 1, 2].map(|corner| one[corner] - other[corner]);
            if line.iter().all(|part| part.abs() <= TIE) {
                // Alike everywhere: no line between them.
                continue;
            }
            let back = line.map(|part| -part);
            cells = cells
                .iter()
                .flat_map(|cell| [kept(cell, &line), kept(cell, &back)])
                .filter(|cell| area(cell) > LEAST)
                .collect();
        }
    }
    cells
}

/// The part of a convex polygon where a line is not under zero (Sutherland & Hodgman 1974).
fn kept(cell: &Cell, line: &Three) -> Cell {
    let value = |corner: &Three| score(corner, line);
    let mut out = Vec::with_capacity(cell.len() + 1);
    for (at, corner) in cell.iter().enumerate() {
        let next = &cell[(at + 1) % cell.len()];
        let (here, there) = (value(corner), value(next));
        if here >= 0.0 {
            out.push(*corner);
        }
        if (here > 0.0 && there < 0.0) || (here < 0.0 && there > 0.0) {
            let share = here / (here - there);
            out.push([0, 1, 2].map(|axis| corner[axis] + share * (next[axis] - corner[axis])));
        }
    }
    out
}

/// Share of the whole triangle: for three points in barycentric coordinates it is the determinant.
fn area(cell: &Cell) -> f64 {
    fans(cell).map(|fan| fan_area(&fan)).sum()
}

fn fans(cell: &Cell) -> impl Iterator<Item = [Three; 3]> + '_ {
    let pairs = cell.iter().skip(1).zip(cell.iter().skip(2));
    pairs.filter_map(|(second, third)| Some([*cell.first()?, *second, *third]))
}

fn fan_area([a, b, c]: &[Three; 3]) -> f64 {
    (a[0] * (b[1] * c[2] - b[2] * c[1]) - a[1] * (b[0] * c[2] - b[2] * c[0])
        + a[2] * (b[0] * c[1] - b[1] * c[0]))
        .abs()
}

/// Centroid.
fn center(cell: &Cell) -> Three {
    let mut sum = [0.0; 3];
    let whole = area(cell);
    for fan in fans(cell) {
        let share = fan_area(&fan) / whole / 3.0;
        for corner in fan {
            for (sum, part) in sum.iter_mut().zip(corner) {
                *sum += share * part;
            }
        }
    }
    sum
}
