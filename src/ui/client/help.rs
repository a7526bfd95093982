//! Help: what the app is and is not, and the warning signs with the care that each one calls for.

use leptos::prelude::*;

use crate::domain::log::warning::WarningSign;
use crate::ui::components::light::ThreeLights;
use crate::ui::components::notices::Notices;
use crate::ui::components::screen::Screen;
use crate::ui::text::client::help as text;
use crate::ui::text::guide::{GUIDE, Part};
use crate::ui::text::warning::{NOT_A_DIAGNOSIS, WHAT_IT_IS, ask, care};

#[component]
pub fn Help() -> impl IntoView {
    let signs = WarningSign::ALL.map(|sign| {
        view! {
            <li>
                <strong>{ask(sign)}</strong>
                <span class="block">{care(sign)}</span>
            </li>
        }
    });
    let part = |(title, lines): Part| {
        let lines = lines.iter().map(|line| view! { <li>{*line}</li> }).collect_view();
        view! {
            <h2>{title}</h2>
            <ul class="plain-list">{lines}</ul>
        }
    };
    view! {
        <Screen
            title=text::TITLE
            foot=Box::new(|| view! { <a href="./" class="button main">{text::BACK}</a> }.into_any())
        >
            <h2>{text::STOP_AND_GET_HELP}</h2>
            <ul class="plain-list">{signs}</ul>
            <p>{NOT_A_DIAGNOSIS}</p>
            <p class="small soft">
                {text::NOT_FOR_USE_ALONE}
            </p>
            {GUIDE.map(part)}
            <h2>{text::THE_LIGHTS}</h2>
            <ThreeLights />
            <h2>{text::WHAT_THIS_APP_IS}</h2>
            <ul class="plain-list">{WHAT_IT_IS.map(|line| view! { <li>{line}</li> })}</ul>
            <Notices />
        </Screen>
    }
}
