//! Look up: a word, a page, links, figures of the user's own.

use super::common::Desk;
use super::common::cars::driveway;
use super::golden::on;
use std::path::Path;
use std::sync::{Arc, RwLock};
use wrenchworth::car::{Buyer, CarFile, CarRecord};
use wrenchworth::engine::{Appraisal, Comparison, Knowledge, Run};
use wrenchworth::report::look_up::{Kind, entries, find};
use wrenchworth::trade::Tables;
use wrenchworth::tui::app::Effect;
use wrenchworth::tui::ports::Engine;
use wrenchworth::tui::screens::look::{self, FOUND, OWN, PAGE, PageRow};
use wrenchworth::tui::screens::{Screen, cursor};

/// The real engine, whose tables can change under it.
struct Live(RwLock<Arc<Knowledge>>);

impl Live {
    fn now(&self) -> Arc<Knowledge> {
        Arc::clone(&self.0.read().unwrap())
    }
}

impl Engine for Live {
    fn appraise(&self, car: &CarRecord, buyer: &Buyer, run: &Run) -> Appraisal {
        self.now().appraise(car, buyer, run)
    }

    fn compare(&self, cars: &[(&CarRecord, &str)], buyer: &Buyer, run: &Run) -> Comparison {
        let cars: Vec<(&str, &CarRecord)> = cars.iter().map(|(car, slug)| (*slug, *car)).collect();
        self.now().compare(&cars, buyer, run)
    }

    fn tables(&self) -> Tables {
        self.now().tables().clone()
    }

    fn take_tables(&self, tables: &Tables) {
        *self.0.write().unwrap() = Arc::new(Knowledge::new(tables.clone()));
    }
}

/// One sample car, priced by the real tables.
fn real() -> Desk {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-listings");
    let file: CarFile = serde_json::from_str(
        &std::fs::read_to_string(folder.join("dabchick-2009.car.json")).unwrap(),
    )
    .unwrap();
    let engine = Live(RwLock::new(Arc::new(Knowledge::new(
        Tables::embedded().unwrap(),
    ))));
    Desk::with_engine(vec![("dabchick".to_owned(), file)], Arc::new(engine), 400)
}

fn stands_on(desk: &mut Desk, wanted: impl Fn(&PageRow) -> bool) {
    let at = look::page(&desk.app)
        .iter()
        .position(wanted)
        .expect("that row");
    let keys = format!("<{}", "j".repeat(at));
    desk.keys(&keys);
}

fn figure(field: &str) -> impl Fn(&PageRow) -> bool {
    let field = field.to_owned();
    move |row| matches!(row, PageRow::Figure(figure) if figure.field == field)
}

#[test]
fn it_opens_with_the_word_in_hand_and_finds_what_the_command_finds() {
    let mut desk = real();
    desk.keys("gl");
    assert!(desk.app.overlay.is_some(), "the word is in hand");
    // Walking through the screens does not open it: the next key walks on.
    desk.keys("{Esc}]]");
    assert_eq!(desk.app.screen, Screen::Story);
    desk.keys("glhead gasket{Enter}");
    assert_eq!(desk.app.screen, Screen::Look);
    let tables = desk.app.data.tables.clone();
    let wanted: Vec<(Kind, String)> = find(&entries(&tables), "head gasket", 400)
        .into_iter()
        .map(|entry| (entry.kind, entry.id.to_owned()))
        .collect();
    assert_eq!(desk.app.views.look.found, wanted);
    assert!(wanted.contains(&(Kind::Fault, "ENG01".to_owned())));
    // One table alone, and the whole again.
    desk.keys("ooo");
    assert!(
        desk.app
            .views
            .look
            .found
            .iter()
            .all(|(kind, _)| *kind == Kind::Fault)
    );
    desk.keys("oooooo");
    assert_eq!(desk.app.views.look.found, wanted);
    desk.keys("/{Backspace}{Backspace}{Backspace}zzzzqq{Enter}");
    assert!(desk.text().contains("Nothing has"), "{}", desk.text());
    // A maker's own code is told as such, and no row spelled like it is taken for it.
    desk.keys("/{Esc}/P1234{Enter}");
    assert!(desk.text().contains("maker"), "{}", desk.text());
}

#[test]
fn a_page_has_words_source_and_links_and_esc_goes_back_link_by_link() {
    let mut desk = real();
    desk.size(120, 40);
    desk.keys("gl{Esc}/P0171{Enter}{Enter}");
    assert_eq!(cursor(&desk.app).part, PAGE);
    let page = look::page(&desk.app);
    let words = |label: &str| {
        page.iter().any(|row| matches!(row, PageRow::Words(known, words) if *known == label && !words.is_empty()))
    };
    assert!(words("says") && words("source") && words("points to"));
    stands_on(
        &mut desk,
        |row| matches!(row, PageRow::Link(link) if link.kind == Kind::Fault),
    );
    desk.keys("{Enter}");
    let (kind, fault) = look::row(&desk.app).unwrap();
    assert_eq!(kind, Kind::Fault);
    stands_on(
        &mut desk,
        |row| matches!(row, PageRow::Link(link) if link.kind == Kind::Repair),
    );
    desk.keys("{Enter}");
    assert_eq!(look::row(&desk.app).unwrap().0, Kind::Repair);
    desk.keys("{Esc}");
    assert_eq!(look::row(&desk.app).unwrap(), (Kind::Fault, fault));
    desk.keys("{Esc}");
    assert_eq!(cursor(&desk.app).part, FOUND);
    assert_eq!(
        look::row(&desk.app).unwrap(),
        (Kind::Code, "P0171".to_owned())
    );
}

#[test]
fn a_figure_of_ones_own_needs_a_reason_moves_the_limit_at_once_and_can_be_taken_back() {
    let mut desk = real();
    let limit = |desk: &Desk| desk.app.data.figures().unwrap().limit.price;
    let before = (limit(&desk), desk.app.data.tables.clone());
    desk.size(120, 40);
    desk.keys("gl{Esc}/ENG01{Enter}{Enter}");
    stands_on(&mut desk, figure("prior"));
    desk.keys("e{Backspace}{Backspace}{Backspace}{Backspace}60{Enter}");
    assert!(desk.text().contains("without a reason"), "{}", desk.text());
    assert!(
        desk.shelf.borrow().overlays.is_empty(),
        "nothing was written"
    );
    desk.keys("common on this engine, says the club{Enter}");
    assert!(desk.said().contains("reprices 1 car"), "{}", desk.said());
    assert!((desk.app.data.tables.fault("ENG01").unwrap().prior - 0.6).abs() < 1e-9);
    assert!(
        limit(&desk) < before.0,
        "{:?} against {:?}",
        limit(&desk),
        before.0
    );
    assert!(
        desk.text().contains("yours: “common on this"),
        "{}",
        desk.text()
    );
    let written = desk.shelf.borrow().overlays[0].text.clone();
    assert!(
        written.contains("says the club") && written.contains("ENG01"),
        "{written}"
    );
    // It is listed with its reason; d takes it back, u brings it back, U takes it back again.
    desk.keys("v");
    assert_eq!(cursor(&desk.app).part, OWN);
    assert!(
        desk.text()
            .contains("“common on this engine, says the club”"),
        "{}",
        desk.text()
    );
    desk.keys("d");
    assert_eq!(limit(&desk), before.0);
    assert_eq!(*desk.app.data.tables, *before.1);
    assert!(desk.app.data.own.is_empty());
    desk.keys("u");
    assert_eq!(desk.app.data.own.len(), 1);
    desk.keys("U");
    assert!(desk.app.data.own.is_empty());
    desk.keys("uu");
    assert!(desk.app.data.own.is_empty(), "both steps taken back");
}

#[test]
fn a_price_inside_a_row_changes_alone_and_what_the_tables_refuse_is_said_and_not_written() {
    let mut desk = real();
    desk.size(120, 40);
    let repair = desk.app.data.tables.fault("ENG01").unwrap().repairs[0].clone();
    desk.keys(&format!("gl{{Esc}}/{repair}{{Enter}}{{Enter}}"));
    assert_eq!(
        look::row(&desk.app).unwrap(),
        (Kind::Repair, repair.clone())
    );
    stands_on(
        &mut desk,
        |row| matches!(row, PageRow::Figure(figure) if figure.field.starts_with("parts/0/")),
    );
    let old = desk.app.data.tables.repair(&repair).unwrap().clone();
    let clear = "{Backspace}".repeat(24);
    desk.keys(&format!("e{clear}300 200 100{{Tab}}a slip{{Enter}}"));
    assert!(desk.text().contains("none under nought"), "{}", desk.text());
    desk.keys(&format!("{clear}11 22 33{{Enter}}"));
    let new = desk.app.data.tables.repair(&repair).unwrap().clone();
    assert!((new.parts[0].new.likely() - 22.0).abs() < 1e-9);
    assert_eq!(new.parts.len(), old.parts.len());
    assert_eq!(new.operations, old.operations);
    assert_eq!(new.note, "a slip");
    assert!(
        desk.done
            .iter()
            .any(|effect| matches!(effect, Effect::ChangeOwn(_)))
    );
    // A disk that is full: the sentence is said, and the figure stays.
    desk.shelf.borrow_mut().fail = Some("the disk is full; make room.".to_owned());
    stands_on(
        &mut desk,
        |row| matches!(row, PageRow::Figure(figure) if figure.field.starts_with("parts/0/")),
    );
    desk.keys("d");
    assert_eq!(desk.said(), "the disk is full; make room.");
    assert_eq!(desk.app.data.own.len(), 1);
}

#[test]
fn a_sign_goes_to_the_car_in_hand_by_its_level() {
    let mut desk = on("gl{Esc}/brake{Enter}");
    let before = desk.car().observations.len();
    desk.keys("a2");
    assert_eq!(desk.car().observations.len(), before + 1);
    assert_eq!(desk.car().observations.last().unwrap().sign, "brake-pedal");
}

#[test]
fn tables_that_could_not_be_used_are_told_of_on_the_screen_for_as_long_as_it_lasts() {
    let mut desk = Desk::with(driveway());
    desk.app.data.tables_trouble =
        Some("Yours: repairs.json, row R1, cash: low over likely. Ours used.".to_owned());
    desk.keys("gl{Enter}j");
    assert!(desk.text().contains("Ours used"), "{}", desk.text());
    desk.keys("h");
    assert!(!desk.text().contains("Ours used"));
}
