//! Fifteen components, one for each pair of care and openness: every cluster of signs is worked through in each, and they are mixed.

use super::clusters::{clusters, drop_node, weakest};
use super::frontier::Plan;
use super::network::{Network, Node};
use super::recursion::{Messages, Solved, Weights, solve};
use crate::trade::Tables;
use crate::trade::settings::DiagnosisSettings;
use std::cmp::Ordering;

/// One pair of care and openness.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Component {
    pub care: usize,
    pub openness: usize,
    /// Weight before, and after all that is known.
    pub prior: f64,
    pub weight: f64,
    /// Index of its run in every cluster.
    pub run: usize,
}

/// A cluster worked through in one component.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Run {
    pub log_evidence: f64,
    /// By step of the plan, then by held fault.
    pub chances: Vec<f64>,
    /// By pattern of held faults (bit i: held fault i is present): weight after all that is known.
    pub patterns: Vec<f64>,
    /// For the fault asked for: chance that it is the cause, by index of node.
    pub reach: Vec<(usize, f64)>,
}

/// Signs above benign that share faults, with those faults.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Cluster {
    pub plan: Plan,
    pub runs: Vec<Run>,
}

/// The network worked through.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Model {
    pub network: Network,
    pub clusters: Vec<Cluster>,
    /// Faults (index in the network) that are tied to no sign above benign.
    pub alone: Vec<usize>,
    /// Rising by mean hazard, so that one stretch of luck means one kind of car.
    pub components: Vec<Component>,
    pub log_evidence: f64,
    pub width: usize,
}

/// Works the network through. `asked` is a fault (index in the network) whose part as a cause is wanted.
pub(crate) fn work_through(mut network: Network, tables: &Tables, asked: Option<usize>) -> Model {
    let settings = &tables.settings.diagnosis;
    loop {
        let (plans, alone) = clusters(&mut network, tables);
        let mut components = components(&network, settings);
        let clusters: Vec<Cluster> = plans
            .into_iter()
            .map(|plan| run_all(&network, plan, &components, asked))
            .collect();
        let log_evidence = weigh(&network, &clusters, &alone, &mut components, settings);
        let impossible = clusters.iter().find(|cluster| {
            let mut runs = cluster.runs.iter();
            runs.all(|run| run.log_evidence == f64::NEG_INFINITY)
        });
        if let Some(cluster) = impossible
            && let Some(weakest) = weakest(&network, &cluster.plan.signs)
        {
            drop_node(&mut network, weakest, tables, "it contradicts the rest");
            continue;
        }
        let width = clusters
            .iter()
            .map(|cluster| cluster.plan.width)
            .max()
            .unwrap_or(0);
        note_held(&mut network, &clusters, tables);
        return Model {
            network,
            clusters,
            alone,
            components,
            log_evidence,
            width,
        };
    }
}

fn note_held(network: &mut Network, clusters: &[Cluster], tables: &Tables) {
    for cluster in clusters.iter().filter(|one| !one.plan.held.is_empty()) {
        let names: Vec<&str> = (cluster.plan.held.iter())
            .filter_map(|fault| tables.faults.get(network.faults[*fault].row))
            .map(|row| row.name.as_str())
            .collect();
        network.notes.push(format!(
            "many signs hang together: reckoned with and without {} in turn, still exact",
            names.join(", ")
        ));
    }
}

impl Model {
    /// Chance of every fault of the network, mixed over the components.
    pub(crate) fn chances(&self) -> Vec<f64> {
        let mut chances = vec![0.0; self.network.faults.len()];
        for component in &self.components {
            for fault in &self.alone {
                let (absent, present) =
                    self.network.faults[*fault].weights(component.care, component.openness);
                let all = absent + present;
                if all > 0.0 {
                    chances[*fault] += component.weight * present / all;
                }
            }
            for cluster in &self.clusters {
                let steps = cluster.plan.steps.iter().map(|step| step.fault);
                let faults = steps.chain(cluster.plan.held.iter().copied());
                let run = &cluster.runs[component.run];
                for (fault, chance) in faults.zip(&run.chances) {
                    chances[fault] += component.weight * chance;
                }
            }
        }
        for chance in &mut chances {
            *chance = chance.clamp(0.0, 1.0);
        }
        chances
    }

    /// For the fault asked for: chance that it is the cause, by index of node, mixed.
    pub(crate) fn reach(&self) -> Vec<(usize, f64)> {
        let mut mixed: Vec<(usize, f64)> = Vec::new();
        for component in &self.components {
            for cluster in &self.clusters {
                for (node, chance) in &cluster.runs[component.run].reach {
                    let part = component.weight * chance;
                    match mixed.iter_mut().find(|known| known.0 == *node) {
                        Some(known) => known.1 += part,
                        None => mixed.push((*node, part)),
                    }
                }
            }
        }
        mixed
    }
}

/// What the signs of care and of openness weigh in a component.
fn apart(network: &Network, component: &Component) -> f64 {
    network.care[component.care] * network.openness[component.openness]
}

/// All pairs with any weight, and which share a run of the clusters.
fn components(network: &Network, settings: &DiagnosisSettings) -> Vec<Component> {
    let silent = (network.faults.iter()).any(|fault| {
        let [first, second, third] = fault.silence;
        first.total_cmp(&second) != Ordering::Equal || second.total_cmp(&third) != Ordering::Equal
    });
    let total: f64 =
        settings.care_weights.iter().sum::<f64>() * settings.openness_weights.iter().sum::<f64>();
    let mut found: Vec<(f64, Component)> = Vec::new();
    for care in 0..5 {
        for openness in 0..3 {
            let prior = settings.care_weights[care] * settings.openness_weights[openness] / total;
            if prior <= 0.0 {
                continue;
            }
            let hazard = network
                .faults
                .iter()
                .map(|fault| {
                    let present = fault.chances[care] * fault.silence[openness];
                    present / (1.0 - fault.chances[care] + present).max(f64::MIN_POSITIVE)
                })
                .sum();
            let component = Component {
                care,
                openness,
                prior,
                weight: prior,
                run: if silent {
                    care * 3 + openness
                } else {
                    care * 3
                },
            };
            found.push((hazard, component));
        }
    }
    let mut runs: Vec<usize> = found.iter().map(|one| one.1.run).collect();
    runs.dedup();
    for (_, component) in &mut found {
        component.run = runs.binary_search(&component.run).unwrap_or(0);
    }
    // Even hazards (no silence) keep their order by care, then openness.
    found.sort_by(|one, other| one.0.total_cmp(&other.0));
    found.into_iter().map(|one| one.1).collect()
}

fn run_all(
    network: &Network,
    plan: Plan,
    components: &[Component],
    asked: Option<usize>,
) -> Cluster {
    let count = components.iter().map(|one| one.run + 1).max().unwrap_or(0);
    let mut messages = Messages::default();
    let runs = (0..count)
        .filter_map(|run| components.iter().find(|component| component.run == run))
        .map(|component| {
            let weights = fault_weights(network, component);
            run_patterns(network, &plan, &weights, &mut messages, asked)
        })
        .collect();
    Cluster { plan, runs }
}

/// Weights of all faults in a component.
pub(crate) fn fault_weights(network: &Network, component: &Component) -> Vec<(f64, f64)> {
    network
        .faults
        .iter()
        .map(|fault| fault.weights(component.care, component.openness))
        .collect()
}

/// The leaks of the plan's signs when some of the held faults are present: those work like a leak.
pub(crate) fn leaks(network: &Network, plan: &Plan, pattern: usize) -> Vec<(f64, f64)> {
    plan.signs
        .iter()
        .map(|node| {
            let node = &network.nodes[*node];
            held_links(node, plan, pattern)
                .map(|(_, q, r)| (q, r))
                .fold(node.leak, join)
        })
        .collect()
}

/// Two sources as one: both stay under, or at least one reaches.
pub(crate) fn join((under, at): (f64, f64), (q, r): (f64, f64)) -> (f64, f64) {
    (under * q, at * (q + r) + under * r)
}

/// Links of a node to the held faults that are present in a pattern: fault, q, r.
pub(crate) fn held_links<'a>(
    node: &'a Node,
    plan: &'a Plan,
    pattern: usize,
) -> impl Iterator<Item = (usize, f64, f64)> + 'a {
    let present = plan.held.iter().enumerate();
    present
        .filter(move |(bit, _)| pattern >> bit & 1 == 1)
        .filter_map(|(_, fault)| {
            let at = node.links.binary_search_by_key(fault, |link| link.fault);
            let link = node.links.get(at.ok()?)?;
            Some((*fault, link.q, link.r))
        })
}

/// Signs whose every fault is held: nothing but their composite leak explains them.
fn closed_by_leak(plan: &Plan, leak: &[(f64, f64)]) -> f64 {
    let mut opened = vec![false; plan.signs.len()];
    for sign in plan.steps.iter().flat_map(|step| &step.opens) {
        opened[*sign] = true;
    }
    opened
        .iter()
        .zip(leak)
        .filter(|(opened, _)| !**opened)
        .map(|(_, leak)| leak.1)
        .product()
}

fn run_patterns(
    network: &Network,
    plan: &Plan,
    weights: &[(f64, f64)],
    messages: &mut Messages,
    asked: Option<usize>,
) -> Run {
    let solved: Vec<(f64, Solved)> = (0..1_usize << plan.held.len())
        .map(|pattern| {
            let leak = leaks(network, plan, pattern);
            let held = plan.held.iter().enumerate().map(|(bit, fault)| {
                let (absent, present) = weights[*fault];
                if pattern >> bit & 1 == 1 {
                    present
                } else {
                    absent
                }
            });
            let factor = held.product::<f64>() * closed_by_leak(plan, &leak);
            let weights = Weights {
                faults: weights,
                leak: &leak,
            };
            let solved = solve(plan, weights, messages, asked);
            (libm::log(factor) + solved.log_evidence, solved)
        })
        .collect();
    let (log_evidence, patterns) = normalise(solved.iter().map(|one| one.0));
    let mut run = Run {
        log_evidence,
        chances: vec![0.0; plan.steps.len() + plan.held.len()],
        patterns,
        reach: Vec::new(),
    };
    for (pattern, (weight, (_, solved))) in run.patterns.iter().zip(&solved).enumerate() {
        for (chance, part) in run.chances.iter_mut().zip(&solved.chances) {
            *chance += weight * part;
        }
        for bit in 0..plan.held.len() {
            if pattern >> bit & 1 == 1 {
                run.chances[plan.steps.len() + bit] += weight;
            }
        }
        run.reach.extend(
            solved
                .reach
                .iter()
                .map(|(sign, chance)| (plan.signs[*sign], weight * chance)),
        );
    }
    run
}

/// Log of the sum, and the shares; all even where everything is impossible.
fn normalise(logs: impl Iterator<Item = f64> + Clone) -> (f64, Vec<f64>) {
    let top = logs.clone().fold(f64::NEG_INFINITY, f64::max);
    if top == f64::NEG_INFINITY {
        let count = logs.count();
        return (top, vec![1.0 / count.max(1) as f64; count]);
    }
    let parts: Vec<f64> = logs.map(|log| libm::exp(log - top)).collect();
    let sum: f64 = parts.iter().sum();
    (
        top + libm::log(sum),
        parts.iter().map(|part| part / sum).collect(),
    )
}

/// Weights of the components after all that is known; returns the log of the evidence.
fn weigh(
    network: &Network,
    clusters: &[Cluster],
    alone: &[usize],
    components: &mut [Component],
    settings: &DiagnosisSettings,
) -> f64 {
    // Nodes without any fault are explained by their leak alone, in every component alike.
    let settled: f64 = network
        .nodes
        .iter()
        .filter(|node| node.links.is_empty())
        .map(|node| libm::log(node.leak.1))
        .sum();
    let logs: Vec<f64> = components
        .iter()
        .map(|component| {
            let openness = settings.openness_levels[component.openness];
            let told = libm::pow(openness, f64::from(network.admissions));
            let mut log = libm::log(component.prior * told * apart(network, component));
            for fault in alone {
                let (absent, present) =
                    network.faults[*fault].weights(component.care, component.openness);
                log += libm::log(absent + present);
            }
            for cluster in clusters {
                log += cluster.runs[component.run].log_evidence;
            }
            log
        })
        .collect();
    let (log, shares) = normalise(logs.into_iter());
    for (component, share) in components.iter_mut().zip(shares) {
        // Where nothing is possible the priors stand.
        component.weight = if log.is_finite() {
            share
        } else {
            component.prior
        };
    }
    log + settled + network.log_constant
}
