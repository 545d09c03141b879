//! How much of a missing tool's price one repair has to bear when its route is chosen: a tool is bought, borrowed or hired once for the
//! whole list of work, so what the rest of the list needs too need not be borne alone.
//!
//! The tool's expected price, its price times the chance that any work at home needs it, is shared out evenly by the chance of each work;
//! who does not come out cheaper at home on that drops out, and the rest bear more. What dropped out, or never was in, may then use what
//! is likely to be there anyway. Work that pays only together with one other by uneven shares is not found.

use super::routes::{Choice, Workshop, choose};
use crate::car::RouteWish;
use crate::trade::RepairRow;
use std::collections::BTreeMap;

/// A repair that this car may need.
#[derive(Debug, Clone, Copy)]
pub(super) struct Listed<'a> {
    /// Row of the repairs table.
    pub row: usize,
    /// The repair.
    pub repair: &'a RepairRow,
    /// The user's own wish.
    pub wish: Option<RouteWish>,
    /// Chance that it is needed.
    pub chance: f64,
}

/// Shares of tools, by repair.
#[derive(Debug, Clone, Default)]
pub(super) struct SharedTools {
    /// By repair row: share of each missing tool's price.
    shares: BTreeMap<usize, BTreeMap<String, f64>>,
}

/// Chances of the works at home that need a tool, by tool.
type Needs = BTreeMap<String, Vec<f64>>;

impl SharedTools {
    /// Shares for all the work that this car may need.
    pub(super) fn of(workshop: &Workshop<'_>, list: &[Listed<'_>]) -> Self {
        // Only work that pays at home with its tools there, and lacks some, is in question.
        let mut at_home: Vec<(Listed<'_>, Choice)> = (list.iter())
            .map(|listed| {
                (
                    *listed,
                    choose(workshop, listed.repair, listed.wish, &|_| 0.0),
                )
            })
            .filter(|(_, choice)| choice.at_home && !choice.missing_tools.is_empty())
            .collect();
        let mut out = Self::default();
        let mut left = Vec::new();
        loop {
            let needs = needs_of(&at_home);
            out.shares.clear();
            for (listed, choice) in &at_home {
                let shares = shares_of(choice, &needs, even_share);
                out.shares.insert(listed.row, shares);
            }
            let before = at_home.len();
            let (stay, go) = at_home
                .into_iter()
                .partition(|one| out.home(workshop, &one.0));
            at_home = stay;
            left.extend::<Vec<_>>(go);
            if at_home.len() == before {
                break;
            }
        }
        let needs = needs_of(&at_home);
        for (listed, choice) in left {
            let shares = shares_of(&choice, &needs, share_of_the_absent);
            out.shares.insert(listed.row, shares);
        }
        out
    }

    /// Share of a tool's price that a repair bears: all of it where nothing else is known.
    pub(super) fn share(&self, row: usize, tool: &str) -> f64 {
        let shares = self.shares.get(&row).and_then(|shares| shares.get(tool));
        shares.copied().unwrap_or(1.0)
    }

    fn home(&self, workshop: &Workshop<'_>, listed: &Listed<'_>) -> bool {
        let share = |tool: &str| self.share(listed.row, tool);
        choose(workshop, listed.repair, listed.wish, &share).at_home
    }
}

fn needs_of(at_home: &[(Listed<'_>, Choice)]) -> Needs {
    let mut needs = Needs::new();
    for (listed, choice) in at_home {
        for tool in &choice.missing_tools {
            needs.entry(tool.clone()).or_default().push(listed.chance);
        }
    }
    needs
}

fn shares_of(choice: &Choice, needs: &Needs, share: fn(&[f64]) -> f64) -> BTreeMap<String, f64> {
    let missing = choice.missing_tools.iter();
    missing
        .map(|tool| {
            let chances = needs.get(tool).map_or(&[][..], Vec::as_slice);
            (tool.clone(), share(chances))
        })
        .collect()
}

/// Chance that none of some independent works is needed.
fn none(chances: &[f64]) -> f64 {
    chances.iter().map(|chance| 1.0 - chance).product()
}

/// Of each of the works that need a tool, when needed: expected price over expected uses.
fn even_share(chances: &[f64]) -> f64 {
    let uses: f64 = chances.iter().sum();
    if uses > 0.0 {
        ((1.0 - none(chances)) / uses).min(1.0)
    } else {
        1.0
    }
}

/// Of a work that is not among them: the tool is to be got where none of them is needed.
fn share_of_the_absent(chances: &[f64]) -> f64 {
    none(chances)
}
