//! What people see and tap. Screens read signals and hand on what was tapped; they decide nothing.

#![expect(clippy::needless_pass_by_value, reason = "a component owns what it is given")]

pub mod text;

pub mod keeping;

pub mod diary;

pub mod wall_clock;

pub mod training;

pub mod components;

pub mod client;

pub mod practice;
