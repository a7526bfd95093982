//! What the parts that several screens share say, a file for each of them.

pub mod answers;

pub mod camera;

pub mod cannot_open;

pub mod cannot_start;

pub mod code_sequence;

pub mod elsewhere;

pub mod figure;

pub mod fridge_sheet;

pub mod gone;

pub mod ladder;

pub mod later;

pub mod newer;

pub mod nowhere;

pub mod other_formats;

pub mod passphrase;

pub mod photo;

pub mod ring;

pub mod routine_page;

pub mod rule_table;

pub mod saved;

pub mod scale;

pub mod screen;

pub mod unreadable;

pub mod what_changes;

pub mod whole_log;
