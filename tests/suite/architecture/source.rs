//! Source text taken apart far enough to ask what it names.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

/// All Rust files under a folder, in order; none if there is no such folder.
pub fn rust_files(folder: &Path) -> Vec<PathBuf> {
    let Ok(entries) = fs::read_dir(folder) else {
        return Vec::new();
    };
    let mut paths: Vec<PathBuf> = entries.map(|entry| entry.unwrap().path()).collect();
    paths.sort();
    let mut files = Vec::new();
    for path in paths {
        if path.is_dir() {
            files.extend(rust_files(&path));
        } else if path.extension().is_some_and(|ext| ext == "rs") {
            files.push(path);
        }
    }
    files
}

/// Each file with its code outside tests; files that are tests as a whole are left out.
pub fn production_code(files: &[PathBuf]) -> Vec<(PathBuf, String)> {
    let mut codes = Vec::new();
    let mut test_modules = Vec::new();
    for file in files {
        let code = code_only(&fs::read_to_string(file).unwrap());
        let (code, test_files) = without_tests(&code);
        let beside = file.with_extension("");
        let root = ["lib", "main", "mod"]
            .iter()
            .any(|name| beside.ends_with(name));
        let folder = if root {
            file.parent().unwrap()
        } else {
            beside.as_path()
        };
        test_modules.extend(test_files.iter().map(|name| folder.join(name)));
        codes.push((file.clone(), code));
    }
    codes.retain(|(file, _)| {
        let stem = file.with_extension("");
        !test_modules.iter().any(|module| stem.starts_with(module))
    });
    codes
}

/// The text with comments, strings and character literals blanked; lines stay where they are.
pub fn code_only(text: &str) -> String {
    let chars: Vec<char> = text.chars().collect();
    let mut out = String::with_capacity(text.len());
    let mut at = 0;
    while at < chars.len() {
        let end = token_end(&chars, at);
        let blank = end > at + 1;
        for c in &chars[at..end.min(chars.len())] {
            out.push(if blank && *c != '\n' { ' ' } else { *c });
        }
        at = end;
    }
    out
}

/// End of the comment, string or character literal that starts here; one further where none does.
fn token_end(chars: &[char], at: usize) -> usize {
    let starts = |word: &str| {
        word.chars()
            .enumerate()
            .all(|(i, c)| chars.get(at + i) == Some(&c))
    };
    let find = |from: usize, stop: &dyn Fn(usize) -> bool| {
        (from..chars.len())
            .find(|i| stop(*i))
            .unwrap_or(chars.len())
    };
    if starts("//") {
        return find(at, &|i| chars[i] == '\n');
    }
    if starts("/*") {
        return block_comment_end(chars, at);
    }
    if starts("\"") {
        return quoted_end(chars, at + 1, '"');
    }
    let in_a_word = at > 0 && (chars[at - 1].is_alphanumeric() || chars[at - 1] == '_');
    if starts("r#") || starts("r\"") {
        let hashes = chars[at + 1..].iter().take_while(|c| **c == '#').count();
        if !in_a_word_but_byte(chars, at) && chars.get(at + 1 + hashes) == Some(&'"') {
            let closes =
                |i: usize| chars[i] == '"' && (1..=hashes).all(|k| chars.get(i + k) == Some(&'#'));
            return find(at + 2 + hashes, &closes) + 1 + hashes;
        }
    }
    // A lifetime has no closing quote after one character.
    if starts("'") && !in_a_word {
        if chars.get(at + 1) == Some(&'\\') {
            return quoted_end(chars, at + 1, '\'');
        }
        if chars.get(at + 2) == Some(&'\'') {
            return at + 3;
        }
    }
    at + 1
}

/// True if the `r` here ends a longer word, a byte string's `br` apart.
fn in_a_word_but_byte(chars: &[char], at: usize) -> bool {
    let word: String = chars[..at]
        .iter()
        .rev()
        .take_while(|c| c.is_alphanumeric() || **c == '_')
        .collect();
    !word.is_empty() && word != "b"
}

fn quoted_end(chars: &[char], from: usize, quote: char) -> usize {
    let mut at = from;
    while at < chars.len() && chars[at] != quote {
        at += if chars[at] == '\\' { 2 } else { 1 };
    }
    at + 1
}

fn block_comment_end(chars: &[char], from: usize) -> usize {
    let (mut at, mut depth) = (from, 0_usize);
    while at < chars.len() {
        match (chars[at], chars.get(at + 1)) {
            ('/', Some('*')) => {
                depth += 1;
                at += 2;
            }
            ('*', Some('/')) => {
                depth -= 1;
                at += 2;
                if depth == 0 {
                    break;
                }
            }
            _ => at += 1,
        }
    }
    at
}

/// Code without items under `#[cfg(test)]` (lines stay where they are), and the names of modules that so stand in other files.
pub fn without_tests(code: &str) -> (String, Vec<String>) {
    let mut out = code.to_owned();
    let mut files = Vec::new();
    while let Some(start) = out.find("#[cfg(test)]") {
        let end = item_end(&out[start..]) + start;
        let item = &out[start..end];
        if item.ends_with(';')
            && let Some((_, name)) = item.rsplit_once("mod ")
        {
            files.push(name.trim_end_matches(';').trim().to_owned());
        }
        let blank: String = item
            .chars()
            .map(|c| if c == '\n' { '\n' } else { ' ' })
            .collect();
        out.replace_range(start..end, &blank);
    }
    (out, files)
}

/// Where an item ends: at its closing brace, or at a semicolon outside brackets.
fn item_end(item: &str) -> usize {
    let (mut braces, mut brackets) = (0_usize, 0_usize);
    for (at, c) in item.char_indices() {
        match c {
            '(' | '[' => brackets += 1,
            ')' | ']' => brackets = brackets.saturating_sub(1),
            '{' => braces += 1,
            '}' => {
                braces = braces.saturating_sub(1);
                if braces == 0 {
                    return at + 1;
                }
            }
            ';' if braces == 0 && brackets == 0 => return at + 1,
            _ => {}
        }
    }
    item.len()
}

/// The names right after `root::`, also inside one level of `root::{a, b::c}`.
pub fn first_names(code: &str, root: &str) -> BTreeSet<String> {
    let mut names = BTreeSet::new();
    let path = format!("{root}::");
    for (at, _) in code.match_indices(&path) {
        let before = code[..at].chars().next_back();
        if before.is_some_and(|c| c.is_alphanumeric() || c == '_') {
            continue;
        }
        let tail = code[at + path.len()..].trim_start();
        match tail.strip_prefix('{') {
            None => names.extend([word(tail)]),
            Some(list) => names.extend(group(list).iter().map(|item| word(item.trim()))),
        }
    }
    names.remove("");
    names
}

fn word(text: &str) -> String {
    text.chars()
        .take_while(|c| c.is_alphanumeric() || *c == '_')
        .collect()
}

/// The items of a group up to its closing brace, inner groups unparted.
fn group(list: &str) -> Vec<String> {
    let (mut items, mut depth) = (vec![String::new()], 0_usize);
    for c in list.chars() {
        match c {
            '}' if depth == 0 => break,
            ',' if depth == 0 => items.push(String::new()),
            _ => {
                match c {
                    '{' => depth += 1,
                    '}' => depth -= 1,
                    _ => {}
                }
                if let Some(item) = items.last_mut() {
                    item.push(c);
                }
            }
        }
    }
    items
}

/// True if this word, or path of words, stands in the code on its own.
pub fn has_word(code: &str, wanted: &str) -> bool {
    let part = |c: char| c.is_alphanumeric() || c == '_';
    code.match_indices(wanted).any(|(at, _)| {
        let before = code[..at].chars().next_back();
        let after = code[at + wanted.len()..].chars().next();
        let runs_on = wanted.ends_with(part) && after.is_some_and(part);
        !before.is_some_and(part) && !runs_on
    })
}

#[test]
fn comments_strings_and_characters_are_no_code() {
    let text = "let a = \"crate::store // \\\" x\"; // std::fs\n/* one /* two */ panic!() */ let b = '\"'; let c: &'static str = r#\"std::\"env\"#;";
    let code = code_only(text);
    assert_eq!(code.lines().count(), 2);
    for gone in ["store", "fs", "panic", "env", "\""] {
        assert!(!code.contains(gone), "{gone} in {code}");
    }
    for kept in ["let a", "let b", "let c: &'static str"] {
        assert!(code.contains(kept), "no {kept} in {code}");
    }
}

#[test]
fn items_for_tests_alone_are_taken_out() {
    let (code, files) = without_tests(
        "fn a() {}\n#[cfg(test)]\nmod kit;\n#[cfg(test)]\nmod tests {\n fn b() { c.unwrap() }\n}\nfn d() {}",
    );
    assert_eq!(files, ["kit"]);
    assert!(code.contains("fn a()") && code.contains("fn d()"));
    assert!(!code.contains("unwrap") && !code.contains("kit"));
    assert_eq!(code.lines().count(), 8);
}

#[test]
fn names_are_found_in_groups_and_words_only_whole() {
    let names = first_names(
        "use crate::{car::{Money, Buyer}, trade};\nuse mycrate::x; crate::engine::run()",
        "crate",
    );
    assert_eq!(
        names.into_iter().collect::<Vec<_>>(),
        ["car", "engine", "trade"]
    );
    assert!(has_word("use std::time::Instant;", "Instant"));
    assert!(!has_word("fn instantly() { InstantCoffee }", "Instant"));
    assert!(has_word("println!(1)", "println!") && !has_word("eprintln!(1)", "println!"));
}
