//! Beta, Student and normal distributions: the few special functions the stages stand on, from libm alone so that every platform gives the same bytes.

/// Terms after which the continued fraction is taken as it stands; the shapes met here need a few dozen.
const MOST_TERMS: u32 = 300;

/// Chance that a beta variable of these two shapes lies at or under `x`: the regularized incomplete beta function.
///
/// Shapes above zero; `x` outside 0..1 is taken to the nearer end. Continued fraction of NIST DLMF 8.17.22, summed by Lentz's method.
#[must_use]
pub fn beta_cdf(x: f64, alpha: f64, beta: f64) -> f64 {
    let x = if x.is_nan() { 0.0 } else { x.clamp(0.0, 1.0) };
    if x <= 0.0 {
        return 0.0;
    }
    if x >= 1.0 {
        return 1.0;
    }
    let front =
        libm::exp(alpha * libm::log(x) + beta * libm::log1p(-x) - log_beta_function(alpha, beta));
    // The fraction converges fast on this side of the mean; the other side is its mirror.
    if x < (alpha + 1.0) / (alpha + beta + 2.0) {
        front * fraction(x, alpha, beta) / alpha
    } else {
        1.0 - front * fraction(1.0 - x, beta, alpha) / beta
    }
}

/// Logarithm of the beta function.
fn log_beta_function(alpha: f64, beta: f64) -> f64 {
    libm::lgamma(alpha) + libm::lgamma(beta) - libm::lgamma(alpha + beta)
}

fn fraction(x: f64, a: f64, b: f64) -> f64 {
    const TINY: f64 = 1e-300;
    let away_from_zero = |v: f64| if v.abs() < TINY { TINY } else { v };
    let mut c = 1.0;
    let mut d = 1.0 / away_from_zero(1.0 - (a + b) * x / (a + 1.0));
    let mut h = d;
    for term in 1..=MOST_TERMS {
        let m = f64::from(term);
        let even = m * (b - m) * x / ((a + 2.0 * m - 1.0) * (a + 2.0 * m));
        d = 1.0 / away_from_zero(1.0 + even * d);
        c = away_from_zero(1.0 + even / c);
        h *= d * c;
        let odd = -(a + m) * (a + b + m) * x / ((a + 2.0 * m) * (a + 2.0 * m + 1.0));
        d = 1.0 / away_from_zero(1.0 + odd * d);
        c = away_from_zero(1.0 + odd / c);
        let step = d * c;
        h *= step;
        if (step - 1.0).abs() < 1e-15 {
            break;
        }
    }
    h
}

/// The value under which a beta variable lies with chance `u`: Newton's steps on [`beta_cdf`], kept inside a bracket that halves whenever a step would leave it.
///
/// `u` outside 0..1 is taken to the nearer end; one that is no number counts as one half.
#[must_use]
pub fn beta_quantile(u: f64, alpha: f64, beta: f64) -> f64 {
    let u = if u.is_nan() { 0.5 } else { u.clamp(0.0, 1.0) };
    if u <= 0.0 {
        return 0.0;
    }
    if u >= 1.0 {
        return 1.0;
    }
    let log_b = log_beta_function(alpha, beta);
    // The power law of the nearer end is exact in its limit and a fair start elsewhere.
    let low_end = libm::exp((libm::log(u * alpha) + log_b) / alpha);
    let high_end = 1.0 - libm::exp((libm::log((1.0 - u) * beta) + log_b) / beta);
    let mean = alpha / (alpha + beta);
    let mut x = if low_end < mean {
        low_end
    } else if high_end > mean {
        high_end
    } else {
        mean
    };
    let (mut under, mut over) = (0.0, 1.0);
    for _ in 0..120 {
        let miss = beta_cdf(x, alpha, beta) - u;
        if miss > 0.0 {
            over = x;
        } else {
            under = x;
        }
        let density =
            libm::exp((alpha - 1.0) * libm::log(x) + (beta - 1.0) * libm::log1p(-x) - log_b);
        let newton = x - miss / density;
        // Newton's steps square the error: after one this small the next would change nothing.
        if (newton - x).abs() <= 1e-9 * x.min(1.0 - x) {
            return newton;
        }
        x = if newton > under && newton < over {
            newton
        } else {
            0.5 * (under + over)
        };
    }
    x
}

/// The value under which Student's t with these degrees of freedom (above zero) lies with chance `u`, through [`beta_quantile`].
#[must_use]
pub fn student_quantile(u: f64, freedom: f64) -> f64 {
    let tail = u.min(1.0 - u);
    let x = beta_quantile(2.0 * tail, 0.5 * freedom, 0.5);
    let size = (freedom * (1.0 - x) / x).sqrt();
    if u < 0.5 { -size } else { size }
}
