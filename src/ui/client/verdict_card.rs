//! One light with its reasons, the practitioner's limit beside each, and what happens next.

use chrono::NaiveDate;
use leptos::prelude::*;

use crate::domain::course::{Course, Judged};
use crate::ui::components::light::LightTitle;
use crate::ui::text::{capitalised, dates, verdict};

#[component]
pub fn VerdictCard(judged: Judged, course: Course, today: NaiveDate, who: String) -> impl IntoView {
    let limits = course.limits();
    let light = judged.verdict.order.light();
    let rows = judged.verdict.reasons.iter().map(|reason| {
        let row = verdict::reason(reason, limits);
        view! {
            <tr>
                <th scope="row">{row.what}</th>
                <td>{row.value}</td>
                <td class="soft">{row.beside}</td>
            </tr>
        }
    });
    view! {
        <section class="card verdict stack">
            <h2>{course.exercise().name.to_string()}</h2>
            <LightTitle light />
            <p><strong>{verdict::next(&judged, &course, today, &who)}</strong></p>
            {course
                .ready_for_next_step()
                .then(|| view! { <p>{format!("Ready to talk with {who} about the next step.")}</p> })}
            <table class="num">
                <caption class="small soft">{format!("Why, for {}", dates::day(judged.day))}</caption>
                <tbody>{rows.collect_view()}</tbody>
            </table>
            <p class="small soft">{verdict::limits_set(limits, &capitalised(&who))}</p>
        </section>
    }
}
