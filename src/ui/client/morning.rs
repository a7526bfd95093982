//! The morning check: two taps when every exercise feels the same, then each light with its reason.

use std::collections::BTreeMap;

use leptos::prelude::*;

use super::before_session::{CareAdvice, SignList, TellSigns, Ticks};
use super::owed::Draft;
use super::today::NoticeCard;
use super::verdict_card::{Told, VerdictCards};
use crate::domain::event_id::EventId;
use crate::domain::log::course::training_day;
use crate::domain::log::event::Fact;
use crate::domain::log::history::{History, OwedMorning};
use crate::domain::log::rule::Swelling;
use crate::domain::log::warning::WarningSign;
use crate::domain::pain::PainRating;
use crate::domain::visit::review::limits_of_version;
use crate::domain::words::Id;
use crate::platform::clock;
use crate::ui::components::saved::SavedMark;
use crate::ui::components::scale::PainScale;
use crate::ui::components::screen::{Footing, Screen};
use crate::ui::live_log::{LiveLog, use_log};
use crate::ui::text::client::end::DONE;
use crate::ui::text::client::morning as text;
use crate::ui::text::components::screen::BACK_TO_TODAY;
use crate::ui::text::{dates, standing, verdict, who};

/// The answers so far, on their way to being complete.
#[derive(Clone, Copy)]
struct Answers {
    ratings: RwSignal<BTreeMap<Id, PainRating>>,
    swelling: RwSignal<Option<Swelling>>,
    /// The event that these answers were noted as.
    noted: RwSignal<Option<EventId>>,
    /// Whether a noted answer is being changed.
    changing: RwSignal<bool>,
}

#[component]
pub fn MorningCheck() -> impl IntoView {
    let log = use_log();
    let history = log.history_untracked();
    let now = clock::now();
    let owed = history.owed_morning(now);
    let today = training_day(now);
    let today = history.mornings().iter().rfind(|answer| training_day(answer.at) == today);
    let given = today.filter(|_| owed.is_none());
    let draft = owed.as_ref().and_then(Draft::of);
    let (ratings, swelling) = match given {
        Some(answer) => (answer.ratings.clone(), Some(answer.swelling)),
        None => draft.map(|draft| (draft.ratings, draft.swelling)).unwrap_or_default(),
    };
    let answers = Answers {
        ratings: RwSignal::new(ratings),
        swelling: RwSignal::new(swelling),
        noted: RwSignal::new(given.map(|answer| answer.id)),
        changing: RwSignal::new(false),
    };
    let owed = owed.or_else(|| {
        given.map(|answer| OwedMorning {
            after: answer.after,
            exercises: in_order(&history, answer.ratings.keys().cloned().collect()),
        })
    });
    let ticks = Ticks::use_here();
    let told = RwSignal::new(Vec::<WarningSign>::new());
    let Some(owed) = owed else { return view! { <NothingOwed /> }.into_any() };
    let owed = StoredValue::new(owed);
    (move || {
        if !told.with(Vec::is_empty) {
            view! { <CareAdvice ticks told /> }.into_any()
        } else if answers.noted.get().is_some() && !answers.changing.get() {
            view! { <Lights answers owed=owed.get_value() /> }.into_any()
        } else {
            view! { <Questions answers owed=owed.get_value() ticks told /> }.into_any()
        }
    })
    .into_any()
}

#[component]
fn NothingOwed() -> impl IntoView {
    view! {
        <Screen
            title=text::NOTHING_TO_ANSWER
            above=text::MORNING_CHECK
            foot=Box::new(|| view! { <a href="./" class="button main">{BACK_TO_TODAY}</a> }.into_any())
        >
            <p>{text::WHEN_IT_COMES}</p>
        </Screen>
    }
}

impl Answers {
    /// Notes the answers once they are complete. A change waits until it is said to be one.
    fn complete_if_new(self, log: LiveLog, owed: &OwedMorning) {
        if self.noted.get_untracked().is_some() {
            return;
        }
        self.complete(log, owed);
        if self.noted.get_untracked().is_some() {
            Draft::forget();
        } else {
            let (ratings, swelling) = (self.ratings.get_untracked(), self.swelling.get_untracked());
            Draft { after: owed.after, ratings, swelling }.keep();
        }
    }

    /// Notes the answers if they are complete; a change is noted as a correction.
    fn complete(self, log: LiveLog, owed: &OwedMorning) {
        let ratings = self.ratings.get_untracked();
        let Some(swelling) = self.swelling.get_untracked() else { return };
        if owed.exercises.iter().any(|id| !ratings.contains_key(id)) {
            return;
        }
        let before = log.history_untracked();
        let known = |of: EventId| before.mornings().iter().rfind(|answer| answer.id == of);
        match self.noted.get_untracked() {
            None => {
                let answered = Fact::MorningAnswered { after: owed.after, ratings, swelling };
                self.noted.set(log.append(vec![answered]));
            }
            Some(of) => {
                let given = known(of);
                let is_other = |(exercise, rating): &(Id, PainRating)| {
                    given.is_none_or(|given| given.ratings.get(exercise) != Some(rating))
                };
                let corrected = |(exercise, rating)| Fact::Corrected {
                    of,
                    exercise: Some(exercise),
                    rating,
                    site: None,
                };
                let facts = ratings.into_iter().filter(is_other).map(corrected);
                let swollen = given
                    .is_none_or(|given| given.swelling != swelling)
                    .then_some(Fact::SwellingCorrected { of, swelling });
                log.append(facts.chain(swollen).collect());
            }
        }
        self.changing.set(false);
    }
}

#[component]
fn Questions(
    answers: Answers,
    owed: OwedMorning,
    ticks: Ticks,
    told: RwSignal<Vec<WarningSign>>,
) -> impl IntoView {
    let log = use_log();
    let several = 1 < owed.exercises.len();
    let ratings = answers.ratings.get_untracked();
    let is_begun_one_by_one = !ratings.is_empty() && ratings.len() < owed.exercises.len();
    let each = RwSignal::new(is_begun_one_by_one);
    let any_sign = move || ticks.any();
    let owed = StoredValue::new(owed);
    let try_complete = move || owed.with_value(|owed| answers.complete_if_new(log, owed));
    let rate_all = Callback::new(move |rating: PainRating| {
        let same =
            |owed: &OwedMorning| owed.exercises.iter().map(|id| (id.clone(), rating)).collect();
        answers.ratings.set(owed.with_value(same));
        try_complete();
    });
    let all_same = Signal::derive(move || {
        let ratings = answers.ratings.get();
        let first = ratings.values().next().copied()?;
        let complete = owed.with_value(|owed| owed.exercises.len() == ratings.len());
        (complete && ratings.values().all(|rating| *rating == first)).then_some(first)
    });
    let name_of = move |id: &Id| {
        log.history_untracked()
            .course(id)
            .map(|course| course.exercise().name.to_string())
            .unwrap_or_default()
    };
    let after = owed.with_value(|owed| owed.after);
    let names = owed.with_value(|owed| owed.exercises.iter().map(name_of).collect::<Vec<_>>());
    let one_by_one = move || {
        let exercises = owed.with_value(|owed| owed.exercises.clone());
        let scale = |id: Id| {
            let name = name_of(&id);
            let (of, into) = (id.clone(), id);
            let chosen =
                Signal::derive(move || answers.ratings.with(|ratings| ratings.get(&of).copied()));
            let rate = Callback::new(move |rating: PainRating| {
                answers.ratings.update(|ratings| {
                    ratings.insert(into.clone(), rating);
                });
                try_complete();
            });
            view! {
                <h2>{name.clone()}</h2>
                <PainScale label=text::pain_of(&name) chosen on_rate=rate />
            }
        };
        exercises.into_iter().map(scale).collect_view()
    };
    let one_by_one = StoredValue::new_local(one_by_one);
    let swelling_button = move |swelling: Swelling| {
        let choose = move |_| {
            answers.swelling.set(Some(swelling));
            try_complete();
        };
        let is_chosen = move || answers.swelling.get() == Some(swelling);
        view! {
            <button type="button" class="button" aria-pressed=move || is_chosen().to_string() on:click=choose>
                {verdict::swelling(swelling)}
            </button>
        }
    };
    let swellings =
        [Swelling::NoMore, Swelling::ALittleMore, Swelling::ClearlyMore].map(swelling_button);
    let joint = log.history_untracked().routine().and_then(|routine| routine.joint.clone());
    let swelling_question = standing::swelling(joint.as_ref());
    let is_change = answers.changing.get_untracked();
    let save_change = move |_| owed.with_value(|owed| answers.complete(log, owed));
    let foot: Children = Box::new(move || {
        if is_change {
            view! {
                <button type="button" class="button main" on:click=save_change>
                    {text::SAVE_CHANGE}
                </button>
                <button type="button" class="button quiet" on:click=move |_| answers.changing.set(false)>
                    {text::LEAVE_AS_IT_IS}
                </button>
            }
            .into_any()
        } else {
            view! { <a href="./" class="button quiet">{BACK_TO_TODAY}</a> }.into_any()
        }
    });
    view! {
        <Screen
            title=standing::MORNING_PAIN
            above=text::after(after, &names)
            footing=Footing::Follows
            foot
        >
                <Show
                    when=move || each.get()
                    fallback=move || {
                        view! {
                            <PainScale
                                label=text::PAIN_OF_ALL.to_owned()
                                chosen=all_same
                                on_rate=rate_all
                            />
                            {several
                                .then(|| {
                                    view! {
                                        <p class="small soft">
                                            {text::ONE_TAP_FOR_ALL}
                                            <button type="button" class="link" on:click=move |_| each.set(true)>
                                                {text::EACH_BY_ITSELF}
                                            </button>
                                        </p>
                                    }
                                })}
                        }
                    }
                >
                    {move || one_by_one.with_value(|scales| scales())}
                </Show>
                <section>
                    <h2>{swelling_question}</h2>
                    <div class="stack-tight">{swellings}</div>
                </section>
                <details>
                    <summary>{text::SOMETHING_WORSE}</summary>
                    <SignList ticks />
                    <Show when=any_sign><TellSigns ticks told /></Show>
                </details>
        </Screen>
    }
}

/// In the order of the routine, whichever way one came here.
fn in_order(history: &History, mut exercises: Vec<Id>) -> Vec<Id> {
    let routine = history.routine();
    let place = |id: &Id| {
        routine.and_then(|routine| routine.exercises().iter().position(|one| one.id == *id))
    };
    exercises.sort_by_key(place);
    exercises
}

#[component]
fn Lights(answers: Answers, owed: OwedMorning) -> impl IntoView {
    let log = use_log();
    let today = clock::today();
    let cards = move || {
        let history = log.history();
        let who = who(&history);
        let told = |id: &Id| {
            let course = history.course(id)?.clone();
            let of_day = course.judged().iter().rfind(|judged| judged.day == owed.after);
            let judged = of_day.or(course.judged().last())?.clone();
            let limits = limits_of_version(&history, id, judged.version);
            let limits = limits.unwrap_or(course.limits()).clone();
            Some(Told { judged, course, limits })
        };
        let told = in_order(&history, owed.exercises.clone()).iter().filter_map(told).collect();
        let this_day = training_day(clock::now());
        let lines = history.today(this_day);
        let high = standing::high_morning(&history, &lines, this_day, &BTreeMap::new());
        view! {
            {high.map(|notice| view! { <NoticeCard notice /> })}
            <VerdictCards told today who />
        }
    };
    view! {
        <Screen
            title=text::YOUR_LIGHTS
            above=dates::day(today)
            foot=Box::new(move || {
                view! {
                    <a href="./" class="button main">{DONE}</a>
                    <button type="button" class="button quiet" on:click=move |_| answers.changing.set(true)>
                        {text::CHANGE_ANSWER}
                    </button>
                }
                    .into_any()
            })
        >
            <SavedMark />
            {cards}
        </Screen>
    }
}
