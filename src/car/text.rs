//! Text from outside, made harmless once on the way in.

/// Drops control, bidi, zero-width and tag characters; keeps line feeds and turns tabs into blanks.
#[must_use]
pub fn sanitise(text: &str) -> String {
    text.replace("\r\n", "\n")
        .replace(['\r', '\u{2028}', '\u{2029}'], "\n")
        .chars()
        .map(|c| if c == '\t' { ' ' } else { c })
        .filter(|c| *c == '\n' || harmless(*c))
        .collect()
}

/// The same for a single line: line feeds become blanks, the ends are trimmed.
#[must_use]
pub fn sanitise_line(text: &str) -> String {
    sanitise(text).replace('\n', " ").trim().to_owned()
}

fn harmless(c: char) -> bool {
    !c.is_control()
        && !matches!(c, '\u{200B}'..='\u{200F}' | '\u{202A}'..='\u{202E}' | '\u{2060}'..='\u{206F}' | '\u{FEFF}' | '\u{E0000}'..='\u{E007F}')
}
