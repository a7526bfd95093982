//! The routine on paper, for the fridge door: one page for up to six exercises. What is done, and how far
//! up, is set large; how each movement goes has room beside a few exercises only, and else stays in the app.

use std::collections::BTreeMap;

use leptos::portal::Portal;
use leptos::prelude::*;

use super::figure::{Figure, Gallery, Shown};
use super::ladder::LadderDrawing;
use super::rule_table::RuleGrid;
use crate::domain::log::warning::{Care, WarningSign};
use crate::domain::plan::ladder::Foothold;
use crate::domain::plan::limits::{Limits, Preset};
use crate::domain::plan::routine::{Exercise, Routine};
use crate::domain::words::{Id, Words};
use crate::platform::paper;
use crate::ui::text::components::{fridge_sheet as text, ladder, routine_page, rule_table};
use crate::ui::text::{dose, verdict, warning};

/// A page has room for the figures of so many exercises.
const DRAWN: usize = 4;
const SHEET: &str = "fridge-sheet";
/// The height of an A4 page (ISO 216) less its margins in `print.css`, in millimetres, and less what
/// lines set for paper can be taller than on a screen.
const ROOM: f64 = 297.0 - 2.0 * 9.0 - 4.0;

/// A button that prints the sheet, and nothing else of the page it stands on.
#[component]
pub fn PrintFridgeSheet(
    routine: Routine,
    /// Where the client stands, or will once this version is taken on, as far as the log is known here.
    stands: BTreeMap<Id, Foothold>,
    /// What is on loan to this client.
    #[prop(optional)]
    lent: Vec<Words>,
) -> impl IntoView {
    // They have to be there when it is printed.
    if let Some(gallery) = use_context::<Gallery>() {
        gallery.fetch();
    }
    let wanted = RwSignal::new(false);
    let content = StoredValue::new((routine, stands, lent));
    let print = move |_| {
        wanted.set(true);
        request_animation_frame(|| {
            paper::fit(SHEET, ROOM);
            paper::print();
        });
    };
    view! {
        <button type="button" class="button" on:click=print>
            {text::PRINT}
        </button>
        <Show when=move || wanted.get()>
            <Portal>
                {move || content.with_value(|(routine, stands, lent)| {
                    view! { <FridgeSheet routine=routine.clone() stands=stands.clone() lent=lent.clone() /> }
                })}
            </Portal>
        </Show>
    }
}

/// The sheet itself. It takes no room on the screen.
#[component]
pub fn FridgeSheet(
    routine: Routine,
    stands: BTreeMap<Id, Foothold>,
    lent: Vec<Words>,
) -> impl IntoView {
    let about = [
        routine.client.as_ref().map(text::made_for),
        routine.practitioner.as_ref().map(text::made_by),
        Some(routine_page::version(&routine)),
    ];
    let (who, phone) = (routine.practitioner.clone(), routine.phone.clone());
    let (who, phone) = (who.map(|who| who.to_string()), phone.map(|phone| phone.to_string()));
    let about = about.into_iter().flatten().collect::<Vec<_>>().join(" · ");
    let lent: Vec<String> = lent.iter().map(Words::to_string).collect();
    let few =
        if routine.exercises().len() == 1 { "sheet-exercises one" } else { "sheet-exercises" };
    let drawn = routine.exercises().len() <= DRAWN;
    let exercises = routine.exercises().iter().zip(1_u16..).map(|(exercise, number)| {
        let stands = stands.get(&exercise.id).copied();
        view! { <SheetExercise exercise=exercise.clone() stands number drawn /> }
    });
    let own_rules = routine.exercises().iter().filter_map(|exercise| {
        let limits = exercise.limits.clone()?;
        let (title, lines) = (text::rule_for(&exercise.name), verdict::choices(&limits));
        Some(view! { <SheetRule title limits lines /> })
    });
    let limits = routine.limits.clone();
    let always = verdict::OVERRIDES.map(str::to_owned);
    let lines = verdict::choices(&limits).into_iter().chain(always).collect();
    let care =
        [Care::Emergency, Care::Today, Care::BeforeTraining].map(|care| view! { <Signs care /> });
    view! {
        <div class="fridge-sheet">
            <article id=SHEET>
                <header>
                    <h1>{routine.title.to_string()}</h1>
                    <p>{about}</p>
                </header>
                {(!lent.is_empty()).then(|| view! { <p><strong>{text::ON_LOAN} " "</strong> {dose::list(&lent)}</p> })}
                <Sentences label=text::TAKE_CARE lines=routine.cautions.clone() />
                <div class=few>{exercises.collect_view()}</div>
                <p class="sheet-rest">{text::REST_IN_THE_APP}</p>
                <SheetRule title=rule_table::THE_RULE.to_owned() limits lines />
                {own_rules.collect_view()}
                <section class="sheet-signs">
                    <h2>{text::STOP_AND_GET_HELP}</h2>
                    <ul>{care}</ul>
                    <p>{warning::NOT_A_DIAGNOSIS}</p>
                </section>
                <dl class="sheet-blanks">
                    <div><dt>{text::WHO_TO_CALL}</dt><dd>{who}</dd></div>
                    <div><dt>{text::PHONE}</dt><dd>{phone}</dd></div>
                    <div><dt>{text::NEXT_VISIT}</dt><dd></dd></div>
                </dl>
            </article>
        </div>
    }
}

#[component]
fn SheetExercise(
    exercise: Exercise,
    /// Where the client stands, where that is known.
    stands: Option<Foothold>,
    number: u16,
    drawn: bool,
) -> impl IntoView {
    let start = Foothold::on(exercise.ladder.start());
    let here = stands.unwrap_or(start);
    let says = if here == start { ladder::START_HERE } else { ladder::HERE };
    let steps = exercise.steps_on(here.rung).iter();
    let steps = steps.map(|step| view! { <li>{step.to_string()}</li> }).collect_view();
    view! {
        <section>
            <h2>{routine_page::numbered(number, &exercise.name)}</h2>
            <p class="sheet-dose"><strong>{dose::whole(&here.dose(&exercise.dose, &exercise.ladder))}</strong>", "{dose::how_often(&exercise.dose)}</p>
            {drawn.then(|| view! { <Figure exercise=exercise.clone() rung=here.rung shown=Shown::BothEnds /> })}
            <ol class="sheet-steps">{steps}</ol>
            <Sentences label=text::TAKE_CARE lines=exercise.cautions.clone() />
            <LadderDrawing exercise=exercise.clone() here says />
        </section>
    }
}

#[component]
fn SheetRule(title: String, limits: Limits, lines: Vec<String>) -> impl IntoView {
    let lines = lines.into_iter().map(|line| view! { <li>{line}</li> });
    view! {
        <section class="sheet-rule">
            <header>
                <h2>{rule_table::titled(&title, Preset::of(&limits.table))}</h2>
                <p>{text::HOW_TO_READ_THE_RULE}</p>
            </header>
            <RuleGrid table=limits.table.clone() />
            <ul class="sheet-lines">{lines.collect_view()}</ul>
        </section>
    }
}

/// The signs that call for one kind of care, after what to do.
#[component]
fn Signs(care: Care) -> impl IntoView {
    let signs: Vec<WarningSign> =
        WarningSign::ALL.into_iter().filter(|sign| sign.care() == care).collect();
    let what = signs.first().map(|sign| warning::care(*sign));
    let signs: Vec<&str> = signs.iter().map(|sign| warning::ask(*sign)).collect();
    view! { <li>{signs.join(". ")} ": " <strong>{what}</strong></li> }
}

/// Lines that stand beside each other, since paper has less room than a screen.
#[component]
fn Sentences(label: &'static str, lines: Vec<Words>) -> impl IntoView {
    (!lines.is_empty()).then(|| {
        let lines: Vec<&str> = lines.iter().map(Words::as_str).collect();
        view! { <p><strong>{label} " "</strong> {lines.join(" ")}</p> }
    })
}
