//! What limits do to known kinds of client, beside the three presets: worked out on this device, a little at a
//! time, so that the page answers meanwhile.

use std::time::Duration;

use leptos::prelude::*;

use crate::domain::plan::limits::{Limits, Preset};
use crate::domain::tried::kinds::Kind;
use crate::domain::tried::lives::Trial;
use crate::domain::tried::outcomes::Outcome;
use crate::domain::tried::wobble::Wobble;
use crate::ui::practice::fields::Choice;
use crate::ui::text::practice::tried::kinds::{self as text, Shown};
use crate::ui::text::{tried, verdict};

/// So many lives of each kind, as `docs/what-the-rule-does.md` has more: those here are waited for. Ours.
const LIVES: u32 = 50;

/// The limits that stand beside each other, each with its name: those that are tried, then the presets' tables
/// with everything else as tried.
fn columns(limits: &Limits) -> Vec<(&'static str, Limits)> {
    let preset = |preset: Preset| {
        (verdict::preset(Some(preset)), Limits { table: preset.table(), ..limits.clone() })
    };
    [(text::THESE, limits.clone())].into_iter().chain(Preset::ALL.map(preset)).collect()
}

/// What came of one kind, with either wobble.
type Pair = [Outcome; 2];

/// What is worked out, or under way: each limits once, however many columns have them, and those that another
/// change leaves as they were not again.
#[derive(Clone, Copy)]
struct Work {
    /// By kind, as far as it has come.
    done: RwSignal<Vec<(Limits, Vec<Pair>)>>,
    /// Which working out it is: an earlier one ends itself.
    number: StoredValue<u32>,
}

impl Work {
    fn new() -> Self {
        Self { done: RwSignal::new(Vec::new()), number: StoredValue::new(0) }
    }

    fn begin(self, limits: &Limits) {
        self.number.update_value(|number| *number += 1);
        let wanted = columns(limits).into_iter().map(|(_, limits)| limits);
        self.done.update(|done| {
            let before = std::mem::take(done);
            for limits in wanted {
                if done.iter().all(|(known, _)| *known != limits) {
                    let known = before.iter().find(|(known, _)| *known == limits);
                    done.push(known.cloned().unwrap_or_else(|| (limits, Vec::new())));
                }
            }
        });
        self.go_on(self.number.get_value());
    }

    fn go_on(self, number: u32) {
        let step = move || {
            if self.number.try_get_value() != Some(number) {
                return;
            }
            let next = self.done.with_untracked(|done| {
                let place = done.iter().position(|(_, pairs)| pairs.len() < Kind::ALL.len())?;
                let (limits, pairs) = &done[place];
                let (trial, kind) = (Trial::of(limits), Kind::ALL[pairs.len()]);
                let of = |wobble| Outcome::of(&trial, kind, wobble, LIVES);
                Some((place, Wobble::PUBLISHED.map(of)))
            });
            let Some((place, pair)) = next else { return };
            self.done.update(|done| done[place].1.push(pair));
            self.go_on(number);
        };
        set_timeout(step, Duration::ZERO);
    }

    /// How much is worked out, and of how much.
    fn progress(self) -> (usize, usize) {
        self.done.with(|done| {
            (done.iter().map(|(_, pairs)| pairs.len()).sum(), done.len() * Kind::ALL.len())
        })
    }

    /// What came of a kind under some limits, once that is known.
    fn of(self, limits: &Limits, kind: usize) -> Option<Pair> {
        self.done.with(|done| {
            let (_, pairs) = done.iter().find(|(known, _)| known == limits)?;
            pairs.get(kind).copied()
        })
    }
}

#[component]
pub fn OnKinds(#[prop(into)] limits: Signal<Limits>) -> impl IntoView {
    let work = Work::new();
    Effect::new(move |_| limits.with(|limits| work.begin(limits)));
    let shown = RwSignal::new(Shown::Hold);
    let chips = Shown::ALL.map(|what| (what, text::shown(what))).to_vec();
    let heads = columns(&limits.get_untracked())
        .into_iter()
        .map(|(name, _)| view! { <th scope="col">{name}</th> })
        .collect_view();
    let row = move |(place, kind): (usize, Kind)| {
        let cell = move |(column, name): (usize, &'static str)| {
            let said = move || {
                let (_, limits) = limits.with(columns).swap_remove(column);
                Some(say(shown.get(), &work.of(&limits, place)?))
            };
            view! { <td data-label=name>{move || said().unwrap_or_else(|| "…".to_owned())}</td> }
        };
        let names = columns(&limits.get_untracked()).into_iter().map(|(name, _)| name);
        view! {
            <tr>
                <th scope="row">{tried::kind(kind)}</th>
                {names.enumerate().map(cell).collect_view()}
            </tr>
        }
    };
    let progress = move || {
        let (done, all) = work.progress();
        (done < all).then(|| {
            view! {
                <p class="small soft">
                    <progress max=all value=done></progress>
                    " "
                    {text::progress(done, all)}
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
