//! What a client asks for, on the row of the caseload: in words and with a shape.

use leptos::prelude::*;

use crate::domain::plan::limits::Light;
use crate::domain::visit::glance::Ask;
use crate::domain::visit::talking::Urgency;
use crate::domain::visit::worst_first::Case;
use crate::ui::components::light::LightShape;
use crate::ui::text::glance;

#[component]
pub fn GlanceLine(case: Case) -> impl IntoView {
    let (is_to_act_on, asks) = (case.is_to_act_on(), case.asks);
    let urgency = asks.first().map_or(Urgency::None, Ask::urgency);
    let (class, shape) = match urgency {
        Urgency::MayHarm => ("hold", view! { <LightShape light=Light::Hold /> }.into_any()),
        Urgency::Hinders => ("ease", view! { <LightShape light=Light::Ease /> }.into_any()),
        Urgency::NextStep => ("keep", drawn("M4 20h5v-7h6v-7h5")),
        Urgency::None => ("soft", drawn("M6 12h12")),
    };
    view! {
        <span class="small glance" class:soft=!is_to_act_on class:to-act-on=is_to_act_on>
            <span class=format!("strip-day {class}")>{shape}</span>
            {glance::line(&asks)}
        </span>
    }
}

fn drawn(path: &'static str) -> AnyView {
    view! {
        <svg class="shape drawn" viewBox="0 0 24 24" aria-hidden="true">
            <path d=path />
        </svg>
    }
    .into_any()
}
