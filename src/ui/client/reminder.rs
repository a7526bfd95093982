//! A reminder in the client's own calendar, offered on the day on which a routine is taken on.

use leptos::prelude::*;

use crate::domain::event_id::EventId;
use crate::domain::log::course::training_day;
use crate::platform::{clock, preferences};
use crate::ui::components::other_formats::Reminders;
use crate::ui::components::screen::Screen;
use crate::ui::live_log::use_log;
use crate::ui::text::client::reminder as text;
use crate::ui::text::components::screen::BACK_TO_TODAY;

/// The taking on for which the offer was answered.
const ANSWERED: &str = "carryover.reminder-answered";

/// The taking on of today.
fn taken_on_today() -> Option<EventId> {
    let history = use_log().history_untracked();
    let accepted = history.accepted().last()?;
    (training_day(accepted.at) == clock::today()).then_some(accepted.id)
}

#[component]
pub fn ReminderOffer() -> impl IntoView {
    let taken_on = taken_on_today().filter(|id| preferences::get(ANSWERED) != Some(*id));
    let is_offered = RwSignal::new(taken_on.is_some());
    let no = move |_| {
        preferences::set(ANSWERED, taken_on);
        is_offered.set(false);
    };
    view! {
        <Show when=move || is_offered.get()>
            <section class="card row" aria-label=text::REMINDER>
                <a href="reminder" class="grow">{text::WHETHER_TO_REMIND}</a>
                <button type="button" class="link" on:click=no>
                    {text::NO}
                </button>
            </section>
        </Show>
    }
}

#[component]
pub fn Reminder() -> impl IntoView {
    let taken_on = taken_on_today();
    let answered = move |()| preferences::set(ANSWERED, taken_on);
    let routine = use_log().history_untracked().routine().cloned();
    view! {
        <Screen
            title=text::TITLE
            foot=Box::new(|| view! { <a href="./" class="button quiet">{BACK_TO_TODAY}</a> }.into_any())
        >
            <p>{text::HOW_TO}</p>
            {routine.map(|routine| view! { <Reminders routine on_save=answered /> })}
        </Screen>
    }
}
