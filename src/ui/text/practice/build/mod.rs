//! What the screens of a routine in the making say.

pub mod dose;

pub mod exercise;

pub mod find;

pub mod ladder;

pub mod pick;

pub mod routine;

pub mod rule;

pub mod shelf;

pub mod tempo;
