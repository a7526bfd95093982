//! What a practitioner does at a visit: the log read for what it shows, the clients, and the sheets that
//! measure. Nothing here changes a log.

pub mod statistics;

pub mod trend;

pub mod review;

pub mod following;

pub mod readings;

pub mod talking;

pub mod differences;

pub mod glance;

pub mod worst_first;

pub mod answering;

pub mod choice;

pub mod caseload;

pub mod measure;
