//! Today: the morning check if one is owed, the exercises with their lights, and Start.

use std::collections::BTreeSet;

use chrono::{DateTime, FixedOffset, NaiveDate};
use leptos::prelude::*;

use super::log_file::last_copy;
use super::owed::{OwedCheck, begun};
use super::reminder::ReminderOffer;
use super::waits::WaitsForWord;
use super::welcome::GoneLog;
use crate::domain::log::course::{Availability, Stop, training_day};
use crate::domain::log::event::{Fact, Lifts};
use crate::domain::log::history::{DoneSet, Due, EDITION, History, Today};
use crate::domain::log::last_copy::days_to_offer_at;
use crate::domain::log::rule::Reason;
use crate::domain::log::warning::WarningSign;
use crate::domain::pain::PainRating;
use crate::domain::plan::dose::session_time;
use crate::domain::plan::limits::{Light, Limits};
use crate::domain::plan::routine::Routine;
use crate::domain::words::Words;
use crate::platform::clock;
use crate::ui::components::figure::{Figure, Shown};
use crate::ui::components::light::LightMark;
use crate::ui::components::newer::NewerNotice;
use crate::ui::components::ring::RingLine;
use crate::ui::components::routine_page::FetchList;
use crate::ui::components::scale::PainScale;
use crate::ui::components::screen::Screen;
use crate::ui::components::unreadable::Unreadable;
use crate::ui::live_log::use_log;
use crate::ui::text::client::hand_back::HAND_BACK_THE_LOG;
use crate::ui::text::client::log_file::SAVE_A_COPY;
use crate::ui::text::client::routine::{ANSWERS, MY_ROUTINE};
use crate::ui::text::client::today as text;
use crate::ui::text::standing::Notice;
use crate::ui::text::warning::{ask, care};
use crate::ui::text::{dates, dose, standing, verdict, who};
use crate::ui::wall_clock::use_wall_clock;

#[component]
pub fn TodayScreen() -> impl IntoView {
    let log = use_log();
    let now = use_wall_clock();
    // The page follows the calendar and the hour, not every reading of the clock.
    let hour = Memo::new(move |_| {
        let now = now.get();
        (now.date_naive(), training_day(now), dates::greeting(now))
    });
    move || {
        // Read, not only tracked: a memo that nobody reads never follows the clock.
        hour.get();
        let history = log.history();
        let now = now.get_untracked();
        view! { <TodayPage history=(*history).clone() now /> }
    }
}

#[component]
fn TodayPage(history: History, now: DateTime<FixedOffset>) -> impl IntoView {
    let today = training_day(now);
    let who = who(&history);
    let lines = history.today(today);
    let above = history.first_accepted().map_or_else(String::new, |first| {
        let date = now.date_naive();
        let day_number = (date - first.date_naive()).num_days() + 1;
        text::day_of_routine(date, day_number)
    });
    let left: Vec<&Today> = lines.iter().filter(|line| line.is_left_to_do()).collect();
    let can_be_done: Vec<&Today> = lines.iter().filter(|line| line.can_be_done()).collect();
    let to_do = if left.is_empty() { &can_be_done } else { &left };
    let (has_work, is_left) = (!to_do.is_empty(), !left.is_empty());
    let minutes = dates::minutes(session_time(to_do.iter().map(|line| &line.dose)));
    let fetch: Vec<String> =
        Routine::equipment(to_do.iter().map(|line| (&line.exercise, line.foothold.rung)))
            .into_iter()
            .map(Words::to_string)
            .collect();
    let mut stops: Vec<Stop> = lines
        .iter()
        .filter_map(|line| match line.availability {
            Availability::Stopped(stop) => Some(stop),
            Availability::Open | Availability::Held { .. } => None,
        })
        .collect();
    stops.sort_unstable();
    let reasons = why_left_out(&history, &lines, today, &who);
    stops.dedup();
    let can_change = !open_session_of(&history, now) && !history.changeable().is_empty();
    let owed = history.owed_morning(now);
    let begun = begun(owed.as_ref());
    let notices = standing::notices(&history, &lines, today, &begun, &who);
    let answered = history.mornings().iter().any(|answer| training_day(answer.at) == today);
    let open_session = open_session_of(&history, now);
    let has_answers = history.has_answers();
    let state = match (left.is_empty(), can_be_done.is_empty()) {
        (false, _) => None,
        (true, false) => Some(text::DONE_FOR_TODAY),
        (true, true) if stops.is_empty() => Some(text::NOTHING_TO_DO_REST),
        (true, true) => Some(text::NOTHING_TO_DO),
    };
    let start = (has_work && !open_session).then_some(if left.is_empty() {
        text::TRAIN_AGAIN
    } else {
        text::START
    });
    let start_class = if left.is_empty() || owed.is_some() { "button" } else { "button main" };
    // The ladder is met where an exercise is first begun; until then its rungs say nothing.
    let is_untouched = history.first_trained().is_none() && history.accepted().len() == 1;
    let row = |line: &Today| {
        let limits = history.routine()?.limits_for(&line.exercise).clone();
        let is_first = is_untouched && line.last.is_none();
        let mut sets = history
            .sessions_on(today..=today)
            .flat_map(|session| session.sets_of(&line.exercise.id));
        let is_in_part = !sets.any(DoneSet::is_whole);
        Some(view! { <Row line=line.clone() limits today is_first is_in_part /> })
    };
    let rows = lines.iter().map(row).collect_view();
    view! {
        <Screen
            title=dates::greeting(now)
            above
            foot=Box::new(move || {
                let go_on = open_session.then(|| view! { <a href="session" class="button main">{text::GO_ON_WITH_SESSION}</a> });
                let start = start.map(|label| view! { <a href="check" class=start_class>{label}</a> });
                view! { {go_on} {start} }.into_any()
            })
        >
            <Unreadable />
            <GoneLog />
            {(!open_session).then(|| view! { <NewerNotice /> })}
            {owed.map(|owed| view! { <OwedCheck owed /> })}
            <Stopped stops reasons signs=history.standing_signs() who=who.clone() />
            <NewEdition />
            <UsualMorning />
            {notices
                .into_iter()
                .map(|notice| view! { <NoticeCard notice /> })
                .collect_view()}
            {(!open_session).then(|| view! { <CopyOffer /> <ReminderOffer /> })}
            <section class="card">
                <div class="row">
                    <h2 class="grow">{text::TODAYS_ROUTINE}</h2>
                    {is_left.then(|| view! { <span class="soft num">{minutes}</span> })}
                </div>
                {state.map(|state| view! { <p class="state">{state}</p> })}
                <ul class="exercises">{rows}</ul>
                <FetchList things=fetch />
                <p class="tap-links">
                    {answered.then(|| view! { <a href="morning">{text::CHANGE_THE_MORNING}</a> })}
                    {can_change.then(|| view! { <a href="ratings">{standing::CHANGE_TITLE}</a> })}
                    {has_answers.then(|| view! { <a href="routine">{ANSWERS}</a> })}
                </p>
            </section>
            <nav class="tap-links quiet-row" aria-label=text::MORE>
                <a href="hand-back" aria-label=HAND_BACK_THE_LOG>{text::HAND_BACK}</a>
                <a href="keep" aria-label=text::KEEP_A_COPY>{text::COPY}</a>
                <a href="routine" aria-label=MY_ROUTINE>{text::ROUTINE}</a>
                <a href="cues" aria-label=text::SOUND_AND_VOICE>{text::SOUND}</a>
                <a href="help">{text::HELP}</a>
            </nav>
        </Screen>
    }
}

/// Something to know, and the practitioner's number where it belongs to it.
#[component]
pub fn NoticeCard(notice: Notice) -> impl IntoView {
    view! {
        <div class="card note">
            <p>{notice.words}</p>
            {notice.asks_to_ring.then(|| view! { <RingLine /> })}
        </div>
    }
}

/// Offers a copy once the last one has grown old.
#[component]
fn CopyOffer() -> impl IntoView {
    let history = use_log().history_untracked();
    let (last, today) = (last_copy(), clock::today());
    let days = history
        .first_trained()
        .zip(history.last_day())
        .and_then(|(first, latest)| days_to_offer_at(last, first, latest, today));
    days.map(|days| {
        let words =
            if last.is_some() { text::copy_is_old(days) } else { text::NO_COPY_YET.to_owned() };
        view! {
            <section class="card stack">
                <p>{words} {text::WHY_COPY}</p>
                <a href="keep" class="button">{SAVE_A_COPY}</a>
            </section>
        }
    })
}

#[component]
fn Row(
    line: Today,
    /// Those that it is judged by now.
    limits: Limits,
    today: NaiveDate,
    /// Whether nothing was ever done or ordered, and no routine taken on but this one.
    is_first: bool,
    /// Whether no set of it came to its end today.
    is_in_part: bool,
) -> impl IntoView {
    let last = line.last.as_ref().map(|judged| judged.verdict.order.light());
    let light = match (line.availability, last) {
        (Availability::Held { .. } | Availability::Stopped(_), _) => Some(Light::Hold),
        (Availability::Open, Some(light @ (Light::Keep | Light::Ease))) => Some(light),
        // Back from a Hold: no verdict says more than that.
        (Availability::Open, Some(Light::Hold) | None) => None,
    };
    let word = text::instead_of_light(last.is_some(), line.is_new);
    let mark = light.map_or_else(
        || view! { <span class="light none">{word}</span> }.into_any(),
        |light| view! { <LightMark light /> }.into_any(),
    );
    let what = match (line.availability, line.due) {
        (Availability::Held { back_on }, _) if back_on <= today => {
            text::LEFT_OUT_UNTIL_USUAL.to_owned()
        }
        (Availability::Held { back_on }, _) => {
            text::left_out_until(line.exercise.dose.days.next_from(back_on), today)
        }
        (Availability::Stopped(_), _) => text::LEFT_OUT_UNTIL_ANSWERED.to_owned(),
        (Availability::Open, Due::RestDay) => text::REST_DAY.to_owned(),
        (Availability::Open, Due::Today { times, done }) => {
            let so_far = text::so_far(times, done, is_in_part);
            let dose = dose::short(&line.dose);
            if is_first {
                text::to_do(&dose, &so_far)
            } else {
                // How many sets fewer the rung says already.
                let help = line.exercise.ladder.rung(line.foothold.rung).help.as_str();
                text::to_do_on_rung(&dose, &dose::foothold(line.foothold), help, &so_far)
            }
        }
    };
    // Why it is left out, where that is the last thing that was told.
    let why = line.last.as_ref().filter(|judged| {
        matches!(line.availability, Availability::Held { .. })
            && judged.verdict.order.light() == Light::Hold
    });
    let why = why.map(|judged| verdict::why(judged, &limits));
    // Until the morning after is answered, a light stands for the time being.
    let is_so_far = line.last.as_ref().is_some_and(|judged| {
        let reasons = &judged.verdict.reasons;
        light != Some(Light::Hold)
            && reasons.contains(&Reason::MorningNotAnswered)
            && (today - judged.day).num_days() <= 1
    });
    let so_far = is_so_far.then_some(text::LIGHT_SO_FAR);
    let next_step = line.ready_for_next_step.then_some(text::READY_FOR_NEXT_STEP);
    view! {
        <li>
            <a href=format!("exercise/{}", line.exercise.id.as_str()) class="exercise-row">
                <div class="marks">
                    {mark}
                    <Figure exercise=line.exercise.clone() rung=line.foothold.rung shown=Shown::Still />
                </div>
                <span class="grow">
                    <strong>{line.exercise.name.to_string()}</strong>
                    <span class="soft small block">{what}</span>
                    {so_far.map(|words| view! { <span class="small block">{words}</span> })}
                    {why.map(|words| view! { <span class="small block">{words}</span> })}
                    {next_step.map(|words| view! { <span class="small block">{words}</span> })}
                </span>
            </a>
        </li>
    }
}

fn open_session_of(history: &History, now: DateTime<FixedOffset>) -> bool {
    history.open_session(now).is_some()
}

/// A log that was begun under an earlier edition of the rule: the client is told once.
#[component]
fn NewEdition() -> impl IntoView {
    let log = use_log();
    let read = move |_| {
        log.append(vec![Fact::RuleExplained { edition: EDITION }]);
    };
    log.history_untracked().is_of_an_earlier_edition().then(|| {
        view! {
            <section class="card stack">
                <p>{standing::NEW_EDITION}</p>
                <button type="button" class="button" on:click=read>{standing::UNDERSTOOD}</button>
            </section>
        }
    })
}

/// What mornings are usually like, asked once when a routine is taken on.
#[component]
fn UsualMorning() -> impl IntoView {
    let log = use_log();
    let answer = Callback::new(move |rating: PainRating| log.answer_usual(Some(rating)));
    log.asks_usual().then(|| {
        view! {
            <section class="card stack">
                <h2>{standing::ASK_USUAL}</h2>
                <PainScale label=standing::ASK_USUAL.to_owned() chosen=Signal::stored(None) on_rate=answer />
                <p class="small soft">{standing::WHY_USUAL}</p>
                <button type="button" class="button quiet" on:click=move |_| log.answer_usual(None)>
                    {standing::USUAL_NOT_KNOWN}
                </button>
            </section>
        }
    })
}

/// Why exercises wait that no warning sign stops, those with the same answer together, named where others do not
/// wait.
fn why_left_out(history: &History, lines: &[Today], today: NaiveDate, who: &str) -> Vec<String> {
    let waits = |line: &Today| match line.availability {
        Availability::Stopped(Stop::WarningSign)
        | Availability::Open
        | Availability::Held { .. } => None,
        Availability::Stopped(stop) => {
            let course = history.course(&line.exercise.id)?;
            Some((stop, course.stop_hangs_on_morning(today)))
        }
    };
    let kinds: BTreeSet<(Stop, bool)> = lines.iter().filter_map(waits).collect();
    let reason = |kind: (Stop, bool)| {
        let of_kind = lines.iter().filter(|line| waits(line) == Some(kind));
        let names: Vec<&str> = of_kind.map(|line| line.exercise.name.as_str()).collect();
        let it = if names.len() == 1 || names.len() == lines.len() { "it" } else { "them" };
        let left_out = verdict::left_out(kind.0, who, kind.1, it);
        if names.len() == lines.len() {
            left_out
        } else {
            verdict::these_left_out(&names, &left_out)
        }
    };
    kinds.into_iter().map(reason).collect()
}

/// What waits for someone qualified, and the one way on: that they said so. A warning sign takes a word of
/// its own.
#[component]
fn Stopped(
    stops: Vec<Stop>,
    /// Why what no sign stops is left out.
    reasons: Vec<String>,
    signs: Vec<WarningSign>,
    who: String,
) -> impl IntoView {
    let (sign, others): (Vec<Stop>, Vec<Stop>) =
        stops.into_iter().partition(|stop| *stop == Stop::WarningSign);
    let sign = (!sign.is_empty()).then(|| {
        let ticked = signs.iter().map(|sign| (ask(*sign).to_owned(), care(*sign))).collect();
        view! {
            <WaitsForWord
                reasons=vec![verdict::left_out(Stop::WarningSign, &who, false, "everything")]
                ticked
                lifts=Lifts::WarningSign
                ask=standing::SIGN_LOOKED_AT
                only_if=standing::ONLY_IF_LOOKED_AT
            />
        }
    });
    let others = (!others.is_empty()).then(|| {
        view! {
            <WaitsForWord
                reasons
                ticked=Vec::new()
                lifts=Lifts::All
                ask=standing::SAID_TO_GO_ON
                only_if=standing::ONLY_IF_SAID
            />
        }
    });
    view! { {sign} {others} }
}
