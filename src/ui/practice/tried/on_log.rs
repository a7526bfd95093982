//! Other limits on the days of a log: the strip as it was and as it would have been, and what differs.

use std::collections::BTreeMap;
use std::sync::Arc;

use chrono::NaiveDate;
use leptos::prelude::*;

use crate::domain::log::history::History;
use crate::domain::plan::limits::Limits;
use crate::domain::plan::routine::{Exercise, Routine};
use crate::domain::tried::replay::{Day, Follows, Replay, Would, replay};
use crate::domain::words::Id;
use crate::exchange::record::Record;
use crate::ui::practice::live_caseload::LiveCaseload;
use crate::ui::practice::visit::strip::{Mark, Marks, first_shown};
use crate::ui::text::practice::tried::on_log as text;

/// So many days are named that differ; they can be all of a year.
const NAMED: usize = 10;

/// The log of one client, for a trial.
#[derive(Clone)]
pub struct TriedLog {
    pub records: Arc<Vec<Record>>,
    pub history: Arc<History>,
}

#[component]
pub fn OnLog(log: TriedLog, #[prop(into)] limits: Signal<Limits>) -> impl IntoView {
    let records = log.records.clone();
    let replays = Memo::new(move |_| {
        limits.with(|limits| {
            // An exercise that has limits of its own keeps them.
            let other = |exercise: &Exercise, was: &Limits| {
                if exercise.limits.is_some() { was.clone() } else { limits.clone() }
            };
            replay(records.iter().map(|record| &record.event), other)
        })
    });
    let history = log.history;
    let parts = move || {
        let of_all = replays.read();
        let routine = history.routine();
        let exercises = routine.into_iter().flat_map(Routine::exercises);
        let shown: Vec<AnyView> = exercises
            .filter_map(|exercise| Some((exercise, of_all.get(&exercise.id)?)))
            .filter(|(_, replay)| !replay.days.is_empty())
            .map(|(exercise, replay)| {
                view! { <Tried exercise=exercise.clone() replay=replay.clone() to=history.last_day() /> }.into_any()
            })
            .collect();
        if shown.is_empty() {
            view! { <p class="small">{text::NO_DAYS}</p> }.into_any()
        } else {
            shown.into_any()
        }
    };
    view! {
        <div class="stack">
            <p class="small soft">{text::WHAT_IS_KNOWN}</p>
            {parts}
        </div>
    }
}

/// One exercise.
#[component]
fn Tried(exercise: Exercise, replay: Replay, to: Option<NaiveDate>) -> impl IntoView {
    let differing: Vec<String> =
        replay.days.iter().filter_map(|day| Some(text::differing(day, day.why()?))).collect();
    let rest = differing.len().saturating_sub(NAMED);
    let lines = differing.into_iter().take(NAMED).map(|line| view! { <li>{line}</li> });
    let lines = lines.collect_view();
    let more = (0 < rest).then(|| view! { <li>{text::and_more(rest)}</li> });
    let follows = text::follows(&replay.was, &replay.would, &exercise.ladder);
    let follows = follows.into_iter().map(|line| view! { <li>{line}</li> }).collect_view();
    view! {
        <section class="stack-tight tried">
            <h3>{exercise.name.to_string()}</h3>
            <Strips replay=replay.clone() to />
            <p>{text::how_many(&replay)}</p>
            <ul class="plain-list small">{lines} {more}</ul>
            <ul class="plain-list small">{follows}</ul>
        </section>
    }
}

#[component]
fn Strips(replay: Replay, to: Option<NaiveDate>) -> impl IntoView {
    let first = replay.days.first().map(|day| day.was.day);
    let Some((from, to)) = first.zip(to) else { return ().into_any() };
    let from = first_shown(from, to);
    let day_of = |pick: &dyn Fn(&Day) -> Mark| {
        replay
            .days
            .iter()
            .map(|day| (day.was.day, pick(day)))
            .collect::<BTreeMap<NaiveDate, Mark>>()
    };
    let was = day_of(&|day| Mark::Told(day.was.verdict.order.light()));
    let would = day_of(&|day| Mark::Told(day.would.verdict().order.light()));
    let days = |told: &BTreeMap<NaiveDate, Mark>, follows: &Follows| -> Vec<(NaiveDate, Mark)> {
        let mark = |day: NaiveDate| {
            let left_out =
                if follows.left_out.contains(&day) { Mark::LeftOut } else { Mark::Nothing };
            told.get(&day).copied().unwrap_or(left_out)
        };
        from.iter_days().take_while(|day| *day <= to).map(|day| (day, mark(day))).collect()
    };
    let was = days(&was, &replay.was);
    let mut would = days(&would, &replay.would);
    // What is only a reading of the day by itself is drawn apart.
    let certain_to = replay
        .days
        .iter()
        .filter(|day| matches!(day.would, Would::Told(_)))
        .map(|day| day.was.day)
        .max();
    let is_certain = |day: &NaiveDate| {
        replay.first.is_none() || certain_to.is_some_and(|certain| *day <= certain)
    };
    let read = would.split_off(would.iter().take_while(|(day, _)| is_certain(day)).count());
    // Whether a day would have been left out is not known by then.
    let as_read = |(day, mark)| (day, if mark == Mark::LeftOut { Mark::Nothing } else { mark });
    let read: Vec<(NaiveDate, Mark)> = read.into_iter().map(as_read).collect();
    view! {
        <dl class="strips">
            <dt class="small soft">{text::AS_IT_WAS}</dt>
            <dd><Marks days=was /></dd>
            <dt class="small soft">{text::AS_TRIED}</dt>
            <dd>
                <Marks days=would />
                <span class="paler">{(!read.is_empty()).then(|| view! { <span class="unseen">{text::EACH_BY_ITSELF}</span> })}<Marks days=read /></span>
            </dd>
        </dl>
    }
    .into_any()
}

/// The log of a client in the caseload, for a trial; none while there is none.
pub fn log_of(caseload: LiveCaseload, client: &Id) -> Option<TriedLog> {
    let records = caseload.read_now(|caseload| caseload.log(client));
    (!records.is_empty())
        .then(|| TriedLog { records: Arc::new(records), history: caseload.history_now(client) })
}
