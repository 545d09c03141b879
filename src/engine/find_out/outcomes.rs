//! How likely each answer of a check is, in every draw, and what the draws are worth after it.

use super::says::Says;
use super::table::{Block, DrawTable};
use crate::engine::weighing::Weighing;

/// Answers of one check over all draws.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Outcomes {
    /// Mean of the values as they stand.
    pub mean_now: f64,
    /// Chance of each level.
    pub chances: Vec<f64>,
    /// Mean of the values after each level.
    pub means: Vec<f64>,
}

/// Two sums over a stretch of draws: of the chances, and of the chances times the values. Eight lanes, so that the order of adding up, and
/// with it every byte, does not hang on the machine.
fn sums(chances: &[f64], values: &[f64]) -> (f64, f64) {
    let (mut share, mut part) = ([0.0; 8], [0.0; 8]);
    let mut tail = (0.0, 0.0);
    let (chance_rows, value_rows) = (chances.chunks_exact(8), values.chunks_exact(8));
    for (chance, value) in chance_rows.remainder().iter().zip(value_rows.remainder()) {
        tail.0 += chance;
        tail.1 += chance * value;
    }
    for (chance, value) in chance_rows.zip(value_rows) {
        for lane in 0..8 {
            share[lane] += chance[lane];
            part[lane] += chance[lane] * value[lane];
        }
    }
    (
        share.iter().sum::<f64>() + tail.0,
        part.iter().sum::<f64>() + tail.1,
    )
}

impl DrawTable {
    /// Chances and means of every answer, draws weighed evenly or as given.
    pub(super) fn outcomes(
        &self,
        weighing: &Weighing<'_>,
        says: &Says<'_>,
        levels: usize,
        weights: Option<&[f64]>,
    ) -> Option<Outcomes> {
        let mut found = vec![(0.0, 0.0); levels];
        let (mut all, mut sum) = (0.0, 0.0);
        let told = self.blocks(weighing, says, levels, |block: Block<'_>| {
            let values = &self.values[block.from..block.from + block.len];
            let weights = weights.map(|weights| &weights[block.from..block.from + block.len]);
            match weights {
                None => {
                    #[expect(clippy::cast_precision_loss, reason = "a count of draws")]
                    let count = block.len as f64;
                    all += count;
                    sum += values.iter().sum::<f64>();
                }
                Some(weights) => {
                    let (more, worth) = sums(weights, values);
                    all += more;
                    sum += worth;
                    for column in block.columns.iter_mut() {
                        for (chance, weight) in column.iter_mut().zip(weights) {
                            *chance *= weight;
                        }
                    }
                }
            }
            for (found, column) in found.iter_mut().zip(block.columns.iter()) {
                let (share, part) = sums(&column[..block.len], values);
                found.0 += share;
                found.1 += part;
            }
        });
        let mean_now = sum / all;
        told.then(|| Outcomes {
            mean_now,
            chances: found.iter().map(|(share, _)| share / all).collect(),
            means: found
                .iter()
                .map(
                    |(share, part)| {
                        if *share > 0.0 { part / share } else { mean_now }
                    },
                )
                .collect(),
        })
    }

    /// For each answer the value under which a share of the draws lies, weighed by the answer.
    pub(super) fn quantiles(
        &self,
        weighing: &Weighing<'_>,
        says: &Says<'_>,
        chances: &[f64],
        share: f64,
    ) -> Vec<f64> {
        #[expect(clippy::cast_precision_loss, reason = "a count of draws")]
        let draws = self.values.len() as f64;
        let last = self.values.last().copied().unwrap_or_default();
        let mut found = vec![None; chances.len()];
        let mut gone = vec![0.0; chances.len()];
        self.blocks(weighing, says, chances.len(), |block: Block<'_>| {
            for (level, column) in block.columns.iter().enumerate() {
                if found[level].is_some() {
                    continue;
                }
                let wanted = share * chances[level] * draws;
                let values = &self.values[block.from..block.from + block.len];
                for (chance, value) in column.iter().zip(values) {
                    gone[level] += chance;
                    if gone[level] > wanted {
                        found[level] = Some(*value);
                        break;
                    }
                }
            }
        });
        found
            .into_iter()
            .map(|value| value.unwrap_or(last))
            .collect()
    }

    /// Weighs the draws as if the check had come out well.
    pub(super) fn answer_well(
        &self,
        weighing: &Weighing<'_>,
        says: &Says<'_>,
        levels: usize,
        weights: &mut [f64],
    ) {
        self.blocks(weighing, says, levels, |block: Block<'_>| {
            let weights = &mut weights[block.from..block.from + block.len];
            for (weight, chance) in weights.iter_mut().zip(block.columns[0].iter()) {
                *weight *= chance;
            }
        });
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_stretch_of_any_length_adds_up() {
        for length in [0_u32, 1, 7, 8, 9, 31, 512] {
            let values: Vec<f64> = (0..length).map(f64::from).collect();
            let (share, part) = sums(&vec![0.5; values.len()], &values);
            assert!((share - 0.5 * f64::from(length)).abs() < 1e-9);
            assert!((part - 0.5 * values.iter().sum::<f64>()).abs() < 1e-6);
        }
    }
}
