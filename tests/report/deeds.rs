//! A letter at two prices, and the drafts of receipt and bill of sale.

use super::letters::{TONES, amounts, weighed, wish, with_rotors};
use super::mini::{KNOWLEDGE, TODAY, buyer, car};
use wrenchworth::car::{CarRecord, Money, Move, Who};
use wrenchworth::engine::findings::findings;
use wrenchworth::engine::two_prices::{PriceIf, TwoPrices};
use wrenchworth::report::WeighedCar;
use wrenchworth::report::letter::{self, Deed, DeedKind, MOST_WORDS, Part, Statement, Tone};

fn two(good: (i64, i64), bad: (i64, i64)) -> TwoPrices {
    let price = |level, words: &str, (price, limit)| PriceIf {
        level,
        words: words.to_owned(),
        limit: Money::whole(limit),
        price: Money::whole(price),
    };
    TwoPrices {
        sign: "coolant-level".to_owned(),
        name: "coolant level".to_owned(),
        now: Money::whole(1_000),
        limit_now: Money::whole(1_300),
        good: price(0, "at the mark", good),
        bad: price(1, "low", bad),
        may_stop: true,
    }
}

#[test]
fn a_letter_at_two_prices_names_the_check_and_both_figures_and_none_over_its_limit() {
    let (car, buyer) = (with_rotors(), buyer());
    let out = weighed(&car, &buyer);
    let found = findings(&car, KNOWLEDGE.tables(), &buyer, TODAY);
    let weighed = WeighedCar {
        slug: "dabchick",
        name: &car.name,
        record: &car,
        appraisal: &out,
        findings: Some(&found),
    };
    let write = |two: &TwoPrices, tone: Tone| {
        letter::write_two(&weighed, &buyer, KNOWLEDGE.tables(), &wish(1, tone), two)
    };
    for tone in TONES {
        let letter = write(&two((1_150, 1_450), (900, 1_200)), tone)
            .letter
            .unwrap();
        assert!(letter.words() <= MOST_WORDS, "{}", letter.words());
        assert_eq!(letter.figure, Money::whole(1_150));
        assert_eq!(letter.if_not, Some(Money::whole(900)));
        let figures: Vec<&Statement> = letter
            .statements()
            .filter(|one| one.part == Part::Figure)
            .collect();
        assert_eq!(figures.len(), 1);
        assert_eq!(amounts(&figures[0].words), [1_150.0, 900.0]);
        assert!(figures[0].words.contains("coolant level: at the mark"));
        assert_eq!(figures[0].ground.id, "check/coolant-level");
        // Its limits stay with the user: they are in the ground alone.
        let text = letter::text(&letter, letter::WIDTH);
        assert!(!text.contains("1,450") && figures[0].ground.words.contains("1,450"));
    }
    let over = write(&two((1_500, 1_450), (900, 1_200)), Tone::Plain);
    assert_eq!(
        over.letter.unwrap_err(),
        "A figure of the two is over its limit."
    );
}

fn drafted(car: &CarRecord, kind: DeedKind) -> Result<Deed, String> {
    let out = weighed(car, &buyer());
    let weighed = WeighedCar {
        slug: "dabchick",
        name: &car.name,
        record: car,
        appraisal: &out,
        findings: None,
    };
    letter::deed(&weighed, KNOWLEDGE.tables(), kind, TODAY)
}

#[test]
fn receipt_and_bill_of_sale_read_like_this() {
    let mut car = with_rotors();
    car.talks = [
        (Who::You, 1_000),
        (Who::They, 1_300),
        (Who::You, 1_150),
        (Who::They, 1_150),
    ]
    .map(|(who, sum)| Move {
        who,
        amount: Some(Money::whole(sum)),
        words: String::new(),
        at: None,
    })
    .to_vec();
    let all: Vec<String> = [DeedKind::Receipt, DeedKind::BillOfSale]
        .into_iter()
        .map(|kind| {
            let deed = drafted(&car, kind).unwrap();
            assert_eq!(deed.price, Money::whole(1_150));
            let text = letter::deed_text(&deed, letter::WIDTH);
            // Nobody is named, and only the price of the log stands in it.
            assert_eq!(amounts(&text), [1_150.0]);
            assert!(!text.contains("Pennifold"), "{text}");
            format!(
                "{text}\n{}",
                letter::grounds(deed.statements(), letter::WIDTH)
            )
        })
        .collect();
    insta::assert_snapshot!("deeds", all.join("\n\n"));
}

#[test]
fn a_draft_needs_one_price_that_both_agreed_on() {
    let mut car = car();
    let why = |car: &CarRecord| drafted(car, DeedKind::Receipt).unwrap_err();
    assert!(why(&car).starts_with("no price is agreed"));
    for (who, sum) in [(Who::You, 1_000), (Who::They, 1_000)] {
        car.talks.push(Move {
            who,
            amount: Some(Money::whole(sum)),
            words: String::new(),
            at: None,
        });
    }
    car.bought_at = Some(Money::whole(950));
    assert!(
        why(&car).contains("agree on $1,000 and the price paid is $950"),
        "{}",
        why(&car)
    );
    car.bought_at = Some(Money::whole(1_000));
    assert_eq!(
        drafted(&car, DeedKind::BillOfSale).unwrap().price,
        Money::whole(1_000)
    );
}
