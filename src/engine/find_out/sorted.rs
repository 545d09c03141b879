//! Draws in the order of a value, and the value under which a share of their weight lies.

/// What the draws have, in another order.
pub(super) fn in_order<T: Copy>(order: &[usize], all: &[T]) -> Vec<T> {
    order.iter().map(|draw| all[*draw]).collect()
}

/// The draws in the order of their value, sorted once.
pub(super) struct Sorted {
    order: Vec<u32>,
    values: Vec<f64>,
}

impl Sorted {
    pub(super) fn of(values: &[f64]) -> Self {
        let mut order: Vec<u32> = (0..u32::try_from(values.len()).unwrap_or(u32::MAX)).collect();
        order.sort_unstable_by(|a, b| values[*a as usize].total_cmp(&values[*b as usize]));
        Self {
            values: order.iter().map(|at| values[*at as usize]).collect(),
            order,
        }
    }

    /// The value under which a share of the weight lies.
    pub(super) fn quantile(&self, weights: &[f64], share: f64) -> f64 {
        let wanted = share * weights.iter().sum::<f64>();
        let mut sum = 0.0;
        for (at, value) in self.order.iter().zip(&self.values) {
            sum += weights[*at as usize];
            if sum > wanted {
                return *value;
            }
        }
        self.values.last().copied().unwrap_or_default()
    }
}
