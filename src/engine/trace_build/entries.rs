//! What the user entered and the rows behind it: signs, faults, worth.

use super::{Tree, percent, plain};
use crate::car::{Answer, Known};
use crate::engine::amounts::{dollars, with_commas};
use crate::engine::figures::{FaultFigure, TraceKind, TraceNode};
use crate::engine::weighing::Weighing;
use crate::engine::worth::Worth;

impl Tree<'_> {
    pub(super) fn signs(&mut self, weighing: &Weighing<'_>) {
        for observation in &weighing.car.observations {
            let Some(sign) = self.tables.sign(&observation.sign) else {
                continue;
            };
            let answer = match observation.answer {
                Answer::Level(level) => sign.levels.get(level).cloned().unwrap_or_default(),
                Answer::NotSeen => "not seen".to_owned(),
                Answer::NotFitted => "not fitted".to_owned(),
            };
            let known = match observation.known {
                Known::Said => "they said so",
                Known::Paper => "on paper",
                Known::Seen => "seen by you",
                Known::Measured => "measured by you",
            };
            let when = observation
                .at
                .map_or_else(String::new, |at| format!(", {at}"));
            let row = format!("row/sign/{}", sign.id);
            let node = TraceNode {
                value: answer,
                sentence: sign.question.clone(),
                parts: vec![row.clone()],
                source: format!("{known}{when}"),
                ..plain(&sign.name, TraceKind::Entry)
            };
            self.put(format!("sign/{}", sign.id), node);
            let source = format!("signs, row {}, {}, {}", sign.id, sign.source, sign.as_of);
            self.put(
                row,
                TraceNode {
                    source,
                    sentence: sign.note.clone(),
                    ..plain(&sign.name, TraceKind::Row)
                },
            );
        }
        // Signs and tests that count though no answer is on file: a claim says them.
        let answered = |id: &str| {
            let mut answers = weighing
                .car
                .observations
                .iter()
                .filter(|observation| observation.sign == id);
            answers.any(|observation| matches!(observation.answer, Answer::Level(_)))
        };
        let signs = weighing.diagnosis.signs.iter().map(|sign| sign.row);
        let tests = weighing
            .diagnosis
            .signs
            .iter()
            .flat_map(|sign| sign.tests.iter().map(|test| test.0));
        let claimed = signs
            .chain(tests)
            .filter_map(|row| self.tables.signs.get(row))
            .filter(|row| !answered(&row.id));
        for row in claimed {
            let node = TraceNode {
                source: "from a claim in Story".to_owned(),
                ..plain(&row.name, TraceKind::Entry)
            };
            self.put(format!("sign/{}", row.id), node);
        }
    }

    pub(super) fn fault(&mut self, fault: &FaultFigure) {
        let row_id = format!("row/fault/{}", fault.id);
        if let Some(row) = self.tables.fault(&fault.id) {
            let source = format!("faults, row {}, {}, {}", row.id, row.source, row.as_of);
            let sentence = format!(
                "{} in 100 on a car of 15 years and 150,000 miles. {}",
                percent(row.prior),
                row.note
            );
            self.put(
                row_id.clone(),
                TraceNode {
                    source,
                    sentence,
                    amount: Some(row.prior),
                    ..plain(&row.name, TraceKind::Row)
                },
            );
        }
        let mut parts: Vec<String> = fault
            .because_of
            .iter()
            .map(|sign| format!("sign/{sign}"))
            .collect();
        parts.push(row_id);
        for way in &fault.ways {
            let id = format!("way/{}", way.repair);
            let node = TraceNode {
                value: format!("{}, {:.1} h", with_commas(way.cash[1]), way.hours[1]),
                sentence: way.why.clone(),
                source: way.source.clone(),
                ..plain(&way.name, TraceKind::Row)
            };
            self.put(id.clone(), node);
            parts.push(id);
        }
        let node = TraceNode {
            value: format!("{}%", percent(fault.chance)),
            amount: Some(fault.chance),
            sentence: format!(
                "It is there in {} of 100 draws. In an ordinary car like this, {}.",
                percent(fault.chance),
                percent(fault.ordinary)
            ),
            parts,
            ..plain(&fault.name, TraceKind::Product)
        };
        self.put(format!("fault/{}", fault.id), node);
    }

    pub(super) fn worth(&mut self, weighing: &Weighing<'_>, worth: Option<&Worth>) {
        let mut parts = Vec::new();
        if let Some(worth) = worth {
            for (at, moved) in worth.moved.iter().enumerate() {
                let node = TraceNode {
                    amount: Some(moved.moved_price),
                    value: format!("weight {:.0}%", moved.weight * 100.0),
                    sentence: moved.steps.join("; "),
                    source: "Story, comparables".to_owned(),
                    ..plain(&moved.name, TraceKind::Entry)
                };
                self.put(format!("comparable/{at}"), node);
                parts.push(format!("comparable/{at}"));
            }
        }
        if let Some(own) = weighing.car.worth.own {
            let node = TraceNode {
                amount: Some(dollars(own.likely)),
                value: format!("{} to {}", own.low, own.high),
                source: "Story, your own low, likely, high".to_owned(),
                ..plain("your own estimate", TraceKind::Entry)
            };
            self.put("own_worth", node);
            parts.push("own_worth".to_owned());
        }
        let sentence = "What it would be worth to you once right. Yours: nothing here knows the market but you.";
        let node = TraceNode {
            sentence: sentence.to_owned(),
            parts,
            ..plain("worth, once right", TraceKind::Product)
        };
        self.put("worth", node);
    }
}
