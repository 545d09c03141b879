//! Styles by meaning, in every depth of color. The terminal's own ink on its own ground; nothing is told by hue alone.

use ratatui::style::{Color, Modifier, Style};

/// What a piece of text means; the palette turns it into ink.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Meaning {
    /// Default ink.
    #[default]
    Plain,
    /// The buyer's own figures: limit, opening, settle, plan.
    Mine,
    /// The limit itself.
    Limit,
    /// The seller's: asking, claims, answers.
    Theirs,
    /// What takes: costs, held back, drops.
    Takes,
    /// What gives: lifts, work shared.
    Gives,
    /// Not seen.
    Unseen,
    /// Units, headings of columns.
    Quiet,
    /// A stop.
    Stop,
    /// The `!` of a caution.
    Caution,
    /// The row in hand.
    InHand,
    /// Heading of the part in hand.
    Heading,
}

/// How many inks the terminal has.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Depth {
    /// None: bold, underline and reverse only.
    #[default]
    Mono,
    /// The sixteen named ones.
    Sixteen,
    /// 256.
    TwoFiftySix,
    /// 24 bit.
    True,
}

/// The terminal's ground, as far as known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Ground {
    /// Not known.
    #[default]
    Unknown,
    /// Dark.
    Dark,
    /// Light.
    Light,
}

/// A palette.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Theme {
    /// Depth of color.
    pub depth: Depth,
    /// Ground.
    pub ground: Ground,
    /// Higher contrast inks.
    pub high_contrast: bool,
}

/// The hues that are used at all.
#[derive(Clone, Copy)]
enum Hue {
    Blue,
    Plum,
    Copper,
    Gray,
}

impl Theme {
    /// Ink and attributes of a meaning.
    #[must_use]
    pub fn style(self, meaning: Meaning) -> Style {
        let plain = Style::new();
        let bold = plain.add_modifier(Modifier::BOLD);
        match meaning {
            Meaning::Plain => plain,
            Meaning::Mine | Meaning::Limit => self.ink(bold, Hue::Blue),
            Meaning::Theirs => self.ink(plain.add_modifier(Modifier::UNDERLINED), Hue::Plum),
            Meaning::Takes => self.ink(plain, Hue::Copper),
            Meaning::Gives => self.ink(plain, Hue::Blue),
            Meaning::Unseen | Meaning::Quiet => self.ink(plain, Hue::Gray),
            Meaning::Stop => self.ink(bold.add_modifier(Modifier::REVERSED), Hue::Copper),
            Meaning::Caution | Meaning::Heading => bold,
            Meaning::InHand if self.high_contrast => bold.add_modifier(Modifier::REVERSED),
            Meaning::InHand => plain.add_modifier(Modifier::REVERSED),
        }
    }

    fn ink(self, style: Style, hue: Hue) -> Style {
        match self.color(hue) {
            Some(color) => style.fg(color),
            None => style,
        }
    }

    fn color(self, hue: Hue) -> Option<Color> {
        if self.high_contrast && matches!(hue, Hue::Gray) {
            return None;
        }
        match (self.depth, self.ground) {
            (Depth::Mono, _) => None,
            // The one hue of the sixteen that keeps its contrast on black and on white.
            (_, Ground::Unknown) => matches!(hue, Hue::Blue).then_some(Color::LightBlue),
            (Depth::Sixteen, Ground::Dark) => match hue {
                Hue::Blue => Some(Color::Cyan),
                Hue::Plum => Some(Color::LightMagenta),
                Hue::Copper => Some(Color::Yellow),
                Hue::Gray => None,
            },
            (Depth::Sixteen, Ground::Light) => match hue {
                Hue::Blue => Some(Color::Blue),
                Hue::Plum => Some(Color::Magenta),
                Hue::Copper | Hue::Gray => None,
            },
            (Depth::TwoFiftySix, ground) => Some(Color::Indexed(indexed(hue, ground))),
            (Depth::True, ground) => Some(self.true_color(hue, ground)),
        }
    }

    fn true_color(self, hue: Hue, ground: Ground) -> Color {
        let dark = ground == Ground::Dark;
        let rgb = match (hue, dark, self.high_contrast) {
            (Hue::Blue, true, false) => 0x007F_B8FF,
            (Hue::Blue, false, false) => 0x000B_5CAD,
            (Hue::Blue, true, true) => 0x00A8_D4FF,
            (Hue::Blue, false, true) => 0x0000_3F80,
            (Hue::Plum, true, false) => 0x00C9_A0F0,
            (Hue::Plum, false, false) => 0x006B_3FA0,
            (Hue::Plum, true, true) => 0x00E6_CCFF,
            (Hue::Plum, false, true) => 0x004A_1F80,
            (Hue::Copper, true, false) => 0x00F0_A35E,
            (Hue::Copper, false, false) => 0x008F_4300,
            (Hue::Copper, true, true) => 0x00FF_CB94,
            (Hue::Copper, false, true) => 0x006A_3000,
            (Hue::Gray, true, _) => 0x00B0_B0B0,
            (Hue::Gray, false, _) => 0x0056_5656,
        };
        Color::from_u32(rgb)
    }
}

fn indexed(hue: Hue, ground: Ground) -> u8 {
    let dark = ground == Ground::Dark;
    match hue {
        Hue::Blue if dark => 111,
        Hue::Blue => 25,
        Hue::Plum if dark => 183,
        Hue::Plum => 91,
        Hue::Copper if dark => 215,
        Hue::Copper => 94,
        Hue::Gray if dark => 249,
        Hue::Gray => 240,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const ALL: [Meaning; 12] = [
        Meaning::Plain,
        Meaning::Mine,
        Meaning::Limit,
        Meaning::Theirs,
        Meaning::Takes,
        Meaning::Gives,
        Meaning::Unseen,
        Meaning::Quiet,
        Meaning::Stop,
        Meaning::Caution,
        Meaning::InHand,
        Meaning::Heading,
    ];

    #[test]
    fn without_color_no_ink_is_asked_for() {
        let theme = Theme::default();
        for meaning in ALL {
            let style = theme.style(meaning);
            assert_eq!((style.fg, style.bg), (None, None), "{meaning:?}");
        }
        assert!(
            theme
                .style(Meaning::InHand)
                .add_modifier
                .contains(Modifier::REVERSED)
        );
    }

    #[test]
    fn on_an_unknown_ground_only_light_blue_is_used() {
        for depth in [Depth::Sixteen, Depth::TwoFiftySix, Depth::True] {
            let theme = Theme {
                depth,
                ..Theme::default()
            };
            for meaning in ALL {
                let ink = theme.style(meaning).fg;
                assert!(matches!(ink, None | Some(Color::LightBlue)), "{meaning:?}");
            }
        }
    }
}
