//! What a check tells of, in words: why it is worth knowing.

use super::says::Says;
use super::{Desk, Rough};
use crate::trade::SignRow;
use crate::trade::derive::SignLinks;

/// Faults that are named.
const NAMED: usize = 3;

impl Desk<'_> {
    /// One sentence: the sign it settles or leads to, else how the car was kept or how open the seller is, else the faults behind the money.
    pub(super) fn because(&self, one: &Rough) -> String {
        let tables = self.weighing.knowledge.tables();
        let name = |seen: usize| {
            let sign = self.weighing.diagnosis.signs.get(seen)?;
            Some(tables.signs.get(sign.row)?.name.as_str())
        };
        if let Some(sign) = one.leads_to.and_then(name) {
            return format!("comes first: without it the test of “{sign}” says little");
        }
        match self.says(one.row) {
            Some(Says::Again(0)) if one.check.said.is_none() => {
                "the memory was cleared: silence tells nothing until it has been driven".to_owned()
            }
            Some(Says::Again(_)) => {
                "said or seen already: looking shows it to both of you".to_owned()
            }
            Some(Says::Cause(_, seen)) => {
                let sign = name(seen).unwrap_or_default();
                format!("tells which cause is behind “{sign}”")
            }
            Some(Says::Component(sign)) => of_component(sign),
            Some(Says::Faults(of)) => match (self.behind(&of.links), of.also) {
                (faults, Some(sign)) if faults.is_empty() => of_component(sign),
                (faults, _) => of_faults(&faults.join(", "), one.group.and_then(name)),
            },
            None => String::new(),
        }
    }

    /// Names of the faults that it would show, those first that it moves most money by.
    fn behind(&self, links: &SignLinks) -> Vec<String> {
        let (diagnosis, sums) = (&self.weighing.diagnosis, &self.weighing.columns.by_fault);
        let mut behind: Vec<(f64, usize)> = links
            .faults
            .iter()
            .filter_map(|link| {
                let place = self.table.place(link.fault)?;
                let takes = sums.get(place)?;
                let shows = diagnosis.shows_anew(place, link.levels.first().copied()?);
                let moved = shows * (takes.cured_cost + takes.lived_with);
                (moved > 0.0).then_some((moved, link.fault))
            })
            .collect();
        behind.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
        let rows = &self.weighing.knowledge.tables().faults;
        let names = behind.iter().filter_map(|(_, row)| rows.get(*row));
        names.take(NAMED).map(|row| row.name.clone()).collect()
    }
}

fn of_faults(list: &str, settles: Option<&str>) -> String {
    match settles {
        Some(sign) if list.is_empty() => format!("bears on “{sign}”"),
        Some(sign) => format!("bears on “{sign}”: {list}"),
        None if list.is_empty() => "tells little on this car".to_owned(),
        None => format!("tells of {list}"),
    }
}

/// A sign of care moves every fault a little, and of those there are many: that is why it often comes first.
fn of_component(sign: &SignRow) -> String {
    if sign.care.is_empty() {
        "tells how much this seller says: with it every fault they did not name moves a little"
            .to_owned()
    } else {
        "tells how the car was kept: with it every fault not yet seen moves a little, and there are many"
            .to_owned()
    }
}
