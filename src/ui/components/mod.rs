//! Parts that know no screen.

pub mod answers;

pub mod camera;

pub mod code_sequence;

pub mod ladder;

pub mod later;

pub mod figure;

pub mod light;

pub mod notices;

pub mod open_file;

pub mod photo;

pub mod other_formats;

pub mod ring;

pub mod routine_page;

pub mod fridge_sheet;

pub mod rule_table;

pub mod saved;

pub mod scale;

pub mod screen;

pub mod unreadable;

pub mod gone;

pub mod newer;

pub mod cannot_open;

pub mod cannot_start;

pub mod elsewhere;

pub mod passphrase;

pub mod nowhere;

pub mod two_taps;

pub mod what_changes;

pub mod whole_log;
