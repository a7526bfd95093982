//! The one door to the browser: nothing else names it.
//!
//! What a browser refuses comes back as a value with words for it; nothing here decides anything.

mod reach;

pub mod clock;

pub mod random;

pub mod canvas;

pub mod arrival;

pub mod indexed_db;

pub mod second_place;

pub mod one_window;

pub mod lasting;

pub mod preferences;

pub mod sound;

pub mod voice;

pub mod vibration;

pub mod screen;

pub mod focus;

pub mod files;

pub mod copy_file;

pub mod picture;

pub mod paper;

pub mod offline;

pub mod floor;

pub mod panic;

pub mod pointer;

pub mod address;

pub mod compression;

pub mod camera;

pub mod sealer;

pub mod preview;
