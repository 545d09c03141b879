//! The diagnosis on the program's own tables.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::print_stdout
)]

use crate::diagnosis_kit;

use diagnosis_kit::*;
use std::time::Instant;
use wrenchworth::car::{
    CarRecord, Drive, Fuel, Gearbox, SaltWinters, SizeClass, Steering, TimingDrive,
};
use wrenchworth::engine::diagnosis::{diagnose, reasons, reasons_of};
use wrenchworth::engine::luck::{DRAWS_A_TURN, Luck};
use wrenchworth::trade::{SignKind, Tables, derive};

fn ordinary_car() -> CarRecord {
    let mut car = reference_car();
    let facts = &mut car.particulars;
    facts.size_class = Some(SizeClass::Mid);
    facts.fuel = Some(Fuel::Petrol);
    facts.gearbox = Some(Gearbox::Automatic);
    facts.drive = Some(Drive::Front);
    facts.timing = Some(TimingDrive::Belt);
    facts.steering = Some(Steering::Hydraulic);
    facts.turbo = Some(false);
    facts.hybrid = Some(false);
    facts.air_conditioning = Some(true);
    facts.sunroof = Some(false);
    facts.salt_winters = Some(SaltWinters::Some);
    car
}

/// A visit with so many answers, about this share of them bad.
fn visit(dice: &mut Dice, tables: &Tables, answers: usize, bad: f64) -> CarRecord {
    let mut car = ordinary_car();
    while car.observations.len() < answers {
        let row = &tables.signs[dice.below(tables.signs.len())];
        if car.observations.iter().any(|one| one.sign == row.id) {
            continue;
        }
        let level = if dice.chance(bad) {
            1 + dice.below(row.levels.len() - 1)
        } else {
            0
        };
        let mut seen = saw(&row.id, level);
        seen.admitted = level > 0 && row.kind == SignKind::Symptom && dice.chance(0.3);
        car.observations.push(seen);
    }
    car.listing.whole_text_on_file = true;
    car
}

/// Asked "what is the cause of this lamp", the network gives the weights back (of the faults that this car can have).
#[test]
fn the_cause_weights_of_the_tables_come_out_again() {
    let tables = Tables::embedded().unwrap();
    let links = derive::links(&tables);
    let mut off = Vec::new();
    for row in &tables.signs {
        let Some(causes) = &row.causes else { continue };
        let mut car = ordinary_car();
        car.observations = vec![saw(&row.id, 1)];
        let found = diagnose(&car, &tables, &links, TODAY);
        let absent = |id: &&String| found.fault(id).is_none();
        let left_out: f64 = (causes.weights.keys().filter(absent))
            .map(|id| causes.weights[id])
            .sum();
        for (id, weight) in causes.weights.iter().filter(|pair| !absent(&pair.0)) {
            let why = reasons(&car, &tables, &links, TODAY, id);
            let part = why
                .iter()
                .find(|reason| reason.id == row.id)
                .and_then(|why| why.is_the_cause);
            off.push((
                (part.unwrap() - weight / (1.0 - left_out)).abs(),
                row.id.clone(),
                id.clone(),
            ));
        }
    }
    off.sort_by(|one, other| one.0.total_cmp(&other.0));
    let median = off[off.len() / 2].0;
    println!(
        "median {median:.4}; 90 % {:.4}; worst {:?} of {}",
        off[off.len() * 9 / 10].0,
        off.last(),
        off.len()
    );
    assert!(off.len() > 200);
    assert!(median < 0.03, "median {median}");
}

/// A sold car's faults: with nothing observed, chances are the priors' means and add up to a handful.
#[test]
fn with_nothing_observed_every_fault_stands_at_its_prior() {
    let tables = Tables::embedded().unwrap();
    let found = run(&ordinary_car(), &tables);
    for fault in &found.faults {
        let prior = tables.faults[fault.row].prior;
        assert!((fault.chance - prior).abs() < 1e-12 && (fault.ordinary - prior).abs() < 1e-12);
        assert!(fault.because_of.is_empty() && !fault.tied);
    }
    let sum: f64 = found.faults.iter().map(|fault| fault.chance).sum();
    println!("{} faults, {sum:.1} present on average", found.faults.len());
    assert!(
        found.log_evidence.abs() < 1e-9 && found.notes.is_empty(),
        "{:?}",
        found.notes
    );
}

#[test]
fn visits_of_every_size_come_out_in_bounds() {
    let tables = Tables::embedded().unwrap();
    let links = derive::links(&tables);
    let mut dice = Dice(21);
    let mut widths = Vec::new();
    for case in 0..60 {
        let answers = [10, 25, 50, 80][case % 4];
        let car = visit(&mut dice, &tables, answers, [0.2, 0.4, 0.6][case % 3]);
        let start = Instant::now();
        let found = diagnose(&car, &tables, &links, TODAY);
        widths.push((found.width, answers, start.elapsed()));
        assert!(
            found
                .faults
                .iter()
                .all(|fault| (0.0..=1.0).contains(&fault.chance))
        );
        assert!((found.care.iter().sum::<f64>() - 1.0).abs() < 1e-9);
        assert!(found.log_evidence.is_finite());
    }
    println!("{widths:?}");
}

/// So many signs hang together that walks are not kept: a block of draws goes through one component after another.
#[test]
fn draws_of_a_wide_cluster_have_the_exact_chances() {
    let tables = Tables::embedded().unwrap();
    let mut dice = Dice(23);
    let found = loop {
        let found = run(&visit(&mut dice, &tables, 70, 0.5), &tables);
        if found.width >= 14 {
            break found;
        }
    };
    let mut sampler = found.sampler();
    let (mut present, mut causes) = (vec![], vec![]);
    let turns = 512;
    let mut share = vec![0.0; found.faults.len()];
    for turn in 0..turns {
        sampler.draw(Luck::new(4), turn, &mut present, &mut causes);
        for (share, lanes) in share.iter_mut().zip(&present) {
            *share += f64::from(lanes.count_ones());
        }
    }
    let draws = f64::from(DRAWS_A_TURN * turns);
    for (fault, count) in found.faults.iter().zip(share) {
        let p = fault.chance;
        let error = 5.0 * (p * (1.0 - p) / draws).sqrt() + 1e-4;
        assert!(
            (count / draws - p).abs() < error,
            "{} {p} {}",
            fault.id,
            count / draws
        );
    }
}

#[test]
#[ignore = "timing, run by hand"]
fn how_long_it_takes() {
    let tables = Tables::embedded().unwrap();
    let start = Instant::now();
    let links = derive::links(&tables);
    println!("links {:?}", start.elapsed());
    let mut dice = Dice(22);
    for _ in 0..12 {
        let car = visit(&mut dice, &tables, 25, 0.4);
        let start = Instant::now();
        let found = diagnose(&car, &tables, &links, TODAY);
        let diagnosed = start.elapsed();
        let start = Instant::now();
        let mut sampler = found.sampler();
        let prepared = start.elapsed();
        let (mut present, mut causes) = (vec![], vec![]);
        let mut sum = 0;
        for turn in 0..1_250 {
            sampler.draw(Luck::new(1), turn, &mut present, &mut causes);
            sum += present.iter().map(|lanes| lanes.count_ones()).sum::<u32>();
        }
        let drawn = start.elapsed();
        let ids: Vec<&str> = found
            .faults
            .iter()
            .filter(|f| f.tied)
            .map(|f| f.id.as_str())
            .take(10)
            .collect();
        let start = Instant::now();
        let _ = reasons_of(&car, &tables, &links, TODAY, &ids);
        println!(
            "width {:2} signs {:2} faults {} (alone {}): diagnose {diagnosed:?}, sampler {prepared:?}, 20,000 draws {drawn:?} ({:.1} present), reasons {:?}",
            found.width,
            found.signs.len(),
            found.faults.len(),
            found.faults.iter().filter(|f| !f.tied).count(),
            f64::from(sum) / 20_000.0,
            start.elapsed()
        );
    }
}
