//! Hostile input: the texts that `make fuzz` kept, read again, and what is too large to be made up at
//! random. What any text must satisfy stands in `fuzz/targets.rs`.

#![expect(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]

#[path = "fuzz/targets.rs"]
mod targets;

use std::fs;
use std::path::Path;

use carryover::exchange::file;

/// Reads everything that was kept of one target; returns how much there was.
fn read_kept(target: &str, read: impl Fn(&[u8])) -> usize {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fuzz/corpus").join(target);
    let files = fs::read_dir(folder).unwrap().map(|file| file.unwrap().path());
    files.map(|path| read(&fs::read(path).unwrap())).count()
}

#[test]
fn every_kept_text_is_read_or_refused_in_words() {
    for (target, read) in [
        ("file", targets::file as fn(&str)),
        ("link", targets::link),
        ("frames", targets::frames),
        ("copy", targets::copy),
        ("entry", targets::entry),
        ("day", targets::day),
    ] {
        // What is no text is refused before it gets this far.
        let kept = read_kept(target, |bytes| read(&String::from_utf8_lossy(bytes)));
        assert!(100 < kept, "{target}: {kept}");
    }
}

#[test]
fn every_kept_picture_tells_its_sides_or_none() {
    let kept = read_kept("picture", targets::picture);
    assert!(100 < kept, "{kept}");
}

/// The most memory this process has taken so far, in kB; only Linux tells.
fn most_memory() -> Option<u64> {
    let status = fs::read_to_string("/proc/self/status").ok()?;
    status
        .lines()
        .find_map(|line| line.strip_prefix("VmHWM:")?.split_whitespace().next()?.parse().ok())
}

/// Ten megabytes that begin as a log does.
fn ten_megabytes(of: &str) -> String {
    let head = r#"{"format":"carryover-log","version":1,"events":["#;
    format!("{head}{}", of.repeat(10_000_000 / of.len()))
}

#[test]
fn ten_megabytes_of_anything_are_refused_or_read_within_256_megabytes() {
    let event = r#"{"id":"01KT0ND9G00W3GE1R70W3GE1R7","at":"2026-06-01T06:00:00+02:00","what":{"note":{"text":"x"}}},"#;
    for part in
        ["[", "{\"a\":", "{\"a\":\n", "\"", "1", "1,", "null,", "\\", "{},", event, "\u{2066}", "]"]
    {
        let refusal = file::parse(&ten_megabytes(part)).map(|_read| "read");
        assert!(refusal.is_err(), "{part}");
    }
    if let Some(kilobytes) = most_memory() {
        assert!(kilobytes < 256 * 1024, "{kilobytes} kB");
    }
}

/// Forty megabytes of the smallest entries there are: counted, and not kept.
#[test]
fn entries_without_end_are_counted_within_256_megabytes() {
    let log = format!(
        "{{\"format\":\"carryover-log\",\"version\":1,\"events\":[1{}]}}",
        ",1".repeat(19_000_000)
    );
    let refusal = file::parse(&log).unwrap_err();
    assert_eq!(refusal, file::FileError::TooManyEntries { found: 19_000_001 });
    if let Some(kilobytes) = most_memory() {
        assert!(kilobytes < 256 * 1024, "{kilobytes} kB");
    }
}

#[test]
fn a_routine_larger_than_any_is_refused_before_it_is_read() {
    let lines = "\"a\",".repeat(4_500_000);
    let routine = format!(
        "{{\"format\":\"carryover-routine\",\"version\":1,\"routine\":{{\"cautions\":[{lines}\"a\"]}}}}"
    );
    assert_eq!(file::parse(&routine).unwrap_err(), file::FileError::RoutineTooLarge);
}

#[test]
fn a_list_nested_deeper_than_anything_of_ours_is_no_stack_overflow() {
    let nested = format!("{}{}", "[".repeat(1_000_000), "]".repeat(1_000_000));
    for text in [
        nested.clone(),
        format!(r#"{{"format":"carryover-routine","version":1,"routine":{nested}}}"#),
    ] {
        assert!(file::parse(&text).is_err());
    }
}
