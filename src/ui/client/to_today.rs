//! The way to Today from a screen that may be shown by itself.

use leptos::prelude::*;

/// Leads to Today.
#[derive(Clone, Copy)]
pub struct ToToday(pub Callback<()>);
