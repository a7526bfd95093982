//! Every word shown, in plain language. Screens ask here; they write no sentence of their own beyond labels.

pub mod dates;

pub mod dose;

pub mod verdict;

pub mod warning;
