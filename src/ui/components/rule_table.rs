//! The rule as a table, the same for both people.

use leptos::prelude::*;

use super::light::LightShape;
use crate::domain::plan::limits::{Limits, Preset, Settling, Table, Zone};
use crate::ui::text::verdict;

#[component]
pub fn RuleTable(limits: Limits) -> impl IntoView {
    let choices = verdict::choices(&limits).into_iter().map(|line| view! { <li>{line}</li> });
    let overrides = verdict::OVERRIDES.map(|line| view! { <li>{line}</li> });
    view! {
        <section class="rule">
            <h2>"The rule: " {verdict::preset(Preset::of(&limits.table))}</h2>
            <RuleGrid table=limits.table.clone() />
            <p class="small soft">"The next morning is held against a usual one."</p>
            <ul class="plain-list">{choices.collect_view()}</ul>
            <h3>"Always"</h3>
            <ul class="plain-list">{overrides}</ul>
            <p class="small soft">
                "These rules are a habit of the trade with a long use, not a tested measure. Your practitioner's word comes first."
            </p>
        </section>
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
                <td class=verdict::light(cell.light()).to_ascii_lowercase() data-label=verdict::settling(column)>
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
                    <th scope="col">"Pain during"</th>
                    {heads}
                </tr>
            </thead>
            <tbody>{rows}</tbody>
        </table>
    }
}
