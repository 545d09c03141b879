//! The walk-around by its keys, over the program's own tables: one key an answer, two for a stop; it comes back exactly where it was.

use super::common::{Desk, cars};
use jiff::ToSpan;
use jiff::civil::date;
use wrenchworth::car::*;
use wrenchworth::engine::walkaround::{Plan, STAGES, State};
use wrenchworth::trade::Tables;
use wrenchworth::tui::app::Effect;
use wrenchworth::tui::keys::{self, Key};
use wrenchworth::tui::overlay::Overlay;
use wrenchworth::tui::screens::{Screen, walk};

/// A bare car on the real tables, standing on the walk.
fn desk() -> Desk {
    let mut file = CarFile {
        schema: SCHEMA,
        ..CarFile::default()
    };
    file.car.name = "Pudd Newt 2009".to_owned();
    file.car.particulars.year = Some(2009);
    file.car.particulars.odometer_miles = Some(121_000.0);
    file.car.particulars.fuel = Some(Fuel::Petrol);
    file.car.particulars.gearbox = Some(Gearbox::Manual);
    file.car.particulars.drive = Some(Drive::Front);
    file.car.worth = cars::driveway()[0].1.car.worth.clone();
    reopened(file)
}

fn reopened(file: CarFile) -> Desk {
    let mut desk = Desk::on_tables(vec![("newt".to_owned(), file)], Tables::embedded().unwrap());
    desk.keys("gw");
    desk
}

fn sign(desk: &Desk) -> String {
    walk::in_hand(&desk.app).unwrap().0.sign
}

fn stand_on(desk: &mut Desk, sign: &str) {
    for _ in 0..3 {
        for _ in 0..walk::checks(&desk.app).len() {
            if self::sign(desk) == sign {
                return;
            }
            desk.keys("j");
        }
        desk.keys("<");
        if self::sign(desk) == sign {
            return;
        }
        desk.keys("t<");
    }
    panic!("{sign} is not on any list");
}

fn answer(desk: &Desk, sign: &str) -> Option<Answer> {
    let seen = desk
        .car()
        .observations
        .iter()
        .find(|seen| seen.sign == sign);
    seen.map(|seen| seen.answer)
}

#[test]
fn a_quick_list_takes_one_key_an_answer() {
    let mut desk = desk();
    assert_eq!(walk::plan(&desk.app).0, Plan::Quick);
    let mut keys = 0;
    while walk::checks(&desk.app)
        .iter()
        .any(|check| check.state.is_to_come())
    {
        desk.keys("1");
        keys += 1;
        assert!(keys <= 24);
    }
    assert_eq!(keys, 24);
    assert_eq!(desk.car().observations.len(), 24);
    assert!(desk.said().starts_with("Nothing left"), "{}", desk.said());
}

#[test]
fn the_worst_answer_everywhere_takes_two_keys_at_most() {
    let mut desk = desk();
    let mut two = 0;
    for _ in 0..24 {
        let Some(at) = walk::checks(&desk.app)
            .iter()
            .position(|check| check.state.is_to_come())
        else {
            break;
        };
        let (check, row) = walk::in_hand(&desk.app).unwrap();
        assert!(
            check.state.is_to_come(),
            "{at}: the cursor goes on by itself to {}",
            check.sign
        );
        let last = row.levels.len().to_string();
        desk.keys(&last);
        if desk.app.overlay.is_some() {
            assert!(matches!(desk.app.overlay, Some(Overlay::Stop(_))));
            desk.keys("{Enter}");
            two += 1;
        }
        assert!(desk.app.overlay.is_none(), "a third key for {}", check.sign);
        assert!(answer(&desk, &check.sign).is_some());
    }
    assert!(two >= 6, "{two}");
    // Dangers withdrew the rest of the drive.
    let withdrawn = walk::checks(&desk.app)
        .iter()
        .filter(|check| matches!(check.state, State::Withdrawn(_)))
        .count();
    assert!(withdrawn >= 3, "{withdrawn}");
}

#[test]
fn not_seen_and_not_fitted_are_one_key_and_skipping_answers_nothing() {
    let mut desk = desk();
    let first = sign(&desk);
    desk.keys(" ");
    let second = sign(&desk);
    assert_ne!(first, second);
    assert!(desk.car().observations.is_empty());
    desk.keys("-");
    assert_eq!(sign(&desk), first);
    desk.keys("0x");
    assert_eq!(answer(&desk, &first), Some(Answer::NotSeen));
    assert_eq!(answer(&desk, &second), Some(Answer::NotFitted));
    // Answering again overwrites.
    desk.keys("--2");
    assert_eq!(answer(&desk, &first), Some(Answer::Level(1)));
    assert_eq!(desk.car().observations.len(), 2);
}

#[test]
fn taking_back_stands_on_the_check_and_all_of_it_leaves_the_record_as_it_was() {
    let mut desk = desk();
    let before = desk.car().clone();
    let first = sign(&desk);
    desk.keys("1");
    desk.keys("23{Enter}");
    desk.keys("u");
    let back = sign(&desk);
    assert!(answer(&desk, &back).is_none());
    desk.keys("uu");
    assert_eq!(sign(&desk), first);
    assert_eq!(desk.car(), &before);
}

#[test]
fn a_number_is_read_shown_and_held_against_its_limit() {
    let mut desk = desk();
    desk.size(120, 40);
    stand_on(&mut desk, "pads-seen");
    desk.keys("r");
    desk.keys("2m");
    assert!(desk.text().contains("of what? in or mm"), "{}", desk.text());
    desk.keys("m");
    assert!(
        desk.text()
            .contains("2 mm: passes, renew it soon: 2 mm or under"),
        "{}",
        desk.text()
    );
    desk.keys("{Enter}");
    assert_eq!(answer(&desk, "pads-seen"), Some(Answer::Level(2)));
    let reading = desk.car().checks["pads-seen"].reading.clone().unwrap();
    assert_eq!(reading.typed, "2mm");
    assert_ne!(sign(&desk), "pads-seen");
    desk.keys("k");
    stand_on(&mut desk, "pads-seen");
    assert!(
        desk.text().contains("handbook: common practice"),
        "{}",
        desk.text()
    );
    // By eye again: the reading goes.
    desk.keys("1");
    assert_eq!(desk.car().checks["pads-seen"].reading, None);
    // Enter alone is not seen.
    stand_on(&mut desk, "tread-depth");
    desk.keys("r{Enter}");
    assert_eq!(answer(&desk, "tread-depth"), Some(Answer::NotSeen));
}

#[test]
fn a_withdrawn_check_says_why_and_only_words_bring_it_back() {
    let mut desk = desk();
    desk.size(80, 24);
    stand_on(&mut desk, "pedal-held");
    desk.keys("4{Enter}");
    stand_on(&mut desk, "weak-pull");
    let text = desk.text();
    assert!(text.contains("no drive on the road"), "{text}");
    assert!(text.contains("sinks while held"), "{text}");
    desk.keys("1");
    assert_eq!(answer(&desk, "weak-pull"), None);
    desk.keys("x{Enter}");
    assert!(desk.app.overlay.is_some(), "no waiver without words");
    desk.keys("closed yard, walking pace{Enter}");
    assert!(desk.app.overlay.is_none());
    assert!(desk.car().waivers.contains_key("gate/road/pedal-held"));
    desk.keys("1");
    assert_eq!(answer(&desk, "weak-pull"), Some(Answer::Level(0)));
}

#[test]
fn a_stop_shouts_once_is_waived_in_words_and_stays_on_file() {
    let mut desk = desk();
    stand_on(&mut desk, "oil-level");
    stand_on(&mut desk, "sills-tapped");
    desk.keys("4");
    assert!(desk.text().contains("STOP"), "{}", desk.text());
    desk.keys("x");
    desk.keys("a donor for its engine{Enter}");
    assert_eq!(
        desk.car().waivers["sills-tapped"].words,
        "a donor for its engine"
    );
    stand_on(&mut desk, "sills-tapped");
    desk.keys("3");
    assert!(desk.app.overlay.is_none(), "it does not shout again");
}

#[test]
fn it_comes_back_exactly_where_it_was_after_a_crash() {
    let mut desk = desk();
    desk.keys("1  1t");
    stand_on(&mut desk, "lines-seen");
    desk.keys(" ");
    let left = sign(&desk);
    let plan = walk::plan(&desk.app).1;
    // Nothing is left of the program but what was written.
    let file = desk.shelf.borrow().cars["newt"].clone();
    let again = reopened(file);
    assert_eq!(sign(&again), left);
    assert_eq!(walk::plan(&again.app).1, plan);
    assert_eq!(again.car(), desk.car());
}

#[test]
fn the_clock_counts_from_the_first_answer_and_a_timer_runs_down() {
    let mut desk = desk();
    let set = |desk: &mut Desk, seconds: i64| {
        let now = date(2026, 11, 14).at(10, 0, 0, 0) + seconds.seconds();
        desk.shelf.borrow_mut().clock = Some(now);
        desk.app.data.now = now;
    };
    set(&mut desk, 0);
    desk.keys("gsgw ");
    set(&mut desk, 300);
    desk.keys(" ");
    assert_eq!(walk::minutes(&desk.app), 0, "nothing was answered yet");
    desk.keys("1");
    set(&mut desk, 430);
    desk.keys("1");
    assert_eq!(walk::minutes(&desk.app), 2);
    // Away from the screen it stands still.
    desk.keys("gs");
    set(&mut desk, 3_000);
    desk.keys("gw ");
    assert_eq!(walk::minutes(&desk.app), 2);
    stand_on(&mut desk, "pedal-held");
    desk.keys("{Enter}");
    assert!(walk::ticks(&desk.app));
    set(&mut desk, 3_018);
    assert_eq!(walk::remaining(&desk.app, "pedal-held"), Some(42));
    assert!(desk.text().contains("0:42 left"), "{}", desk.text());
    // It runs on over a crash.
    let file = desk.shelf.borrow().cars["newt"].clone();
    let mut again = reopened(file);
    set(&mut again, 3_061);
    assert_eq!(walk::remaining(&again.app, "pedal-held"), Some(-1));
    stand_on(&mut again, "pedal-held");
    assert!(again.text().contains("Time is up."), "{}", again.text());
}

#[test]
fn hidden_the_walk_goes_on_and_shows_no_money_and_no_stop() {
    let mut desk = desk();
    desk.keys("h");
    stand_on(&mut desk, "pedal-held");
    for size in [(30, 10), (40, 18), (80, 24), (120, 40), (160, 50)] {
        desk.size(size.0, size.1);
        let text = desk.text();
        for word in ["STOP", "■", "limit 1", "asks", "settle"] {
            assert!(!text.contains(word), "{size:?} {word}\n{text}");
        }
    }
    desk.keys("4");
    assert!(desk.app.overlay.is_none());
    assert_eq!(answer(&desk, "pedal-held"), Some(Answer::Level(3)));
    desk.keys("$");
    assert!(!desk.app.hidden && desk.text().contains("STOP"));
}

#[test]
fn a_note_and_a_photo_stand_on_any_check() {
    let mut desk = desk();
    desk.size(120, 40);
    let first = sign(&desk);
    desk.keys("nscratch by the lock{Tab}IMG_0412.jpg{Enter}");
    let kept = &desk.car().checks[&first];
    assert_eq!(
        (kept.note.as_str(), kept.photo.as_str()),
        ("scratch by the lock", "IMG_0412.jpg")
    );
    assert!(
        desk.text().contains("note: scratch by the lock"),
        "{}",
        desk.text()
    );
    assert!(answer(&desk, &first).is_none());
}

#[test]
fn an_order_of_worth_plugs_in_with_a_figure_each() {
    let mut desk = desk();
    desk.keys("s");
    assert_eq!(desk.said(), "most worth knowing first");
    desk.keys("<");
    assert_eq!(sign(&desk), "oil-level");
    assert!(desk.text().contains("140"), "{}", desk.text());
    desk.keys("1");
    assert_eq!(sign(&desk), "carpet-lifted");
}

#[test]
fn f_goes_to_the_check_most_worth_its_minutes_from_any_screen() {
    let mut desk = desk();
    desk.keys("gmf");
    assert_eq!(desk.app.screen, Screen::Walk);
    assert_eq!(sign(&desk), "oil-level");
    desk.keys("s");
    assert_eq!(desk.said(), "walking order");
    assert_eq!(sign(&desk), "oil-level", "the check in hand stays in hand");
}

#[test]
fn a_pasted_reader_text_goes_on_file_and_a_makers_code_says_so() {
    let mut desk = desk();
    desk.paste("Stored: P0420\nMIL: off\n3 not ready\nDistance since codes cleared: 3 miles");
    assert!(
        desk.text().contains("put what the reader shows on file?"),
        "{}",
        desk.text()
    );
    desk.keys("{Enter}");
    assert_eq!(answer(&desk, "p0420"), Some(Answer::Level(1)));
    assert_eq!(answer(&desk, "since-cleared"), Some(Answer::Level(2)));
    desk.keys("ap1234{Enter}");
    assert!(desk.said().contains("maker"), "{}", desk.said());
    assert!(desk.car().codes.iter().any(|code| code.code == "P1234"));
    desk.keys("ap0455 permanent{Enter}");
    assert!(
        desk.car()
            .codes
            .iter()
            .any(|code| code.state == CodeState::Permanent)
    );
}

#[test]
fn an_answer_can_be_tapped_as_a_whole_row() {
    let mut desk = desk();
    desk.size(40, 18);
    let text = desk.text();
    let row = text
        .lines()
        .position(|line| line.trim_start().starts_with("2  "))
        .unwrap();
    let first = sign(&desk);
    desk.tap(35, u16::try_from(row).unwrap());
    assert_eq!(answer(&desk, &first), Some(Answer::Level(1)));
}

#[test]
fn every_check_can_be_answered_at_the_least_size() {
    let mut desk = desk();
    desk.keys("tt").size(30, 10);
    assert_eq!(walk::plan(&desk.app).0, Plan::Full);
    let count = walk::checks(&desk.app).len();
    assert!(count >= 150);
    for _ in 0..count {
        let (check, row) = walk::in_hand(&desk.app).unwrap();
        let text = desk.text();
        assert!(
            text.contains(" 1  ") || matches!(check.state, State::Withdrawn(_)),
            "{}\n{text}",
            row.id
        );
        desk.key(Key::Down);
    }
    assert_eq!(STAGES.len(), 16);
    assert_eq!(desk.app.screen, Screen::Walk);
}

#[test]
fn from_afar_answers_are_what_they_say_and_what_never_came_is_held_back() {
    let mut desk = desk();
    desk.keys("ttt");
    assert_eq!(walk::plan(&desk.app).0, Plan::FromAfar);
    desk.keys("<");
    let first = sign(&desk);
    desk.keys("1");
    let seen = desk.car().observations[0].clone();
    assert_eq!(seen.answer, Answer::Level(0));
    assert!(seen.known <= Known::Paper, "{:?}", seen.known);
    assert_eq!(desk.car().checks[&first].asked, Some(Asked::Arrived));
    let second = sign(&desk);
    desk.keys("m");
    assert_eq!(desk.car().checks[&second].asked, Some(Asked::Missing));
    assert_eq!(answer(&desk, &second), Some(Answer::NotSeen));
    assert!(
        desk.said()
            .contains("1 of 2 things asked for were held back"),
        "{}",
        desk.said()
    );
    assert_ne!(sign(&desk), second);
    // Again takes it back, and so does u.
    desk.keys("-m");
    assert!(!desk.car().checks.contains_key(&second));
    assert_eq!(answer(&desk, &second), None);
    desk.keys("uuu");
    assert!(desk.car().observations.is_empty() && desk.car().checks.is_empty());
}

#[test]
fn a_check_refused_on_the_spot_says_so_until_it_is_allowed_after_all() {
    let mut desk = desk();
    desk.size(120, 40);
    stand_on(&mut desk, "coolant-cold");
    desk.keys("m");
    assert_eq!(
        desk.car().checks["coolant-cold"].asked,
        Some(Asked::Refused)
    );
    stand_on(&mut desk, "coolant-cold");
    assert!(
        desk.text().contains("they would not have it looked at"),
        "{}",
        desk.text()
    );
    desk.keys("1");
    assert_eq!(desk.car().checks["coolant-cold"].asked, None);
    assert_eq!(answer(&desk, "coolant-cold"), Some(Answer::Level(0)));
}

#[test]
fn the_copy_key_takes_the_check_and_from_afar_the_message() {
    let mut desk = desk();
    stand_on(&mut desk, "oil-level");
    desk.keys("2-nsmells of gas{Enter}");
    stand_on(&mut desk, "oil-level");
    let check = walk::lines(&desk.app).join("\n");
    assert!(check.starts_with("Oil: where on the stick"), "{check}");
    assert!(check.contains("answer: low"), "{check}");
    desk.keys("c");
    let copied = desk.done.iter().rev().find_map(|effect| match effect {
        Effect::Copy(made) => Some(made.text.clone()),
        _ => None,
    });
    assert!(copied.unwrap().contains("Oil: where on the stick"));
    desk.keys("tttc");
    let message = walk::lines(&desk.app).join("\n");
    assert!(
        message.starts_with("Hello") && message.contains("Answer by number"),
        "{message}"
    );
}

#[test]
fn where_only_a_number_makes_sense_the_field_is_open_already() {
    let mut desk = desk();
    desk.keys("tt");
    stand_on(&mut desk, "coolant-cold");
    desk.keys("1");
    assert_eq!(sign(&desk), "coolant-freeze-point");
    assert!(
        matches!(desk.app.overlay, Some(Overlay::Form(_))),
        "{}",
        desk.text()
    );
    desk.keys("-34{Enter}");
    assert_eq!(
        answer(&desk, "coolant-freeze-point"),
        Some(Answer::Level(0))
    );
    assert_eq!(
        desk.car().checks["coolant-freeze-point"]
            .reading
            .as_ref()
            .unwrap()
            .typed,
        "-34"
    );
    // Enter alone is not seen; Esc leaves the digits.
    desk.keys("uk ");
    assert!(desk.app.overlay.is_some(), "{}", desk.text());
    desk.keys("{Esc}3");
    assert_eq!(
        answer(&desk, "coolant-freeze-point"),
        Some(Answer::Level(2))
    );
    desk.keys("uk {Enter}");
    assert_eq!(answer(&desk, "coolant-freeze-point"), Some(Answer::NotSeen));
}

#[test]
fn the_limits_are_chosen_on_you() {
    let mut desk = desk();
    desk.size(120, 40);
    desk.keys("gy");
    desk.app.views.cursor_mut(Screen::You).part = 0;
    desk.keys("j");
    assert!(desk.text().contains("US, 49 CFR 570"), "{}", desk.text());
    let purpose = desk.app.data.buyer.purpose.clone();
    desk.keys("o");
    assert_eq!(desk.app.data.buyer.rule_set, Some(RuleSet::Uk));
    assert_eq!(desk.app.data.buyer.purpose, purpose);
    assert!(desk.text().contains("UK MOT"), "{}", desk.text());
    desk.keys("ooo");
    assert_eq!(desk.app.data.buyer.rule_set, Some(RuleSet::Us));
}

/// The engine's thread may take as long as it likes: keys are answered while it works, and its answer finds whoever asked still there.
#[test]
fn the_screen_never_waits_for_what_is_worth_knowing() {
    let mut desk = desk();
    // What the key asks for is held back, as by a thread that is not done.
    let action = keys::action(&desk.app, Key::Char('s'));
    let slow = desk.app.update(action);
    assert!(
        slow.iter()
            .any(|effect| matches!(effect, Effect::FindOut { .. }))
    );
    assert!(desk.app.views.walk.waits.is_some());
    let first = sign(&desk);
    desk.keys("1");
    assert_eq!(answer(&desk, &first), Some(Answer::Level(0)));
    assert_ne!(sign(&desk), first);
    desk.perform(slow);
    assert!(desk.app.views.walk.waits.is_none());
    assert_eq!(desk.said(), "most worth knowing first");
}
