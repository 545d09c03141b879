//! Signs above benign that share faults hang together: each such cluster is worked through on its own.

use super::frontier::{Plan, plan};
use super::network::{Network, Node};
use crate::trade::Tables;

/// Faults and nodes that hang together, each planned; nodes that no fault explains are settled; a sign too many is dropped with a note.
pub(crate) fn clusters(network: &mut Network, tables: &Tables) -> (Vec<Plan>, Vec<usize>) {
    let greatest = tables.settings.diagnosis.greatest_width.min(24);
    loop {
        let groups = connected(network);
        let mut plans = Vec::new();
        let mut too_wide = None;
        for (signs, faults) in &groups {
            match plan(network, signs, faults, greatest) {
                Some(plan) => plans.push(plan),
                None => too_wide = too_wide.or_else(|| weakest(network, signs)),
            }
        }
        if let Some(node) = too_wide {
            drop_node(network, node, tables, "too many signs hang together");
            continue;
        }
        let tied: Vec<usize> = groups.into_iter().flat_map(|group| group.1).collect();
        let all = 0..network.faults.len();
        let alone = all.filter(|fault| !tied.contains(fault)).collect();
        return (plans, alone);
    }
}

/// Connected parts of the graph of nodes and faults: nodes and faults of each, by first node.
fn connected(network: &Network) -> Vec<(Vec<usize>, Vec<usize>)> {
    let mut part: Vec<Option<usize>> = vec![None; network.faults.len()];
    let mut parts: Vec<(Vec<usize>, Vec<usize>)> = Vec::new();
    for (at, node) in network.nodes.iter().enumerate() {
        let own = parts.len();
        parts.push((vec![at], Vec::new()));
        for link in &node.links {
            match part[link.fault] {
                Some(other) if other != own => {
                    let (signs, faults) = std::mem::take(&mut parts[other]);
                    for fault in &faults {
                        part[*fault] = Some(own);
                    }
                    parts[own].0.extend(signs);
                    parts[own].1.extend(faults);
                }
                Some(_) => {}
                None => {
                    part[link.fault] = Some(own);
                    parts[own].1.push(link.fault);
                }
            }
        }
    }
    for (signs, faults) in &mut parts {
        signs.sort_unstable();
        faults.sort_unstable();
    }
    parts.retain(|(_, faults)| !faults.is_empty());
    parts.sort();
    parts
}

/// The sign that says least: least direct, then likeliest explained by its leak, then the first.
pub(crate) fn weakest(network: &Network, signs: &[usize]) -> Option<usize> {
    let strength = |node: &Node| {
        let from_faults: f64 = node
            .links
            .iter()
            .map(|link| link.r * network.faults[link.fault].chances[2])
            .sum();
        from_faults / (from_faults + node.leak.1).max(f64::MIN_POSITIVE)
    };
    signs.iter().copied().min_by(|one, other| {
        let (a, b) = (&network.nodes[*one], &network.nodes[*other]);
        a.known
            .cmp(&b.known)
            .then(strength(a).total_cmp(&strength(b)))
            .then(one.cmp(other))
    })
}

pub(crate) fn drop_node(network: &mut Network, node: usize, tables: &Tables, why: &str) {
    let node = network.nodes.remove(node);
    let name = tables.signs.get(node.sign).map_or("", |row| &row.name);
    network.notes.push(format!("{name}: left out, {why}"));
}
