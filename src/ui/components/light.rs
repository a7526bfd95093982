//! The three lights, each with a shape and a word of its own: never colour alone.

use leptos::prelude::*;

use crate::domain::plan::limits::Light;
use crate::ui::text::verdict;

const fn class(light: Light) -> &'static str {
    match light {
        Light::Keep => "light keep",
        Light::Ease => "light ease",
        Light::Hold => "light hold",
    }
}

/// The shape alone: a circle, a triangle, a square with a bar.
#[component]
pub fn LightShape(light: Light) -> impl IntoView {
    let shape = match light {
        Light::Keep => view! { <circle cx="12" cy="12" r="9" fill="currentColor" /> }.into_any(),
        Light::Ease => view! { <path d="M12 2.5 22.5 21h-21z" fill="currentColor" /> }.into_any(),
        Light::Hold => view! {
            <path d="M3 3h18v18H3z" fill="currentColor" />
            <path class="bar" d="M7 12h10" />
        }
        .into_any(),
    };
    view! { <svg class="shape" viewBox="0 0 24 24" aria-hidden="true">{shape}</svg> }
}

/// A light as a small label.
#[component]
pub fn LightMark(light: Light) -> impl IntoView {
    view! {
        <span class=class(light)>
            <LightShape light />
            {verdict::light(light)}
        </span>
    }
}

/// What each of the three means, in a line.
#[component]
pub fn ThreeLights() -> impl IntoView {
    let lights = verdict::IN_THREE_LINES.map(|(light, says)| {
        view! {
            <li>
                <LightMark light />
                " "
                {says}
            </li>
        }
    });
    view! { <ul class="bare three-lights">{lights}</ul> }
}

/// A light as the heading of its own page.
#[component]
pub fn LightTitle(light: Light) -> impl IntoView {
    view! {
        <p class=format!("{} title", class(light))>
            <LightShape light />
            {verdict::light(light)}
        </p>
    }
}
