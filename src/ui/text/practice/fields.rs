//! What the fields of a form say.

/// Why what was entered was refused.
pub fn not_taken(why: &str) -> String {
    format!("Not taken: {why}.")
}

/// Within [`not_taken`].
pub const WHOLE_NUMBER: &str = "this takes a whole number";

/// Within [`not_taken`].
pub const A_DAY: &str = "this takes a day such as 2026-06-01";

/// "Cues, one a line".
pub fn one_a_line(label: &str) -> String {
    format!("{label}, one a line")
}

/// "Sets: less".
pub fn less(label: &str) -> String {
    format!("{label}: less")
}

/// "Sets: more".
pub fn more(label: &str) -> String {
    format!("{label}: more")
}
