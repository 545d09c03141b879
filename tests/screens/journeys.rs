//! (state, keys, state): the tasks of a buyer at a driveway.

use super::common::Desk;
use super::golden::on;
use wrenchworth::car::*;
use wrenchworth::tui::app::Effect;
use wrenchworth::tui::screens::Screen;

const ADVERT: &str = "2008 Pudd Newt 1.4, 121k miles.\nRuns well, $1,400.\nq\nd\n:quit\n";

#[test]
fn a_pasted_advert_becomes_a_car_with_an_offer_in_five_keys() {
    // paste, Enter, ‹2800 3250 3700›, Enter, g, m.
    let mut desk = Desk::driveway();
    desk.paste(ADVERT);
    // What was read is shown before the car is made, so that it can be corrected.
    let text = desk.text();
    for read in [
        "Pudd",
        "Newt 1.4",
        "2008",
        "121,000 mi",
        "asks 1,400",
        "Correct",
    ] {
        assert!(text.contains(read), "{read}\n{text}");
    }
    desk.keys("{Enter}2800 3250 3700{Enter}gm");
    let car = desk.car();
    assert_eq!(car.listing.asking, Some(Money::whole(1400)));
    assert_eq!(car.particulars.odometer_miles, Some(121_000.0));
    assert_eq!(car.particulars.year, Some(2008));
    let facts = &car.particulars;
    assert_eq!(
        (facts.make.as_str(), facts.model.as_str()),
        ("Pudd", "Newt 1.4")
    );
    assert!(car.listing.whole_text_on_file && car.listing.advert.contains(":quit"));
    assert_eq!(
        car.worth.own.map(|own| own.likely),
        Some(Money::whole(3250))
    );
    assert_eq!(desk.app.screen, Screen::Money);
    assert!(desk.text().contains("open"), "{}", desk.text());
    assert!(desk.app.data.figures().unwrap().offer.open.is_some());
}

#[test]
fn a_paste_runs_no_command() {
    let mut desk = on("gm");
    let cars = desk.app.data.cars.len();
    desk.paste("d\nq\nx\n\u{1b}[2J");
    assert_eq!(desk.app.data.cars.len(), cars);
    assert!(!desk.done.contains(&Effect::Quit));
    desk.keys("{Esc}");
    assert!(desk.app.overlay.is_none());
    // In a field the paste is one insertion: its line feeds keep nothing.
    desk.keys("n").paste("one\ntwo\u{202e}\u{1b}[31m\n");
    assert!(desk.app.overlay.is_some());
    desk.keys("{Enter}");
    assert_eq!(
        desk.car().notes.last().map(String::as_str),
        Some("one two[31m")
    );
}

#[test]
fn a_new_car_is_typed_in_as_questions() {
    let mut desk = Desk::empty();
    desk.keys("2Zorrel{Enter}Dabchick 1.8 2009{Enter}146k{Enter}1850{Enter}2750 3250 3650{Enter}");
    let car = desk.car();
    assert_eq!(
        (car.name.as_str(), car.particulars.make.as_str()),
        ("Dabchick 1.8 2009", "Zorrel")
    );
    assert_eq!(car.particulars.odometer_miles, Some(146_000.0));
    assert_eq!(desk.shelf.borrow().cars.len(), 1);
    assert!(desk.app.data.figures().unwrap().limit.price.is_some());
    assert_eq!(desk.app.screen, Screen::Story);
}

#[test]
fn a_wrong_number_keeps_the_text_and_says_why() {
    let mut desk = Desk::empty();
    desk.keys("aZorrel{Enter}Dabchick{Enter}l46k{Enter}{Enter}{Enter}");
    assert!(desk.text().contains("is not a number"), "{}", desk.text());
    assert!(desk.app.data.cars.is_empty());
    desk.keys("{Esc}a");
    assert!(
        desk.text().contains("l46k"),
        "the draft is kept:\n{}",
        desk.text()
    );
}

#[test]
fn a_code_is_added_in_three_keys_and_the_word() {
    // a ‹p0171› Enter 1; the digit counts from the first answer shown.
    let mut desk = on("gf");
    let before = desk.app.data.figures().unwrap().limit.price;
    desk.keys("ap0171{Enter}2");
    let seen = desk
        .car()
        .observations
        .iter()
        .find(|seen| seen.sign == "p0171")
        .unwrap();
    assert_eq!(
        (seen.answer, seen.known, seen.admitted),
        (Answer::Level(1), Known::Seen, false)
    );
    assert_ne!(desk.app.data.figures().unwrap().limit.price, before);
    assert!(
        desk.text().contains("→"),
        "the bottom line shows the move:\n{}",
        desk.text()
    );
    desk.keys("j");
    assert!(!desk.text().contains("→ 1"), "until the next key");
}

#[test]
fn a_misspelt_word_finds_the_sign_and_an_unknown_one_becomes_a_note() {
    let mut desk = on("gf");
    desk.keys("arattel cold{Enter}2");
    assert!(
        desk.car()
            .observations
            .iter()
            .any(|seen| seen.sign == "cold-rattle")
    );
    desk.keys("awubble{Enter}");
    assert_eq!(desk.car().notes.last().map(String::as_str), Some("wubble"));
    assert_eq!(desk.said(), "kept as a note on the car; it moves no figure");
}

#[test]
fn an_admission_is_told_from_what_was_seen() {
    let mut desk = on("gf");
    desk.keys("aidle{Enter}{Tab}{Tab}{Tab}2");
    let seen = desk
        .car()
        .observations
        .iter()
        .find(|seen| seen.sign == "idle-hunts")
        .unwrap();
    assert!(seen.admitted && seen.known == Known::Said);
}

#[test]
fn a_stop_is_shown_and_waived_only_in_words() {
    let mut desk = on("gf");
    desk.keys("abrake{Enter}4");
    assert!(desk.text().contains("STOP"));
    desk.keys("x{Enter}");
    assert!(desk.car().waivers.is_empty(), "no words, no waiver");
    desk.keys("towed home, new cylinder priced{Enter}");
    assert_eq!(
        desk.car().waivers["brake-pedal"].words,
        "towed home, new cylinder priced"
    );
    assert!(desk.text().contains("■ waived"), "{}", desk.text());
    desk.keys("u");
    assert!(desk.text().contains("■ STOP"), "{}", desk.text());
}

#[test]
fn claims_go_in_pro_and_con_equally_fast_and_bare_praise_moves_nothing() {
    let mut desk = on("gs");
    desk.app.views.cursor_mut(Screen::Story).part = 2;
    let limit = desk.app.data.figures().unwrap().limit.price;
    desk.keys("aone owner{Enter}1");
    assert_eq!(desk.said(), "without proof it changes no figure");
    desk.keys("aburns oil{Enter}2");
    let claims = &desk.car().claims;
    let last: Vec<_> = claims
        .iter()
        .rev()
        .take(2)
        .map(|claim| (claim.text.as_str(), claim.pro))
        .collect();
    assert_eq!(last, [("burns oil", false), ("one owner", true)]);
    assert_eq!(desk.app.data.figures().unwrap().limit.price, limit);
    desk.keys(">p");
    assert_eq!(desk.car().claims.last().unwrap().proof, Some(Known::Paper));
    desk.keys("2");
    assert_eq!(desk.car().claims.last().unwrap().stamp, Stamp::Contradicted);
}

#[test]
fn an_offer_over_the_limit_is_refused_in_words() {
    let mut desk = on("gm");
    let limit = desk.app.data.figures().unwrap().limit.price.unwrap();
    desk.keys("a19999{Enter}");
    assert!(
        desk.text().contains("is over your limit of"),
        "{}",
        desk.text()
    );
    assert!(
        desk.text().contains("not for talk") || desk.text().contains("for findings"),
        "{limit}"
    );
    assert!(desk.car().talks.is_empty());
    desk.keys("{Esc}");
}

#[test]
fn a_counter_is_logged_in_five_keys_and_the_sum() {
    // g m a 2 ‹1700› Enter.
    let mut desk = on("gc");
    desk.keys("gma21700{Enter}");
    let said = desk.car().talks.last().unwrap();
    assert_eq!(
        (said.who, said.amount),
        (Who::They, Some(Money::whole(1700)))
    );
    desk.keys("d");
    assert!(desk.car().talks.is_empty());
}

#[test]
fn three_cars_are_compared_in_eight_keys() {
    // first, third and fourth row: x j j x j x g b.
    let mut desk = Desk::driveway();
    desk.keys("<xjjxjxgb");
    assert_eq!(desk.app.marks.len(), 3);
    assert_eq!(
        desk.app
            .data
            .compared
            .as_ref()
            .map(|compared| compared.cars.len()),
        Some(3)
    );
    assert!(desk.text().contains("none of these"), "{}", desk.text());
}

#[test]
fn a_fault_is_pinned_and_let_go() {
    let mut desk = on("gf");
    let fault = wrenchworth::tui::screens::faults::in_hand(&desk.app)
        .unwrap()
        .id
        .clone();
    desk.keys("3");
    assert_eq!(desk.car().pins.get(&fault), Some(&Pin::RuledOut));
    desk.keys("u");
    assert!(desk.car().pins.is_empty());
    desk.keys("U");
    assert_eq!(desk.car().pins.get(&fault), Some(&Pin::RuledOut));
}

#[test]
fn undo_goes_to_where_it_was_done_first_and_says_so() {
    let mut desk = on("gf");
    desk.keys("2gm");
    desk.keys("u");
    assert_eq!(desk.app.screen, Screen::Faults);
    assert!(
        desk.said().starts_with("u again takes back"),
        "{}",
        desk.said()
    );
    assert!(!desk.car().pins.is_empty());
    desk.keys("u");
    assert!(desk.car().pins.is_empty());
    assert!(desk.said().starts_with("undone"));
}

#[test]
fn a_removed_car_lies_in_the_bin_and_comes_back() {
    let mut desk = on("gc");
    let slug = desk.app.data.hand.clone().unwrap();
    desk.keys("d");
    assert!(desk.app.data.entry(&slug).is_none() && desk.shelf.borrow().bin.contains_key(&slug));
    desk.keys("u");
    assert!(desk.app.data.entry(&slug).is_some() && desk.shelf.borrow().cars.contains_key(&slug));
}

#[test]
fn skill_and_wallet_reprice_every_car() {
    let mut desk = on("gy");
    desk.app.views.cursor_mut(Screen::You).part = 4;
    desk.done.clear();
    desk.keys("5");
    assert_eq!(desk.app.data.buyer.skill.get(&System::Engine), Some(&5));
    let weighed = desk
        .done
        .iter()
        .filter(|effect| matches!(effect, Effect::Weigh { .. }))
        .count();
    assert_eq!(weighed, desk.app.data.cars.len());
    assert_eq!(
        desk.shelf.borrow().buyer.skill.get(&System::Engine),
        Some(&5)
    );
}

#[test]
fn a_wish_is_made_and_ticked_for_the_car() {
    let mut desk = on("gy");
    desk.app.views.cursor_mut(Screen::You).part = 6;
    desk.keys("aroof rack{Enter}1{Enter}");
    assert_eq!(
        desk.app.data.buyer.wishes.last().map(|wish| wish.kind),
        Some(WishKind::MustHave)
    );
    desk.keys("gs");
    desk.app.views.cursor_mut(Screen::Story).part = 5;
    desk.keys(">2");
    assert_eq!(desk.car().wishes_met.get("roof-rack"), Some(&false));
    assert!(desk.said().contains("stop"), "{}", desk.said());
}

#[test]
fn particulars_are_edited_with_words_as_choices() {
    let mut desk = on("gs");
    desk.app.views.cursor_mut(Screen::Story).part = 0;
    desk.keys("<jjjjjje");
    desk.keys("2{Enter}");
    assert_eq!(desk.car().particulars.gearbox, Some(Gearbox::Automatic));
}

#[test]
fn every_figure_of_the_ladder_opens_down_to_a_row_with_its_source() {
    let mut desk = on("gm");
    desk.keys("v");
    let rungs = wrenchworth::tui::screens::money::steps(&desk.app).len();
    for _ in 0..rungs {
        desk.keys("w1");
        for _ in 0..3 {
            desk.keys("1");
        }
        assert!(
            desk.text().contains("invented for tests, 2026-09"),
            "{}",
            desk.text()
        );
        desk.keys("wj");
    }
}

#[test]
fn figures_that_answer_an_older_request_are_dropped() {
    let mut desk = on("gf");
    let figures = desk.app.data.car().unwrap().figures.clone().unwrap();
    let ticket = desk.app.data.car().unwrap().ticket;
    let mut old = (*figures).clone();
    old.limit.price = Some(Money::whole(1));
    desk.send(wrenchworth::tui::app::Action::Weighed {
        slug: "dabchick".to_owned(),
        ticket: ticket - 1,
        rough: false,
        appraisal: std::sync::Arc::new(old),
    });
    assert_eq!(
        desk.app.data.car().unwrap().figures.as_deref(),
        Some(&*figures)
    );
}

#[test]
fn a_letter_stands_before_every_figure_and_opens_its_why() {
    let mut desk = on("gm");
    desk.size(80, 24).keys("W");
    let text = desk.text();
    for letter in ["a", "b", "c", "d", "e"] {
        assert!(
            text.lines()
                .any(|line| line.contains(&format!("│ {letter}"))),
            "{letter}\n{text}"
        );
    }
    desk.keys("f");
    assert!(desk.text().contains("why?"), "{}", desk.text());
    desk.keys("{Esc}W{Esc}");
    assert!(desk.app.overlay.is_none());
}

#[test]
fn a_tap_stands_on_a_row_and_a_second_one_opens_it() {
    let mut desk = on("gc");
    desk.size(40, 18);
    let row = |desk: &Desk, word: &str| {
        let at = desk.text().lines().position(|line| line.contains(word));
        u16::try_from(at.unwrap()).unwrap()
    };
    let marl = row(&desk, "Marl");
    desk.tap(10, marl);
    assert_eq!(desk.app.data.hand.as_deref(), Some("marl"));
    assert_eq!(desk.app.screen, Screen::Cars);
    desk.tap(10, marl);
    assert_eq!(desk.app.screen, Screen::Story);
    // A screen's name, a word on the key line, the bottom line.
    desk.size(80, 24).tap(58, 0);
    assert_eq!(desk.app.screen, Screen::Money);
    let text = desk.text();
    let keys = text.lines().last().unwrap();
    let at = keys.chars().position(|c| c == 'b').unwrap();
    desk.tap(u16::try_from(at).unwrap(), 23);
    assert!(desk.text().contains("bought, at the price agreed"));
    desk.keys("{Esc}");
    desk.tap(5, 22);
    assert!(desk.app.hidden);
}

#[test]
fn taking_back_finds_its_car_outside_of_a_narrowed_list_too() {
    let mut desk = on("gc");
    desk.keys("nword{Enter}/marl{Enter}gy");
    desk.keys("u");
    assert_eq!(desk.said(), "u again takes back: note");
    desk.keys("u");
    assert_eq!(desk.said(), "undone: note");
}

#[test]
fn a_new_claim_is_in_hand_once_it_is_kept() {
    let mut desk = on("gs");
    let before = desk.car().claims.len();
    desk.app.views.cursor_mut(Screen::Story).part = 2;
    desk.keys("aclutch done in spring{Enter}1");
    assert_eq!(desk.car().claims.len(), before + 1, "{}", desk.text());
    let cursor = desk.app.views.cursor(Screen::Story);
    assert_eq!((cursor.part, cursor.row()), (2, before));
    // Its stamp is the next key.
    desk.keys("1");
    assert_eq!(desk.car().claims[before].stamp, Stamp::Proved);
}

#[test]
fn a_buyers_file_that_cannot_be_read_is_told_of_on_you_for_as_long_as_it_lasts() {
    let mut desk = on("gc");
    desk.app.data.buyer_trouble = Some("buyer.json: “skill” is no list. Mend it.".to_owned());
    for keys in ["gy", "j", "gc", "gy"] {
        desk.keys(keys);
    }
    assert!(
        desk.text().contains("buyer.json: “skill”"),
        "{}",
        desk.text()
    );
    assert!(desk.text().contains("not kept until"), "{}", desk.text());
}

#[test]
fn a_limit_of_nothing_says_beside_cheap_that_the_work_is_dearer_than_the_car() {
    let mut desk = on("gs");
    desk.app.views.cursor_mut(Screen::Story).part = 4;
    let slug = desk.app.data.hand.clone().unwrap();
    let entry = desk.app.data.entry_mut(&slug).unwrap();
    let mut figures = entry.figures.as_deref().unwrap().clone();
    figures.limit.price = Some(Money::ZERO);
    entry.figures = Some(std::sync::Arc::new(figures));
    desk.size(120, 40);
    desk.keys("gm");
    assert!(
        desk.text().contains("the work is dearer than the car"),
        "{}",
        desk.text()
    );
    desk.size(40, 18);
    assert!(desk.text().contains("work over worth"), "{}", desk.text());
    desk.keys("h");
    assert!(!desk.text().contains("work over worth"));
}
