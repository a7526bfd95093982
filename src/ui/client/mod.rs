//! The client's screens, in the order in which a client meets them.

pub mod ways_to_open;

pub mod welcome;

pub mod open_routine;

pub mod scan;

pub mod offered;

pub mod offered_again;

pub mod first_link;

pub mod take;

pub mod today;

pub mod before_session;

pub mod session;

pub mod end;

pub mod owed;

pub mod morning;

pub mod ratings;

pub mod sites;

pub mod waits;

pub mod verdict_card;

pub mod exercise;

pub mod routine;

pub mod hand_back;

pub mod log_codes;

pub mod help;

pub mod cues;

pub mod safe_keeping;

pub mod log_file;

pub mod parts;

pub mod log;

pub mod app;

pub mod reminder;

pub mod routes;

pub mod to_today;

pub mod begin;

pub mod window;
