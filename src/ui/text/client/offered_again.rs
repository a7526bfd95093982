//! What is said of a routine that was opened by a client who follows one already.

pub const IS_IT_FOR_YOU: &str = "Is it meant for you?";
pub const NOT_FOR_ME: &str = "No, it is not for me";
pub const SHOW_IT: &str = "Yes, show it to me";

/// For whom a routine is made, and for whom the one that is followed.
pub fn made_for(theirs: &str, own: &str) -> String {
    format!(
        "This routine is made for \"{theirs}\", you follow one for \"{own}\". Is it meant for you?"
    )
}

pub const IF_NOT_SURE: &str =
    "If you are not sure, ask your practitioner. Nothing changes until you say so.";

pub const THE_SAME: &str = "You already follow this version. Opening it again changes nothing.";
pub const AN_OLDER_ONE: &str =
    "This is an older version than the one you follow, so it cannot take its place.";

pub const WHERE_YOU_GO_ON: &str = "Where you go on";

/// "You stay on rung 2: one hand on the banister. It was left out until now, and is open again".
pub fn open_again(goes_on: &str) -> String {
    format!("{goes_on}. It was left out until now, and is open again")
}

/// "You stay on rung 2: one hand on the banister. It stays left out for now".
pub fn stays_left_out(goes_on: &str) -> String {
    format!("{goes_on}. It stays left out for now")
}

pub const LOG_STAYS: &str = "What you did so far, and how it felt, stays in your log.";
