//! What a physiotherapist would recognise: values and total functions.
//!
//! Nothing here knows a browser, a clock or a place to store things; time comes in as a value.
//! The modules stand in reading order.

pub mod words;

pub mod day;

pub mod pain;

pub mod dose;

pub mod tempo_notation;

pub mod ladder;

pub mod photo;

pub mod rule;

pub mod routine;

pub mod library;

pub mod warning;

pub mod event;

pub mod course;

pub mod history;

pub mod timeline;

pub mod runner;

pub mod coach;

pub mod last_copy;

pub mod review;

pub mod following;

pub mod statistics;

pub mod trend;

pub mod talking;

pub mod differences;

pub mod glance;

pub mod draft;

pub mod caseload;

pub mod belonging;

pub mod measure;

pub mod completeness;

pub mod changes;
