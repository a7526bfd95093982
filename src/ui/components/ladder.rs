//! The ladder, drawn as a ladder: the rung one stands on, and the ceiling as a dashed line.

use leptos::prelude::*;

use crate::domain::plan::ladder::Foothold;
use crate::domain::plan::routine::Exercise;
use crate::ui::text::components::ladder as text;

/// Rungs from least help at the top to most help at the bottom. The words stand beside the drawing as a list.
#[component]
pub fn LadderDrawing(
    exercise: Exercise,
    /// Where the client stands.
    here: Foothold,
    /// What to say at that rung.
    #[prop(default = text::HERE)]
    says: &'static str,
) -> impl IntoView {
    let ladder = &exercise.ladder;
    let ceiling = ladder.ceiling().get();
    let rungs: Vec<_> = (1_u16..).zip(ladder.rungs()).collect();
    let items = rungs.into_iter().rev().map(|(number, rung)| {
        let is_here = number == here.rung.get();
        let class = if is_here { "rung here" } else { "rung" };
        let fewer = (is_here && 0 < here.fewer_sets).then(|| text::fewer(here.fewer_sets));
        let load = exercise.load_not_named(rung).map(|load| text::loaded(&load));
        view! {
            <li class=class class:ceiling=number == ceiling aria-current=is_here.then_some("step")>
                <span class="rung-words">
                    {rung.help.to_string()} {load} {fewer}
                    {is_here.then(|| view! { <strong>" · " {says}</strong> })}
                    {(ceiling < number).then(|| view! { <small>" " {text::AFTER_A_VISIT}</small> })}
                </span>
            </li>
        }
    });
    view! { <ol class="ladder" reversed=true>{items.collect_view()}</ol> }
}
