//! Rungs, and what the joint rungs are made of, to the cent.

use super::{Tree, percent};
use crate::engine::amounts::{dollars, split, with_commas};
use crate::engine::figures::{Appraisal, FaultFigure, Rung, RungKind, Standing, TraceKind};

impl Tree<'_> {
    /// Rungs, and what the joint rungs are made of, to the cent.
    pub(super) fn ladder(&mut self, out: &Appraisal) {
        for rung in &out.ladder {
            let parts = self.rung_parts(out, rung);
            let kind = if parts.iter().any(|part| part.starts_with("takes/"))
                || rung.kind == RungKind::Room
            {
                TraceKind::Sum
            } else {
                TraceKind::Draws
            };
            self.amount(
                &rung.trace_id,
                &rung.label,
                dollars(rung.cash),
                kind,
                rung_sentence(rung),
                parts,
            );
        }
        let above: Vec<String> = out
            .ladder
            .iter()
            .take_while(|rung| rung.kind != RungKind::Room)
            .map(|rung| rung.trace_id.clone())
            .collect();
        if let Some(room) = self.trace.nodes.get_mut("rung/room") {
            room.parts = above;
        }
        let below: Vec<String> = out
            .ladder
            .iter()
            .filter(|rung| matches!(rung.kind, RungKind::Room | RungKind::Right))
            .map(|rung| rung.trace_id.clone())
            .collect();
        if let Some(limit) = self.trace.nodes.get_mut("rung/limit") {
            limit.kind = TraceKind::Sum;
            limit.parts = below;
        }
    }

    pub(super) fn rung_parts(&mut self, out: &Appraisal, rung: &Rung) -> Vec<String> {
        let shown: Vec<&str> = out
            .ladder
            .iter()
            .filter_map(|rung| rung.id.strip_prefix("fault/"))
            .collect();
        let group = |keep: &dyn Fn(&FaultFigure) -> bool| -> Vec<&FaultFigure> {
            out.faults
                .iter()
                .filter(|fault| keep(fault) && !shown.contains(&fault.id.as_str()))
                .collect()
        };
        let faults = match rung.id.as_str() {
            "unseen" => group(&|fault| fault.standing == Standing::Unseen),
            "more_seen" => group(&|fault| fault.standing == Standing::Seen && fault.needed),
            "more_likely" => group(&|fault| fault.standing == Standing::Likely && fault.needed),
            "lived_with" => group(&|fault| {
                matches!(fault.standing, Standing::Seen | Standing::Likely) && !fault.needed
            }),
            "worth" => return vec!["worth".to_owned()],
            "fees" => return vec!["setting/fees".to_owned()],
            "margin" => {
                return vec![
                    "setting/margin".to_owned(),
                    "setting/margin_least".to_owned(),
                ];
            }
            "right" => return vec!["setting/confidence".to_owned()],
            "allowance" => return vec!["allowance".to_owned()],
            "floor_lift" => return vec!["floor".to_owned()],
            "shared" => return vec!["repair".to_owned()],
            // The line that binds, not the limit: the limit stands on this rung.
            "held" => return vec![format!("line/{}", out.limit.binds)],
            other => {
                return other
                    .strip_prefix("fault/")
                    .map(|id| vec![format!("fault/{id}")])
                    .unwrap_or_default();
            }
        };
        let cents = split(
            rung.cash,
            &faults.iter().map(|fault| -fault.takes).collect::<Vec<_>>(),
        );
        for (fault, cash) in faults.iter().zip(cents) {
            let sentence = format!(
                "{} in 100, when there it takes about {}.",
                percent(fault.chance),
                with_commas(fault.takes / fault.chance.max(1e-9))
            );
            self.amount(
                &format!("takes/{}", fault.id),
                &fault.name,
                dollars(cash),
                TraceKind::Draws,
                &sentence,
                vec![format!("fault/{}", fault.id)],
            );
        }
        faults
            .iter()
            .map(|fault| format!("takes/{}", fault.id))
            .collect()
    }
}

fn rung_sentence(rung: &Rung) -> &'static str {
    match rung.id.as_str() {
        "room" => "What is left on average: the rungs above add up to it.",
        "right" => {
            "Held back so that you are not out of pocket in the share of draws you asked for."
        }
        "unseen" => "What was not checked, at its chance times its cost.",
        "shared" => "Steps that two repairs share are paid once.",
        "wear" => {
            "Parts whose last renewal is on file, against parts of unknown history: cars like it carry ordinary wear in their price."
        }
        "floor_lift" => {
            "In draws where putting it right does not pay, you would sell it on instead."
        }
        "rounding" => "Prices are said in round figures.",
        _ => "",
    }
}
