//! Work, floor, limit, offer, chances and stops.

use super::{Tree, plain};
use crate::engine::amounts::{dollars, money, with_commas};
use crate::engine::figures::{Appraisal, Standing, TraceKind, TraceNode};

impl Tree<'_> {
    pub(super) fn money(&mut self, out: &Appraisal) {
        let settings = |ids: &[&str]| {
            ids.iter()
                .map(|id| format!("setting/{id}"))
                .collect::<Vec<_>>()
        };
        let all_faults = || {
            out.faults
                .iter()
                .filter(|fault| fault.needed)
                .map(|fault| fault.trace_id.clone())
        };
        let mut repair: Vec<String> = settings(&["hour_value", "garage_rate", "tables"]);
        repair.extend(all_faults());
        self.amount(
            "repair",
            "cash for the work",
            out.repair.cash.mean,
            TraceKind::Draws,
            "Parts, oil, fees, garage work and tools, over all draws.",
            repair,
        );
        let unseen: Vec<String> = out
            .faults
            .iter()
            .filter(|fault| fault.standing == Standing::Unseen)
            .map(|fault| fault.trace_id.clone())
            .collect();
        self.amount(
            "unseen",
            "not seen",
            out.unseen.cash.mean,
            TraceKind::Draws,
            "What was not checked costs its chance times its cost.",
            unseen,
        );
        let sentence = "Ordinary unseen faults that the price of an ordinary sound car carries already: the lesser of an ordinary visit's and what is unseen here.";
        self.amount(
            "allowance",
            "allowance",
            out.allowance,
            TraceKind::Choice,
            sentence,
            vec!["unseen".to_owned(), "setting/tables".to_owned()],
        );
        let floor = vec!["setting/tables".to_owned(), "setting/hour_value".to_owned()];
        self.amount(
            "floor",
            "floor",
            out.floor.best,
            TraceKind::Choice,
            "Best of scrap, parts and sold as it stands, net of haulage and hours.",
            floor,
        );
        self.amount(
            "fit_out",
            "fit-out",
            out.fit_out.mean,
            TraceKind::Draws,
            "What the purpose itself needs on the car.",
            settings(&["tables"]),
        );
        let mut lines = Vec::new();
        for (id, label, line, on) in [
            (
                "line/value",
                "value to you",
                out.limit.lines.value,
                "rung/room",
            ),
            (
                "line/wallet",
                "what the wallet holds",
                out.limit.lines.wallet,
                "setting/wallet",
            ),
            (
                "line/rules",
                "what the house rules allow",
                out.limit.lines.rules_cautious,
                "setting/tables",
            ),
        ] {
            if let Some(line) = line {
                let parts = if self.trace.nodes.contains_key(on) {
                    vec![on.to_owned()]
                } else {
                    Vec::new()
                };
                self.amount(id, label, dollars(money(line)), TraceKind::Draws, "", parts);
                lines.push(id.to_owned());
            }
        }
        lines.extend(
            self.trace
                .nodes
                .contains_key("rung/limit")
                .then(|| "rung/limit".to_owned()),
        );
        let node = TraceNode {
            amount: out.limit.price.map(dollars),
            sentence: format!(
                "The most you can pay and still be right. {}",
                out.limit.words
            ),
            parts: lines,
            ..plain("limit", TraceKind::Choice)
        };
        self.put("limit", node);
    }

    /// Figures that rest on others: pace, all that is paid, what is left, wear, care and openness.
    fn figures(&mut self, out: &Appraisal) {
        let tables = || vec!["setting/tables".to_owned()];
        if let Some(pace) = &out.pace {
            let node = TraceNode {
                value: format!(
                    "{:.1} s to 60 mph, quarter mile in {:.1} s at {:.0} mph",
                    pace.zero_to_60_mph_s, pace.quarter_mile_s, pace.quarter_mile_mph
                ),
                sentence: format!(
                    "From power, mass and driven wheels in Story: right to about {:.1} s.",
                    pace.band_s
                ),
                parts: tables(),
                ..plain("pace when sound", TraceKind::Draws)
            };
            self.put("pace", node);
        }
        if let Some(paid) = &out.all_you_pay {
            self.amount(
                "all_you_pay",
                "all you pay",
                paid.mean,
                TraceKind::Draws,
                "The price if you settle, fees, the work in draws where it pays, and the fit-out.",
                ["offer", "repair", "fit_out"].map(str::to_owned).to_vec(),
            );
        }
        if let Some(up) = &out.you_are_up {
            self.amount(
                "you_are_up",
                "you are up",
                up.mean,
                TraceKind::Draws,
                "Worth once right, or what it brings as it is, less everything it takes, at the price if you settle.",
                ["limit", "offer"].map(str::to_owned).to_vec(),
            );
        }
        if let Some(wear) = &out.wear {
            self.amount(
                "wear",
                "parts of known age",
                wear.mean,
                TraceKind::Draws,
                "Parts whose last renewal is on file in Story, over or under parts of unknown history.",
                vec!["setting/horizon".to_owned(), "setting/tables".to_owned()],
            );
        }
        let shares = |weights: &[f64]| {
            let said = weights
                .iter()
                .map(|weight| format!("{:.0}%", 100.0 * weight));
            said.collect::<Vec<_>>().join(", ")
        };
        for (id, label, value, sentence) in [
            (
                "care",
                "how it was kept",
                shares(&out.care),
                "From cherished to neglected, given all that is on file.",
            ),
            (
                "openness",
                "how much this seller tells",
                shares(&out.openness),
                "From telling little to telling much, given what was admitted and what was found.",
            ),
        ] {
            let node = TraceNode {
                value,
                sentence: sentence.to_owned(),
                parts: tables(),
                ..plain(label, TraceKind::Draws)
            };
            self.put(id, node);
        }
    }

    pub(super) fn rest(&mut self, out: &Appraisal) {
        let mut parts = vec!["limit".to_owned(), "floor".to_owned()];
        for cue in &out.offer.cues {
            let id = format!("cue/{}", cue.id);
            let node = TraceNode {
                amount: Some(cue.moves.unwrap_or(cue.mean)),
                sentence: match cue.moves {
                    Some(_) => format!(
                        "By so much it moves the mean of their lowest price as we believe it, to {}.",
                        with_commas(cue.mean)
                    ),
                    None => "The mean of their lowest price before any cue.".to_owned(),
                },
                source: "settings table, offer; the listing and the talks are your entries"
                    .to_owned(),
                ..plain(&cue.words, TraceKind::Setting)
            };
            self.put(id.clone(), node);
            parts.push(id);
        }
        parts.push("setting/tables".to_owned());
        let offer = TraceNode {
            amount: out.offer.settle.map(dollars),
            sentence: out.offer.words.clone(),
            parts,
            ..plain("offer", TraceKind::Choice)
        };
        self.put("offer", offer);
        let mut parts = vec![
            "repair".to_owned(),
            "setting/horizon".to_owned(),
            "setting/seed".to_owned(),
        ];
        parts.extend(
            self.trace
                .nodes
                .contains_key("setting/wallet")
                .then(|| "setting/wallet".to_owned()),
        );
        let chances = TraceNode {
            value: out.chances.words.clone(),
            sentence: "Cheap: all you pay stays in the wallet. Reliable: the miles without being stranded. Fast: share of ordinary cars it outruns.".to_owned(),
            parts,
            ..plain("cheap, reliable, fast", TraceKind::Draws)
        };
        self.put("chances", chances);
        self.figures(out);
        for stop in &out.stops {
            let on = format!("sign/{}", stop.id);
            let parts = if self.trace.nodes.contains_key(&on) {
                vec![on]
            } else {
                Vec::new()
            };
            let value = stop
                .waived
                .clone()
                .map_or_else(String::new, |words| format!("waived: {words}"));
            let node = TraceNode {
                sentence: stop.sentence.clone(),
                value,
                parts,
                ..plain("stop", TraceKind::Entry)
            };
            self.put(stop.trace_id.clone(), node);
        }
    }
}
