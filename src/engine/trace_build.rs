//! The trace: from every figure to the inputs, rows and settings it stands on.

mod entries;
mod ladder;
mod money;

use super::figures::{Appraisal, Trace, TraceKind, TraceNode};
use super::weighing::Weighing;
use super::worth::Worth;
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
