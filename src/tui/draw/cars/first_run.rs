//! The first run: nothing here yet, and where to start.

use crate::tui::app::App;
use crate::tui::draw::Look;
use crate::tui::draw::line::{Paint, Rows};
use crate::tui::draw::sheet::Sheet;
use crate::tui::theme::Meaning;
use ratatui::layout::Rect;

/// Nothing here yet: where to start.
pub fn draw(app: &App, look: &Look, area: Rect, buffer: &mut Sheet<'_>) {
    let width = usize::from(area.width).saturating_sub(1);
    let broad = width >= 60;
    let mut rows = Rows::default();
    let plain = |text: &str| Paint::new(look).put(Meaning::Plain, text.to_owned());
    rows.text(plain("Nothing here yet. Start anywhere:"));
    rows.text(plain(""));
    let samples = app.data.standing.samples;
    let starts: [(&str, &str, &str, bool); 4] = [
        (
            "1",
            "paste an advert",
            "just paste it here; nothing runs, nothing is sent",
            true,
        ),
        (
            "2",
            "type a car in",
            "make, model, miles, what they ask, worth",
            true,
        ),
        (
            "3",
            "three sample cars",
            "invented ones, to try every screen on",
            samples,
        ),
        (
            "4",
            "tell it about you",
            "skill, tools, wallet: two minutes, and it can wait",
            true,
        ),
    ];
    for (key, what, how, there) in starts {
        if there {
            let paint =
                Paint::new(look)
                    .put(Meaning::Heading, key)
                    .gap(2)
                    .left(Meaning::Plain, what, 20);
            rows.text(if broad {
                paint.put(Meaning::Plain, how)
            } else {
                paint
            });
        }
    }
    rows.text(plain(""));
    let wide = width.min(60);
    rows.words(look, Meaning::Plain, "From what you see and hear, this works out what a car is worth to you, what to offer, and when to leave. What you cannot see, it prices too.", wide);
    rows.text(plain(""));
    rows.words(
        look,
        Meaning::Plain,
        "It saves as you go. u takes back, ? helps, h hides money, q leaves.",
        wide,
    );
    rows.words(
        look,
        Meaning::Plain,
        "Figures are estimates, and yours: nothing here knows the market but you.",
        wide,
    );
    if !app.data.standing.place.is_empty() {
        rows.text(plain(""));
        rows.words(
            look,
            Meaning::Plain,
            &format!("Kept in  {}", app.data.standing.place),
            width,
        );
    }
    rows.draw(look, area, buffer, None, false);
}
