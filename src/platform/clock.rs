//! The device's two clocks: the local wall clock for the log, and the one that never goes back for the runner.

use std::cell::Cell;
use std::time::Duration;

use chrono::{DateTime, FixedOffset, NaiveDate, TimeZone};
use js_sys::{Array, Date, Function, Intl, Object, Promise};
use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::{JsFuture, future_to_promise};

use super::reach;
use crate::domain::event_id::EventId;
use crate::domain::log::course::training_day;
use crate::domain::session::runner::Moment;
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
    // A clock can say more than a log can hold.
    let millis = millis.clamp(0, i64::try_from(EventId::LAST_MILLIS).unwrap_or(i64::MAX));
    let utc = FixedOffset::east_opt(0).unwrap_or_else(|| unreachable!());
    let offset = FixedOffset::west_opt(minutes_west * 60).unwrap_or(utc);
    offset.timestamp_millis_opt(millis).single().unwrap_or_default()
}

/// The training day it is now: the local day, from 04:00 to 04:00.
pub fn today() -> NaiveDate {
    training_day(now())
}

/// False after so many milliseconds; at once where there are no timers.
pub fn after(millis: i32) -> Promise {
    Promise::new(&mut |resolve, _| {
        let over =
            Closure::once_into_js(move || drop(resolve.call1(&JsValue::NULL, &JsValue::FALSE)));
        let over: &Function = over.unchecked_ref();
        let window = web_sys::window();
        let set = window.and_then(|window| {
            window.set_timeout_with_callback_and_timeout_and_arguments_0(over, millis).ok()
        });
        if set.is_none() {
            drop(over.call0(&JsValue::NULL));
        }
    })
}

/// Waits until something is over, and no longer than so many milliseconds. It goes on in any case.
pub async fn at_most(millis: i32, something: impl Future<Output = ()> + 'static) {
    let something = future_to_promise(async move {
        something.await;
        Ok(JsValue::TRUE)
    });
    drop(JsFuture::from(Promise::race(&Array::of2(&something, &after(millis)))).await);
}

/// The local time and the name of its zone, as the log notes them.
pub fn stamp() -> Stamp {
    Stamp { at: now(), zone: zone().and_then(|name| Words::new(&name).ok()) }
}

fn zone() -> Option<String> {
    let format = Intl::DateTimeFormat::new(&Array::new(), &Object::new());
    reach::get(&format.resolved_options(), "timeZone")?.as_string()
}

/// A jump of the wall clock past the steady one by this much, in milliseconds, is sleep …
const SLEPT: f64 = 2_000.0;
/// … and by this much it is a clock that was set.
const SET: f64 = 86_400_000.0;

thread_local! {
    /// The two clocks when they were last read, and all the sleep found so far, in milliseconds.
    static READ: Cell<Option<(f64, f64)>> = const { Cell::new(None) };
    static SLEPT_SO_FAR: Cell<f64> = const { Cell::new(0.0) };
}

/// Time since the page was opened, the device's sleep included, by a clock that cannot be set.
///
/// The steady clock stands still while most devices sleep, and the wall clock can be set; where the
/// wall clock alone jumped ahead by more than a moment and less than a day, the device slept.
/// It never goes back.
pub fn moment() -> Moment {
    let steady =
        web_sys::window().and_then(|window| window.performance()).map_or(0.0, |clock| clock.now());
    let wall = Date::now();
    if let Some((steady_before, wall_before)) = READ.replace(Some((steady, wall))) {
        let jump = (wall - wall_before) - (steady - steady_before);
        if (SLEPT..SET).contains(&jump) {
            SLEPT_SO_FAR.set(SLEPT_SO_FAR.get() + jump);
        }
    }
    Moment(Duration::from_secs_f64((steady + SLEPT_SO_FAR.get()).max(0.0) / 1000.0))
}
