//! Before the session: warning signs, how hard the joint worked today, and pain at rest. With no sign
//! to tick, one tap goes on.

use leptos::prelude::*;
use leptos_router::NavigateOptions;
use leptos_router::hooks::use_navigate;

use crate::domain::event::{Fact, WorkedToday};
use crate::domain::pain::PainRating;
use crate::domain::warning::WarningSign;
use crate::ui::components::scale::PainScale;
use crate::ui::components::screen::{Footing, Screen};
use crate::ui::diary::use_diary;
use crate::ui::text::warning::{NOT_A_DIAGNOSIS, ask, care};
use crate::ui::training::use_training;

/// Going back from the session leads to Today, not to these questions again.
fn in_place_of_this() -> NavigateOptions {
    NavigateOptions { replace: true, ..NavigateOptions::default() }
}

#[component]
pub fn Check() -> impl IntoView {
    let training = use_training();
    let navigate = use_navigate();
    let signs = RwSignal::new(Vec::<WarningSign>::new());
    let told = RwSignal::new(Vec::<WarningSign>::new());
    let worked = RwSignal::new(None::<WorkedToday>);
    let any_sign = move || !signs.with(Vec::is_empty);
    let go_on = navigate.clone();
    Effect::new(move |_| {
        if training.is_open() {
            go_on("/session", in_place_of_this());
        }
    });
    let start = Callback::new(move |at_rest: PainRating| {
        training.leave();
        training.begin(Some(at_rest), worked.get_untracked());
        navigate("/session", in_place_of_this());
    });
    move || {
        if !told.with(Vec::is_empty) {
            return view! { <CareAdvice signs=told.get() /> }.into_any();
        }
        view! {
            <Screen
                title="Any of these today?"
                above="Before you start"
                footing=Footing::Follows
                foot=Box::new(move || {
                    view! {
                        <Show
                            when=any_sign
                            fallback=move || {
                                view! {
                                    <p class="foot-ask">"None of these? Tap your pain right now, at rest."</p>
                                    <PainScale
                                        label="Pain at rest right now".to_owned()
                                        chosen=Signal::stored(None)
                                        on_rate=start
                                    />
                                }
                            }
                        >
                            <TellSigns signs told />
                        </Show>
                        <a href="/" class="button quiet">"Back to Today"</a>
                    }
                        .into_any()
                })
            >
                <SignList signs />
                <WorkedChoice worked />

            </Screen>
        }
        .into_any()
    }
}

/// The warning signs, each to be ticked.
#[component]
pub fn SignList(signs: RwSignal<Vec<WarningSign>>) -> impl IntoView {
    let item = move |sign: WarningSign| {
        let toggle = move |_| {
            signs.update(|ticked| {
                if ticked.contains(&sign) {
                    ticked.retain(|other| *other != sign);
                } else {
                    ticked.push(sign);
                }
            });
        };
        view! {
            <label class="sign">
                <input type="checkbox" prop:checked=move || signs.with(|ticked| ticked.contains(&sign)) on:change=toggle />
                <span>{ask(sign)}</span>
            </label>
        }
    };
    view! { <div class="signs" role="group" aria-label="Warning signs">{WarningSign::ALL.map(item)}</div> }
}

/// Notes the ticked signs, and shows what to do about them.
#[component]
pub fn TellSigns(
    signs: RwSignal<Vec<WarningSign>>,
    told: RwSignal<Vec<WarningSign>>,
) -> impl IntoView {
    let diary = use_diary();
    let tell = move |_| {
        let ticked = signs.get_untracked();
        diary.append(vec![Fact::WarningTicked { signs: ticked.clone() }]);
        diary.tell_verdicts();
        told.set(ticked);
    };
    view! {
        <p class="foot-ask">"Do not train today."</p>
        <button type="button" class="button main" on:click=tell>"What to do now"</button>
    }
}

/// The care that the ticked signs call for.
#[component]
pub fn CareAdvice(signs: Vec<WarningSign>) -> impl IntoView {
    let mut signs = signs;
    signs.sort_by_key(|sign| sign.care());
    let advice = signs.into_iter().map(|sign| {
        view! {
            <section class="card hold-card stack">
                <p class="soft">{ask(sign)}</p>
                <p class="lead"><strong>{care(sign)}</strong></p>
            </section>
        }
    });
    view! {
        <Screen
            title="Stop here today"
            above="You ticked a warning sign"
            foot=Box::new(|| view! { <a href="/" class="button main">"Back to Today"</a> }.into_any())
        >
            {advice.collect_view()}
            <p>{NOT_A_DIAGNOSIS}</p>
            <p class="soft">
                "Every exercise is on Hold until someone qualified has said to go on. It is noted in your log."
            </p>
        </Screen>
    }
}

/// Optional: how hard the joint has worked today already.
#[component]
fn WorkedChoice(worked: RwSignal<Option<WorkedToday>>) -> impl IntoView {
    let choice = move |(value, label): (WorkedToday, &'static str)| {
        let is_chosen = move || worked.get() == Some(value);
        let choose = move |_| worked.set(if is_chosen() { None } else { Some(value) });
        view! {
            <button type="button" class="chip" aria-pressed=move || is_chosen().to_string() on:click=choose>
                {label}
            </button>
        }
    };
    let choices = [
        (WorkedToday::Light, "Light"),
        (WorkedToday::AsUsual, "As usual"),
        (WorkedToday::Heavy, "Heavy"),
    ];
    view! {
        <div role="group" aria-label="How hard has the joint worked today? You may leave this out.">
            <p class="small soft">"Worked hard today already? (optional)"</p>
            <div class="chips">{choices.map(choice)}</div>
        </div>
    }
}
