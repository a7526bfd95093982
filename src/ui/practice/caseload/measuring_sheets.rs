//! The measuring sheets beside the ladder: how much weight is taken, and how far a band is stretched.

use leptos::prelude::*;

use crate::domain::plan::dose::WeightUnit;
use crate::domain::visit::measure::{Band, LengthUnit, Reading, Stretch, Under, Unloading};
use crate::ui::practice::fields::{Choice, some_words};
use crate::ui::text::measure;
use crate::ui::text::practice::caseload::measuring_sheets as text;
use crate::ui::text::refusals::InWords;

#[component]
pub fn MeasureHelp() -> impl IntoView {
    view! {
        <details class="card">
            <summary>{text::MEASURE_HELP}</summary>
            <ScaleSheet />
        </details>
        <details class="card">
            <summary>{text::MEASURE_BAND}</summary>
            <BandSheet />
        </details>
    }
}

/// A number as it is typed.
#[component]
fn ReadingField(#[prop(into)] label: Signal<String>, typed: RwSignal<String>) -> impl IntoView {
    view! {
        <label class="field">
            <span class="small soft">{label}</span>
            <input
                type="text"
                inputmode="decimal"
                autocomplete="off"
                class="num"
                prop:value=typed
                on:input=move |event| typed.set(event_target_value(&event))
            />
        </label>
    }
}

/// Both readings, once there is something in both fields.
fn readings(
    first: RwSignal<String>,
    second: RwSignal<String>,
) -> Option<Result<(Reading, Reading), String>> {
    let (first, second) = (first.get(), second.get());
    if first.trim().is_empty() || second.trim().is_empty() {
        return None;
    }
    let read = |typed: &str| Reading::read(typed).map_err(|wrong| wrong.in_words());
    Some(read(&first).and_then(|first| Ok((first, read(&second)?))))
}

#[component]
fn ScaleSheet() -> impl IntoView {
    let unit = RwSignal::new(Some(WeightUnit::Kg));
    let under = RwSignal::new(Some(Under::Feet));
    let (body, shown) = (RwSignal::new(String::new()), RwSignal::new(String::new()));
    let units =
        [WeightUnit::Kg, WeightUnit::Lb].map(|unit| (unit, measure::weight_unit(unit))).to_vec();
    let places = [Under::Feet, Under::Hands].map(|place| (place, text::place(place))).to_vec();
    let said = move || {
        let read = readings(body, shown)?;
        let (unit, under) = (unit.get()?, under.get()?);
        let sheet = read.and_then(|(body, shown)| {
            Unloading::new(unit, body, shown, under).map_err(|wrong| wrong.in_words())
        });
        Some(match sheet {
            Ok(sheet) => {
                view! { <p class="num"><strong>{measure::unloading(&sheet)} "."</strong></p> }
                    .into_any()
            }
            Err(wrong) => view! { <p class="refusal">{text::not_read(&wrong)}</p> }.into_any(),
        })
    };
    view! {
        <div class="stack">
            <p class="small soft">{measure::STANDING_STILL_ONLY}</p>
            <Choice label=text::UNIT options=units value=unit on_change=Callback::new(move |to| unit.set(Some(to))) />
            <Choice label=text::WHERE_SCALE_IS options=places value=under on_change=Callback::new(move |to| under.set(Some(to))) />
            <div class="numbers">
                <ReadingField label=text::BODY.to_owned() typed=body />
                <ReadingField label=text::WITH_HELP.to_owned() typed=shown />
            </div>
            <div role="status">{said}</div>
        </div>
    }
}

#[component]
fn BandSheet() -> impl IntoView {
    let unit = RwSignal::new(Some(LengthUnit::Cm));
    let (level, resting, stretched) =
        (RwSignal::new(String::new()), RwSignal::new(String::new()), RwSignal::new(String::new()));
    let units =
        [LengthUnit::Cm, LengthUnit::Inch].map(|unit| (unit, measure::length_unit(unit))).to_vec();
    let said = move || {
        let read = readings(resting, stretched)?;
        let (unit, level) = (unit.get()?, level.get());
        let level = if level.trim().is_empty() { text::THE_BAND.to_owned() } else { level };
        let band = read.and_then(|(resting, stretched)| {
            Band::new(some_words(&level)?, unit, resting, stretched)
                .map_err(|wrong| wrong.in_words())
        });
        Some(match band {
            Ok(band) => {
                let class = if band.stretch() == Stretch::Beyond { "problem" } else { "small" };
                view! {
                    <p class="num"><strong>{measure::band(&band)} "."</strong></p>
                    {measure::stretch(&band).map(|warning| view! { <p class=class>{warning}</p> })}
                }
                .into_any()
            }
            Err(wrong) => view! { <p class="refusal">{text::not_read(&wrong)}</p> }.into_any(),
        })
    };
    view! {
        <div class="stack">
            <p class="small soft">{measure::NO_NEWTONS}</p>
            <label class="field">
                <span class="small soft">{text::WHICH_BAND}</span>
                <input
                    type="text"
                    autocomplete="off"
                    prop:value=level
                    on:input=move |event| level.set(event_target_value(&event))
                />
            </label>
            <Choice label=text::UNIT options=units value=unit on_change=Callback::new(move |to| unit.set(Some(to))) />
            <div class="numbers">
                <ReadingField label=text::AT_REST.to_owned() typed=resting />
                <ReadingField label=text::STRETCHED.to_owned() typed=stretched />
            </div>
            <div role="status">{said}</div>
        </div>
    }
}
