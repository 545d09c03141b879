//! Files that cannot be read: never a panic, never a change to the file, one sentence each.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::fs;
use std::os::unix::net::UnixListener;
use std::path::{Path, PathBuf};
use wrenchworth::car::{Buyer, CarFile, history};
use wrenchworth::store::{StoreError, Trouble, load_buyer, load_car};

fn folder() -> tempfile::TempDir {
    tempfile::tempdir().unwrap()
}

fn small_file() -> String {
    let mut file = CarFile {
        schema: 1,
        ..CarFile::default()
    };
    history::apply(&mut file, "name", "cars", |car| {
        car.name = "Müller 🚗".into();
    });
    history::apply(&mut file, "note", "story", |car| {
        car.notes.push("rust\nat the sill".into());
        car.particulars.odometer_miles = Some(146_000.5);
        car.particulars.year = Some(2009);
    });
    serde_json::to_string_pretty(&file).unwrap()
}

fn load(folder: &Path, bytes: &[u8]) -> Result<CarFile, StoreError> {
    let path = folder.join("x.car.json");
    // A new file each time: some disks flush a file that is cut to nothing and written again.
    let _ = fs::remove_file(&path);
    fs::write(&path, bytes).unwrap();
    let loaded = load_car(&path);
    assert_eq!(fs::read(&path).unwrap(), bytes, "a reader must not write");
    if let Err(error) = &loaded {
        one_sentence(error);
    }
    loaded
}

fn one_sentence(error: &StoreError) {
    let sentence = error.to_string();
    assert!(
        sentence.ends_with('.') && sentence.contains("; ") || sentence.contains("and "),
        "{sentence}"
    );
    assert!(
        !sentence.contains(['\n', '\u{1b}']) && sentence.len() < 700,
        "{sentence}"
    );
}

#[test]
fn a_file_cut_off_at_any_byte_is_refused() {
    let folder = folder();
    let whole = small_file();
    assert!(load(folder.path(), whole.as_bytes()).is_ok());
    for end in 0..whole.len() {
        let error = load(folder.path(), &whole.as_bytes()[..end]).unwrap_err();
        assert!(
            matches!(error.trouble, Trouble::NotJson | Trouble::NotText),
            "{end}: {error}"
        );
    }
}

#[test]
fn any_flipped_bit_is_read_or_refused_but_never_a_panic() {
    let folder = folder();
    let whole = small_file();
    for at in 0..whole.len() {
        for bit in 0..8 {
            let mut bytes = whole.clone().into_bytes();
            bytes[at] ^= 1 << bit;
            drop(load(folder.path(), &bytes));
        }
    }
}

#[test]
fn each_bad_file_has_its_own_sentence() {
    let folder = folder();
    let car = |inner: &str| format!("{{\"schema\":1,\"car\":{{{inner}}}}}").into_bytes();
    let utf16: Vec<u8> = "\u{feff}{}"
        .encode_utf16()
        .flat_map(u16::to_le_bytes)
        .collect();
    let deep = format!(
        "{{\"schema\":1,\"car\":{{\"odd\":{}{}}}}}",
        "[".repeat(200_000),
        "]".repeat(200_000)
    );
    let table: Vec<(Vec<u8>, Trouble, &str)> = vec![
        (b"".to_vec(), Trouble::NotJson, "is empty"),
        (b" \n\t".to_vec(), Trouble::NotJson, "is empty"),
        (
            vec![0; 100],
            Trouble::NotJson,
            "is not JSON at line 1 column 1",
        ),
        (utf16, Trouble::NotText, "is not UTF-8 text from line 1 on"),
        (
            b"{\"schema\":1,\n\"car\":{\"name\":\"\xff\"}}".to_vec(),
            Trouble::NotText,
            "from line 2 on",
        ),
        (b"hello".to_vec(), Trouble::NotJson, "is not JSON at line 1"),
        (
            b"[1]".to_vec(),
            Trouble::BadField,
            "not an object in braces",
        ),
        (
            b"{}".to_vec(),
            Trouble::BadField,
            "schema: there is no format number",
        ),
        (
            b"{\"schema\":\"1\"}".to_vec(),
            Trouble::BadField,
            "not a whole number",
        ),
        (
            b"{\"schema\":1}".to_vec(),
            Trouble::BadField,
            "car is missing",
        ),
        (
            b"{\"schema\":2}".to_vec(),
            Trouble::Newer,
            "written by a newer version (format 2",
        ),
        (
            b"{\"schema\":99,\"car\":7}".to_vec(),
            Trouble::Newer,
            "format 99",
        ),
        (
            b"{\"schema\":1,\"car\":{}} trailing".to_vec(),
            Trouble::NotJson,
            "is not JSON at line 1 column 23",
        ),
        (deep.into_bytes(), Trouble::NotJson, "is nested too deep"),
        (
            car("\"particulars\":{\n\"year\":\"old\"}"),
            Trouble::BadField,
            "car.particulars.year, line 2 column 12",
        ),
        (
            car("\"particulars\":{\"year\":70000}"),
            Trouble::BadField,
            "car.particulars.year",
        ),
        (
            car("\"particulars\":{\"fuel\":\"coal\"}"),
            Trouble::BadField,
            "car.particulars.fuel",
        ),
        (
            car("\"particulars\":{\"odometer_miles\":1e400}"),
            Trouble::NotJson,
            "a number is too large",
        ),
        (
            car("\"listing\":{\"asking\":1285}"),
            Trouble::BadField,
            "car.listing.asking",
        ),
        (
            car("\"observations\":[{\"sign\":\"x\",\"answer\":{\"level\":18446744073709551616}}]"),
            Trouble::BadField,
            "car.observations[0].answer",
        ),
        (
            car("\"name\":\"a\",\"name\":\"b\""),
            Trouble::BadField,
            "name stands there twice",
        ),
        (car("\"name\":\"\\ud800\""), Trouble::NotJson, "hex escape"),
        (car("\"name\":NaN"), Trouble::NotJson, "is not JSON"),
        (
            car("\"particulars\":{\"fuel\":\"\\u001b[2J\\u202e\"}"),
            Trouble::BadField,
            "car.particulars.fuel",
        ),
    ];
    for (bytes, trouble, part) in table {
        let error = load(folder.path(), &bytes).expect_err(part);
        assert_eq!(error.trouble, trouble, "{error}");
        assert!(error.to_string().contains(part), "{error} lacks {part}");
    }
}

#[test]
fn odd_but_sound_files_open() {
    let folder = folder();
    for bytes in [
        &b"\xEF\xBB\xBF{\"schema\":1,\"car\":{}}"[..],
        b"{\r\n\"schema\":1,\r\n\"car\":{}\r\n}\r\n",
        b"{\"schema\":0,\"car\":{\"name\":\"from before formats had numbers\"}}",
        b"{\"schema\":1,\"car\":{\"x\":1,\"x\":2}}",
        b"{\"car\":{},\"schema\":1}",
    ] {
        assert_eq!(load(folder.path(), bytes).unwrap().schema, 1);
    }
    let many = format!(
        "{{\"schema\":1,\"car\":{{\"odd\":[{}0]}}}}",
        "0,".repeat(1_000_000)
    );
    assert!(load(folder.path(), many.as_bytes()).is_ok());
}

#[test]
fn a_file_that_is_too_long_is_not_even_read() {
    let folder = folder();
    let path = folder.path().join("long.car.json");
    let file = fs::File::create(&path).unwrap();
    file.set_len((16 << 20) + 1).unwrap();
    let error = load_car(&path).unwrap_err();
    assert_eq!(error.trouble, Trouble::TooBig);
    assert!(error.to_string().contains("over 16 MB"));
}

#[test]
fn what_is_no_regular_file_is_refused_without_waiting() {
    let folder = folder();
    let path = |name: &str| folder.path().join(name);
    fs::create_dir(path("folder.car.json")).unwrap();
    let made = std::process::Command::new("mkfifo")
        .arg(path("pipe.car.json"))
        .status()
        .unwrap();
    assert!(made.success());
    let _socket = UnixListener::bind(path("socket.car.json")).unwrap();
    std::os::unix::fs::symlink("loop.car.json", path("loop.car.json")).unwrap();
    let odd: [(PathBuf, Trouble); 8] = [
        (path("folder.car.json"), Trouble::NotAFile),
        (path("pipe.car.json"), Trouble::NotAFile),
        (path("socket.car.json"), Trouble::NotAFile),
        ("/dev/zero".into(), Trouble::NotAFile),
        (path("loop.car.json"), Trouble::Io),
        (path("missing.car.json"), Trouble::Missing),
        (path("missing/x.car.json"), Trouble::Missing),
        (path("folder.car.json/\u{1b}[2J\nx"), Trouble::Missing),
    ];
    for (path, trouble) in odd {
        let error = load_car(&path).unwrap_err();
        assert_eq!(error.trouble, trouble, "{error}");
        one_sentence(&error);
    }
}

#[test]
fn the_previous_version_is_named_where_there_is_one() {
    let folder = folder();
    fs::write(folder.path().join("x.car.json.bak"), small_file()).unwrap();
    let error = load(folder.path(), b"{").unwrap_err().to_string();
    assert!(
        error.ends_with(
            "is cut off at line 1 column 1; correct it there or put x.car.json.bak back."
        ),
        "{error}"
    );
}

#[test]
fn a_hostile_file_opens_with_its_texts_made_safe() {
    let folder = folder();
    let bytes = b"{\"schema\":1,\"car\":{\"name\":\"x\\u001b]52;c;aGk=\\u0007\",\"notes\":[\"a\\u202eb\\u2028c\"]}}";
    let file = load(folder.path(), bytes).unwrap();
    assert_eq!(file.car.name, "x]52;c;aGk=");
    assert_eq!(file.car.notes, ["ab\nc"]);
}

#[test]
fn a_buyer_file_is_read_with_the_same_care() {
    let folder = folder();
    let path = folder.path().join("buyer.json");
    fs::write(&path, b"{\"hours_a_week\": 4}").unwrap();
    assert_eq!(
        load_buyer(&path).unwrap(),
        Buyer {
            hours_a_week: 4.0,
            ..Buyer::default()
        }
    );
    fs::write(&path, b"{\"skill\": {\"engine\": \"good\"}}").unwrap();
    let error = load_buyer(&path).unwrap_err().to_string();
    assert!(error.contains("buyer.json: skill."), "{error}");
    fs::write(&path, b"{\"schema\": 7}").unwrap();
    assert_eq!(load_buyer(&path).unwrap_err().trouble, Trouble::Newer);
}
