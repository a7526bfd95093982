//! What the practitioner answered, each after the client's own words.

use leptos::prelude::*;

use crate::domain::plan::routine::Answer;
use crate::ui::text::components::answers as text;

#[component]
pub fn Answers(answers: Vec<Answer>, #[prop(into)] title: String) -> impl IntoView {
    let answer = |answer: Answer| {
        view! {
            <li class="stack">
                <blockquote class="asked">
                    <span class="soft small block">{text::written_on(answer.asked)}</span>
                    <span class="note">{answer.question.to_string()}</span>
                </blockquote>
                <p class="note answer">{answer.answer.to_string()}</p>
            </li>
        }
    };
    (!answers.is_empty()).then(|| {
        view! {
            <section class="card chalk stack">
                <h2>{title}</h2>
                <ul class="bare stack">{answers.into_iter().map(answer).collect_view()}</ul>
            </section>
        }
    })
}
