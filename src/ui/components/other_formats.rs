//! A log in open formats, saved as files: for a spreadsheet, for a clinic's record system, for a calendar.

use chrono::NaiveTime;
use leptos::prelude::*;

use crate::domain::history::History;
use crate::exchange::calendar::{self, Times};
use crate::exchange::fhir::LOINC_NOTICE;
use crate::exchange::record::Record;
use crate::exchange::{csv, fhir};
use crate::platform::{clock, files};
use crate::ui::text::dates;

/// Reminders are written for so many weeks.
const WEEKS: u16 = 12;

#[component]
pub fn OtherFormats(
    /// The log as it is when a button is tapped.
    records: Callback<(), Vec<Record>>,
    /// Whose sessions a calendar would remind of.
    #[prop(default = "your sessions")]
    whose: &'static str,
) -> impl IntoView {
    let said = RwSignal::new(None::<String>);
    let history = StoredValue::new_local(fold(&records.run(())));
    let usual = history.with_value(|history| history.routine().map(Times::usual));
    let times = RwSignal::new(usual);
    let save = move |ending: &str, text: &str| {
        let name = format!("carryover-{}.{ending}", clock::now().date_naive());
        said.set(Some(match files::save(&name, text) {
            Some(()) => format!("Saved as {name}, with your downloads."),
            None => "This browser would not save the file. Try another browser.".to_owned(),
        }));
    };
    let as_table = move |_| save("csv", &csv::print(&fold(&records.run(()))));
    let as_record = move |_| save("fhir.json", &fhir::print(&records.run(())));
    let as_calendar = move |_| {
        let now = clock::now();
        let today = now.date_naive();
        let text = history.with_value(|history| {
            let routine = history.routine()?;
            times.with(|times| Some(calendar::print(routine, times.as_ref()?, today, WEEKS, now)))
        });
        match text {
            Some(text) => save("ics", &text),
            None => said.set(Some("There is no routine yet to be reminded of.".to_owned())),
        }
    };
    view! {
        <details class="card unprinted">
            <summary>
                <span>"Other formats"</span>
            </summary>
            <div class="stack">
                <p role="status" class="small">{said}</p>
                <div class="stack-tight">
                    <p>
                        <strong>"Spreadsheet (CSV)"</strong>
                        ": one line for each set, to count and sort in a table of your own."
                    </p>
                    <button type="button" class="button" on:click=as_table>
                        "Save for a spreadsheet"
                    </button>
                </div>
                <div class="stack-tight">
                    <p>
                        <strong>"Clinic record (FHIR R4)"</strong>
                        ": for the record system of a clinic. It holds what was done and said, and no name."
                    </p>
                    <button type="button" class="button" on:click=as_record>
                        "Save for a clinic"
                    </button>
                    <p class="small soft">{LOINC_NOTICE}</p>
                </div>
                <div class="stack-tight">
                    <p>
                        <strong>"Calendar"</strong>
                        {format!(": reminders for {whose} and the morning check, for {WEEKS} weeks. A calendar may copy itself to other devices.")}
                    </p>
                    <CalendarTimes times said />
                    <button type="button" class="button" on:click=as_calendar>
                        "Save for a calendar"
                    </button>
                </div>
            </div>
        </details>
    }
}

fn fold(records: &[Record]) -> History {
    History::fold(records.iter().map(|record| &record.event))
}

/// A field for each time of day.
#[component]
fn CalendarTimes(times: RwSignal<Option<Times>>, said: RwSignal<Option<String>>) -> impl IntoView {
    let field = move |(label, time, place): (String, NaiveTime, Option<usize>)| {
        let take =
            move |event| match NaiveTime::parse_from_str(&event_target_value(&event), "%H:%M") {
                Ok(time) => {
                    said.set(None);
                    times.update(|times| {
                        let Some(times) = times else { return };
                        match place.and_then(|place| times.sessions.get_mut(place)) {
                            Some(session) => *session = time,
                            None => times.morning = time,
                        }
                    });
                }
                Err(_) => said.set(Some("A time of day is written like 18:00.".to_owned())),
            };
        view! {
            <label class="time-field">
                <span>{label}</span>
                <input type="time" value=dates::clock_time(time) on:change=take />
            </label>
        }
    };
    let fields = times.get_untracked().map(|times| {
        let alone = times.sessions.len() == 1;
        let label = |number: usize| {
            if alone { "Exercises at".to_owned() } else { format!("Exercises, time {number}, at") }
        };
        let sessions =
            (0..).zip(times.sessions).map(|(place, time)| (label(place + 1), time, Some(place)));
        let morning = ("Morning check at".to_owned(), times.morning, None);
        sessions.chain([morning]).map(field).collect_view()
    });
    view! { <div class="time-fields">{fields}</div> }
}
