//! Which rows of the published reporting template the routine answers: a help with the notes, never a gate.

use leptos::prelude::*;

use crate::domain::plan::completeness::read;
use crate::domain::plan::draft::Draft;
use crate::domain::plan::routine::Version;
use crate::domain::words::Id;
use crate::platform::clock;
use crate::ui::text::completeness;

#[component]
pub fn Completeness(client: Id, draft: Memo<Draft>) -> impl IntoView {
    let answers = Memo::new(move |_| {
        let today = clock::now().date_naive();
        let routine =
            draft.with(|draft| draft.routine(client.clone(), Version::LEAST, None, today));
        routine.ok().map(|routine| read(&routine))
    });
    let rows = move || {
        answers.get().into_iter().flatten().map(|(row, answer)| {
            view! {
                <tr>
                    <th scope="row">{row.number()} ". " {completeness::row(row)}</th>
                    <td data-label=completeness::mark(&answer)>{completeness::answer(&answer)}</td>
                </tr>
            }
        })
        .collect_view()
    };
    view! {
        <Show when=move || answers.with(Option::is_some)>
            <details class="card">
                <summary>
                    {move || answers.with(|answers| answers.as_ref().map(|answers| completeness::tally(answers)))}
                </summary>
                <div class="stack">
                    <p class="small soft">{completeness::WHAT_IT_IS}</p>
                    <table class="stacked small">
                        <tbody>{rows}</tbody>
                    </table>
                </div>
            </details>
        </Show>
    }
}
