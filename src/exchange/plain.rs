//! The JSON reader's complaints in plain words, for people who never saw a programming language.

use crate::domain::letters;

/// The most letters of a complaint: it can quote what was found, which can be as long as a file.
const LONGEST: usize = 500;

/// What is wrong, without the place, which is told apart.
pub fn words(error: &serde_json::Error) -> String {
    let message = error.to_string();
    let message = message.rfind(" at line ").map_or(message.as_str(), |place| &message[..place]);
    let plain = translate(message);
    let mut letters = plain.chars();
    let mut told: String = letters.by_ref().take(LONGEST).collect();
    if letters.next().is_some() {
        told.push('…');
    }
    letters::tame(&told).into_owned()
}

fn translate(message: &str) -> String {
    if let Some(name) = message.strip_prefix("missing field ") {
        return format!("\"{}\" is missing", bare(name));
    }
    if let Some(name) = message.strip_prefix("duplicate field ") {
        return format!("\"{}\" stands twice", bare(name));
    }
    if let Some(rest) = message.strip_prefix("unknown variant ") {
        return match rest.split_once(", expected ") {
            Some((found, known)) => {
                let known = known.strip_prefix("one of ").unwrap_or(known);
                format!("\"{}\" is none of {}", bare(found), bare(known))
            }
            None => format!("\"{}\" is not known here", bare(rest)),
        };
    }
    for beginning in ["invalid type: ", "invalid value: "] {
        if let Some((found, wanted)) =
            message.strip_prefix(beginning).and_then(|rest| rest.split_once(", expected "))
        {
            return format!(
                "{} stands where {} must be",
                found_in_words(found),
                wanted_in_words(wanted)
            );
        }
    }
    if let Some((found, wanted)) =
        message.strip_prefix("invalid length ").and_then(|rest| rest.split_once(", expected "))
    {
        let needed: String = wanted.chars().filter(char::is_ascii_digit).collect();
        return format!("a list has {found} values where {needed} are needed");
    }
    if ["input ", "premature end of input", "trailing input"]
        .iter()
        .any(|start| message.starts_with(start))
    {
        return "a date or time is not written like 2026-11-25 or 2026-11-25T18:04:05+01:00"
            .to_owned();
    }
    bare(message)
}

/// Without the reader's quotation marks.
fn bare(text: &str) -> String {
    text.replace('`', "")
}

fn found_in_words(found: &str) -> String {
    let value = |kind: &str| found.strip_prefix(kind).map(bare);
    if let Some(text) = value("string ") {
        format!("the text {text}")
    } else if let Some(number) = value("integer ").or_else(|| value("floating point ")) {
        format!("the number {number}")
    } else if let Some(truth) = value("boolean ") {
        truth
    } else {
        match found {
            "null" => "nothing",
            "sequence" => "a list",
            "map" => "a group of values",
            _ => "something else",
        }
        .to_owned()
    }
}

fn wanted_in_words(wanted: &str) -> &'static str {
    match wanted {
        "i64" | "u64" | "u32" | "u16" | "u8" | "i16" => "a whole number",
        "f64" => "a number",
        "a string" | "string" => "a text",
        "a sequence" => "a list",
        wanted if wanted.contains("date") || wanted.contains("time") => "a date or time",
        wanted
            if wanted.starts_with("struct")
                || wanted.contains("map")
                || wanted.contains("object") =>
        {
            "a group of values"
        }
        wanted if wanted.contains("enum") || wanted.contains("variant") => "one of the known words",
        _ => "another kind of value",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_complaint_quotes_no_more_than_can_be_read() {
        let long = format!("\"\u{202E}{}\"", "h".repeat(1_000_000));
        let told = words(&serde_json::from_str::<u8>(&long).unwrap_err());
        assert!(told.starts_with("the text \"") && told.ends_with("h…"), "{told}");
        assert!(told.chars().count() <= 501 && !told.contains('\u{202E}'));
    }

    #[test]
    fn complaints_are_told_in_plain_words() {
        let rows = [
            ("missing field `steps`", "\"steps\" is missing"),
            ("duplicate field `dose`", "\"dose\" stands twice"),
            (
                "invalid type: string \"five\", expected i64",
                "the text \"five\" stands where a whole number must be",
            ),
            (
                "invalid type: floating point `2.5`, expected i64",
                "the number 2.5 stands where a whole number must be",
            ),
            (
                "invalid type: integer `7`, expected a sequence",
                "the number 7 stands where a list must be",
            ),
            (
                "invalid type: null, expected struct Dose",
                "nothing stands where a group of values must be",
            ),
            (
                "unknown variant `bounce`, expected one of `lift`, `lower`, `hold`, `relax`",
                "\"bounce\" is none of lift, lower, hold, relax",
            ),
            (
                "invalid length 3, expected an array of length 4",
                "a list has 3 values where 4 are needed",
            ),
            (
                "input contains invalid characters",
                "a date or time is not written like 2026-11-25 or 2026-11-25T18:04:05+01:00",
            ),
            ("-3 is not a number of sets", "-3 is not a number of sets"),
        ];
        for (complaint, plain) in rows {
            assert_eq!(translate(complaint), plain);
        }
    }
}
