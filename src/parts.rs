//! Which function of the client's page is in which part of it. `.ci/split.mjs` cuts the page along these
//! lines.

use carryover::ui::client::check::Check;
use carryover::ui::client::cues::Cues;
use carryover::ui::client::exercise::ExerciseScreen;
use carryover::ui::client::first_link::FirstLink;
use carryover::ui::client::hand_back::HandBack;
use carryover::ui::client::help::Help;
use carryover::ui::client::keep::Keep;
use carryover::ui::client::log;
use carryover::ui::client::morning::MorningCheck;
use carryover::ui::client::offered_again::OfferedAgain;
use carryover::ui::client::parts::{Open, Parts};
use carryover::ui::client::ratings::Ratings;
use carryover::ui::client::reminder::Reminder;
use carryover::ui::client::routes::ClientRoutes;
use carryover::ui::client::routine::MyRoutine;
use carryover::ui::client::scan::Scanning;
use carryover::ui::client::session::Session;
use carryover::ui::client::take::Take;
use carryover::ui::client::today::TodayScreen;
use carryover::ui::client::welcome::Welcome;
use carryover::ui::components::figure;
use carryover::ui::components::later::{Coming, NotArrived, Show};
use carryover::ui::components::whole_log::WholeLog;
use leptos::prelude::*;
use leptos::wasm_split::{SplitLoaderError, wasm_split};

/// One function of a part, as something that comes: `asked` from `part`, which gives `what`.
macro_rules! later {
    ($part:ident, $asked:ident -> $what:ty, $given:expr) => {{
        #[wasm_split($part, wasm_split_path = leptos::wasm_split, fallible)]
        fn $asked() -> Result<$what, SplitLoaderError> {
            Ok($given)
        }
        || -> Coming<$what> {
            Box::pin(async { $asked().await.map_err(|SplitLoaderError { .. }| NotArrived) })
        }
    }};
}

pub const PARTS: Parts = Parts {
    log: later!(log, open_log -> Open, log::open),
    routes: later!(routes, routes -> Show, || view! { <ClientRoutes /> }.into_any()),
    welcome: later!(opening, welcome -> Show, || view! { <Welcome /> }.into_any()),
    figures: later!(figures, figures -> figure::Open, figure::drawn::open),
    first_link: later!(first, first_link -> Show, || view! { <FirstLink /> }.into_any()),
    take: later!(opening, take -> Show, || view! { <WholeLog><Take /></WholeLog> }.into_any()),
    scan: later!(camera, scan -> Show, || view! { <Scanning /> }.into_any()),
    offered_again: later!(revision, offered_again -> Show, || view! { <OfferedAgain /> }.into_any()),
    today: later!(today, today -> Show, || view! { <TodayScreen /> }.into_any()),
    check: later!(training, check -> Show, || view! { <Check /> }.into_any()),
    session: later!(training, session -> Show, || view! { <Session /> }.into_any()),
    cues: later!(training, cues -> Show, || view! { <Cues /> }.into_any()),
    morning: later!(more, morning -> Show, || view! { <MorningCheck /> }.into_any()),
    ratings: later!(more, ratings -> Show, || view! { <Ratings /> }.into_any()),
    exercise: later!(more, exercise -> Show, || view! { <ExerciseScreen /> }.into_any()),
    routine: later!(more, routine -> Show, || view! { <WholeLog><MyRoutine /></WholeLog> }.into_any()),
    hand_back: later!(more, hand_back -> Show, || view! { <WholeLog><HandBack /></WholeLog> }.into_any()),
    keep: later!(more, keep -> Show, || view! { <WholeLog><Keep /></WholeLog> }.into_any()),
    reminder: later!(more, reminder -> Show, || view! { <Reminder /> }.into_any()),
    help: later!(more, help -> Show, || view! { <Help /> }.into_any()),
};
