//! The trace: from every figure to the inputs, rows and settings it stands on.

use super::amounts::{dollars, money, split};
use super::figures::{
    Appraisal, FaultFigure, Rung, RungKind, Standing, Trace, TraceKind, TraceNode,
};
use super::weighing::Weighing;
use super::worth::Worth;
use crate::car::{Answer, Known};
use crate::trade::Tables;

/// All nodes of an appraisal.
pub(crate) fn build_trace(
    out: &Appraisal,
    weighing: &Weighing<'_>,
    worth: Option<&Worth>,
) -> Trace {
    let mut tree = Tree {
        trace: Trace::default(),
        tables: weighing.knowledge.tables(),
    };
    tree.settings(out, weighing);
    tree.signs(weighing);
    for fault in &out.faults {
        tree.fault(fault);
    }
    tree.ladder(out);
    tree.worth(weighing, worth);
    tree.money(out);
    tree.rest(out);
    tree.trace
}

struct Tree<'a> {
    trace: Trace,
    tables: &'a Tables,
}

fn plain(label: &str, kind: TraceKind) -> TraceNode {
    TraceNode {
        label: label.to_owned(),
        value: String::new(),
        amount: None,
        sentence: String::new(),
        kind,
        parts: Vec::new(),
        source: String::new(),
    }
}

impl Tree<'_> {
    fn put(&mut self, id: impl Into<String>, node: TraceNode) {
        self.trace.nodes.insert(id.into(), node);
    }

    fn amount(
        &mut self,
        id: &str,
        label: &str,
        amount: f64,
        kind: TraceKind,
        sentence: &str,
        parts: Vec<String>,
    ) {
        let node = TraceNode {
            amount: Some(amount),
            sentence: sentence.to_owned(),
            parts,
            ..plain(label, kind)
        };
        self.put(id, node);
    }

    fn settings(&mut self, out: &Appraisal, weighing: &Weighing<'_>) {
        let buyer = weighing.buyer;
        let mine = |field: &str| {
            if buyer.touched.contains(field) {
                "You"
            } else {
                "ours until you set it in You"
            }
        };
        let purpose = format!(
            "purpose {}, {}",
            weighing.purpose.name, weighing.purpose.as_of
        );
        let mut set = |id: &str, label: &str, amount: f64, source: &str| {
            let node = TraceNode {
                amount: Some(amount),
                source: source.to_owned(),
                ..plain(label, TraceKind::Setting)
            };
            self.put(format!("setting/{id}"), node);
        };
        set(
            "fees",
            "fees, fetching, first service",
            out.fees,
            mine("fees"),
        );
        set(
            "margin",
            "margin: share of worth",
            weighing.purpose.margin.share_of_worth,
            &purpose,
        );
        set(
            "margin_least",
            "margin at least",
            weighing.purpose.margin.least,
            &purpose,
        );
        set(
            "confidence",
            "be right, share of draws",
            weighing.confidence(),
            &purpose,
        );
        set(
            "hour_value",
            "value of an own hour",
            weighing.jobs.hour_value,
            mine("hour_value"),
        );
        set(
            "garage_rate",
            "garage hour",
            weighing.jobs.garage_rate,
            mine("garage_rate"),
        );
        set(
            "horizon",
            "miles to cover",
            weighing.journey.miles,
            &purpose,
        );
        if let Some(wallet) = weighing.wallet() {
            set("wallet", "left in the wallet", wallet, mine("wallet"));
        }
        let as_of = weighing.knowledge.tables().settings.as_of.clone();
        set("tables", "tables", 0.0, &format!("tables of {as_of}"));
        set(
            "seed",
            "seed of the draws",
            0.0,
            &format!(
                "seed {}, {} draws: the same every time",
                weighing.run.seed, weighing.run.draws
            ),
        );
    }

    fn signs(&mut self, weighing: &Weighing<'_>) {
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

    fn fault(&mut self, fault: &FaultFigure) {
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
                value: format!("{:.0}, {:.1} h", way.cash[1], way.hours[1]),
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

    /// Rungs, and what the joint rungs are made of, to the cent.
    fn ladder(&mut self, out: &Appraisal) {
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

    fn rung_parts(&mut self, out: &Appraisal, rung: &Rung) -> Vec<String> {
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
                "{} in 100, when there it takes about {:.0}.",
                percent(fault.chance),
                fault.takes / fault.chance.max(1e-9)
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

    fn worth(&mut self, weighing: &Weighing<'_>, worth: Option<&Worth>) {
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

    fn money(&mut self, out: &Appraisal) {
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

    fn rest(&mut self, out: &Appraisal) {
        let offer = TraceNode {
            amount: out.offer.settle.map(dollars),
            sentence: out.offer.words.clone(),
            parts: vec![
                "limit".to_owned(),
                "floor".to_owned(),
                "setting/tables".to_owned(),
            ],
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

fn rung_sentence(rung: &Rung) -> &'static str {
    match rung.id.as_str() {
        "room" => "What is left on average: the rungs above add up to it.",
        "right" => {
            "Held back so that you are not out of pocket in the share of draws you asked for."
        }
        "unseen" => "What was not checked, at its chance times its cost.",
        "shared" => "Steps that two repairs share are paid once.",
        "floor_lift" => {
            "In draws where putting it right does not pay, you would sell it on instead."
        }
        "rounding" => "Prices are said in round figures.",
        _ => "",
    }
}

fn percent(share: f64) -> String {
    let hundred = share * 100.0;
    if hundred > 0.0 && hundred < 1.0 {
        "<1".to_owned()
    } else if hundred > 99.0 && hundred < 100.0 {
        ">99".to_owned()
    } else {
        format!("{hundred:.0}")
    }
}
