//! The rows of the key table. Order is the order of the key line and of the help.

use super::{Act, Group, Key, KeyRow, On};
use crate::engine::preference::Corner;
use crate::tui::app::App;
use crate::tui::overlay::Overlay;
use crate::tui::screens::{self, Screen};

const fn row(
    keys: &'static [Key],
    on: On,
    act: Act,
    short: &'static str,
    words: &'static str,
) -> KeyRow {
    let group = match on {
        On::Some(_) | On::Hidden => Group::Here,
        On::Screens | On::AllScreens | On::Anywhere => Group::Everywhere,
        _ => Group::Over,
    };
    KeyRow {
        keys,
        on,
        act,
        short,
        words,
        group,
        when: always,
    }
}

const fn when(mut row: KeyRow, when: fn(&App) -> bool) -> KeyRow {
    row.when = when;
    row
}

fn always(_: &App) -> bool {
    true
}

/// A car in hand whose money may be seen: what is worth knowing is told in money.
fn has_hand(app: &App) -> bool {
    app.data.car().is_some() && !app.hidden
}

fn has_car(app: &App) -> bool {
    app.data.car().is_some()
}

fn first_run(app: &App) -> bool {
    app.data.cars.is_empty()
}

fn samples(app: &App) -> bool {
    first_run(app) && app.data.standing.samples
}

fn why_has_parts(app: &App) -> bool {
    match &app.overlay {
        Some(Overlay::Why(why)) => why.node(app).is_some_and(|node| !node.parts.is_empty()),
        _ => false,
    }
}

const CARS: On = On::Some(&[Screen::Cars]);
const STORY: On = On::Some(&[Screen::Story]);
const WALK: On = On::Some(&[Screen::Walk]);
const NOT_WALK: On = On::Some(&[
    Screen::Cars,
    Screen::Story,
    Screen::Faults,
    Screen::Money,
    Screen::Side,
    Screen::You,
    Screen::Look,
]);
const FAULTS: On = On::Some(&[Screen::Faults]);
const MONEY: On = On::Some(&[Screen::Money]);
const SIDE: On = On::Some(&[Screen::Side]);
const YOU: On = On::Some(&[Screen::You]);
const LOOK: On = On::Some(&[Screen::Look]);
/// Screens whose parts stand beside each other; Side by side goes from car to car instead.
const PARTS: On = On::Some(&[
    Screen::Story,
    Screen::Walk,
    Screen::Faults,
    Screen::Money,
    Screen::You,
    Screen::Look,
]);

use Key::{Char, Ctrl};

/// Every key of the program.
#[rustfmt::skip]
pub const KEYS: &[KeyRow] = &[
    // Cars
    when(row(&[Key::Enter], CARS, Act::Open, "open", "open the car where you left it"), has_car),
    row(&[Char('a'), Char('+')], CARS, Act::Add, "new car", "new car, in a few questions; or paste an advert"),
    when(row(&[Char('x')], CARS, Act::Cross, "mark", "mark for side by side, up to four"), has_car),
    when(row(&[Char('s')], CARS, Act::Order, "order", "order: room, asks, limit, hours, name"), has_car),
    when(row(&[Char('/')], CARS, Act::Narrow, "narrow", "narrow the list by name, state or stop"), has_car),
    when(row(&[Char('d')], CARS, Act::Remove, "remove", "remove to the bin, u brings it back"), has_car),
    when(row(&[Char('e')], CARS, Act::Edit, "", "edit its particulars"), has_car),
    when(row(&[Char('n')], CARS, Act::Note, "", "note on the car"), has_car),
    when(row(&[Char('c')], CARS, Act::Copy, "", "copy the car in a few lines; c again writes a file"), screens::can_copy),
    row(&[Char('i')], CARS, Act::ReadIn, "", "read a car file or an advert in from a file"),
    when(row(&[Char('1')], CARS, Act::Digit(1), "paste an advert", "paste an advert: how"), first_run),
    when(row(&[Char('2')], CARS, Act::Digit(2), "type a car in", "type a car in"), first_run),
    when(row(&[Char('3')], CARS, Act::Digit(3), "samples", "three sample cars"), samples),
    when(row(&[Char('4')], CARS, Act::Digit(4), "you", "tell it about you"), first_run),
    // Story
    when(row(&[Char('1')], STORY, Act::Digit(1), "true", "the claim is true; the wish is met"), screens::story::can_stamp),
    when(row(&[Char('2')], STORY, Act::Digit(2), "false", "the claim is false; the wish is not met"), screens::story::can_stamp),
    when(row(&[Char('0')], STORY, Act::Digit(0), "unseen", "could not tell"), screens::story::can_stamp),
    when(row(&[Char('p')], STORY, Act::Proof, "proof", "proof: none, said, paper, seen"), screens::story::can_prove),
    when(row(&[Char('x')], STORY, Act::Cross, "cross", "claim pro or con; sign said by them or not; comparable asked or sold; worth as it looks; stop waived"), screens::story::can_cross),
    when(row(&[Char('a'), Char('+')], STORY, Act::Add, "add", "add to the part in hand"), screens::story::can_add),
    when(row(&[Char('e'), Key::Enter], STORY, Act::Edit, "edit", "edit the row in hand"), screens::story::can_edit),
    when(row(&[Char('d')], STORY, Act::Remove, "remove", "remove the row in hand"), screens::story::can_remove),
    row(&[Char('n')], STORY, Act::Note, "note", "note on the car"),
    when(row(&[Char('r')], STORY, Act::Number, "", "number of this row: miles, price, worth; of a claim, when its part was new"), screens::story::can_number),
    when(row(&[Char('E')], STORY, Act::Editor, "", "the advert in your own editor"), screens::story::has_car),
    when(row(&[Char('c')], STORY, Act::Copy, "", "copy the part in hand; c again writes a file"), screens::can_copy),
    // Walk-around
    when(row(&[Char('1')], WALK, Act::Digit(1), "-5 answer", "first answer: as it should be"), |app| screens::walk::has_level(app, 0)),
    when(row(&[Char('2')], WALK, Act::Digit(2), "", "second answer"), |app| screens::walk::has_level(app, 1)),
    when(row(&[Char('3')], WALK, Act::Digit(3), "", "third answer"), |app| screens::walk::has_level(app, 2)),
    when(row(&[Char('4')], WALK, Act::Digit(4), "", "fourth answer"), |app| screens::walk::has_level(app, 3)),
    when(row(&[Char('5')], WALK, Act::Digit(5), "", "fifth answer"), |app| screens::walk::has_level(app, 4)),
    when(row(&[Char('0')], WALK, Act::Digit(0), "not seen", "looked for and not to be seen"), screens::walk::can_cross),
    when(row(&[Char(' ')], WALK, Act::Skip, "skip", "on, without an answer"), screens::walk::can_cross),
    when(row(&[Char('-')], WALK, Act::CheckBefore, "back", "the check before"), screens::walk::can_cross),
    when(row(&[Char('r')], WALK, Act::Number, "number", "type what was measured, with its unit"), screens::walk::can_number),
    when(row(&[Key::Enter], WALK, Act::Open, "start the clock", "start the clock of this check"), screens::walk::has_timer),
    when(row(&[Char('x')], WALK, Act::Cross, "not fitted", "not fitted; on a withdrawn check or a stop: waive it in words"), screens::walk::can_cross),
    row(&[Char('t')], WALK, Act::TimePlan, "time", "how much time: quick list, 60 minutes, all"),
    row(&[Char('s')], WALK, Act::Order, "order", "walking order, or most worth knowing first"),
    when(row(&[Char('n')], WALK, Act::Note, "note", "note and photo of this check"), screens::walk::can_cross),
    when(row(&[Char('p')], WALK, Act::Proof, "proof", "how it is known: said, paper, seen, measured"), screens::walk::answered),
    when(row(&[Char('a'), Char('+')], WALK, Act::Add, "add sign", "add a sign or a code"), |app| !app.hidden),
    // Faults
    when(row(&[Char('1')], FAULTS, Act::Digit(1), "as seen", "let what was seen decide"), screens::faults::has_fault),
    when(row(&[Char('2')], FAULTS, Act::Digit(2), "certain", "the fault is certain"), screens::faults::has_fault),
    when(row(&[Char('3')], FAULTS, Act::Digit(3), "ruled out", "the fault is ruled out"), screens::faults::has_fault),
    row(&[Char('a'), Char('+')], FAULTS, Act::Add, "add sign", "add a sign, a code or what they admit"),
    when(row(&[Char('x')], FAULTS, Act::Cross, "put right", "put right anyway, live with it, at home, at a garage"), screens::faults::has_fault),
    when(row(&[Char('o')], FAULTS, Act::Other, "other ways", "other ways to put it right"), screens::faults::has_fault),
    when(row(&[Key::Enter], FAULTS, Act::Open, "all", "show all the others, or the likely ones only"), screens::faults::on_others),
    row(&[Char('s')], FAULTS, Act::Order, "order", "order: takes, chance, hours, severity, system"),
    row(&[Char('/')], FAULTS, Act::Narrow, "narrow", "narrow the list by name"),
    when(row(&[Char('d')], FAULTS, Act::Remove, "", "remove what you set for this fault"), screens::faults::is_set),
    when(row(&[Char('c')], FAULTS, Act::Copy, "", "copy the fault and its reasons; c again writes a file"), screens::can_copy),
    row(&[Char('n')], FAULTS, Act::Note, "", "note on the car"),
    // Money
    row(&[Char('a'), Char('+')], MONEY, Act::Add, "offer", "add an offer or an answer"),
    when(row(&[Char('l')], MONEY, Act::Letter, "letter", "letter with the offer; notice, receipt, bill of sale"), has_car),
    when(row(&[Char('o')], MONEY, Act::Other, "other checks", "two prices tied to a check, then to other checks"), screens::money::has_limit),
    when(row(&[Char('m')], MONEY, Act::Mind, "", "what would change my mind"), has_car),
    row(&[Char('e')], MONEY, Act::Edit, "edit", "edit how you read the seller"),
    row(&[Char('b')], MONEY, Act::Bought, "bought", "bought, at the price agreed"),
    when(row(&[Char('d')], MONEY, Act::Remove, "remove", "remove the last offer or answer"), screens::money::has_talks),
    when(row(&[Char('c')], MONEY, Act::Copy, "", "copy the part in hand; c again writes a file"), screens::can_copy),
    row(&[Char('n')], MONEY, Act::Note, "", "note on the car"),
    // Side by side
    when(row(&[Char(','), Key::Left], SIDE, Act::Left, "car", "the car before"), screens::side::has_two),
    when(row(&[Char('.'), Key::Right], SIDE, Act::Right, "", "the car after"), screens::side::has_two),
    when(row(&[Key::Enter], SIDE, Act::Open, "open", "open the car"), screens::side::has_one),
    when(row(&[Char('x')], SIDE, Act::Cross, "let go", "let the car go"), screens::side::has_one),
    when(row(&[Char('1')], SIDE, Act::Digit(1), "-3 weigh", "cheap weighs more with you"), |app| screens::side::can_weigh(app, Corner::Cheap)),
    when(row(&[Char('2')], SIDE, Act::Digit(2), "", "reliable weighs more"), |app| screens::side::can_weigh(app, Corner::Reliable)),
    when(row(&[Char('3')], SIDE, Act::Digit(3), "", "fast weighs more"), |app| screens::side::can_weigh(app, Corner::Fast)),
    when(row(&[Char('0')], SIDE, Act::Digit(0), "", "none weighs more than another"), screens::side::is_weighed),
    when(row(&[Char('r')], SIDE, Act::Number, "", "number: what cheap, reliable and fast weigh; or drag the + on the triangle"), screens::side::has_two),
    when(row(&[Char('s')], SIDE, Act::Order, "", "order: room, asks, limit, hours, name"), screens::side::has_two),
    when(row(&[Char('o')], SIDE, Act::Other, "", "other purpose, for all cars"), screens::you::can_step_purpose),
    when(row(&[Char('c')], SIDE, Act::Copy, "", "copy the cars side by side; c again writes a file"), screens::can_copy),
    // You
    when(row(&[Char('1')], YOU, Act::Digit(1), "-5 skill", "never did it"), screens::you::on_skill),
    when(row(&[Char('2')], YOU, Act::Digit(2), "", "once, with help"), screens::you::on_skill),
    when(row(&[Char('3')], YOU, Act::Digit(3), "", "alone, with the book"), screens::you::on_skill),
    when(row(&[Char('4')], YOU, Act::Digit(4), "", "often, alone"), screens::you::on_skill),
    when(row(&[Char('5')], YOU, Act::Digit(5), "", "could teach it"), screens::you::on_skill),
    when(row(&[Char('x')], YOU, Act::Cross, "tick", "tick: tool at hand or not; kind of wish"), screens::you::can_tick),
    when(row(&[Char('e'), Key::Enter], YOU, Act::Edit, "edit", "edit the part in hand"), screens::you::can_edit),
    when(row(&[Char('o')], YOU, Act::Other, "other purpose", "other purpose"), screens::you::can_step_purpose),
    when(row(&[Char('a'), Char('+')], YOU, Act::Add, "add wish", "add a must-have, nice-to-have or never"), screens::you::can_add),
    when(row(&[Char('d')], YOU, Act::Remove, "remove", "remove the wish or the house rules"), screens::you::can_remove),
    // Look up
    row(&[Char('/')], LOOK, Act::Narrow, "word", "change the word"),
    when(row(&[Key::Enter], LOOK, Act::Open, "open", "open the row, go to the other row, change the figure"), screens::look::can_open),
    when(row(&[Char('e')], LOOK, Act::Edit, "change", "change the figure: your own over ours, with a reason"), screens::look::can_edit),
    when(row(&[Char('d')], LOOK, Act::Remove, "take back", "take your own figure back: ours again"), screens::look::can_remove),
    when(row(&[Char('a'), Char('+')], LOOK, Act::Add, "to this car", "put the code or sign on the car in hand"), screens::look::can_add),
    row(&[Char('o')], LOOK, Act::Other, "table", "other table: all, codes, signs, faults and so on"),
    when(row(&[Char('c')], LOOK, Act::Copy, "", "copy the page; c again writes a file"), screens::can_copy),
    // Everywhere
    when(row(&[Char('w')], On::Screens, Act::Why, "why", "why: what the figure of this row is made of"), screens::has_why),
    when(row(&[Char('f')], On::Screens, Act::FindOut, "", "find out next: the check most worth its minutes"), has_hand),
    when(row(&[Char('W')], On::Screens, Act::Tags, "", "why: of any figure, by its letter"), screens::has_figures),
    when(row(&[Char('v'), Key::Tab], On::Screens, Act::NextPart, "part", "next part"), screens::has_parts),
    when(row(&[Char('V'), Key::BackTab], On::Screens, Act::PartBefore, "", "part before"), screens::has_parts),
    when(row(&[Char(','), Key::Left], PARTS, Act::Left, "", "sideways: the part before"), screens::has_parts),
    when(row(&[Char('.'), Key::Right], PARTS, Act::Right, "", "sideways: the part after"), screens::has_parts),
    row(&[Char('g')], On::AllScreens, Act::GoMenu, "go", "go to a screen"),
    row(&[Char('u')], On::AllScreens, Act::Undo, "undo", "take back"),
    row(&[Char('U'), Ctrl('r')], On::AllScreens, Act::Redo, "", "do again"),
    row(&[Char('h'), Char('$')], On::Screens, Act::Hide, "hide money", "hide all money, show it again"),
    row(&[Char('?')], On::AllScreens, Act::Help, "help", "help"),
    row(&[Char(':'), Ctrl('p')], On::AllScreens, Act::Palette, "by name", "do by name"),
    row(&[Char('h'), Char('$')], On::Hidden, Act::Hide, " ", "as before"),
    row(&[Char('[')], On::AllScreens, Act::ScreenBefore, "", "screen before"), row(&[Char(']')], On::AllScreens, Act::ScreenAfter, "", "screen after"),
    row(&[Char('j'), Key::Down], On::AllScreens, Act::Down, "", "row down"),
    row(&[Char('k'), Key::Up], On::AllScreens, Act::Up, "", "row up"),
    row(&[Char(' ')], NOT_WALK, Act::Skip, "", "on: page down"),
    row(&[Char(' ')], On::Hidden, Act::Skip, "", "on: page down"),
    row(&[Char('J'), Key::PageDown], On::AllScreens, Act::PageDown, "", "page down"),
    row(&[Char('K'), Key::PageUp], On::AllScreens, Act::PageUp, "", "page up"),
    row(&[Char('<'), Key::Home], On::AllScreens, Act::First, "", "first row"),
    row(&[Char('>'), Key::End], On::AllScreens, Act::Last, "", "last row"),
    when(row(&[Key::Esc], On::Screens, Act::Back, "", "back: the whole list, then the part before"), screens::can_back),
    row(&[Char('q')], CARS, Act::Quit, "quit", "quit; all is saved"),
    row(&[Char('q')], On::Hidden, Act::Quit, "", "quit; all is saved"),
    row(&[Ctrl('c')], On::Anywhere, Act::End, "", "end from anywhere; all is saved"),
    row(&[Ctrl('z')], On::Anywhere, Act::Suspend, "", "suspend to the shell"),
    row(&[Ctrl('l')], On::Anywhere, Act::Redraw, "", "redraw"),
    // The sentence state
    row(&[Char('q')], On::TooSmall, Act::Quit, "", ""),
    row(&[Char('h'), Char('$')], On::TooSmall, Act::Hide, "", ""),
    row(&[Char('u')], On::TooSmall, Act::Undo, "", ""),
    // Go
    row(&[Char('c')], On::Go, Act::Go(Screen::Cars), "Cars", ""),
    row(&[Char('s')], On::Go, Act::Go(Screen::Story), "Story", ""),
    row(&[Char('w')], On::Go, Act::Go(Screen::Walk), "Walk-around", ""),
    row(&[Char('f')], On::Go, Act::Go(Screen::Faults), "Faults", ""),
    row(&[Char('m')], On::Go, Act::Go(Screen::Money), "Money", ""),
    row(&[Char('b')], On::Go, Act::Go(Screen::Side), "Side by side", ""),
    row(&[Char('y')], On::Go, Act::Go(Screen::You), "You", ""),
    row(&[Char('l')], On::Go, Act::Go(Screen::Look), "Look up", ""),
    row(&[Char('g')], On::Go, Act::GoBack, "back", ""),
    row(&[Key::Esc], On::Go, Act::Back, "", ""),
    row(&[Char('h'), Char('$')], On::Go, Act::Hide, "", ""),
    // Why
    when(row(&[Char('1')], On::Why, Act::Digit(1), "-9 open", ""), why_has_parts),
    row(&[Char('2')], On::Why, Act::Digit(2), "", ""),
    row(&[Char('3')], On::Why, Act::Digit(3), "", ""),
    row(&[Char('4')], On::Why, Act::Digit(4), "", ""),
    row(&[Char('5')], On::Why, Act::Digit(5), "", ""),
    row(&[Char('6')], On::Why, Act::Digit(6), "", ""),
    row(&[Char('7')], On::Why, Act::Digit(7), "", ""),
    row(&[Char('8')], On::Why, Act::Digit(8), "", ""),
    row(&[Char('9')], On::Why, Act::Digit(9), "", ""),
    row(&[Key::Enter, Key::Right], On::Why, Act::Open, "", ""),
    row(&[Char('-'), Key::Backspace, Key::Left], On::Why, Act::UpOne, "up", ""),
    row(&[Char('j'), Key::Down], On::Why, Act::Down, "", ""),
    row(&[Char('k'), Key::Up], On::Why, Act::Up, "", ""),
    row(&[Char('J'), Key::PageDown, Char(' ')], On::Why, Act::PageDown, "", ""),
    row(&[Char('K'), Key::PageUp], On::Why, Act::PageUp, "", ""),
    row(&[Char('w'), Key::Esc], On::Why, Act::Back, "close", ""),
    row(&[Char('c')], On::Why, Act::Copy, "copy", ""),
    row(&[Char('?')], On::Why, Act::Help, "", ""),
    row(&[Char('h'), Char('$')], On::Why, Act::Hide, "", ""),
    // A letter, a notice or a draft
    row(&[Char('1')], On::Letter, Act::Digit(1), "", ""),
    row(&[Char('2')], On::Letter, Act::Digit(2), "", ""),
    row(&[Char('3')], On::Letter, Act::Digit(3), "", ""),
    row(&[Char('4')], On::Letter, Act::Digit(4), "", ""),
    row(&[Char('5')], On::Letter, Act::Digit(5), "", ""),
    row(&[Char('6')], On::Letter, Act::Digit(6), "", ""),
    row(&[Char('7')], On::Letter, Act::Digit(7), "", ""),
    row(&[Char('c')], On::Letter, Act::Copy, "copy", ""),
    row(&[Key::Tab, Char('v'), Char('.'), Key::Right], On::Letter, Act::NextPart, "kind", ""),
    row(&[Char('V'), Key::BackTab, Char(','), Key::Left], On::Letter, Act::PartBefore, "", ""),
    row(&[Char('j'), Key::Down], On::Letter, Act::Down, "", ""),
    row(&[Char('k'), Key::Up], On::Letter, Act::Up, "", ""),
    row(&[Char('J'), Key::PageDown, Char(' ')], On::Letter, Act::PageDown, "", ""),
    row(&[Char('K'), Key::PageUp], On::Letter, Act::PageUp, "", ""),
    row(&[Char('<'), Key::Home], On::Letter, Act::First, "", ""),
    row(&[Char('>'), Key::End], On::Letter, Act::Last, "", ""),
    row(&[Char('l'), Key::Esc], On::Letter, Act::Back, "close", ""),
    row(&[Char('?')], On::Letter, Act::Help, "", ""),
    row(&[Char('h'), Char('$')], On::Letter, Act::Hide, "", ""),
    // What would change the mind
    row(&[Char('c')], On::Mind, Act::Copy, "copy", ""),
    row(&[Char('j'), Key::Down], On::Mind, Act::Down, "", ""),
    row(&[Char('k'), Key::Up], On::Mind, Act::Up, "", ""),
    row(&[Char('J'), Key::PageDown, Char(' ')], On::Mind, Act::PageDown, "", ""),
    row(&[Char('K'), Key::PageUp], On::Mind, Act::PageUp, "", ""),
    row(&[Char('m'), Key::Esc], On::Mind, Act::Back, "close", ""),
    row(&[Char('h'), Char('$')], On::Mind, Act::Hide, "", ""),
    // Letters before figures
    row(&[Key::Esc], On::Tags, Act::Back, "back", ""),
    row(&[Key::PageDown], On::Tags, Act::PageDown, "more", ""),
    // Help
    row(&[Key::Enter], On::Help, Act::Open, "do it", ""),
    row(&[Char('j'), Key::Down], On::Help, Act::Down, "", ""),
    row(&[Char('k'), Key::Up], On::Help, Act::Up, "", ""),
    row(&[Char(' '), Char('J'), Key::PageDown], On::Help, Act::PageDown, "page", ""),
    row(&[Char('K'), Key::PageUp], On::Help, Act::PageUp, "", ""),
    row(&[Char('/'), Char(':')], On::Help, Act::Palette, "find", ""),
    row(&[Key::Esc, Char('?')], On::Help, Act::Back, "close", ""),
    row(&[Char('h'), Char('$')], On::Help, Act::Hide, "", ""),
    // Forms
    row(&[Key::Enter], On::Form, Act::Open, "keeps", ""),
    row(&[Key::Tab, Key::Down], On::Form, Act::NextPart, "next", ""),
    row(&[Key::BackTab, Key::Up], On::Form, Act::PartBefore, "", ""),
    row(&[Key::Esc], On::Form, Act::Back, "leaves", ""),
    row(&[Char('?')], On::FormEmpty, Act::Help, "what is it", ""),
    // Picker
    row(&[Key::Enter], On::Picker, Act::Open, "take it", ""),
    row(&[Key::Down], On::Picker, Act::Down, "", ""),
    row(&[Key::Up], On::Picker, Act::Up, "", ""),
    row(&[Key::PageDown], On::Picker, Act::PageDown, "", ""),
    row(&[Key::PageUp], On::Picker, Act::PageUp, "", ""),
    row(&[Key::Tab], On::Picker, Act::Kind, "kind", ""),
    row(&[Key::Esc], On::Picker, Act::Back, "leave it", ""),
    row(&[Char('1')], On::Level, Act::Digit(1), "-9 level", ""),
    row(&[Char('2')], On::Level, Act::Digit(2), "", ""),
    row(&[Char('3')], On::Level, Act::Digit(3), "", ""),
    row(&[Char('4')], On::Level, Act::Digit(4), "", ""),
    row(&[Char('5')], On::Level, Act::Digit(5), "", ""),
    row(&[Char('6')], On::Level, Act::Digit(6), "", ""),
    row(&[Char('7')], On::Level, Act::Digit(7), "", ""),
    row(&[Char('8')], On::Level, Act::Digit(8), "", ""),
    row(&[Char('9')], On::Level, Act::Digit(9), "", ""),
    row(&[Char('0')], On::Level, Act::Digit(0), "not seen", ""),
    row(&[Char('x')], On::Level, Act::Cross, "not fitted", ""),
    row(&[Key::Tab, Char('p')], On::Level, Act::Kind, "how known", ""),
    row(&[Key::Esc, Char('-'), Key::Backspace], On::Level, Act::Back, "back", ""),
    row(&[Char('h'), Char('$')], On::Level, Act::Hide, "", ""),
    // Stop
    row(&[Key::Enter, Char(' '), Key::Esc], On::Stop, Act::Open, "look on", ""),
    row(&[Char('x')], On::Stop, Act::Cross, "waive in words", ""),
    row(&[Char('u')], On::Stop, Act::Undo, "take back", ""),
    row(&[Char('w')], On::Stop, Act::Why, "why", ""),
    row(&[Char('h'), Char('$')], On::Stop, Act::Hide, "", ""),
    // A question
    row(&[Key::Enter, Char('y')], On::Sure, Act::Open, "yes", ""),
    row(&[Key::Esc, Char('n')], On::Sure, Act::Back, "no", ""),
    row(&[Char('h'), Char('$')], On::Sure, Act::Hide, "", ""),
    // Do by name
    row(&[Key::Enter], On::Palette, Act::Open, "do it", ""),
    row(&[Key::Down, Key::Tab], On::Palette, Act::Down, "", ""),
    row(&[Key::Up, Key::BackTab], On::Palette, Act::Up, "", ""),
    row(&[Key::PageDown], On::Palette, Act::PageDown, "", ""),
    row(&[Key::PageUp], On::Palette, Act::PageUp, "", ""),
    row(&[Key::Esc], On::Palette, Act::Back, "leave", ""),
    // Narrowing
    row(&[Key::Enter, Key::Down], On::Narrow, Act::Open, "keep", ""),
    row(&[Key::Esc], On::Narrow, Act::Back, "whole list", ""),
];
