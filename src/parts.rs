//! Which function of the client's page is in which part of it. `.ci/split.mjs` cuts the page along these
//! lines.

use carryover::ui::client::before_session::BeforeSession;
use carryover::ui::client::cues::Cues;
use carryover::ui::client::exercise::ExerciseScreen;
use carryover::ui::client::first_link::FirstLink;
use carryover::ui::client::hand_back::HandBack;
use carryover::ui::client::help::Help;
use carryover::ui::client::log;
use carryover::ui::client::morning::MorningCheck;
use carryover::ui::client::offered_again::OfferedAgain;
use carryover::ui::client::parts::{Open, Parts, Screen};
use carryover::ui::client::ratings::Ratings;
use carryover::ui::client::reminder::Reminder;
use carryover::ui::client::routes::ClientRoutes;
use carryover::ui::client::routine::MyRoutine;
use carryover::ui::client::safe_keeping::SafeKeeping;
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
    figures: later!(figures, figures -> figure::Open, figure::drawn::open),
    first_link: later!(first, first_link -> Show, || view! { <FirstLink /> }.into_any()),
    screen,
};

/// Those that need all of the log at hand stand inside `WholeLog`.
fn screen(screen: Screen) -> fn() -> Coming<Show> {
    match screen {
        Screen::Today => later!(today, today -> Show, || view! { <TodayScreen /> }.into_any()),
        Screen::BeforeSession => {
            later!(training, before_session -> Show, || view! { <BeforeSession /> }.into_any())
        }
        Screen::Session => later!(training, session -> Show, || view! { <Session /> }.into_any()),
        Screen::Morning => later!(more, morning -> Show, || view! { <MorningCheck /> }.into_any()),
        Screen::Ratings => later!(more, ratings -> Show, || view! { <Ratings /> }.into_any()),
        Screen::Exercise => {
            later!(more, exercise -> Show, || view! { <ExerciseScreen /> }.into_any())
        }
        Screen::Help => later!(more, help -> Show, || view! { <Help /> }.into_any()),
        Screen::Cues => later!(training, cues -> Show, || view! { <Cues /> }.into_any()),
        Screen::Welcome => later!(opening, welcome -> Show, || view! { <Welcome /> }.into_any()),
        Screen::Take => {
            later!(opening, take -> Show, || view! { <WholeLog><Take /></WholeLog> }.into_any())
        }
        Screen::Scan => later!(camera, scan -> Show, || view! { <Scanning /> }.into_any()),
        Screen::OfferedAgain => {
            later!(revision, offered_again -> Show, || view! { <OfferedAgain /> }.into_any())
        }
        Screen::Routine => {
            later!(more, routine -> Show, || view! { <WholeLog><MyRoutine /></WholeLog> }.into_any())
        }
        Screen::HandBack => {
            later!(more, hand_back -> Show, || view! { <WholeLog><HandBack /></WholeLog> }.into_any())
        }
        Screen::SafeKeeping => {
            later!(more, safe_keeping -> Show, || {
                view! { <WholeLog><SafeKeeping /></WholeLog> }.into_any()
            })
        }
        Screen::Reminder => later!(more, reminder -> Show, || view! { <Reminder /> }.into_any()),
    }
}
