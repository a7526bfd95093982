//! A log in open formats, saved as files: for a spreadsheet, for a clinic's record system, for a calendar.

use chrono::{NaiveDate, NaiveTime};
use leptos::prelude::*;

use crate::domain::log::history::History;
use crate::domain::plan::routine::Routine;
use crate::exchange::calendar::{self, Times};
use crate::exchange::record::Record;
use crate::exchange::{csv, fhir};
use crate::platform::{clock, files};
use crate::ui::text::components::other_formats as text;
use crate::ui::text::dates;
use crate::ui::text::fhir::in_words;

/// Reminders are written for so many weeks.
const WEEKS: u16 = 12;

#[component]
pub fn OtherFormats(
    /// The log as it is when a button is tapped.
    records: Callback<(), Vec<Record>>,
    /// The routine that a calendar would remind of.
    #[prop(into)]
    routine: Signal<Option<Routine>>,
    /// Whose sessions those are.
    #[prop(default = text::YOUR_SESSIONS)]
    whose: &'static str,
    /// The name of a file saved on that day, up to its ending.
    #[prop(default = Callback::new(usual_name))]
    name: Callback<NaiveDate, String>,
) -> impl IntoView {
    let said = RwSignal::new(None::<String>);
    let save = saving(name, said);
    let as_table = move |_| save.run(("csv", csv::print(&fold(&records.run(())))));
    let as_record = move |_| save.run(("fhir.json", fhir::print(&records.run(()), in_words)));
    let as_calendar = move || match routine.get() {
        Some(routine) => view! { <CalendarWay routine said save /> }.into_any(),
        None => view! { <p class="small">{text::NO_ROUTINE_YET}</p> }.into_any(),
    };
    view! {
        <details class="card unprinted">
            <summary>
                <span>{text::TITLE}</span>
            </summary>
            <div class="stack">
                <p role="status" class="small">{said}</p>
                <div class="stack-tight">
                    <p>
                        <strong>{text::SPREADSHEET}</strong>
                        {text::WHAT_A_SPREADSHEET_HAS}
                    </p>
                    <button type="button" class="button" on:click=as_table>
                        {text::SAVE_FOR_A_SPREADSHEET}
                    </button>
                </div>
                <div class="stack-tight">
                    <p>
                        <strong>{text::CLINIC_RECORD}</strong>
                        {text::WHAT_A_CLINIC_RECORD_HAS}
                    </p>
                    <button type="button" class="button" on:click=as_record>
                        {text::SAVE_FOR_A_CLINIC}
                    </button>
                    <p class="small soft">{text::LOINC_NOTICE}</p>
                </div>
                <div class="stack-tight">
                    <p>
                        <strong>{text::CALENDAR}</strong>
                        {text::what_a_calendar_has(whose, WEEKS)}
                    </p>
                    {as_calendar}
                </div>
            </div>
        </details>
    }
}

fn usual_name(day: NaiveDate) -> String {
    format!("carryover-{day}")
}

/// Saves a text under a name and an ending, and says how that went.
fn saving(
    name: Callback<NaiveDate, String>,
    said: RwSignal<Option<String>>,
) -> Callback<(&'static str, String)> {
    Callback::new(move |(ending, content): (&'static str, String)| {
        let name = format!("{}.{ending}", name.run(clock::now().date_naive()));
        said.set(Some(match files::save(&name, &content) {
            Some(()) => text::saved_as(&name),
            None => text::NOT_SAVED.to_owned(),
        }));
    })
}

/// Reminders of a routine's sessions and mornings, by themselves.
#[component]
pub fn Reminders(
    routine: Routine,
    /// What is done once they were asked for.
    #[prop(into)]
    on_save: Callback<()>,
) -> impl IntoView {
    let said = RwSignal::new(None::<String>);
    let saving = saving(Callback::new(usual_name), said);
    let save = Callback::new(move |what| {
        saving.run(what);
        on_save.run(());
    });
    view! {
        <div class="stack">
            <CalendarWay routine said save />
            <p role="status" class="small">{said}</p>
        </div>
    }
}

/// The times of day, and the button that saves the reminders of one version.
#[component]
fn CalendarWay(
    routine: Routine,
    said: RwSignal<Option<String>>,
    save: Callback<(&'static str, String)>,
) -> impl IntoView {
    let times = RwSignal::new(Times::usual(&routine));
    let version = text::which_routine(&routine);
    let as_calendar = move |_| {
        let now = clock::now();
        let content = times.with_untracked(|times| {
            calendar::print(&routine, times, text::REMINDERS, now.date_naive(), WEEKS, now)
        });
        save.run(("ics", content));
    };
    view! {
        <p class="small soft">{version}</p>
        <CalendarTimes times said />
        <button type="button" class="button" on:click=as_calendar>
            {text::SAVE_FOR_A_CALENDAR}
        </button>
    }
}

fn fold(records: &[Record]) -> History {
    History::fold(records.iter().map(|record| &record.event))
}

/// A field for each time of day.
#[component]
fn CalendarTimes(times: RwSignal<Times>, said: RwSignal<Option<String>>) -> impl IntoView {
    let field = move |(label, time, place): (String, NaiveTime, Option<usize>)| {
        let take =
            move |event| match NaiveTime::parse_from_str(&event_target_value(&event), "%H:%M") {
                Ok(time) => {
                    said.set(None);
                    times.update(|times| {
                        match place.and_then(|place| times.sessions.get_mut(place)) {
                            Some(session) => *session = time,
                            None => times.morning = time,
                        }
                    });
                }
                Err(_) => said.set(Some(text::NO_TIME_OF_DAY.to_owned())),
            };
        view! {
            <label class="time-field">
                <span>{label}</span>
                <input type="time" value=dates::clock_time(time) on:change=take />
            </label>
        }
    };
    let usual = times.get_untracked();
    let alone = usual.sessions.len() == 1;
    let label = |number: usize| {
        if alone { text::EXERCISES_AT.to_owned() } else { text::exercises_at(number) }
    };
    let sessions =
        (0..).zip(usual.sessions).map(|(place, time)| (label(place + 1), time, Some(place)));
    let morning = (text::MORNING_CHECK_AT.to_owned(), usual.morning, None);
    let fields = sessions.chain([morning]).map(field).collect_view();
    view! { <div class="time-fields">{fields}</div> }
}
