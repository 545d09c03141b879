//! Text from outside made safe to keep and to show: adverts, notes, names, words in files.
//!
//! What a terminal could take for a command, or an eye could not see, is dropped: control characters,
//! direction overrides, characters of no width, tags, private use. The set follows Unicode 16.0 (general
//! categories Cc, Co, Cn for noncharacters, `Bidi_Control` of PropList.txt, and `Default_Ignorable_Code_Point`
//! of DerivedCoreProperties.txt, less the variation selectors 15 and 16 that only choose text or picture).

/// Longest note or advert kept, bytes.
pub const LONGEST_NOTE: usize = 1 << 20;
/// Longest name, place or other single line kept, bytes.
pub const LONGEST_LINE: usize = 400;

/// Text kept, and whether some of it had to be left out for its length.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Kept {
    /// The text.
    pub text: String,
    /// True if the end was cut off; the user is told.
    pub cut: bool,
}

/// What becomes of one character.
enum Fate {
    Keep,
    Space,
    Newline,
    Drop,
}

fn fate(c: char) -> Fate {
    match c {
        '\n' | '\r' | '\u{0B}' | '\u{0C}' | '\u{85}' | '\u{2028}' | '\u{2029}' => Fate::Newline,
        '\t' => Fate::Space,
        c if is_banned(c) => Fate::Drop,
        _ => Fate::Keep,
    }
}

/// True for a character that sanitised text never holds.
#[must_use]
pub fn is_banned(c: char) -> bool {
    let code = u32::from(c);
    (c.is_control() && c != '\n')
        || matches!(code,
            0x00AD | 0x034F | 0x061C          // soft hyphen, grapheme joiner, Arabic letter mark
            | 0x115F..=0x1160 | 0x17B4..=0x17B5 | 0x180B..=0x180F
            | 0x200B..=0x200F                 // zero width, direction marks
            | 0x2028..=0x202E                 // separators, embeddings, overrides
            | 0x2060..=0x206F                 // joiners, isolates, deprecated format characters
            | 0x3164 | 0xFE00..=0xFE0D | 0xFEFF | 0xFFA0
            | 0xFFF0..=0xFFFB                 // unassigned ignorables, interlinear marks
            | 0x1BCA0..=0x1BCA3 | 0x1D173..=0x1D17A
            | 0xE0000..=0xE0FFF               // tags, further variation selectors
            | 0xE000..=0xF8FF | 0xF_0000..=0x10_FFFF // private use
            | 0xFDD0..=0xFDEF)
        || code & 0xFFFE == 0xFFFE
}

/// Text of many lines made safe: every kind of line end becomes `\n`, a tab becomes a space, what is banned goes.
#[must_use]
pub fn sanitise(outside: &str) -> String {
    let mut safe = String::with_capacity(outside.len());
    let mut after_return = false;
    for c in outside.chars() {
        match fate(c) {
            Fate::Keep => safe.push(c),
            Fate::Space => safe.push(' '),
            // A return and a feed are one line end.
            Fate::Newline if c == '\n' && after_return => {}
            Fate::Newline => safe.push('\n'),
            Fate::Drop => {}
        }
        after_return = c == '\r';
    }
    safe
}

/// One line made safe: as [`sanitise`], line ends and runs of blanks become one space, none at either end.
#[must_use]
pub fn one_line(outside: &str) -> String {
    let safe = sanitise(outside);
    let mut line = String::with_capacity(safe.len());
    for word in safe.split_whitespace() {
        if !line.is_empty() {
            line.push(' ');
        }
        line.push_str(word);
    }
    line
}

/// A note or an advert: [`sanitise`]d, at most [`LONGEST_NOTE`] bytes, and whether it was cut.
#[must_use]
pub fn note(outside: &str) -> Kept {
    capped(sanitise(outside), LONGEST_NOTE)
}

/// A name, a place, a label: [`one_line`], at most [`LONGEST_LINE`] bytes, and whether it was cut.
#[must_use]
pub fn line(outside: &str) -> Kept {
    let mut kept = capped(one_line(outside), LONGEST_LINE);
    kept.text.truncate(kept.text.trim_end().len());
    kept
}

/// At most so many bytes of a text, never cut inside a character.
#[must_use]
pub fn capped(mut text: String, most_bytes: usize) -> Kept {
    if text.len() <= most_bytes {
        return Kept { text, cut: false };
    }
    let end = text.floor_char_boundary(most_bytes);
    text.truncate(end);
    Kept { text, cut: true }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_terminal_command_loses_what_makes_it_one() {
        // ECMA-48: ESC (1/11) and the C1 set 8/0 to 9/15 introduce every control sequence.
        assert_eq!(sanitise("\u{1b}[2Jrust\u{9b}31m\u{7}"), "[2Jrust31m");
        assert_eq!(sanitise("\u{1b}]52;c;cm0gLXJm\u{1b}\\"), "]52;c;cm0gLXJm\\");
    }

    #[test]
    fn every_kind_of_line_end_is_one_newline() {
        assert_eq!(
            sanitise("a\r\nb\rc\nd\u{2028}e\u{85}f\r\n\r\ng"),
            "a\nb\nc\nd\ne\nf\n\ng"
        );
        assert_eq!(one_line(" a\t b\r\n\r\n c "), "a b c");
    }

    #[test]
    fn text_that_runs_backwards_or_cannot_be_seen_is_dropped() {
        assert_eq!(
            sanitise("no \u{202e}tsur\u{202c} \u{2066}x\u{2069}"),
            "no tsur x"
        );
        assert_eq!(
            sanitise("r\u{200b}u\u{feff}s\u{e0074}t\u{f8ff}\u{fffe}"),
            "rust"
        );
        assert_eq!(sanitise("Müller 車 🚗\u{fe0f}"), "Müller 車 🚗\u{fe0f}");
    }

    #[test]
    fn a_cut_is_never_silent_and_never_inside_a_character() {
        let long = "é".repeat(LONGEST_NOTE);
        let kept = note(&long);
        assert!(kept.cut && kept.text.len() <= LONGEST_NOTE);
        assert!(!note("short").cut);
        assert!(line(&"ab ".repeat(400)).cut);
    }

    proptest! {
        #[test]
        fn sanitising_twice_changes_nothing_more(
            text in proptest::collection::vec(any::<char>(), 0..80)
        ) {
            let text: String = text.into_iter().collect();
            let once = sanitise(&text);
            prop_assert_eq!(sanitise(&once), once.clone());
            prop_assert!(!once.chars().any(is_banned));
            let line = one_line(&text);
            prop_assert_eq!(one_line(&line), line.clone());
            prop_assert!(!line.contains('\n') && !line.chars().any(is_banned));
        }

        #[test]
        fn hostile_text_never_keeps_a_banned_character(text in "[\\x00-\\x1f\\x7f-\\x9f\\u{200b}-\\u{206f}\\u{e000}-\\u{e010}\\u{e0000}-\\u{e007f}a\\r\\n\\t]{0,60}") {
            let once = sanitise(&text);
            prop_assert!(!once.chars().any(|c| is_banned(c) || (c.is_control() && c != '\n')));
            prop_assert_eq!(sanitise(&once), once);
        }
    }
}
