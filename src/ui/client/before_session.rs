//! Before the session: warning signs, how hard the joint worked today, and pain at rest. With no sign
//! to tick, one tap goes on.

use leptos::prelude::*;
use leptos_router::NavigateOptions;
use leptos_router::hooks::use_navigate;

use super::owed::begun;
use crate::domain::event_id::EventId;
use crate::domain::log::event::{Fact, WorkedToday};
use crate::domain::log::warning::{Care, WarningSign};
use crate::domain::pain::PainRating;
use crate::domain::session::runner::TAKE_BACK_WITHIN;
use crate::platform::clock;
use crate::ui::components::ring::RingLine;
use crate::ui::components::scale::PainScale;
use crate::ui::components::screen::{Footing, Screen};
use crate::ui::live_log::{LiveLog, use_log};
use crate::ui::text::client::before_session as text;
use crate::ui::text::components::screen::BACK_TO_TODAY;
use crate::ui::text::warning::{NOT_A_DIAGNOSIS, ask, care};
use crate::ui::text::{standing, who};
use crate::ui::training::use_training;

/// Going back from the session leads to Today, not to these questions again.
fn in_place_of_this() -> NavigateOptions {
    NavigateOptions { replace: true, ..NavigateOptions::default() }
}

/// The signs ticked on this screen. A tick is noted in the tap, and so is taking it off; what they lead to is
/// told once the screen is left, whichever way.
#[derive(Clone, Copy)]
pub struct Ticks {
    log: LiveLog,
    noted: RwSignal<Vec<(WarningSign, EventId)>>,
}

impl Ticks {
    pub fn use_here() -> Self {
        let ticks = Self { log: use_log(), noted: RwSignal::new(Vec::new()) };
        on_cleanup(move || {
            if ticks.noted.try_with_untracked(|noted| !noted.is_empty()) == Some(true) {
                ticks.log.tell_verdicts();
            }
        });
        ticks
    }

    pub fn any(self) -> bool {
        self.noted.with(|noted| !noted.is_empty())
    }

    fn has(self, sign: WarningSign) -> bool {
        self.noted.with(|noted| noted.iter().any(|(ticked, _)| *ticked == sign))
    }

    fn toggle(self, sign: WarningSign) {
        let known = self.noted.with_untracked(|noted| {
            noted.iter().find(|(ticked, _)| *ticked == sign).map(|(_, event)| *event)
        });
        if let Some(of) = known {
            self.log.append(vec![Fact::WarningUnticked { of, sign }]);
            self.noted.update(|noted| noted.retain(|(ticked, _)| *ticked != sign));
        } else if let Some(event) = self.log.append(vec![Fact::WarningTicked { signs: vec![sign] }])
        {
            self.noted.update(|noted| noted.push((sign, event)));
        }
    }

    /// All of them were a slip.
    fn take_back(self) {
        let noted = self.noted.try_update(std::mem::take).unwrap_or_default();
        let slips = noted.into_iter().map(|(sign, of)| Fact::WarningUnticked { of, sign });
        self.log.append(slips.collect());
        self.log.tell_verdicts();
    }

    /// What to do, in a few words: what is most urgent is read without a tap.
    pub fn in_short(self) -> &'static str {
        let first = WarningSign::ALL.into_iter().find(|sign| self.has(*sign));
        first.filter(|sign| sign.care() == Care::Emergency).map_or(text::DO_NOT_TRAIN, care)
    }

    fn signs(self) -> Vec<WarningSign> {
        self.noted.with_untracked(|noted| noted.iter().map(|(sign, _)| *sign).collect())
    }
}

#[component]
pub fn BeforeSession() -> impl IntoView {
    let training = use_training();
    let log = use_log();
    let navigate = use_navigate();
    let ticks = Ticks::use_here();
    let told = RwSignal::new(Vec::<WarningSign>::new());
    let worked = RwSignal::new(None::<WorkedToday>);
    // Pain at rest that is high, or a morning that was: asked about before anything is done.
    let high = RwSignal::new(None::<(PainRating, String)>);
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
    let rate = Callback::new(move |at_rest: PainRating| {
        let history = log.history_untracked();
        let begun = begun(history.owed_morning(clock::now()).as_ref());
        match standing::high_before(&history, clock::today(), at_rest, &begun) {
            Some(words) => high.set(Some((at_rest, words))),
            None => start.run(at_rest),
        }
    });
    move || {
        if !told.with(Vec::is_empty) {
            return view! { <CareAdvice ticks told /> }.into_any();
        }
        if let Some((at_rest, words)) = high.get() {
            return view! { <High words on_go_on=Callback::new(move |()| start.run(at_rest)) /> }
                .into_any();
        }
        view! {
            <Screen
                title=text::TITLE
                is_full=true
                footing=Footing::Follows
                foot=Box::new(move || {
                    view! {
                        <Show
                            when=move || ticks.any()
                            fallback=move || {
                                view! {
                                    <p class="foot-ask">{text::NO_SIGN}</p>
                                    <PainScale
                                        label=text::PAIN_AT_REST.to_owned()
                                        chosen=Signal::stored(None)
                                        on_rate=rate
                                    />
                                }
                            }
                        >
                            <TellSigns ticks told />
                        </Show>
                        <a href="./" class="button quiet" aria-label=BACK_TO_TODAY>{text::BACK}</a>
                    }
                        .into_any()
                })
            >
                <SignList ticks />
                <WorkedChoice worked />

            </Screen>
        }
        .into_any()
    }
}

/// Pain is high before anything was done: the app says so and asks, and forbids nothing.
#[component]
fn High(words: String, on_go_on: Callback<()>) -> impl IntoView {
    view! {
        <Screen
            title=standing::HIGH_TITLE
            above=text::BEFORE_YOU_START
            foot=Box::new(move || {
                view! {
                    <a href="./" class="button main">{standing::NOT_TODAY}</a>
                    <button type="button" class="button quiet" on:click=move |_| on_go_on.run(())>
                        {standing::GO_ON_ALL_THE_SAME}
                    </button>
                }
                .into_any()
            })
        >
            <p class="lead">{words}</p>
            <p class="soft">{standing::high_advice(&who(&use_log().history_untracked()))}</p>
            <RingLine />
        </Screen>
    }
}

/// The warning signs, each to be ticked; those of an injury first, where one may just have happened.
#[component]
pub fn SignList(ticks: Ticks, #[prop(optional)] injury_first: bool) -> impl IntoView {
    let mut signs = WarningSign::ALL;
    if injury_first {
        let is_other = |sign: &WarningSign| {
            !matches!(sign, WarningSign::InjuryOrNoWeight | WarningSign::StuckJoint)
        };
        signs.sort_by_key(is_other);
    }
    let item = move |sign: WarningSign| {
        view! {
            <label class="sign">
                <input type="checkbox" prop:checked=move || ticks.has(sign) on:change=move |_| ticks.toggle(sign) />
                <span>{ask(sign)}</span>
            </label>
        }
    };
    view! { <div class="signs" role="group" aria-label=text::WARNING_SIGNS>{signs.map(item)}</div> }
}

/// Shows what to do about the signs that were ticked.
#[component]
pub fn TellSigns(ticks: Ticks, told: RwSignal<Vec<WarningSign>>) -> impl IntoView {
    let tell = move |_| {
        ticks.log.tell_verdicts();
        told.set(ticks.signs());
    };
    view! {
        <p class="foot-ask">{move || ticks.in_short()}</p>
        <button type="button" class="button main" on:click=tell>{text::WHAT_TO_DO}</button>
    }
}

/// The care that the ticked signs call for. For as long as a stop can be taken back, so can they.
#[component]
pub fn CareAdvice(ticks: Ticks, told: RwSignal<Vec<WarningSign>>) -> impl IntoView {
    let mut signs = told.get_untracked();
    let just_told = RwSignal::new(true);
    let over = set_timeout_with_handle(move || just_told.set(false), TAKE_BACK_WITHIN);
    on_cleanup(move || {
        if let Ok(over) = over {
            over.clear();
        }
    });
    let take_back = move |_| {
        ticks.take_back();
        told.set(Vec::new());
    };
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
            title=text::STOP_HERE
            above=text::TICKED_A_SIGN
            foot=Box::new(move || {
                view! {
                    <Show when=move || just_told.get()>
                        <button type="button" class="button quiet" on:click=take_back>
                            {standing::take_back_sign(TAKE_BACK_WITHIN)}
                        </button>
                    </Show>
                    <a href="./" class="button main">{BACK_TO_TODAY}</a>
                }
                    .into_any()
            })
        >
            {advice.collect_view()}
            <p>{NOT_A_DIAGNOSIS}</p>
            <RingLine />
            <p class="soft">
                {text::ALL_ON_HOLD}
            </p>
        </Screen>
    }
}

/// Optional: how hard the joint has worked today already.
#[component]
fn WorkedChoice(worked: RwSignal<Option<WorkedToday>>) -> impl IntoView {
    let choice = move |value: WorkedToday| {
        let is_chosen = move || worked.get() == Some(value);
        let choose = move |_| worked.set(if is_chosen() { None } else { Some(value) });
        view! {
            <button type="button" class="chip" aria-pressed=move || is_chosen().to_string() on:click=choose>
                {text::worked(value)}
            </button>
        }
    };
    let choices = [WorkedToday::Light, WorkedToday::AsUsual, WorkedToday::Heavy];
    view! {
        <div role="group" aria-label=text::HOW_HARD_IT_WORKED>
            <p class="small soft">{text::WORK_TODAY}</p>
            <div class="chips">{choices.map(choice)}</div>
        </div>
    }
}
