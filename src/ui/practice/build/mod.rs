//! A routine in the making: picked from the library, exercise by exercise, with its rule.

pub mod shelf;

pub mod pick;

pub mod tempo;

pub mod editing;

pub mod dose;

pub mod ladder;

pub mod exercise;

pub mod rule;

pub mod completeness;

pub mod routine;
