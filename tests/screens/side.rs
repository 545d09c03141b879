//! Side by side: what would swap the order, and weights keyed, typed, tapped and dragged.

use super::golden::on;
use wrenchworth::engine::preference::EVEN;
use wrenchworth::tui::app::Target;
use wrenchworth::tui::draw::{Look, draw};
use wrenchworth::tui::screens::{Screen, cursor, walk};

#[test]
fn f_goes_to_the_check_that_would_swap_the_order_on_its_own_car() {
    let mut desk = on("gb..");
    assert_eq!(desk.app.data.hand.as_deref(), Some("marl"));
    assert!(
        desk.text().contains("rattle at a cold start"),
        "{}",
        desk.text()
    );
    desk.keys("f");
    assert_eq!(desk.app.screen, Screen::Walk);
    assert_eq!(desk.app.data.hand.as_deref(), Some("dabchick"));
    let hand = walk::in_hand(&desk.app).map(|(check, _)| check.sign);
    assert_eq!(hand.as_deref(), Some("cold-rattle"));
    // Enter on its sentence does the same.
    let mut desk = on("gb");
    desk.keys("v{Enter}");
    assert_eq!(desk.app.screen, Screen::Walk);
}

#[test]
fn keys_weigh_a_corner_in_steps_and_nought_makes_them_even() {
    let mut desk = on("gb3");
    let weights = desk.app.views.side.weights;
    assert!((weights.fast - 0.35).abs() < 1e-9, "{weights:?}");
    assert!((weights.cheap - weights.reliable).abs() < 1e-9);
    assert!(desk.said().contains("fast 35 of 100"), "{}", desk.said());
    desk.keys(&"3".repeat(13));
    assert!((desk.app.views.side.weights.fast - 1.0).abs() < 1e-9);
    desk.keys("3");
    assert_eq!(desk.said(), "3 means nothing here");
    desk.keys("0");
    assert_eq!(desk.app.views.side.weights, EVEN);
    desk.size(120, 40);
    assert!(desk.text().contains("of 100 weightings"), "{}", desk.text());
}

#[test]
fn weights_typed_count_by_their_proportion_and_all_nought_is_refused() {
    let mut desk = on("gbr");
    let clear = "{Backspace}{Backspace}{Backspace}";
    desk.keys(&format!("{clear}2{{Tab}}{clear}1{{Tab}}{clear}1{{Enter}}"));
    let weights = desk.app.views.side.weights;
    assert!((weights.cheap - 0.5).abs() < 1e-9 && (weights.fast - 0.25).abs() < 1e-9);
    desk.keys(&format!("r{clear}0{{Tab}}{clear}0{{Tab}}{clear}0{{Enter}}"));
    assert!(
        desk.text().contains("must weigh something"),
        "{}",
        desk.text()
    );
    assert_eq!(desk.app.views.side.weights, weights);
}

#[test]
fn a_tap_on_the_triangle_takes_the_weights_there_and_no_figure_moves() {
    let mut desk = on("gb");
    let before = desk.app.data.clone();
    let area = ratatui::layout::Rect::new(0, 0, 80, 24);
    let mut buffer = ratatui::buffer::Buffer::empty(area);
    let drawn = draw(&desk.app, &Look::default(), area, &mut buffer);
    let places: Vec<(u16, u16)> = drawn
        .hits
        .iter()
        .filter(|hit| matches!(hit.target, Target::Weigh { .. }))
        .map(|hit| (hit.area.x, hit.area.y))
        .collect();
    let top = *places.iter().min_by_key(|place| place.1).unwrap();
    desk.tap(top.0, top.1);
    let weights = desk.app.views.side.weights;
    assert!(weights.reliable > 0.9, "the top is reliable: {weights:?}");
    assert!((weights.cheap + weights.fast + weights.reliable - 1.0).abs() < 1e-9);
    let left = *places
        .iter()
        .max_by_key(|place| (place.1, std::cmp::Reverse(place.0)))
        .unwrap();
    desk.tap(left.0, left.1);
    assert!(desk.app.views.side.weights.cheap > 0.9);
    assert_eq!(desk.app.data.compared, before.compared);
    assert_eq!(
        cursor(&desk.app).part,
        wrenchworth::tui::screens::side::TRIANGLE
    );
    // The mark stands where the weights are: in the lowest row, at the left.
    assert!(desk.text().contains('+'));
    desk.keys("h");
    assert!(!desk.text().contains("of 100 weightings"));
}
