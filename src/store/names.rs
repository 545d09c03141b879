//! File names made from car names: never a path, never a name that some system keeps for itself.

use std::collections::BTreeSet;

/// How the file of a car ends.
pub const CAR_SUFFIX: &str = ".car.json";
/// Longest name made, bytes; room is left for endings and numbers.
const LONGEST_SLUG: usize = 60;

/// A safe file name for a car: small ASCII letters and digits, single hyphens between, at most 60 bytes.
#[must_use]
pub fn slug(name: &str) -> String {
    let mut slug = String::new();
    for c in name.chars() {
        if slug.len() >= LONGEST_SLUG {
            break;
        }
        if c.is_ascii_alphanumeric() {
            slug.push(c.to_ascii_lowercase());
        } else if !slug.is_empty() && !slug.ends_with('-') {
            slug.push('-');
        }
    }
    let slug = slug.trim_end_matches('-');
    match slug {
        "" => "car".to_owned(),
        slug if is_reserved(slug) => format!("{slug}-car"),
        slug => slug.to_owned(),
    }
}

/// The slug with the first number that no name in the set has, large and small letters alike.
#[must_use]
pub fn unique_slug(name: &str, taken: &BTreeSet<String>) -> String {
    let slug = slug(name);
    let free = |candidate: &String| !taken.contains(candidate);
    if free(&slug) {
        return slug;
    }
    (2u64..)
        .map(|number| format!("{slug}-{number}"))
        .find(free)
        .unwrap_or(slug)
}

/// Names that one widespread system keeps for devices, whatever their ending.
fn is_reserved(slug: &str) -> bool {
    matches!(slug, "con" | "prn" | "aux" | "nul")
        || (slug.len() == 4
            && (slug.starts_with("com") || slug.starts_with("lpt"))
            && slug.ends_with(|c: char| c.is_ascii_digit()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use std::path::{Component, Path};

    #[test]
    fn a_name_becomes_a_plain_file_name() {
        for (name, slugged) in [
            ("Dabchick 1.8 2009", "dabchick-1-8-2009"),
            ("../../etc/passwd", "etc-passwd"),
            ("/", "car"),
            ("", "car"),
            ("..", "car"),
            (".hidden", "hidden"),
            ("CON", "con-car"),
            ("com1", "com1-car"),
            ("car.", "car"),
            ("a\0b", "a-b"),
            ("Müller", "m-ller"),
            ("車", "car"),
        ] {
            assert_eq!(slug(name), slugged, "{name:?}");
        }
    }

    #[test]
    fn names_that_clash_get_a_number() {
        let taken = ["newt", "newt-2"].map(str::to_owned).into();
        assert_eq!(unique_slug("Newt", &taken), "newt-3");
        assert_eq!(unique_slug("NEWT!", &taken), "newt-3");
        assert_eq!(unique_slug("Pudd", &taken), "pudd");
    }

    proptest! {
        #[test]
        fn no_name_leads_out_of_the_folder(name in proptest::collection::vec(any::<char>(), 0..400)) {
            let name: String = name.into_iter().collect();
            let slug = slug(&name);
            let path = Path::new(&slug);
            let parts: Vec<_> = path.components().collect();
            prop_assert!(matches!(parts[..], [Component::Normal(_)]));
            prop_assert!(slug.len() <= 64 && !slug.starts_with(['.', '-']) && !slug.ends_with(['.', '-']));
        }
    }
}
