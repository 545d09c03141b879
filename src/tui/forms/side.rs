//! What matters to the user: weights of cheap, reliable and fast.

use super::{Field, Form, Kind, Purpose, Wrong};
use crate::car::entry;
use crate::engine::triangle::Shares;
use crate::tui::app::App;
use crate::tui::screens::side;

/// The three weights in hand.
pub fn weights(app: &App) -> Form {
    let now = app.views.side.weights;
    let field = |id, label, share: f64| {
        let text = format!("{:.0}", share * 100.0);
        Field::line(
            id,
            label,
            Kind::Number(entry::WEIGHT),
            &text,
            "of 100, or any share",
        )
    };
    Form::new(
        Purpose::Weights,
        "what matters to you",
        vec![
            field("cheap", "cheap", now.cheap),
            field("reliable", "reliable", now.reliable),
            field("fast", "fast", now.fast),
        ],
    )
    .with_note("Only their proportion counts. No figure of money moves.")
}

/// Keeps them as shares.
pub fn keep_weights(form: &Form, app: &mut App) -> Result<(), Wrong> {
    let mut parts = [0.0; 3];
    for (part, id) in parts.iter_mut().zip(["cheap", "reliable", "fast"]) {
        *part = form.number(id)?.unwrap_or(0.0);
    }
    let sum: f64 = parts.iter().sum();
    if sum <= 0.0 {
        return Err(Wrong::at(
            "cheap",
            "At least one of them must weigh something.",
        ));
    }
    let [cheap, reliable, fast] = parts.map(|part| part / sum);
    side::weigh(
        app,
        Shares {
            cheap,
            fast,
            reliable,
        },
    );
    Ok(())
}
