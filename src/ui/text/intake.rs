//! What came of a file that was opened, and what is asked of a log that does not plainly belong to somebody.

use chrono::NaiveDate;

use super::refusals::InWords;
use super::{dates, dose};
use crate::domain::log::belonging::Oddity;
use crate::domain::words::Words;
use crate::exchange::file::Gap;

/// More places than this are counted, not named.
const MOST_PLACES: usize = 3;

/// Said of codes whose routine names entries of the library.
pub const NO_LIBRARY: &str = "the list of exercises could not be loaded; check the connection and scan the codes again, or ask for the log as a file";

/// "12 new entries, Mon 1 Jun to Sun 21 Jun, kept for Postal round 7", from the days of the new entries.
pub fn kept(new: &[NaiveDate], label: &Words) -> String {
    if new.is_empty() {
        format!("nothing new; all of it is kept for {label} already")
    } else {
        format!("{}, kept for {label}", told(new, "new entry", "new entries"))
    }
}

/// What a log holds that waits for an answer, from the days of its entries.
pub fn waits(days: &[NaiveDate]) -> String {
    format!("{}, not kept yet; see the question", told(days, "entry", "entries"))
}

fn told(days: &[NaiveDate], one: &str, more: &str) -> String {
    let number = days.len();
    let entries = if number == 1 { format!("1 {one}") } else { format!("{number} {more}") };
    match (days.iter().min(), days.iter().max()) {
        (Some(first), Some(last)) if first != last => {
            format!("{entries}, {} to {}", dates::short_day(*first), dates::short_day(*last))
        }
        (Some(first), _) => format!("{entries}, {}", dates::short_day(*first)),
        (None, _) => entries,
    }
}

/// What a damaged file lacks.
pub fn missing(gaps: &[Gap]) -> String {
    let mut places: Vec<String> = gaps.iter().take(MOST_PLACES).map(InWords::in_words).collect();
    match gaps.len().saturating_sub(MOST_PLACES) {
        0 => {}
        1 => places.push("1 more place".to_owned()),
        more => places.push(format!("{more} more places")),
    }
    format!(
        "The file is damaged: {}. All that is whole in it was read. The same file, sent once more, brings the rest.",
        places.join("; ")
    )
}

/// Why a log is asked about, in one sentence.
pub fn asked(why: &Oddity) -> String {
    match why {
        Oddity::NoRoutine => "This log does not say which routine it followed.".to_owned(),
        Oddity::UnknownRoutine { title, made_for } => {
            let made_for = made_for.as_ref().map(|label| format!(", made for \"{label}\""));
            format!(
                "This log follows a routine that is not in your caseload: \"{title}\"{}.",
                made_for.unwrap_or_default()
            )
        }
        Oddity::ShippedRoutine { title } => format!(
            "This log follows \"{title}\", which comes with the app, so it can be anyone's."
        ),
        Oddity::OtherClient { whose, visited } => {
            format!("This is the log of {whose}, not of {visited}.")
        }
        Oddity::OtherLabel { made_for, whose } => {
            format!("This log follows the routine of {whose}, but was made for \"{made_for}\".")
        }
        Oddity::NewerVersion { whose, found, newest } => format!(
            "This log of {whose} follows version {} of the routine; the newest one here is version {}.",
            found.get(),
            newest.get(),
        ),
        Oddity::SeveralClients { labels } => {
            let labels: Vec<&str> = labels.iter().map(Words::as_str).collect();
            format!("This log can be that of {}.", dose::list(&labels))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(day: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(2026, 6, day).unwrap()
    }

    #[test]
    fn what_was_kept_is_told_with_its_number_its_days_and_the_client() {
        let label = Words::new("Postal round 7").unwrap();
        let rows = [
            (vec![], "nothing new; all of it is kept for Postal round 7 already"),
            (vec![day(1)], "1 new entry, Mon 1 Jun, kept for Postal round 7"),
            (
                vec![day(3), day(1), day(21)],
                "3 new entries, Mon 1 Jun to Sun 21 Jun, kept for Postal round 7",
            ),
        ];
        for (days, said) in rows {
            assert_eq!(kept(&days, &label), said);
        }
    }

    #[test]
    fn a_file_with_many_gaps_names_the_first_and_counts_the_rest() {
        let gaps: Vec<Gap> = (2..=4).map(|line| Gap::Part { line }).collect();
        assert_eq!(
            missing(&[Gap::End { line: 100 }]),
            "The file is damaged: it ends too early, at line 100. All that is whole in it was read. The same file, sent once more, brings the rest."
        );
        let end = |said: &str| said.rsplit("; ").next().unwrap().to_owned();
        assert!(end(&missing(&gaps)).starts_with("from line 4 on"));
        let more = [gaps.as_slice(), &[Gap::End { line: 9 }]].concat();
        assert!(end(&missing(&more)).starts_with("1 more place."));
        assert!(end(&missing(&[more.as_slice(), &gaps].concat())).starts_with("4 more places."));
    }
}
