//! Checks of the starting values: what would make no sense, or stop the engine.

use super::{Found, share};
use crate::trade::tables::Tables;

pub(super) fn settings(tables: &Tables, found: &mut Found) {
    let diagnosis = &tables.settings.diagnosis;
    found.unless(
        diagnosis
            .ordinary_shares
            .values()
            .all(|value| share(*value)),
        "settings",
        "diagnosis",
        "ordinary_shares are not shares",
    );
    let one = |weights: &[f64]| (weights.iter().sum::<f64>() - 1.0).abs() < 1e-9;
    found.unless(
        one(&diagnosis.care_weights),
        "settings",
        "diagnosis",
        "care_weights do not add up to 1",
    );
    found.unless(
        one(&diagnosis.openness_weights),
        "settings",
        "diagnosis",
        "openness_weights do not add up to 1",
    );
    found.unless(
        (0.0..=1.0).contains(&diagnosis.word_counts),
        "settings",
        "diagnosis",
        "word_counts is not between 0 and 1",
    );
    let held = diagnosis.held_back;
    found.unless(
        held.shares.iter().all(|share| (0.0..1.0).contains(share))
            && held.shares.is_sorted_by(|closed, open| closed >= open)
            && (0.0..=20.0).contains(&held.count_as_most),
        "settings",
        "diagnosis",
        "held_back: shares are under 1 and fall from closed to open, count_as_most is 0 to 20",
    );
    found.all(
        "settings",
        "limit",
        "fault",
        &tables.settings.limit.withhold_faults,
        |id| tables.fault(id).is_some(),
    );
    let offer = &tables.settings.offer;
    let [least, most] = offer.share_bounds;
    found.unless(
        0.0 <= least && least <= most && most <= 1.0,
        "settings",
        "offer",
        "share_bounds are out of order, or not shares",
    );
    for (name, value) in [
        ("uniform_weight", offer.uniform_weight),
        ("one_offer_share", offer.one_offer_share),
        ("wallet_confidence", tables.settings.limit.wallet_confidence),
        (
            "sale_falls_through",
            tables.settings.limit.sale_falls_through,
        ),
        ("parts_sell_share", tables.settings.costs.parts_sell_share),
        ("as_is_share", tables.settings.costs.as_is_share),
    ] {
        if !share(value) {
            found.add("settings", name, "is not a share, 0 to 1");
        }
    }
}
