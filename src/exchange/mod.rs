//! What crosses a border, as pure text: the app's own files, links and codes.
//!
//! Everything from outside is judged here, once, by its content and never by its name. Nothing here
//! knows a browser; what comes in is only ever text, never markup.

mod stable_id;

pub mod checksum;

pub mod file_name;

pub mod file;

pub mod record;

pub mod csv;

pub mod calendar;

pub mod fhir;

pub mod copy;

pub mod ledger;

pub mod sealed;

mod patch;

pub mod link;

pub mod log_codes;

pub mod frames;

pub mod qr;
