//! Today: the morning check if one is owed, the exercises with their lights, and Start.

use chrono::{DateTime, FixedOffset, NaiveDate};
use leptos::prelude::*;

use super::log_file::last_copy;
use crate::domain::course::{Availability, Stop};
use crate::domain::dose::session_time;
use crate::domain::event::Fact;
use crate::domain::history::{Due, History, Today};
use crate::domain::last_copy::days_to_offer_at;
use crate::domain::routine::Routine;
use crate::domain::rule::Light;
use crate::domain::words::Words;
use crate::platform::clock;
use crate::ui::components::light::LightMark;
use crate::ui::components::newer::NewerNotice;
use crate::ui::components::screen::Screen;
use crate::ui::components::unreadable::Unreadable;
use crate::ui::diary::use_diary;
use crate::ui::text::{dates, dose, verdict, who};
use crate::ui::wall_clock::use_wall_clock;

#[component]
pub fn TodayScreen() -> impl IntoView {
    let diary = use_diary();
    let now = use_wall_clock();
    // The page follows the calendar and the hour, not every reading of the clock.
    let hour = Memo::new(move |_| (now.get().date_naive(), dates::greeting(now.get())));
    move || {
        // Read, not only tracked: a memo that nobody reads never follows the clock.
        hour.get();
        let history = diary.history();
        let now = now.get_untracked();
        view! { <TodayPage history=(*history).clone() now /> }
    }
}

#[component]
fn TodayPage(history: History, now: DateTime<FixedOffset>) -> impl IntoView {
    let today = now.date_naive();
    let who = who(&history);
    let lines = history.today(today);
    let above = history.first_accepted().map_or_else(String::new, |first| {
        let day_number = (today - first.date_naive()).num_days() + 1;
        format!("{}, day {day_number}", dates::day(today))
    });
    let left: Vec<&Today> = lines.iter().filter(|line| line.is_left_to_do()).collect();
    let can_be_done: Vec<&Today> = lines.iter().filter(|line| line.can_be_done()).collect();
    let to_do = if left.is_empty() { &can_be_done } else { &left };
    let (has_work, is_left) = (!to_do.is_empty(), !left.is_empty());
    let minutes = dates::minutes(session_time(to_do.iter().map(|line| &line.dose)));
    let fetch: Vec<String> = Routine::equipment(to_do.iter().map(|line| &line.exercise))
        .into_iter()
        .map(Words::to_string)
        .collect();
    let stops: Vec<Stop> = lines
        .iter()
        .filter_map(|line| match line.availability {
            Availability::Stopped(stop) => Some(stop),
            Availability::Open | Availability::Held { .. } => None,
        })
        .collect();
    let owed = history.owed_morning(now);
    let answered = history.mornings.iter().any(|answer| answer.at.date_naive() == today);
    let open_session = history.open_session(now).is_some();
    let has_answers = history.has_answers();
    let state = match (left.is_empty(), can_be_done.is_empty()) {
        (false, _) => None,
        (true, false) => Some("Done for today. Well done."),
        (true, true) if stops.is_empty() => Some("Nothing to do today. Rest is part of the plan."),
        (true, true) => Some("Nothing to do today."),
    };
    let start = (has_work && !open_session).then_some(if left.is_empty() {
        "Train again"
    } else {
        "Start"
    });
    let start_class = if left.is_empty() || owed.is_some() { "button" } else { "button main" };
    let rows = lines.iter().map(|line| view! { <Row line=line.clone() today /> }).collect_view();
    view! {
        <Screen
            title=dates::greeting(now)
            above
            foot=Box::new(move || {
                let go_on = open_session.then(|| view! { <a href="/session" class="button main">"Go on with your session"</a> });
                let start = start.map(|label| view! { <a href="/check" class=start_class>{label}</a> });
                view! { {go_on} {start} }.into_any()
            })
        >
            <Unreadable />
            {(!open_session).then(|| view! { <NewerNotice /> })}
            {owed
                .map(|owed| {
                    view! {
                        <section class="card chalk stack">
                            <h2>"How was this morning?"</h2>
                            <p class="small soft">{format!("After {}. Two taps.", dates::short_day(owed.after))}</p>
                            <a href="/morning" class="button main">"Answer the morning check"</a>
                        </section>
                    }
                })}
            <Stopped stops who=who.clone() />
            {(!open_session).then(|| view! { <CopyOffer /> })}
            <section class="card">
                <div class="row">
                    <h2 class="grow">"Today's routine"</h2>
                    {is_left.then(|| view! { <span class="soft num">{minutes}</span> })}
                </div>
                {state.map(|state| view! { <p class="state">{state}</p> })}
                <ul class="exercises">{rows}</ul>
                {(!fetch.is_empty()).then(|| view! { <p class="soft small">"Fetch: " {dose::list(&fetch)}</p> })}
            </section>
            <nav class="links" aria-label="More">
                {answered.then(|| view! { <a href="/morning">"Change this morning's answer"</a> })}
                <a href="/hand-back">"Hand back the log"</a>
                {has_answers.then(|| view! { <a href="/routine">"Answers to what you wrote"</a> })}
                <a href="/keep">"Keep your log safe"</a>
                <a href="/routine">"My routine and the rule"</a>
                <a href="/cues">"Sound, voice and pace"</a>
                <a href="/help">"Help and warning signs"</a>
            </nav>
        </Screen>
    }
}

/// Offers a copy once the last one has grown old.
#[component]
fn CopyOffer() -> impl IntoView {
    let history = use_diary().history_untracked();
    let (last, today) = (last_copy(), clock::now().date_naive());
    let days = history
        .first_trained()
        .zip(history.last_day())
        .and_then(|(first, latest)| days_to_offer_at(last, first, latest, today));
    days.map(|days| {
        let words = if last.is_some() {
            format!("The last copy of your log is {days} days old.")
        } else {
            "There is no copy of your log yet.".to_owned()
        };
        view! {
            <section class="card stack">
                <p>{words} " If this phone breaks, only a copy brings it back."</p>
                <a href="/keep" class="button">"Save a copy"</a>
            </section>
        }
    })
}

#[component]
fn Row(line: Today, today: NaiveDate) -> impl IntoView {
    let last = line.last.as_ref().map(|judged| judged.verdict.order.light());
    let light = match (line.availability, last) {
        (Availability::Held { .. } | Availability::Stopped(_), _) => Some(Light::Hold),
        (Availability::Open, Some(light @ (Light::Keep | Light::Ease))) => Some(light),
        // Back from a Hold: no verdict says more than that.
        (Availability::Open, Some(Light::Hold) | None) => None,
    };
    let word = if last.is_some() { "Back" } else { "New" };
    let mark = light.map_or_else(
        || view! { <span class="light none">{word}</span> }.into_any(),
        |light| view! { <LightMark light /> }.into_any(),
    );
    let help = verdict::help(line.foothold, &line.exercise.ladder);
    let what = match (line.availability, line.due) {
        (Availability::Held { back_on }, _) if back_on <= today => {
            "left out until a morning is as usual".to_owned()
        }
        (Availability::Held { back_on }, _) => {
            format!("left out, back {} at the earliest", dates::when(back_on, today))
        }
        (Availability::Stopped(_), _) => "left out until someone qualified has answered".to_owned(),
        (Availability::Open, Due::RestDay) => "rest day for this one".to_owned(),
        (Availability::Open, Due::Today { times, done }) => {
            let so_far = match (times, done) {
                (1, 0) => String::new(),
                (1, _) => " · done".to_owned(),
                (times, done) => format!(" · {done} of {times} done"),
            };
            format!("{}, {}: {help}{so_far}", dose::sets(&line.dose), dose::foothold(line.foothold))
        }
    };
    let next_step = line.ready_for_next_step.then_some("Ready to talk about the next step");
    view! {
        <li>
            <a href=format!("/exercise/{}", line.exercise.id.as_str()) class="exercise-row">
                {mark}
                <span class="grow">
                    <strong>{line.exercise.name.to_string()}</strong>
                    <span class="soft small block">{what}</span>
                    {next_step.map(|words| view! { <span class="small block">{words}</span> })}
                </span>
            </a>
        </li>
    }
}

/// What waits for someone qualified, and the one way on: that they said so.
#[component]
fn Stopped(stops: Vec<Stop>, who: String) -> impl IntoView {
    let diary = use_diary();
    let asked = RwSignal::new(false);
    let mut reasons: Vec<String> =
        stops.into_iter().map(|stop| verdict::left_out(stop, &who)).collect();
    reasons.dedup();
    let confirm = move |_| {
        diary.append(vec![Fact::ToldToGoOn]);
    };
    (!reasons.is_empty()).then(move || {
        view! {
            <section class="card hold-card stack">
                <LightMark light=Light::Hold />
                {reasons.into_iter().map(|reason| view! { <p>{reason}</p> }).collect_view()}
                <Show
                    when=move || asked.get()
                    fallback=move || {
                        view! {
                            <button type="button" class="button" on:click=move |_| asked.set(true)>
                                "Someone qualified said to go on"
                            </button>
                        }
                    }
                >
                    <p>
                        "Only if your practitioner or a doctor knows what happened and said to go on. This is noted in your log."
                    </p>
                    <button type="button" class="button main" on:click=confirm>
                        "Yes, they said to go on"
                    </button>
                    <button type="button" class="button quiet" on:click=move |_| asked.set(false)>
                        "Not yet"
                    </button>
                </Show>
            </section>
        }
    })
}
