//! One light with what led to it in a sentence, and what happens next to each exercise that has it.

use chrono::NaiveDate;
use leptos::prelude::*;

use crate::domain::log::course::{Availability, Course, Judged};
use crate::domain::plan::limits::{Light, Limits};
use crate::ui::components::light::LightTitle;
use crate::ui::components::ring::RingLine;
use crate::ui::text::client::verdict_card as text;
use crate::ui::text::{capitalised, verdict};

/// An exercise's verdict, and what it was read by.
#[derive(Clone)]
pub struct Told {
    pub judged: Judged,
    pub course: Course,
    pub limits: Limits,
}

impl Told {
    fn light(&self) -> Light {
        self.judged.verdict.order.light()
    }

    /// Whether it was left out, and is done again from this day on.
    fn is_back(&self, today: NaiveDate) -> bool {
        self.light() == Light::Hold && self.course.availability(today) == Availability::Open
    }

    fn why(&self, today: NaiveDate) -> String {
        if self.is_back(today) {
            verdict::why_it_was(&self.judged, &self.limits)
        } else {
            verdict::why(&self.judged, &self.limits)
        }
    }

    /// Whether one card says the same of both but for the rung that it leads to.
    fn is_told_like(&self, other: &Self, today: NaiveDate) -> bool {
        self.light() == other.light()
            && self.judged.day == other.judged.day
            && self.judged.verdict.reasons == other.judged.verdict.reasons
            && self.limits == other.limits
            && self.is_back(today) == other.is_back(today)
            && self.why(today) == other.why(today)
    }
}

/// Cards for exercises, in their order; those that got the same light for the same reasons share one.
#[component]
pub fn VerdictCards(told: Vec<Told>, today: NaiveDate, who: String) -> impl IntoView {
    let mut cards: Vec<Vec<Told>> = Vec::new();
    for told in told {
        match cards
            .iter_mut()
            .find(|card| card.iter().any(|first| first.is_told_like(&told, today)))
        {
            Some(card) => card.push(told),
            None => cards.push(vec![told]),
        }
    }
    let card = |card: Vec<Told>| view! { <VerdictCard told=card today who=who.clone() /> };
    cards.into_iter().map(card).collect_view()
}

/// What was told of some exercises in the same words; nothing, if of none.
#[component]
fn VerdictCard(told: Vec<Told>, today: NaiveDate, who: String) -> impl IntoView {
    let Told { judged, limits, .. } = told.first()?.clone();
    let light = judged.verdict.order.light();
    let (is_back, why) = (told[0].is_back(today), told[0].why(today));
    let is_held = light == Light::Hold && !is_back;
    let rows = judged.verdict.reasons.iter().map(|reason| {
        let row = verdict::reason(reason, &limits);
        view! {
            <tr>
                <th scope="row">{row.what}</th>
                <td>{row.value}</td>
                <td class="soft">{row.beside}</td>
            </tr>
        }
    });
    let rows = rows.collect_view();
    let exercise = |told: &Told| {
        let Told { judged, course, .. } = told;
        let is_ready = course.ready_for_next_step();
        view! {
            <div>
                <h2>{course.exercise().name.to_string()}</h2>
                <p><strong>{verdict::next(judged, course, today, &who)}</strong></p>
                {is_ready.then(|| view! { <p>{text::ready(&who)}</p> })}
            </div>
        }
    };
    Some(view! {
        <section class="card verdict stack">
            {if is_back {
                view! { <p class="light none back">{text::BACK}</p> }.into_any()
            } else {
                view! { <LightTitle light /> }.into_any()
            }}
            <div class="verdict-exercises">{told.iter().map(exercise).collect_view()}</div>
            <p>{why}</p>
            {is_held.then(|| view! { <p>{text::unsure(&who)}</p> <RingLine /> })}
            <details>
                <summary>{text::NUMBERS_AND_LIMITS}</summary>
                <table class="num">
                    <caption class="small soft">{text::why(judged.day)}</caption>
                    <tbody>{rows}</tbody>
                </table>
                <p class="small soft">{verdict::limits_set(&limits, &capitalised(&who))}</p>
            </details>
        </section>
    })
}
