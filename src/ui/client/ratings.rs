//! Changing a rating: the sets of the last session of each exercise, until its next session begins.

use leptos::prelude::*;

use crate::domain::event_id::EventId;
use crate::domain::log::event::Fact;
use crate::domain::log::history::{DoneSet, Rated};
use crate::domain::pain::PainRating;
use crate::domain::words::Words;
use crate::ui::client::sites::SiteChoice;
use crate::ui::components::saved::SavedMark;
use crate::ui::components::scale::PainScale;
use crate::ui::components::screen::Screen;
use crate::ui::live_log::use_log;
use crate::ui::text::client::ratings as text;
use crate::ui::text::components::screen::BACK_TO_TODAY;
use crate::ui::text::{standing, verdict};
use crate::ui::training::use_training;

#[component]
pub fn Ratings() -> impl IntoView {
    let log = use_log();
    let training = use_training();
    let changing = RwSignal::new(None::<EventId>);
    let is_open = training.is_open();
    let lists = move || {
        let history = log.history();
        let changeable = history.changeable();
        if changeable.is_empty() {
            return view! { <p>{standing::NOTHING_TO_CHANGE}</p> }.into_any();
        }
        changeable
            .into_iter()
            .map(|(exercise, sets)| {
                let sites: Vec<Words> = history
                    .routine()
                    .map(|routine| routine.limits_for(exercise).sites.clone())
                    .unwrap_or_default()
                    .into_iter()
                    .map(|site| site.name)
                    .collect();
                let rows = sets.into_iter().filter_map(|set| {
                    let rated = set.rated.clone()?;
                    Some(view! { <Row set=set.clone() rated sites=sites.clone() changing /> })
                });
                view! {
                    <section class="card stack">
                        <h2>{exercise.name.to_string()}</h2>
                        <ul class="exercises">{rows.collect_view()}</ul>
                    </section>
                }
            })
            .collect_view()
            .into_any()
    };
    let (back, to) =
        if is_open { ("session", text::BACK_TO_SESSION) } else { ("./", BACK_TO_TODAY) };
    view! {
        <Screen
            title=standing::CHANGE_TITLE
            foot=Box::new(move || view! { <a href=back class="button main">{to}</a> }.into_any())
        >
            <p class="soft">{standing::CHANGE_WHY}</p>
            <SavedMark />
            {lists}
        </Screen>
    }
}

/// One set with its rating, and the scale to change it by.
#[component]
fn Row(
    set: DoneSet,
    rated: Rated,
    sites: Vec<Words>,
    changing: RwSignal<Option<EventId>>,
) -> impl IntoView {
    let log = use_log();
    let of = rated.by;
    let name = standing::set(set.number, set.ended_at);
    let site = RwSignal::new(rated.site.clone());
    let given = text::rated(rated.rating, rated.site.as_ref());
    let correct = Callback::new(move |rating: PainRating| {
        let site = site.get_untracked().filter(|_| rating != PainRating::NONE);
        log.append(vec![Fact::Corrected { of, exercise: None, rating, site }]);
        changing.set(None);
    });
    let label = name.clone();
    let sites = StoredValue::new(sites);
    view! {
        <li class="stack">
            <div class="exercise-row">
                <span class="grow num">{name} ": " <strong>{given}</strong></span>
                <button
                    type="button"
                    class="link"
                    aria-label=text::change(&label)
                    aria-expanded=move || (changing.get() == Some(of)).to_string()
                    on:click=move |_| changing.update(|open| *open = if *open == Some(of) { None } else { Some(of) })
                >
                    {standing::CHANGE}
                </button>
            </div>
            <Show when=move || changing.get() == Some(of)>
                <Show when=move || sites.with_value(|sites| !sites.is_empty())>
                    <SiteChoice
                        names=sites.get_value()
                        chosen=site
                        on_choose=Callback::new(move |place| site.set(place))
                    />
                </Show>
                <PainScale
                    label=verdict::RATE_AGAIN.to_owned()
                    chosen=Signal::stored(Some(rated.rating))
                    on_rate=correct
                />
            </Show>
        </li>
    }
}
