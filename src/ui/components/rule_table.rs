//! The rule as a table, the same for both people.

use leptos::prelude::*;

use super::light::LightShape;
use crate::domain::plan::limits::{Light, Limits, Preset, Settling, Table, Zone};
use crate::ui::text::components::rule_table as text;
use crate::ui::text::verdict;

#[component]
pub fn RuleTable(limits: Limits) -> impl IntoView {
    let choices = verdict::choices(&limits).into_iter().map(|line| view! { <li>{line}</li> });
    let overrides = verdict::OVERRIDES.map(|line| view! { <li>{line}</li> });
    view! {
        <section class="rule">
            <h2>{text::titled(text::THE_RULE, Preset::of(&limits.table))}</h2>
            <RuleGrid table=limits.table.clone() />
            <p class="small soft">{text::AGAINST_A_USUAL_MORNING}</p>
            <ul class="plain-list">{choices.collect_view()}</ul>
            <h3>{text::ALWAYS}</h3>
            <ul class="plain-list">{overrides}</ul>
            <p class="small soft">
                {text::A_HABIT_NOT_A_MEASURE}
            </p>
        </section>
    }
}

const fn class(light: Light) -> &'static str {
    match light {
        Light::Keep => "keep",
        Light::Ease => "ease",
        Light::Hold => "hold",
    }
}

/// The cells alone, each with its light.
#[component]
pub fn RuleGrid(table: Table) -> impl IntoView {
    let heads =
        Settling::ALL.map(|column| view! { <th scope="col">{verdict::settling(column)}</th> });
    let rows = Zone::ALL.map(|zone| {
        let cells = Settling::ALL.map(|column| {
            let cell = table.cell(zone, column);
            view! {
                <td class=class(cell.light()) data-label=verdict::settling(column)>
                    <span>
                        <LightShape light=cell.light() />
                        {verdict::cell(cell)}
                    </span>
                </td>
            }
        });
        view! {
            <tr>
                <th scope="row">
                    {verdict::zone(zone)} ": " {verdict::zone_range(&table, zone)}
                </th>
                {cells}
            </tr>
        }
    });
    view! {
        <table class="stacked">
            <thead>
                <tr>
                    <th scope="col">{text::PAIN_DURING}</th>
                    {heads}
                </tr>
            </thead>
            <tbody>{rows}</tbody>
        </table>
    }
}
