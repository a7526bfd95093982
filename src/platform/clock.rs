//! The device's two clocks: the local wall clock for the log, and the one that never goes back for the runner.

use std::time::Duration;

use chrono::{DateTime, FixedOffset, TimeZone};
use js_sys::{Array, Date, Intl, Object, Reflect};
use wasm_bindgen::JsValue;

use crate::domain::runner::Moment;
use crate::domain::words::Words;
use crate::store::journal::Stamp;

/// The local time with its offset.
pub fn now() -> DateTime<FixedOffset> {
    let date = Date::new_0();
    #[expect(
        clippy::cast_possible_truncation,
        reason = "milliseconds and minutes are far inside the range"
    )]
    let (millis, minutes_west) = (date.get_time() as i64, date.get_timezone_offset() as i32);
    let utc = FixedOffset::east_opt(0).unwrap_or_else(|| unreachable!());
    let offset = FixedOffset::west_opt(minutes_west * 60).unwrap_or(utc);
    offset.timestamp_millis_opt(millis).single().unwrap_or_default()
}

/// The local time and the name of its zone, as the log notes them.
pub fn stamp() -> Stamp {
    Stamp { at: now(), zone: zone().and_then(|name| Words::new(&name).ok()) }
}

fn zone() -> Option<String> {
    let format = Intl::DateTimeFormat::new(&Array::new(), &Object::new());
    Reflect::get(&format.resolved_options(), &JsValue::from_str("timeZone")).ok()?.as_string()
}

/// Time since the page was opened, by a clock that cannot be set.
pub fn moment() -> Moment {
    let millis =
        web_sys::window().and_then(|window| window.performance()).map_or(0.0, |clock| clock.now());
    Moment(Duration::from_secs_f64(millis.max(0.0) / 1000.0))
}
