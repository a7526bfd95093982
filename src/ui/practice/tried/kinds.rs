//! What limits do to known kinds of client, beside the three presets: worked out on this device, a little at a
//! time, so that the page answers meanwhile. What the presets come to is known beforehand.

use std::time::Duration;

use leptos::prelude::*;

use crate::domain::plan::limits::{Limits, Preset};
use crate::domain::tried::kinds::Kind;
use crate::domain::tried::lives::Trial;
use crate::domain::tried::outcomes::{LIVES, Outcome, Pair};
use crate::domain::tried::presets::{Presets, worked_out};
use crate::domain::tried::wobble::Wobble;
use crate::ui::practice::fields::Choice;
use crate::ui::text::practice::tried::kinds::{self as text, Shown};
use crate::ui::text::{tried, verdict};

/// What the limits that are tried come to, as far as it is worked out: by kind, with either wobble.
#[derive(Clone, Copy)]
struct Work {
    done: RwSignal<Vec<Outcome>>,
    /// What the presets come to.
    presets: StoredValue<Presets>,
    /// Which working out it is: an earlier one ends itself.
    number: StoredValue<u32>,
}

/// How many outcomes there are to work out.
const ALL: usize = Kind::ALL.len() * Wobble::PUBLISHED.len();

impl Work {
    fn new() -> Self {
        Self {
            done: RwSignal::new(Vec::new()),
            presets: StoredValue::new(worked_out()),
            number: StoredValue::new(0),
        }
    }

    fn begin(self, limits: &Limits) {
        self.number.update_value(|number| *number += 1);
        // What a morning is usually like is of one client, and of no preset.
        let limits = Limits { usual_morning: None, ..limits.clone() };
        let known = Preset::ALL.into_iter().zip(self.presets.get_value());
        let known =
            known.filter(|(preset, _)| Limits::of(*preset) == limits).map(|(_, pairs)| pairs);
        self.done.set(known.flatten().flatten().collect());
        self.go_on(self.number.get_value(), Trial::of(&limits));
    }

    fn go_on(self, number: u32, trial: Trial) {
        let step = move || {
            if self.number.try_get_value() != Some(number) {
                return;
            }
            let place = self.done.with_untracked(Vec::len);
            if ALL <= place {
                return;
            }
            let (kind, wobble) = (place / Wobble::PUBLISHED.len(), place % Wobble::PUBLISHED.len());
            let outcome = Outcome::of(&trial, Kind::ALL[kind], Wobble::PUBLISHED[wobble], LIVES);
            self.done.update(|done| done.push(outcome));
            self.go_on(number, trial);
        };
        set_timeout(step, Duration::ZERO);
    }

    /// What came of a kind, once that is known.
    fn of(self, kind: usize) -> Option<Pair> {
        self.done.with(|done| done.as_chunks().0.get(kind).copied())
    }
}

#[component]
pub fn OnKinds(#[prop(into)] limits: Signal<Limits>) -> impl IntoView {
    let work = Work::new();
    Effect::new(move |_| limits.with(|limits| work.begin(limits)));
    let shown = RwSignal::new(Shown::Hold);
    let chips = Shown::ALL.map(|what| (what, text::shown(what))).to_vec();
    let names =
        [text::THESE].into_iter().chain(Preset::ALL.map(|preset| verdict::preset(Some(preset))));
    let names: Vec<&'static str> = names.collect();
    let heads = names.iter().map(|name| view! { <th scope="col">{*name}</th> }).collect_view();
    let row = move |(place, kind): (usize, Kind)| {
        let cell = |(column, name): (usize, &&'static str)| {
            let pair = move || match column.checked_sub(1) {
                None => work.of(place),
                Some(preset) => {
                    work.presets.with_value(|presets| Some(presets.get(preset)?[place]))
                }
            };
            let said = move || Some(say(shown.get(), &pair()?));
            view! { <td data-label=*name>{move || said().unwrap_or_else(|| "…".to_owned())}</td> }
        };
        view! {
            <tr>
                <th scope="row">{tried::kind(kind)}</th>
                {names.iter().enumerate().map(cell).collect_view()}
            </tr>
        }
    };
    let progress = move || {
        let done = work.done.with(Vec::len);
        (done < ALL).then(|| {
            view! {
                <p class="small soft">
                    <progress max=ALL value=done></progress>
                    " "
                    {text::progress(done, ALL)}
                </p>
            }
        })
    };
    let kinds = Kind::ALL.map(|kind| {
        view! {
            <dt>{tried::kind(kind)}</dt>
            <dd class="small soft">{tried::model(kind)}</dd>
        }
    });
    view! {
        <div class="stack">
            <p class="small soft">{text::WHAT_THIS_IS}</p>
            <Choice
                label=text::WHAT_IS_SHOWN
                options=chips
                value=Signal::derive(move || Some(shown.get()))
                on_change=Callback::new(move |what| shown.set(what))
            />
            <p>{move || text::says(shown.get())}</p>
            {progress}
            <table class="stacked kinds num">
                <thead>
                    <tr>
                        <th scope="col">{text::KIND}</th>
                        {heads}
                    </tr>
                </thead>
                <tbody>{Kind::ALL.into_iter().enumerate().map(row).collect_view()}</tbody>
            </table>
            <details>
                <summary class="small">{text::WHO_THEY_ARE}</summary>
                <dl>{kinds}</dl>
            </details>
        </div>
    }
}

fn say(what: Shown, [one, other]: &Pair) -> String {
    let light = |place: usize| text::range(one.lights[place], other.lights[place]);
    match what {
        Shown::Keep => light(0),
        Shown::Ease => light(1),
        Shown::Hold => light(2),
        Shown::FirstAlarm => text::first_alarm(one.first_alarm, other.first_alarm),
        Shown::Alarms => text::range(one.alarms, other.alarms),
        Shown::StepUps => text::range(one.step_ups, other.step_ups),
        Shown::Stopped => text::range(one.stopped, other.stopped),
    }
}
