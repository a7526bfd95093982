//! A rule tried before it is trusted: what a table would have said of a client's own days, and what it does
//! to people whose pain behaves in known ways. Nothing here changes a log or a routine, and what it says of
//! made-up people is said of models, not of anyone.

pub mod wobble;

pub mod one_day;

pub mod kinds;

pub mod lives;

pub mod outcomes;

pub mod presets;

pub mod doubts;

pub mod replay;
