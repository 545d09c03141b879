//! The normal curve: its share below a point, and the point below which a share lies.

/// Share of the standard normal curve below `x`.
#[must_use]
pub fn share_below(x: f64) -> f64 {
    0.5 * libm::erfc(-x / std::f64::consts::SQRT_2)
}

/// The point below which a share of the standard normal curve lies; the share is kept inside (0, 1).
///
/// P. J. Acklam's rational approximation (2003, from memory), with one step of Halley's rule on `erfc`: about 1e-15.
#[must_use]
pub fn quantile(share: f64) -> f64 {
    let p = share.clamp(1e-300, 1.0 - 1e-16);
    let rough = if p < TAIL {
        tail((-2.0 * libm::log(p)).sqrt())
    } else if p > 1.0 - TAIL {
        -tail((-2.0 * libm::log(1.0 - p)).sqrt())
    } else {
        let q = p - 0.5;
        let r = q * q;
        q * polynomial(&A, r) / (polynomial(&B, r) * r + 1.0)
    };
    let error = share_below(rough) - p;
    let step = error * (2.0 * std::f64::consts::PI).sqrt() * libm::exp(rough * rough / 2.0);
    if step.is_finite() {
        rough - step / (1.0 + rough * step / 2.0)
    } else {
        rough
    }
}

/// A lognormal factor of mean 1 and standard deviation `spread`, at a luck inside (0, 1).
#[must_use]
pub fn factor_of_mean_one(spread: f64, luck: f64) -> f64 {
    if spread <= 0.0 {
        return 1.0;
    }
    let variance = libm::log1p(spread * spread);
    libm::exp(variance.sqrt() * quantile(luck) - variance / 2.0)
}

const TAIL: f64 = 0.024_25;
const A: [f64; 6] = [
    -3.969_683_028_665_376e1,
    2.209_460_984_245_205e2,
    -2.759_285_104_469_687e2,
    1.383_577_518_672_69e2,
    -3.066_479_806_614_716e1,
    2.506_628_277_459_239,
];
const B: [f64; 5] = [
    -5.447_609_879_822_406e1,
    1.615_858_368_580_409e2,
    -1.556_989_798_598_866e2,
    6.680_131_188_771_972e1,
    -1.328_068_155_288_572e1,
];
const C: [f64; 6] = [
    -7.784_894_002_430_293e-3,
    -3.223_964_580_411_365e-1,
    -2.400_758_277_161_838,
    -2.549_732_539_343_734,
    4.374_664_141_464_968,
    2.938_163_982_698_783,
];
const D: [f64; 4] = [
    7.784_695_709_041_462e-3,
    3.224_671_290_700_398e-1,
    2.445_134_137_142_996,
    3.754_408_661_907_416,
];

fn tail(q: f64) -> f64 {
    polynomial(&C, q) / (polynomial(&D, q) * q + 1.0)
}

fn polynomial(coefficients: &[f64], x: f64) -> f64 {
    coefficients.iter().fold(0.0, |sum, c| sum * x + c)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use statrs::distribution::{ContinuousCDF, Normal};

    /// Second oracle: the `statrs` library.
    #[test]
    fn quantiles_agree_with_a_general_library() {
        let normal = Normal::new(0.0, 1.0).unwrap();
        for share in [1e-9, 1e-4, 0.01, 0.024, 0.1, 0.3, 0.5, 0.7, 0.99, 0.999_999] {
            assert!(
                (quantile(share) - normal.inverse_cdf(share)).abs() < 1e-7,
                "{share}"
            );
            assert!(
                (share_below(quantile(share)) - share).abs() < 1e-13,
                "{share}"
            );
        }
    }

    #[test]
    fn a_factor_of_mean_one_has_mean_one_and_its_spread() {
        let n = 20_000;
        let factors: Vec<f64> = (0..n)
            .map(|k| factor_of_mean_one(0.25, (f64::from(k) + 0.5) / f64::from(n)))
            .collect();
        let mean = factors.iter().sum::<f64>() / f64::from(n);
        let variance = factors.iter().map(|f| (f - mean).powi(2)).sum::<f64>() / f64::from(n);
        assert!((mean - 1.0).abs() < 1e-4);
        assert!((variance.sqrt() - 0.25).abs() < 2e-3);
    }
}
