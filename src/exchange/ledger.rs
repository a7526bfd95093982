//! What the second place beside a database holds: a line for each text that was stored, in the order in which
//! they came, and only ever added to.
//!
//! A line stands after a line break: the length of what follows and its CRC-32, in eight digits each, and then
//! `[number,"key","text"]`, which has no line break in it. So a line that was cut short, or damaged, is told from
//! the rest, and the line after it is read all the same.

use super::checksum;

/// The text that was stored under a key, or none, where it was taken away.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    /// What whoever writes counts by; it grows from line to line.
    pub number: u64,
    pub key: String,
    pub text: Option<String>,
}

/// What was read.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Ledger {
    pub lines: Vec<Line>,
    /// How many pieces were no line, as a half one at the end is.
    pub unreadable: usize,
}

/// Says before lines that take the place of all others how many they are.
const HEAD: &str = "{\"lines\":";

/// Lines to add.
pub fn print(lines: &[Line]) -> String {
    lines.iter().map(|line| frame(&body(line))).collect()
}

/// Lines that take the place of all others, once they are [whole].
pub fn print_whole(lines: &[Line]) -> String {
    frame(&format!("{HEAD}{}}}", lines.len())) + &print(lines)
}

/// Reads what can be read.
pub fn parse(bytes: &[u8]) -> Ledger {
    let mut ledger = Ledger::default();
    for piece in pieces(bytes) {
        match unframe(piece).map(|body| (is_head(body), line(body))) {
            Some((true, _)) => {}
            Some((false, Some(line))) => ledger.lines.push(line),
            Some((false, None)) | None => ledger.unreadable += 1,
        }
    }
    ledger
}

/// Reads lines that take the place of all others; none, where they were cut short or damaged.
pub fn whole(bytes: &[u8]) -> Option<Ledger> {
    let head = unframe(pieces(bytes).next()?)?.strip_prefix(HEAD)?;
    let lines: usize = head.strip_suffix('}')?.parse().ok()?;
    let ledger = parse(bytes);
    (ledger.unreadable == 0 && ledger.lines.len() == lines).then_some(ledger)
}

/// The last line, of what comes last.
pub fn last(tail: &[u8]) -> Option<Line> {
    let at = tail.iter().rposition(|byte| *byte == b'\n')?;
    line(unframe(&tail[at + 1..])?)
}

fn pieces(bytes: &[u8]) -> impl Iterator<Item = &[u8]> {
    bytes.split(|byte| *byte == b'\n').filter(|piece| !piece.is_empty())
}

fn frame(body: &str) -> String {
    format!("\n{:08x} {:08x} {body}", body.len(), checksum::of_bytes(body.as_bytes()))
}

fn unframe(piece: &[u8]) -> Option<&str> {
    let piece = str::from_utf8(piece).ok()?;
    let (length, rest) = piece.split_once(' ')?;
    let (sum, body) = rest.split_once(' ')?;
    let is = |digits: &str, value: usize| usize::from_str_radix(digits, 16) == Ok(value);
    let check = usize::try_from(checksum::of_bytes(body.as_bytes())).ok()?;
    (is(length, body.len()) && is(sum, check)).then_some(body)
}

fn is_head(body: &str) -> bool {
    body.starts_with(HEAD)
}

/// Writing numbers and texts cannot fail.
fn body(line: &Line) -> String {
    serde_json::to_string(&(line.number, &line.key, &line.text)).unwrap_or_default()
}

fn line(body: &str) -> Option<Line> {
    let (number, key, text) = serde_json::from_str(body).ok()?;
    Some(Line { number, key, text })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lines() -> Vec<Line> {
        let line = |number, key: &str, text: Option<&str>| Line {
            number,
            key: key.to_owned(),
            text: text.map(str::to_owned),
        };
        vec![
            line(1, "01ARYZ6S410000000000000000", Some("{\"note\":\"sore, 2 of 10\"}")),
            line(2, "draft/round-7", Some("{\n  \"title\": \"Über die Treppe\"\n}")),
            line(3, "draft/round-7", None),
            line(4, "erased", Some("01ARYZ6S420000000000000000")),
        ]
    }

    #[test]
    fn what_was_written_is_read() {
        let text = print(&lines()[..2]) + &print(&lines()[2..]);
        assert_eq!(parse(text.as_bytes()), Ledger { lines: lines(), unreadable: 0 });
        assert_eq!(last(text.as_bytes()), lines().pop());
        let anew = print_whole(&lines());
        assert_eq!(whole(anew.as_bytes()).map(|ledger| ledger.lines), Some(lines()));
        assert_eq!(parse(anew.as_bytes()).lines, lines());
        assert_eq!(whole(text.as_bytes()), None);
        assert_eq!(parse(b""), Ledger::default());
    }

    /// The check value is that of zlib and of RFC 1952, as another implementation works it out.
    #[test]
    fn a_line_has_its_length_and_its_published_check_value() {
        let body = r#"[7,"k","t"]"#;
        let line = Line { number: 7, key: "k".to_owned(), text: Some("t".to_owned()) };
        let sum = crc32fast::hash(body.as_bytes());
        assert_eq!(print(&[line]), format!("\n0000000b {sum:08x} {body}"));
    }

    #[test]
    fn of_what_was_cut_short_every_line_that_is_whole_is_read_and_the_next_one_too() {
        let text = print(&lines());
        let ends: Vec<usize> = (0..=4).map(|upto| print(&lines()[..upto]).len()).collect();
        for cut in 0..=text.len() {
            let whole_lines = ends.iter().filter(|end| **end <= cut).count() - 1;
            let ledger = parse(&text.as_bytes()[..cut]);
            assert_eq!(ledger.lines, lines()[..whole_lines], "cut at {cut}");
            // The line break alone is nothing yet.
            let is_torn = !ends.iter().any(|end| *end == cut || end + 1 == cut);
            assert_eq!(ledger.unreadable, usize::from(is_torn), "cut at {cut}");
            let mut goes_on = text.as_bytes()[..cut].to_vec();
            goes_on.extend(print(&lines()[3..]).as_bytes());
            assert_eq!(parse(&goes_on).lines.last(), lines().last(), "cut at {cut}");
            assert_eq!(last(&goes_on), lines().pop(), "cut at {cut}");
        }
    }

    #[test]
    fn no_flipped_bit_is_read_as_something_else() {
        let text = print(&lines());
        for at in 0..8 * text.len() {
            let mut bytes = text.clone().into_bytes();
            bytes[at / 8] ^= 1 << (at % 8);
            let ledger = parse(&bytes);
            let is_told = ledger.unreadable > 0;
            assert!(ledger.lines == lines() || is_told, "bit {at} is neither refused nor told");
            assert!(ledger.lines.iter().all(|line| lines().contains(line)), "bit {at} is misread");
        }
    }

    #[test]
    fn what_takes_the_place_of_all_else_counts_only_whole() {
        let text = print_whole(&lines());
        for cut in 0..text.len() {
            assert_eq!(whole(&text.as_bytes()[..cut]), None, "cut at {cut}");
        }
        for at in 0..8 * text.len() {
            let mut bytes = text.clone().into_bytes();
            bytes[at / 8] ^= 1 << (at % 8);
            let read = whole(&bytes).map(|ledger| ledger.lines);
            assert!(read.is_none() || read == Some(lines()), "bit {at}");
        }
    }
}
