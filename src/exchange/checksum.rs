//! What tells a file that was damaged, or changed by hand, from one that is as the app wrote it.
//!
//! A check value is the CRC-32 (CRC-32/ISO-HDLC, that of RFC 1952) of a JSON text without the white space
//! between its tokens, and with `2` for `2.0`, so that it holds when a file is laid out anew, sent with other
//! line ends, or written again by another program. It stands in the file as `check`. A file without one is
//! read as it stands. It proves nothing about who wrote a file.

use std::borrow::Cow;
use std::sync::LazyLock;

use crc::{CRC_32_ISO_HDLC, Crc};
use serde::{Deserialize, Serialize};

use crate::domain::refused::Refusal;

/// The check value is not that of what it stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, Serialize)]
pub struct Changed;

impl Refusal for Changed {
    const NAME: &'static str = "changed";
}

static CRC: LazyLock<Crc<u32>> = LazyLock::new(|| Crc::<u32>::new(&CRC_32_ISO_HDLC));

/// The check value of bytes as they are.
pub fn of_bytes(bytes: &[u8]) -> u32 {
    CRC.checksum(bytes)
}

/// The check value of a JSON text, in eight digits.
pub fn of(json: &str) -> String {
    let mut digest = CRC.digest();
    let (mut is_in_text, mut is_escaped, mut is_point_zero) = (false, false, false);
    let mut rest = json.as_bytes();
    let is_left_out = |byte: &u8| {
        let was_point = is_point_zero;
        is_point_zero = !is_in_text && begins_with_point_zero(rest);
        rest = rest.get(1..).unwrap_or_default();
        match byte {
            _ if is_escaped => is_escaped = false,
            b'\\' => is_escaped = is_in_text,
            b'"' => is_in_text = !is_in_text,
            _ => {}
        }
        was_point || is_point_zero || !is_in_text && byte.is_ascii_whitespace()
    };
    for run in json.as_bytes().split(is_left_out) {
        digest.update(run);
    }
    format!("{:08x}", digest.finalize())
}

/// Whether a number goes on with `.0` and ends there.
fn begins_with_point_zero(rest: &[u8]) -> bool {
    let [b'.', b'0', after @ ..] = rest else { return false };
    !after.first().is_some_and(|next| matches!(next, b'0'..=b'9' | b'e' | b'E'))
}

/// An object with the check value of what else it holds as its last member.
pub fn put_on(object: &str) -> String {
    match object.strip_suffix('}') {
        Some(before) => format!("{before},\"check\":\"{}\"}}", of(object)),
        None => object.to_owned(),
    }
}

/// An object without the check value, which must be that of the rest; one that has none is as it was.
pub fn take_off(object: &str) -> Result<Cow<'_, str>, Changed> {
    let Some((before, check)) = split(object) else { return Ok(object.into()) };
    let object = format!("{before}}}");
    if of(&object) == check { Ok(object.into()) } else { Err(Changed) }
}

fn split(object: &str) -> Option<(&str, &str)> {
    let inside = object.trim_end().strip_suffix('}')?.trim_end();
    let (before, check) = inside.strip_suffix('"')?.rsplit_once('"')?;
    let before = before.trim_end().strip_suffix(':')?.trim_end().strip_suffix("\"check\"")?;
    Some((before.trim_end().strip_suffix(',')?, check))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The check value that the catalogue of parametrised CRC algorithms gives for CRC-32/ISO-HDLC, of the
    /// text 123456789.
    #[test]
    fn the_sum_is_the_one_that_is_published() {
        assert_eq!(of("123456789"), "cbf43926");
    }

    #[test]
    fn only_white_space_between_tokens_counts_for_nothing() {
        let text = r#"{"a b":[1,"c\" d",2.50],"e":"\\"}"#;
        assert_eq!(of(text), format!("{:08x}", crc32fast::hash(text.as_bytes())));
        assert_eq!(of("{ \"a b\" :\r\n\t[1,\n\"c\\\" d\", 2.50],\"e\":\"\\\\\" }\n"), of(text));
        for other in [text.replace("a b", "ab"), text.replace(" d", "  d"), text.replace("50", "5")]
        {
            assert_ne!(of(&other), of(text), "{other}");
        }
    }

    #[test]
    fn two_is_two_with_and_without_a_point() {
        for (one, other) in [
            (r#"{"kg":4.0,"all":[2.0,10.0]}"#, r#"{"kg":4,"all":[2,10]}"#),
            ("4.0", "4"),
            (r#"[1.05,1.0e3,1.00,"1.0"]"#, " [1.05, 1.0e3, 1.00, \"1.0\"] "),
        ] {
            assert_eq!(of(one), of(other), "{one}");
        }
        for (one, other) in
            [("[1.05]", "[15]"), ("1.0e3", "1e3"), ("\"1.0\"", "\"1\""), ("[1.0,0]", "[1,1]")]
        {
            assert_ne!(of(one), of(other), "{one}");
        }
    }

    #[test]
    fn what_was_put_on_comes_off_and_only_where_it_fits() {
        let object = r#"{"id":1,"text":"\"check\":\"00000000\"}"}"#;
        let checked = put_on(object);
        assert_eq!(checked.len(), object.len() + r#","check":"01234567""#.len());
        assert_eq!(take_off(&checked).unwrap(), object);
        let laid_out = checked.replace(",\"check\":", ",\n  \"check\" : ");
        assert_eq!(take_off(&laid_out).unwrap(), object);
        assert_eq!(take_off(&checked.replacen('1', "2", 1)), Err(Changed));
        assert_eq!(take_off(&checked.replace("\"check\":\"", "\"check\":\"0")), Err(Changed));
        for none in [object, "{}", "7", "", r#"{"check":"01234567"}"#, r#"{"a":"check"}"#] {
            assert_eq!(take_off(none).unwrap(), none);
        }
    }
}
