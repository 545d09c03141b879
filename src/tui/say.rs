//! Figures as people say them. Pure; units stand in headings, not here.

use crate::car::Money;
use crate::engine::{Appraisal, Spread};
use unicode_segmentation::UnicodeSegmentation;
use unicode_width::UnicodeWidthStr;

/// A whole number with commas between thousands and a true minus.
#[must_use]
pub fn whole(value: f64) -> String {
    if !value.is_finite() {
        return "··".to_owned();
    }
    let rounded = value.abs().round();
    let digits = format!("{rounded:.0}");
    let mut out = String::new();
    for (at, digit) in digits.chars().enumerate() {
        if at > 0 && (digits.len() - at).is_multiple_of(3) {
            out.push(',');
        }
        out.push(digit);
    }
    if value < 0.0 && rounded > 0.0 {
        format!("−{out}")
    } else {
        out
    }
}

/// Money without a sign of the currency.
#[must_use]
pub fn money(amount: Money) -> String {
    whole(to_f64(amount))
}

/// Money as a plain number, for drawing only.
#[must_use]
pub fn to_f64(amount: Money) -> f64 {
    amount.to_string().parse().unwrap_or(0.0)
}

/// Rounded to 5s, as a rung or an estimate is said.
#[must_use]
pub fn fives(value: f64) -> f64 {
    (value / 5.0).round() * 5.0
}

/// An estimate in dollars, to 5s.
#[must_use]
pub fn about(value: f64) -> String {
    whole(fives(value))
}

/// A movement: `−115`, `+40`, `0`.
#[must_use]
pub fn moved(value: f64) -> String {
    if value.round() > 0.0 {
        format!("+{}", whole(value))
    } else {
        whole(value)
    }
}

/// A range: `1,150–1,590`, and `−75 to 805` with an end under zero.
#[must_use]
pub fn range(low: f64, high: f64) -> String {
    if low.round() < 0.0 || high.round() < 0.0 {
        format!("{} to {}", whole(low), whole(high))
    } else {
        format!("{}–{}", whole(low), whole(high))
    }
}

/// A chance: never 0% or 100%.
#[must_use]
pub fn percent(chance: f64) -> String {
    let hundred = chance * 100.0;
    if !hundred.is_finite() {
        "··".to_owned()
    } else if hundred < 0.5 {
        "<1%".to_owned()
    } else if hundred > 99.5 {
        ">99%".to_owned()
    } else {
        format!("{hundred:.0}%")
    }
}

/// A chance in words: `58 in 100`.
#[must_use]
pub fn in_hundred(chance: f64) -> String {
    format!("{:.0} in 100", (chance * 100.0).clamp(0.0, 100.0))
}

/// Hours without the unit: halves under 10, whole above.
#[must_use]
pub fn hours(value: f64) -> String {
    let halves = (value * 2.0).round() / 2.0;
    if value < 9.75 && (halves - halves.round()).abs() > 0.1 {
        format!("{halves:.1}")
    } else {
        whole(halves.round())
    }
}

/// Hours with their band: `17 (11–26)`.
#[must_use]
pub fn hours_spread(spread: &Spread) -> String {
    if spread.p90 < 0.25 {
        return "–".to_owned();
    }
    format!(
        "{} ({}–{})",
        hours(spread.p50),
        hours(spread.p10),
        hours(spread.p90)
    )
}

/// `44→81%`, or one figure if both are the same; `··` where unknown.
#[must_use]
pub fn before_after(before: Option<f64>, after: Option<f64>) -> String {
    match (before, after) {
        (Some(before), Some(after)) if percent(before) != percent(after) => {
            format!(
                "{}→{}",
                percent(before).trim_end_matches('%'),
                percent(after)
            )
        }
        (_, Some(after)) => percent(after),
        (Some(before), None) => percent(before),
        (None, None) => "··".to_owned(),
    }
}

/// Odds: `×14`, `×1.3`.
#[must_use]
pub fn times(odds: f64) -> String {
    if odds >= 10.0 {
        format!("×{odds:.0}")
    } else if odds >= 0.95 {
        format!("×{odds:.1}")
    } else {
        format!("×{odds:.2}")
    }
}

/// What the checks not seen hold back, as the ladder counts it: cash and hours.
#[must_use]
pub fn held_back(figures: &Appraisal) -> String {
    let rung = figures.ladder.iter().find(|rung| rung.id == "unseen");
    about(rung.map_or(figures.unseen.cash.mean, |rung| to_f64(rung.cash).abs()))
}

/// Cells that a text takes.
#[must_use]
pub fn width(text: &str) -> usize {
    text.width()
}

/// The text cut to a width in cells, with `…` where something is cut. Never splits a grapheme, and no figure: one that
/// does not fit whole leaves whole, unless there is nothing before it.
#[must_use]
pub fn clip(text: &str, cells: usize) -> String {
    if text.width() <= cells {
        return text.to_owned();
    }
    if cells == 0 {
        return String::new();
    }
    let mut out = String::new();
    let mut used = 0;
    for grapheme in text.graphemes(true) {
        let wide = grapheme.width();
        if used + wide > cells - 1 {
            break;
        }
        out.push_str(grapheme);
        used += wide;
    }
    let ends_in_figure = |out: &str| {
        let bare = out.trim_end_matches([',', '.']);
        bare.ends_with(|c: char| c.is_ascii_digit())
    };
    if ends_in_figure(&out) {
        let whole = text
            .get(out.len()..)
            .is_some_and(|rest| rest.starts_with(' '));
        let stays = whole && used + 2 <= cells;
        let before = out.rsplit_once(' ').map(|(before, _)| before.trim());
        if let Some(before) = before.filter(|before| !stays && !before.is_empty()) {
            let kept = before.trim_end_matches([' ', '·', ',']).to_owned();
            out = kept;
        }
        if ends_in_figure(&out) && out.width() + 2 <= cells {
            // A blank says that the figure is whole.
            out.push(' ');
        }
    }
    out.push('…');
    out
}

/// The text cut to a width with its last phrase kept whole: `timing chain…, 58%`.
#[must_use]
pub fn clip_head(text: &str, cells: usize) -> String {
    if text.width() <= cells {
        return text.to_owned();
    }
    match text.rsplit_once(", ") {
        Some((head, tail)) if tail.width() + 8 < cells => {
            format!("{}, {tail}", clip(head, cells - tail.width() - 2))
        }
        _ => clip(text, cells),
    }
}

/// Cut or padded on the right to exactly a width.
#[must_use]
pub fn left(text: &str, cells: usize) -> String {
    let mut out = clip(text, cells);
    out.extend(std::iter::repeat_n(' ', cells.saturating_sub(out.width())));
    out
}

/// Padded on the left to a width; a figure that does not fit leaves whole.
#[must_use]
pub fn right(text: &str, cells: usize) -> String {
    let wide = text.width();
    if wide > cells {
        return " ".repeat(cells);
    }
    format!("{}{text}", " ".repeat(cells - wide))
}

/// Words wrapped to a width.
#[must_use]
pub fn wrap(text: &str, cells: usize) -> Vec<String> {
    if cells == 0 {
        return Vec::new();
    }
    textwrap::wrap(text, cells)
        .into_iter()
        .map(std::borrow::Cow::into_owned)
        .collect()
}

/// What stands beside a limit of nothing, where no wallet and no rule made it so: *cheap* is then high because the work is left off.
#[must_use]
pub fn too_dear(figures: &Appraisal) -> Option<&'static str> {
    let nothing = figures
        .limit
        .price
        .is_some_and(|price| price <= Money::ZERO);
    let by_value = figures.limit.binds == "value" || figures.limit.binds == "floor";
    (nothing && by_value).then_some("the work is dearer than the car")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_read_as_people_say_them() {
        assert_eq!(clip("2,100 · 1,950", 10), "2,100 …");
        assert_eq!(clip("was 2,100 once", 8), "was…");
        assert_eq!(clip("Dabchick 1.8 2009", 14), "Dabchick 1.8 …");
        assert_eq!(clip("1234567", 4), "123…");
        assert_eq!(whole(1350.0), "1,350");
        assert_eq!(whole(-115.4), "−115");
        assert_eq!(whole(-0.2), "0");
        assert_eq!(moved(40.0), "+40");
        assert_eq!(range(1150.0, 1590.0), "1,150–1,590");
        assert_eq!(range(-75.0, 805.0), "−75 to 805");
        assert_eq!(percent(0.001), "<1%");
        assert_eq!(percent(0.999), ">99%");
        assert_eq!(before_after(Some(0.44), Some(0.81)), "44→81%");
        assert_eq!(times(14.2), "×14");
        assert_eq!(hours(1.5), "1.5");
        assert_eq!(hours(16.8), "17");
    }

    #[test]
    fn a_figure_leaves_whole_and_a_word_is_cut() {
        assert_eq!(right("1,350", 4), "    ");
        assert_eq!(clip("timing chain", 7), "timing…");
        assert_eq!(left("漢字漢字", 5), "漢字…");
        assert_eq!(
            clip_head("timing chain or guides, 58%", 20),
            "timing chain o…, 58%"
        );
    }
}
