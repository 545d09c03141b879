//! Letters of invented cars, weighed by the engine's front door: what may stand in one, and what never does.

use super::mini::{KNOWLEDGE, TODAY, answered, buyer, car, run, saw};
use super::strategies::{any_car, ensure};
use jiff::civil::date;
use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::TestRunner;
use wrenchworth::car::{Answer, Buyer, CarRecord, Known, Money, Move, Who};
use wrenchworth::engine::Appraisal;
use wrenchworth::engine::amounts::dollars;
use wrenchworth::engine::findings::findings;
use wrenchworth::engine::replan::replan;
use wrenchworth::report::WeighedCar;
use wrenchworth::report::letter::{self, LetterWish, MOST_WORDS, Part, Statement, Tone, Written};

pub const TONES: [Tone; 3] = [Tone::Plain, Tone::Warm, Tone::Brief];

pub fn wish(round: usize, tone: Tone) -> LetterWish {
    LetterWish {
        round,
        tone,
        until: date(2026, 6, 8),
        until_is_own: false,
    }
}

fn written(car: &CarRecord, buyer: &Buyer, out: &Appraisal, wish: &LetterWish) -> Written {
    let found = findings(car, KNOWLEDGE.tables(), buyer, TODAY);
    let weighed = WeighedCar {
        slug: "dabchick",
        name: &car.name,
        record: car,
        appraisal: out,
        findings: Some(&found),
    };
    letter::write(&weighed, buyer, KNOWLEDGE.tables(), wish)
}

pub fn weighed(car: &CarRecord, buyer: &Buyer) -> Appraisal {
    KNOWLEDGE.appraise(car, buyer, &run(400))
}

/// Amounts in a sentence: what follows a mark.
pub fn amounts(words: &str) -> Vec<f64> {
    words
        .split('$')
        .skip(1)
        .map(|rest| {
            let digits: String = rest
                .chars()
                .take_while(|c| c.is_ascii_digit() || *c == ',')
                .filter(char::is_ascii_digit)
                .collect();
            digits.parse().unwrap()
        })
        .collect()
}

/// A ground that is on file: looked up in the record and the plan by its id alone.
fn is_on_file(one: &Statement, car: &CarRecord, buyer: &Buyer, out: &Appraisal) -> bool {
    let id = one.ground.id.as_str();
    match id.split_once('/') {
        Some(("sign", sign)) => {
            let least = if one.part == Part::Thanks { 0 } else { 1 };
            car.observations.iter().any(|seen| {
                seen.sign == sign
                    && seen.known >= Known::Seen
                    && (one.part == Part::Thanks
                        || matches!(seen.answer, Answer::Level(level) if level >= least))
            })
        }
        Some(("offer", step)) => step
            .strip_prefix("step/")
            .and_then(|round| round.parse::<usize>().ok())
            .is_some_and(|round| round >= 1 && round <= out.offer.steps.len()),
        Some(("listing", "asking")) => car.listing.asking.is_some(),
        Some(("listing", "advert")) => !car.listing.advert.is_empty(),
        Some(("listing", "certainty")) => car.listing.certainty,
        Some(("buyer", "wallet")) => buyer.wallet.is_some(),
        Some(("entry", "until")) => one.part == Part::Until,
        _ => false,
    }
}

/// Names of checks in a letter that the user did not make, or that came out as they should.
fn not_shown<'a>(text: &str, car: &CarRecord) -> Vec<&'a str> {
    let rows = &KNOWLEDGE.tables().signs;
    rows.iter()
        .filter(|row| text.contains(&format!("({}: ", row.name)))
        .filter(|row| {
            !car.observations.iter().any(|seen| {
                seen.sign == row.id
                    && seen.known >= Known::Seen
                    && matches!(seen.answer, Answer::Level(level) if level > 0)
            })
        })
        .map(|row| row.name.as_str())
        .collect()
}

fn law(car: &CarRecord, buyer: &Buyer, out: &Appraisal, wish: &LetterWish) -> Result<(), String> {
    let written = written(car, buyer, out, wish);
    let told = written.letter.iter().flat_map(letter::Letter::statements);
    for one in told.chain(&written.notice) {
        ensure(is_on_file(one, car, buyer, out), || {
            format!("no such ground: {one:?}")
        })?;
    }
    let notice = letter::notice_text(&written.notice, letter::WIDTH);
    ensure(amounts(&notice).is_empty(), || notice.clone())?;
    let Ok(letter) = written.letter else {
        return Ok(());
    };
    let limit = out.limit.price.ok_or("a letter without a limit")?;
    ensure(letter.words() <= MOST_WORDS, || {
        format!("{} words", letter.words())
    })?;
    let of = |part: Part| -> Vec<&Statement> {
        letter.statements().filter(|one| one.part == part).collect()
    };
    let figures: Vec<f64> = of(Part::Figure)
        .iter()
        .flat_map(|one| amounts(&one.words))
        .collect();
    ensure(figures.len() == 1, || format!("figures {figures:?}"))?;
    ensure(
        (figures[0] - dollars(out.offer.steps[wish.round - 1])).abs() < 0.51
            && letter.figure <= limit,
        || format!("{figures:?} over {limit}"),
    )?;
    ensure(of(Part::Finding).len() <= 2, || "three findings".to_owned())?;
    for one in letter.statements() {
        let may = matches!(one.part, Part::Figure | Part::Finding | Part::Wallet);
        ensure(may || amounts(&one.words).is_empty(), || one.words.clone())?;
        if one.part == Part::Wallet {
            let wallet = amounts(&one.words);
            let stated = buyer.wallet.map(dollars);
            ensure(stated == wallet.first().copied(), || one.words.clone())?;
        }
    }
    let text = letter::text(&letter, letter::WIDTH) + &notice;
    let odd = not_shown(&text.replace('\n', " "), car);
    ensure(odd.is_empty(), || format!("not shown: {odd:?} in {text}"))?;
    // Neither the seller, a rival nor a mechanic is spoken of.
    let lower = text.to_lowercase();
    for word in [
        "pennifold",
        "another buyer",
        "other car",
        "mechanic",
        "limit",
    ] {
        ensure(!lower.contains(word), || format!("{word} in {text}"))?;
    }
    Ok(())
}

fn any_talks() -> impl Strategy<Value = Vec<Move>> {
    let one = (any::<bool>(), prop::option::of(100_i64..5_000)).prop_map(|(you, amount)| Move {
        who: if you { Who::You } else { Who::They },
        amount: amount.map(Money::whole),
        words: "as said".to_owned(),
        at: None,
    });
    prop::collection::vec(one, 0..4)
}

/// A thousand cars, ten talks about each: the plan is made anew after each as on the screen.
#[test]
fn ten_thousand_invented_talks_get_no_letter_that_says_more_than_is_proven() {
    let mut runner = TestRunner::default();
    let strategy = (any_car(), any::<bool>(), prop::option::of(500_i64..6_000));
    let talk = (any_talks(), 0..3_usize, 1..4_usize);
    let (mut letters, mut told) = (0, 0);
    for case in 0..1_000 {
        let (mut car, certainty, wallet) = strategy.new_tree(&mut runner).unwrap().current();
        car.listing.certainty = certainty;
        let buyer = Buyer {
            wallet: wallet.map(Money::whole),
            ..buyer()
        };
        let mut out = KNOWLEDGE.appraise(&car, &buyer, &run(60));
        for _ in 0..10 {
            let (talks, tone, round) = talk.new_tree(&mut runner).unwrap().current();
            car.talks = talks;
            out.offer = replan(&out, &car, &buyer, KNOWLEDGE.tables(), TODAY);
            let wish = wish(round, TONES[tone]);
            if let Err(broken) = law(&car, &buyer, &out, &wish) {
                let car = serde_json::to_string_pretty(&car).unwrap();
                panic!("case {case}, {wish:?}: {broken}\n{car}");
            }
            if let Ok(letter) = written(&car, &buyer, &out, &wish).letter {
                letters += 1;
                told += letter
                    .statements()
                    .filter(|one| one.part == Part::Finding)
                    .count();
            }
        }
    }
    // The law is held against something.
    assert!(
        letters > 1_000 && told > 500,
        "{letters} letters, {told} findings"
    );
}

/// A car with deep-lipped rotors seen, rusty sills only said, and everything else open.
pub fn with_rotors() -> CarRecord {
    let mut car = car();
    car.observations.push(saw("brake-discs-seen", 2));
    let mut said = answered("sills-tapped", Answer::Level(2));
    said.known = Known::Said;
    car.observations.push(said);
    car.waivers = ["brake-discs-seen", "sills-tapped"]
        .map(|id| {
            let waiver = wrenchworth::car::Waiver {
                words: "seen worse".to_owned(),
                on: TODAY,
            };
            (id.to_owned(), waiver)
        })
        .into();
    car
}

#[test]
fn what_was_seen_is_told_with_its_cost_and_what_was_only_said_is_not() {
    let (car, buyer) = (with_rotors(), buyer());
    let out = weighed(&car, &buyer);
    for tone in TONES {
        let letter = written(&car, &buyer, &out, &wish(1, tone)).letter.unwrap();
        let text = letter::text(&letter, letter::WIDTH).replace('\n', " ");
        assert!(text.contains("(rotors: deep lip) takes about $"), "{text}");
        assert!(!text.contains("sills"), "{text}");
        assert_eq!(letter.figure, out.offer.open.unwrap());
    }
}

#[test]
fn the_letters_and_their_grounds_read_like_this() {
    let (mut car, mut buyer) = (with_rotors(), buyer());
    car.listing.certainty = true;
    buyer.wallet = Some(Money::whole(1_950));
    let out = weighed(&car, &buyer);
    let all: Vec<String> = TONES
        .iter()
        .map(|tone| {
            let written = written(&car, &buyer, &out, &wish(1, *tone));
            let letter = written.letter.unwrap();
            let told = letter.statements().chain(&written.notice);
            format!(
                "{tone:?}, {} words\n\n{}\n{}\n{}",
                letter.words(),
                letter::text(&letter, letter::WIDTH),
                letter::notice_text(&written.notice, letter::WIDTH),
                letter::grounds(told, letter::WIDTH)
            )
        })
        .collect();
    insta::assert_snapshot!("letters", all.join("\n\n"));
}

#[test]
fn an_unsafe_finding_is_told_deal_or_no_deal() {
    let (mut car, buyer) = (with_rotors(), buyer());
    car.bought_at = Some(Money::whole(900));
    let out = weighed(&car, &buyer);
    let written = written(&car, &buyer, &out, &wish(1, Tone::Plain));
    assert!(
        written
            .letter
            .unwrap_err()
            .starts_with("It is bought already")
    );
    assert_eq!(written.notice.len(), 1);
    assert!(written.notice[0].words.contains("rotors: deep lip"));
}

#[test]
fn no_letter_goes_over_a_stop_a_missing_worth_or_a_round_that_is_not_planned() {
    let buyer = buyer();
    let mut stopped = with_rotors();
    stopped.waivers.clear();
    let mut open = with_rotors();
    open.worth = Default::default();
    let why = |car: &CarRecord, round: usize| {
        let out = weighed(car, &buyer);
        written(car, &buyer, &out, &wish(round, Tone::Plain))
            .letter
            .unwrap_err()
    };
    assert!(why(&stopped, 1).starts_with("STOP: "));
    assert!(why(&open, 1).starts_with("There is no limit"));
    assert!(why(&with_rotors(), 9).contains("there is no round 9"));
}

#[test]
fn a_figure_over_the_limit_is_refused_even_where_they_took_it() {
    let (mut car, buyer) = (with_rotors(), buyer());
    let over = Money::whole(1_890);
    for who in [Who::You, Who::They] {
        car.talks.push(Move {
            who,
            amount: Some(over),
            words: String::new(),
            at: None,
        });
    }
    let out = weighed(&car, &buyer);
    assert!(out.limit.price.unwrap() < over);
    assert_eq!(out.offer.steps, [over]);
    let why = written(&car, &buyer, &out, &wish(1, Tone::Plain))
        .letter
        .unwrap_err();
    assert!(why.contains("over your limit"), "{why}");
}

#[test]
fn a_wallet_is_told_only_where_it_was_stated_and_speaks_for_the_figure() {
    let car = with_rotors();
    let says = |wallet: Option<i64>| {
        let buyer = Buyer {
            wallet: wallet.map(Money::whole),
            ..buyer()
        };
        let out = weighed(&car, &buyer);
        let letter = written(&car, &buyer, &out, &wish(1, Tone::Plain))
            .letter
            .unwrap();
        letter.statements().any(|one| one.part == Part::Wallet)
    };
    assert!(says(Some(1_950)));
    assert!(
        !says(Some(9_000)),
        "more than they ask and the work: it would speak against"
    );
    assert!(!says(None));
}

#[test]
fn what_is_merely_worn_is_no_notice_of_danger() {
    let (mut car, buyer) = (car(), buyer());
    car.observations.push(saw("brake-discs-seen", 1));
    car.pins
        .insert("BRA02".to_owned(), wrenchworth::car::Pin::Certain);
    let out = weighed(&car, &buyer);
    let written = written(&car, &buyer, &out, &wish(1, Tone::Plain));
    assert!(written.notice.is_empty(), "{:?}", written.notice);
    let letter = written.letter.unwrap();
    assert!(letter.statements().any(|one| one.part == Part::Finding));
}

#[test]
fn an_unsafe_finding_is_told_though_the_car_is_refused() {
    let (mut car, buyer) = (with_rotors(), buyer());
    car.waivers.clear();
    let out = weighed(&car, &buyer);
    let written = written(&car, &buyer, &out, &wish(1, Tone::Plain));
    assert!(written.letter.unwrap_err().starts_with("STOP: "));
    let notice = letter::notice_text(&written.notice, letter::WIDTH);
    assert!(
        notice.replace('\n', " ").contains("rotors: deep lip"),
        "{notice}"
    );
}
