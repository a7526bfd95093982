//! A morning check that is owed: its first question is asked on Today, so that the whole takes two taps.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use leptos::prelude::*;
use leptos_router::hooks::use_navigate;
use serde::{Deserialize, Serialize};

use crate::domain::log::history::OwedMorning;
use crate::domain::log::rule::Swelling;
use crate::domain::pain::PainRating;
use crate::domain::words::Id;
use crate::platform::preferences;
use crate::ui::components::scale::PainScale;
use crate::ui::text::client::owed as text;
use crate::ui::text::standing;

/// Where answers wait that are not complete yet, so that going back or a reload does not lose them.
const DRAFT: &str = "carryover.morning";

/// The answers so far to one morning check.
#[derive(Serialize, Deserialize)]
pub struct Draft {
    pub after: NaiveDate,
    pub ratings: BTreeMap<Id, PainRating>,
    pub swelling: Option<Swelling>,
}

impl Draft {
    /// What was answered of this check and is not noted yet.
    pub fn of(owed: &OwedMorning) -> Option<Self> {
        preferences::get::<Self>(DRAFT).filter(|draft| draft.after == owed.after)
    }

    pub fn keep(self) {
        preferences::set(DRAFT, self);
    }

    pub fn forget() {
        preferences::forget(DRAFT);
    }
}

/// What was tapped in a check that is owed and not complete yet.
pub fn begun(owed: Option<&OwedMorning>) -> BTreeMap<Id, PainRating> {
    owed.and_then(Draft::of).map(|draft| draft.ratings).unwrap_or_default()
}

/// A number here counts for every exercise and leads on to the swelling. Nothing is noted before that.
#[component]
pub fn OwedCheck(owed: OwedMorning) -> impl IntoView {
    let navigate = use_navigate();
    let is_begun = Draft::of(&owed).is_some();
    let after = standing::after_training(owed.after);
    let rate = Callback::new(move |rating: PainRating| {
        let ratings = owed.exercises.iter().map(|id| (id.clone(), rating)).collect();
        Draft { after: owed.after, ratings, swelling: None }.keep();
        navigate("/morning", leptos_router::NavigateOptions::default());
    });
    let link = if is_begun { "button main" } else { "button quiet" };
    view! {
        <section class="card chalk stack">
            <h2>{standing::MORNING_PAIN}</h2>
            <p class="small soft">{after}</p>
            {(!is_begun)
                .then(|| {
                    view! {
                        <PainScale
                            label=standing::MORNING_PAIN.to_owned()
                            chosen=Signal::stored(None)
                            on_rate=rate
                        />
                    }
                })}
            <a href="morning" class=link>{text::ANSWER}</a>
        </section>
    }
}
