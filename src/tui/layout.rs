//! Sizes: classes of width and height, and where the regions of a screen stand. Pure.

use crate::tui::app::App;
use crate::tui::say;
use crate::tui::screens::Screen;
use ratatui::layout::Rect;

/// Class of width.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Width {
    /// 30 to 59: one part at a time.
    Narrow,
    /// 60 to 99: two.
    Medium,
    /// 100 to 149: three.
    Wide,
    /// 150 up.
    Broad,
}

/// Class of a width in columns.
#[must_use]
pub fn width_class(columns: u16) -> Width {
    match columns {
        0..60 => Width::Narrow,
        60..100 => Width::Medium,
        100..150 => Width::Wide,
        _ => Width::Broad,
    }
}

/// True under 24 rows: no rules, no blank rows.
#[must_use]
pub fn is_short(rows: u16) -> bool {
    rows < 24
}

/// True where only a sentence is shown.
#[must_use]
pub fn is_too_small(area: Rect) -> bool {
    area.width < 30 || area.height < 10
}

/// The regions of a screen, from the top.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Regions {
    /// Car in hand and screens.
    pub title: Rect,
    /// Rule under the title; empty where short.
    pub rule: Rect,
    /// Stop, if any; empty without.
    pub banner: Rect,
    /// Body.
    pub body: Rect,
    /// Status rule.
    pub status: Rect,
    /// Bottom line of the car in hand.
    pub bottom: Rect,
    /// Key line.
    pub keys: Rect,
}

/// Cuts an area into regions.
#[must_use]
pub fn regions(area: Rect, with_banner: bool) -> Regions {
    let row = |y: u16, height: u16| Rect {
        y: area.y.saturating_add(y.min(area.height)),
        height: height.min(area.height.saturating_sub(y)),
        ..area
    };
    let rule = u16::from(!is_short(area.height));
    let banner = u16::from(with_banner);
    let top = 1 + rule + banner;
    let below = 3;
    let body = area.height.saturating_sub(top + below);
    Regions {
        title: row(0, 1),
        rule: row(1, rule),
        banner: row(1 + rule, banner),
        body: row(top, body),
        status: row(top + body, 1),
        bottom: row(top + body + 1, 1),
        keys: row(top + body + 2, 1),
    }
}

/// Rows that the ladder may take on Money.
#[must_use]
pub fn ladder_rows(size: (u16, u16)) -> usize {
    let rows = usize::from(size.1);
    match width_class(size.0) {
        Width::Narrow => rows.saturating_sub(9).clamp(4, 30),
        Width::Medium => rows.saturating_sub(12).clamp(6, 24),
        Width::Wide | Width::Broad => rows.saturating_sub(24).clamp(8, 22),
    }
}

/// Columns from a width: the given shares, split by a bar of three cells.
#[must_use]
pub fn columns(area: Rect, shares: &[u16]) -> Vec<Rect> {
    let bars = u16::try_from(shares.len().saturating_sub(1)).unwrap_or(0) * 3;
    let room = area.width.saturating_sub(bars);
    let sum: u16 = shares.iter().sum();
    let mut x = area.x;
    let mut left = room;
    let mut found = Vec::with_capacity(shares.len());
    for (at, share) in shares.iter().enumerate() {
        let width = if at + 1 == shares.len() {
            left
        } else {
            (u32::from(room) * u32::from(*share) / u32::from(sum.max(1)))
                .try_into()
                .unwrap_or(left)
        };
        let width = width.min(left);
        found.push(Rect { x, width, ..area });
        left -= width;
        x = x.saturating_add(width + 3).min(area.right());
    }
    found
}

/// Splits the first rows off an area.
#[must_use]
pub fn split_top(area: Rect, rows: u16) -> (Rect, Rect) {
    let rows = rows.min(area.height);
    (
        Rect {
            height: rows,
            ..area
        },
        Rect {
            y: area.y + rows,
            height: area.height - rows,
            ..area
        },
    )
}

/// The line a list starts with so that the line in hand stands in its middle third.
#[must_use]
pub fn scroll_top(line: usize, height: usize, total: usize) -> usize {
    if total <= height || height == 0 {
        return 0;
    }
    line.saturating_sub(height / 2).min(total - height)
}

/// The screens on the title row: name and first column, from the right edge.
#[must_use]
pub fn screen_names(app: &App) -> Vec<(Screen, String, u16)> {
    let columns = app.size.0;
    let class = width_class(columns);
    let names: Vec<(Screen, String)> = Screen::ALL
        .into_iter()
        .filter(|screen| class > Width::Narrow || *screen == app.screen)
        .map(|screen| {
            let name = if class >= Width::Wide {
                screen.name()
            } else {
                screen.short()
            };
            let shown = if screen == app.screen {
                format!("[{name}]")
            } else {
                name.to_owned()
            };
            (screen, shown)
        })
        .collect();
    let gap: u16 = if class >= Width::Wide { 2 } else { 1 };
    let cells = |name: &str| u16::try_from(say::width(name)).unwrap_or(0);
    // The bar before the screens of all cars, and the g at the end.
    let bar = |screen: Screen| {
        if screen == Screen::Side && class > Width::Narrow {
            2
        } else {
            0
        }
    };
    let total: u16 = names
        .iter()
        .map(|(screen, name)| cells(name) + gap + bar(*screen))
        .sum();
    let mut x = columns.saturating_sub(total + 1 + u16::from(class > Width::Narrow));
    names
        .into_iter()
        .map(|(screen, name)| {
            x += bar(screen);
            let at = x;
            x += cells(&name) + gap;
            (screen, name, at)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_regions_fill_every_size_exactly() {
        for width in 0..50 {
            for height in 0..60 {
                let area = Rect::new(0, 0, width, height);
                let all = regions(area, true);
                let sum: u16 = [
                    all.title, all.rule, all.banner, all.body, all.status, all.bottom, all.keys,
                ]
                .iter()
                .map(|region| {
                    assert!(region.bottom() <= height.max(region.y));
                    region.height
                })
                .sum();
                assert!(sum <= height);
                assert!(height < 10 || sum == height);
            }
        }
    }

    #[test]
    fn the_line_in_hand_is_always_in_sight() {
        for total in 0..40 {
            for height in 1..20 {
                for line in 0..total {
                    let top = scroll_top(line, height, total);
                    assert!(top <= line && line < top + height);
                    assert!(top == 0 || top + height <= total);
                }
            }
        }
    }
}
