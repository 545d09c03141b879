//! Colors and glyphs from the arguments and the environment.

use super::args::{Global, When};
use crate::tui::draw::Look;
use crate::tui::glyphs::GlyphSet;
use crate::tui::theme::{Depth, Ground, Theme};
use std::env;

/// How the screens look here: the flag first, then `NO_COLOR`, then what the terminal says of itself.
pub fn of(global: &Global) -> Look {
    Look {
        glyphs: glyphs(global.ascii, &locale()),
        theme: Theme {
            depth: depth(global.color, &said),
            ground: ground(&said("COLORFGBG")),
            ..Theme::default()
        },
    }
}

fn said(name: &str) -> String {
    env::var(name).unwrap_or_default()
}

/// True where the terminal is likely to take what is copied: not where a multiplexer stands between and drops it in
/// silence, nor on a console.
pub fn clipboard() -> bool {
    takes_clipboard(&said)
}

fn takes_clipboard(said: &dyn Fn(&str) -> String) -> bool {
    let term = said("TERM");
    let between = ["TMUX", "STY", "ZELLIJ"]
        .iter()
        .any(|name| !said(name).is_empty());
    let plain = ["dumb", "linux", "vt", "screen", "tmux"]
        .iter()
        .any(|start| term.starts_with(start));
    !term.is_empty() && !between && !plain
}

/// The user's own editor: `VISUAL`, else `EDITOR`, else `vi`.
pub fn editor() -> String {
    ["VISUAL", "EDITOR"]
        .into_iter()
        .map(said)
        .find(|command| !command.trim().is_empty())
        .unwrap_or_else(|| "vi".to_owned())
}

/// The locale of characters, by the order POSIX gives: `LC_ALL`, `LC_CTYPE`, `LANG`.
fn locale() -> String {
    ["LC_ALL", "LC_CTYPE", "LANG"]
        .into_iter()
        .map(said)
        .find(|value| !value.is_empty())
        .unwrap_or_default()
}

/// ASCII where asked for, where the terminal is not UTF-8, and where doubtful glyphs are drawn two cells wide.
fn glyphs(ascii: bool, locale: &str) -> GlyphSet {
    let upper = locale.to_uppercase();
    let utf8 = upper.contains("UTF-8") || upper.contains("UTF8");
    let wide = ["zh", "ja", "ko"]
        .iter()
        .any(|language| locale.starts_with(language));
    if ascii || wide {
        GlyphSet::Ascii
    } else if utf8 || locale.is_empty() {
        // No locale at all is common in containers and over bare connections, whose terminals are UTF-8 nowadays.
        GlyphSet::Full
    } else {
        GlyphSet::AsciiOnly
    }
}

fn depth(when: When, said: &dyn Fn(&str) -> String) -> Depth {
    let term = said("TERM");
    let none = when == When::Never
        || (when == When::Auto && (!said("NO_COLOR").is_empty() || term == "dumb"));
    let full = said("COLORTERM");
    match () {
        () if none => Depth::Mono,
        () if full == "truecolor" || full == "24bit" => Depth::True,
        () if term.contains("256") => Depth::TwoFiftySix,
        () => Depth::Sixteen,
    }
}

/// `COLORFGBG` ends in the number of the ground: 7 and 15 are light.
fn ground(said: &str) -> Ground {
    match said
        .rsplit(';')
        .next()
        .and_then(|last| last.parse::<u8>().ok())
    {
        Some(7 | 15) => Ground::Light,
        Some(0..=6 | 8) => Ground::Dark,
        _ => Ground::Unknown,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_color_wins_over_a_rich_terminal_and_the_flag_over_both() {
        let rich = |name: &str| match name {
            "NO_COLOR" => "1".to_owned(),
            "COLORTERM" => "truecolor".to_owned(),
            _ => String::new(),
        };
        assert_eq!(depth(When::Auto, &rich), Depth::Mono);
        assert_eq!(depth(When::Always, &rich), Depth::True);
        assert_eq!(depth(When::Never, &|_| String::new()), Depth::Mono);
    }

    #[test]
    fn a_copy_goes_to_a_file_where_a_clipboard_would_drop_it_in_silence() {
        let of = |pairs: &'static [(&str, &str)]| {
            takes_clipboard(&move |name: &str| {
                let found = pairs.iter().find(|(known, _)| *known == name);
                found.map_or_else(String::new, |(_, value)| (*value).to_owned())
            })
        };
        assert!(of(&[("TERM", "xterm-256color")]));
        assert!(!of(&[("TERM", "xterm-256color"), ("TMUX", "/tmp/x,1,0")]));
        assert!(!of(&[("TERM", "linux")]));
        assert!(!of(&[]));
    }

    #[test]
    fn a_terminal_that_is_not_utf_8_gets_ascii() {
        assert_eq!(glyphs(false, "C"), GlyphSet::AsciiOnly);
        assert_eq!(glyphs(false, "en_US.UTF-8"), GlyphSet::Full);
        assert_eq!(glyphs(false, "ja_JP.UTF-8"), GlyphSet::Ascii);
        assert_eq!(ground("15;0"), Ground::Dark);
        assert_eq!(ground("0;15"), Ground::Light);
    }
}
