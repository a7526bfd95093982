//! What the client's screens say, a file for each of them.

pub mod before_session;

pub mod cues;

pub mod end;

pub mod exercise;

pub mod hand_back;

pub mod help;

pub mod log_codes;

pub mod log_file;

pub mod morning;

pub mod offered;

pub mod offered_again;

pub mod open_routine;

pub mod owed;

pub mod ratings;

pub mod reminder;

pub mod routine;

pub mod safe_keeping;

pub mod scan;

pub mod session;

pub mod sites;

pub mod today;

pub mod verdict_card;

pub mod ways_to_open;

pub mod welcome;

pub mod window;
