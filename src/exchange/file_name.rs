//! Names of files that are saved. What is handed back and what is kept do not look alike, nor do those of several
//! clients, saved on one day. Their ending lets them through share sheets that know few; their content is what
//! counts.

use chrono::NaiveDate;

use super::stable_id;

/// A copy of the log that is written again and again into the same file.
pub const COPY_THAT_WRITES_ITSELF: &str = "carryover-copy.txt";

/// A log on its way to the practitioner: "carryover-log-2026-11-25.txt".
pub fn of_log(day: NaiveDate) -> String {
    format!("carryover-log-{day}.txt")
}

/// A copy of the log that the client keeps: "carryover-copy-2026-11-25.txt".
pub fn of_copy(day: NaiveDate) -> String {
    format!("carryover-copy-{day}.txt")
}

/// The longest part of a label that stands in a name, in letters.
const LONGEST_LABEL: usize = 40;

/// "visit-round-7-1f3a9c20-2026-11-25.txt": what it is, the client's label and mark, and the rest. `key` is
/// what tells the client from every other, whatever they are called.
pub fn of_client(what: &str, label: &str, key: &str, rest: &str) -> String {
    let mut words = String::new();
    for letter in label.to_lowercase().chars().take(LONGEST_LABEL) {
        if letter.is_ascii_alphanumeric() {
            words.push(letter);
        } else if !words.is_empty() && !words.ends_with('-') {
            words.push('-');
        }
    }
    let words = words.trim_end_matches('-');
    let between = if words.is_empty() { "" } else { "-" };
    let mark = stable_id::of("client-file", key).simple().to_string();
    format!("{what}-{words}{between}{}-{rest}", &mark[..8])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_of_two_clients_differ_and_are_plain_letters() {
        let name = |label, key| of_client("visit", label, key, "2026-11-25.txt");
        let labels = ["Round 7", "round-7", "Round 7!", "Ö", "../../etc", "", &"a".repeat(999)];
        let mut names: Vec<String> =
            labels.iter().flat_map(|label| ["one", "two"].map(|key| name(label, key))).collect();
        for name in &names {
            let plain = |letter: char| letter.is_ascii_alphanumeric() || "-.".contains(letter);
            assert!(name.chars().all(plain) && name.len() < 80, "{name}");
            assert!(!name.contains("..") && !name.contains("--"), "{name}");
        }
        names.sort();
        // The same client under a label that is written in another way is the same client.
        names.dedup();
        assert_eq!(names.iter().filter(|name| name.starts_with("visit-round-7-")).count(), 2);
        assert_ne!(name("Round 7", "one"), name("Round 7", "two"));
        assert_ne!(name("", "one"), name("", "two"));
        assert!(name("Round 7", "one").ends_with("-2026-11-25.txt"));
    }
}
