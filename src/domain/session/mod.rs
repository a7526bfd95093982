//! A session under way: a set laid out in time, the runner that steps through it, and the coach that says what
//! is due. Nothing here is stored.

pub mod timeline;

pub mod runner;

pub mod effects;

pub mod coach;
