//! What the JSON reader refuses, in words that say what to write instead.

/// The reader's reason in plain words; one that is in plain words already stays as it is.
pub fn plain(reason: &str) -> String {
    let found = |start: &str| reason.strip_prefix(start)?.split_once(", expected ");
    if let Some((is, wanted)) = found("invalid type: ") {
        return format!(
            "{} stands where {} belongs",
            thing(is),
            wanted_in_words(wanted)
        );
    }
    if let Some((is, wanted)) = found("invalid value: ") {
        return format!(
            "{} is out of bounds for {}",
            thing(is),
            wanted_in_words(wanted)
        );
    }
    if let Some((word, known)) = found("unknown variant ") {
        let known = known.trim_start_matches("one of ").replace('`', "");
        return format!(
            "the word {} is not known here, write one of {known}",
            quoted(word)
        );
    }
    if let Some(field) = reason.strip_prefix("missing field ") {
        return format!("{} is missing", field.replace('`', ""));
    }
    if let Some(field) = reason.strip_prefix("duplicate field ") {
        return format!("{} stands there twice", field.replace('`', ""));
    }
    // The reader of days has words of its own for each way to be none.
    if reason.starts_with("failed to parse") {
        return "this is no day, write it like “2026-11-14”, with a time like “2026-11-14T10:30:00”".to_owned();
    }
    let syntax = [
        ("number out of range", "a number is too large"),
        ("expected value", "a value is missing"),
        ("expected ident", "a word is none of true, false and null"),
        ("expected `:`", "a colon is missing"),
        ("expected `,` or `]`", "a comma or ] is missing"),
        ("expected `,` or `}`", "a comma or } is missing"),
    ];
    let found = syntax.iter().find(|(theirs, _)| *theirs == reason);
    found.map_or(reason, |(_, ours)| ours).to_owned()
}

fn quoted(word: &str) -> String {
    format!("“{}”", word.trim_matches('`'))
}

/// What stands in the file.
fn thing(is: &str) -> String {
    let value = |start: &str| Some(is.strip_prefix(start)?.trim_matches(['`', '"']));
    if let Some(text) = value("string ") {
        return format!("the text “{text}”");
    }
    for number in ["integer ", "floating point "] {
        if let Some(number) = value(number) {
            return format!("the number {number}");
        }
    }
    match is {
        "null" => "nothing (null)".to_owned(),
        "map" => "an object in braces".to_owned(),
        "sequence" => "a list".to_owned(),
        other => other
            .strip_prefix("boolean ")
            .unwrap_or(other)
            .replace('`', ""),
    }
}

/// What belongs there.
fn wanted_in_words(wanted: &str) -> &str {
    match wanted {
        "u8" | "u16" | "u32" | "u64" | "usize" => "a whole number from 0 up without quotes",
        "i8" | "i16" | "i32" | "i64" => "a whole number without quotes",
        "f32" | "f64" => "a number without quotes, commas or a unit",
        "a string" | "string" => "a text in quotes",
        "a boolean" => "true or false",
        "a map" => "an object in braces",
        "a sequence" => "a list in square brackets",
        wanted if wanted.starts_with("struct ") => "an object in braces",
        wanted if wanted.contains("enum ") => "a word in quotes",
        other => other,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_readers_reasons_are_said_in_plain_words() {
        for (reason, words) in [
            (
                "invalid type: string \"17l,000\", expected f64",
                "the text “17l,000” stands where a number without quotes, commas or a unit belongs",
            ),
            (
                "invalid value: integer `-3`, expected u16",
                "the number -3 is out of bounds for a whole number from 0 up without quotes",
            ),
            (
                "unknown variant `petroleum`, expected `petrol` or `diesel`",
                "the word “petroleum” is not known here, write one of petrol or diesel",
            ),
            ("missing field `price`", "price is missing"),
            (
                "VIN: 17 characters needed, 16 typed",
                "VIN: 17 characters needed, 16 typed",
            ),
        ] {
            assert_eq!(plain(reason), words);
        }
    }
}
