//! The rule of a routine: presets, limits, every cell, sites and what follows, beside the table the client sees.

use leptos::prelude::*;
use leptos_router::components::A;

use super::dose::number_into;
use crate::domain::pain::PainRating;
use crate::domain::plan::ladder::OnLowestRung;
use crate::domain::plan::limits::{
    AfterBreak, AfterMiddleSet, BreakDays, Cell, DaysInARow, Limits, MayStepUp, Preset, RestDays,
    Settling, Site, SiteCounts, Table, Zone,
};
use crate::domain::tried::doubts::doubts;
use crate::domain::words::Id;
use crate::platform::address::at;
use crate::platform::focus;
use crate::ui::components::rule_table::RuleTable;
use crate::ui::practice::fields::{
    AddLine, Choice, Number, Select, Taken, TextLine, as_text, maybe_words, some_words,
};
use crate::ui::practice::live_caseload::use_caseload;
use crate::ui::practice::page::{Page, about_client, address};
use crate::ui::practice::tried::kinds::OnKinds;
use crate::ui::practice::tried::on_log::{OnLog, log_of};
use crate::ui::practice::tried::trial::Trial;
use crate::ui::text::practice::build::{routine as routine_text, rule as text};
use crate::ui::text::practice::fields as fields_text;
use crate::ui::text::practice::tried::{kinds as kinds_text, on_log as on_log_text};
use crate::ui::text::refusals::InWords;
use crate::ui::text::{standing, tried as tried_text, verdict};

const COUNTS: [SiteCounts; 3] =
    [SiteCounts::AsRated, SiteCounts::OneZoneWorse, SiteCounts::NotedOnly];
const STEP_UPS: [MayStepUp; 3] = [MayStepUp::Nothing, MayStepUp::WinBack, MayStepUp::ToTheCeiling];
const LOWEST: [OnLowestRung; 2] = [OnLowestRung::OneSetFewer, OnLowestRung::Hold];
const MIDDLE: [AfterMiddleSet; 2] = [AfterMiddleSet::Same, AfterMiddleSet::OneRungDown];
const BREAKS: [AfterBreak; 3] = [AfterBreak::OneRungLower, AfterBreak::Same, AfterBreak::WaitForMe];
/// The most sites that a client is asked to choose from.
const MOST_SITES: usize = 6;
/// The id of the title above them.
const SITES: &str = "sites";

#[component]
pub fn RuleEditor() -> impl IntoView {
    about_client(|id| view! { <Editing id /> })
}

/// The limits of a client's draft, or of a trial, read and changed.
#[derive(Clone, Copy)]
pub struct Rule {
    pub limits: Memo<Limits>,
    pub change: Callback<Limits>,
}

impl Rule {
    fn change(self, change: impl FnOnce(&mut Limits)) {
        let mut limits = self.limits.get_untracked();
        change(&mut limits);
        self.change.run(limits);
    }

    /// Takes a table only where it is one: no worse input with a milder verdict.
    fn set_table(self, low: PainRating, middle: PainRating, rows: [[Cell; 4]; 3]) -> Taken {
        let table = Table::new(low, middle, rows).map_err(|wrong| wrong.in_words())?;
        self.change(|limits| limits.table = table);
        Ok(())
    }

    fn rows(self) -> [[Cell; 4]; 3] {
        self.limits.with_untracked(|limits| {
            Zone::ALL.map(|zone| Settling::ALL.map(|settling| limits.table.cell(zone, settling)))
        })
    }

    fn ends(self) -> (PainRating, PainRating) {
        self.limits.with_untracked(|limits| (limits.table.low_max(), limits.table.middle_max()))
    }
}

#[component]
fn Editing(id: Id) -> impl IntoView {
    let caseload = use_caseload();
    let (of, to) = (id.clone(), id.clone());
    let rule = Rule {
        limits: Memo::new(move |_| caseload.draft(&of).limits),
        change: Callback::new(move |limits| {
            caseload.change_draft(&to, |draft| draft.limits = limits);
        }),
    };
    let client = StoredValue::new(id.clone());
    let done = address(&id, "routine");
    let foot = move || {
        view! { <A href=at(&done) attr:class="button main">{routine_text::DONE}</A> }.into_any()
    };
    view! {
        <Page title=text::TITLE.to_owned() back=address(&id, "routine") back_to=routine_text::BACK_TO_ROUTINE foot=Box::new(foot)>
            <TableFields rule />
            <Follows rule />
            <Sites rule />
            <Joint client=client.get_value() />
            <section class="card">
                <p class="small soft">{text::AS_THE_CLIENT_SEES_IT}</p>
                {move || view! { <RuleTable limits=rule.limits.get() /> }}
            </section>
            <Trials rule client=id />
        </Page>
    }
}

/// What the limits of the draft would have said of the client's own days, and what they do to others.
#[component]
fn Trials(rule: Rule, client: Id) -> impl IntoView {
    let on_log = log_of(use_caseload(), &client).map(|log| {
        let show = move || view! { <OnLog log=log.clone() limits=rule.limits /> }.into_any();
        view! { <Trial title=on_log_text::TITLE show=Box::new(show) /> }
    });
    let on_kinds = move || view! { <OnKinds limits=rule.limits /> }.into_any();
    view! {
        {on_log}
        <Trial title=kinds_text::TITLE show=Box::new(on_kinds) />
    }
}

#[component]
pub fn TableFields(rule: Rule) -> impl IntoView {
    let presets = Preset::ALL.map(|preset| (preset, verdict::preset(Some(preset)))).to_vec();
    let preset = Signal::derive(move || rule.limits.with(|limits| Preset::of(&limits.table)));
    // Cells of one's own, where a preset has taken their place.
    let own = RwSignal::new(None::<Table>);
    let set_preset = Callback::new(move |preset: Preset| {
        rule.change(|limits| {
            if Preset::of(&limits.table).is_none() {
                own.set(Some(limits.table.clone()));
            }
            limits.table = preset.table();
        });
    });
    let put_back = move |_| {
        if let Some(table) = own.write().take() {
            rule.change(|limits| limits.table = table);
        }
    };
    let end = move |read: fn(&Table) -> PainRating| {
        Signal::derive(move || rule.limits.with(|limits| i64::from(read(&limits.table).points())))
    };
    let rated = |points: i64| PainRating::new(points).map_err(|wrong| wrong.in_words());
    let set_low =
        Callback::new(move |points| rule.set_table(rated(points)?, rule.ends().1, rule.rows()));
    let set_middle =
        Callback::new(move |points| rule.set_table(rule.ends().0, rated(points)?, rule.rows()));
    let doubted = Memo::new(move |_| rule.limits.with(doubts));
    let cell = move |zone: Zone, settling: Settling| {
        let value =
            Signal::derive(move || rule.limits.with(|limits| limits.table.cell(zone, settling)));
        let set = Callback::new(move |cell| {
            let mut rows = rule.rows();
            rows[zone as usize][settling as usize] = cell;
            rule.set_table(rule.ends().0, rule.ends().1, rows)
        });
        let label = text::cell(zone, settling);
        let doubted = move || {
            let said = doubted.read();
            let here = said.iter().filter(|doubt| doubt.at() == (zone, settling));
            let here = here
                .map(|doubt| view! { <p class="small doubted">{tried_text::doubt(*doubt)}</p> });
            here.collect_view()
        };
        let options = Cell::ALL.map(|cell| (cell, verdict::cell(cell))).to_vec();
        view! {
            <td data-label=verdict::settling(settling)>
                <Select label unseen=true options value on_change=set />
                {doubted}
            </td>
        }
    };
    let row = move |zone: Zone| {
        view! {
            <tr>
                <th scope="row">
                    {verdict::zone(zone)} ": "
                    {move || rule.limits.with(|limits| verdict::zone_range(&limits.table, zone))}
                </th>
                {Settling::ALL.map(|settling| cell(zone, settling))}
            </tr>
        }
    };
    view! {
        <section class="stack">
            <Choice label=text::START_FROM options=presets value=preset on_change=set_preset />
            <Show when=move || own.with(Option::is_some) && preset.get().is_some()>
                <button type="button" class="link" on:click=put_back>
                    {text::PUT_OWN_BACK}
                </button>
            </Show>
            <div class="numbers">
                <Number label=text::LOW_UP_TO value=end(Table::low_max) on_change=set_low />
                <Number label=text::MIDDLE_UP_TO value=end(Table::middle_max) on_change=set_middle />
            </div>
            <table class="stacked cells">
                <thead>
                    <tr>
                        <th scope="col">{text::PAIN_DURING}</th>
                        {Settling::ALL.map(|settling| view! { <th scope="col">{verdict::settling(settling)}</th> })}
                    </tr>
                </thead>
                <tbody>{Zone::ALL.map(row)}</tbody>
            </table>
            <p class="small soft">
                {text::NOT_MILDER_WHEN_WORSE}
            </p>
        </section>
    }
}

/// What a light does to the next session, and how a morning is read.
#[component]
pub fn Follows(rule: Rule) -> impl IntoView {
    let read = move |what: fn(&Limits) -> i64| Signal::derive(move || rule.limits.with(what));
    let usual = Signal::derive(move || {
        rule.limits.with(|limits| {
            limits.usual_morning.map_or(String::new(), |usual| usual.points().to_string())
        })
    });
    let set_usual = Callback::new(move |entered: String| {
        let entered = entered.trim();
        let usual = if entered.is_empty() {
            None
        } else {
            let points =
                entered.parse().map_err(|_not_a_number| text::NOT_FROM_0_TO_10.to_owned())?;
            Some(PainRating::new(points).map_err(|wrong| wrong.in_words())?)
        };
        rule.change(|limits| limits.usual_morning = usual);
        Ok(())
    });
    let steps = Signal::derive(move || rule.limits.with(|limits| limits.may_step_up));
    let lowest = Signal::derive(move || rule.limits.with(|limits| Some(limits.on_lowest_rung)));
    let middle = Signal::derive(move || rule.limits.with(|limits| Some(limits.after_middle_set)));
    let after_break = Signal::derive(move || rule.limits.with(|limits| Some(limits.after_break)));
    view! {
        <section class="stack">
            <h2>{text::WHAT_FOLLOWS}</h2>
            <div class="numbers">
                <TextLine label=text::USUAL_MORNING value=usual on_change=set_usual />
                <Number
                    label=text::DAYS_OFF
                    value=read(|limits| limits.rest_days.get().into())
                    on_change=number_into(move |days: RestDays| rule.change(|limits| limits.rest_days = days))
                />
                <Number
                    label=text::GOOD_DAYS
                    value=read(|limits| limits.step_up_after.get().into())
                    on_change=number_into(move |days: DaysInARow| rule.change(|limits| limits.step_up_after = days))
                />
                <Number
                    label=text::BREAK_DAYS
                    value=read(|limits| limits.break_days.get().into())
                    on_change=number_into(move |days: BreakDays| rule.change(|limits| limits.break_days = days))
                />
            </div>
            <Choice
                label=text::AFTER_GOOD_DAYS
                options=STEP_UPS.map(|may| (may, text::may_step_up(may))).to_vec()
                value=Signal::derive(move || Some(steps.get()))
                on_change=Callback::new(move |to| rule.change(|limits| limits.may_step_up = to))
            />
            <Choice
                label=text::EASE_ON_LOWEST
                options=LOWEST.map(|means| (means, text::on_lowest_rung(means))).to_vec()
                value=lowest
                on_change=Callback::new(move |to| rule.change(|limits| limits.on_lowest_rung = to))
            />
            <Choice
                label=text::AFTER_MIDDLE_SET
                options=MIDDLE.map(|after| (after, text::after_middle_set(after))).to_vec()
                value=middle
                on_change=Callback::new(move |to| rule.change(|limits| limits.after_middle_set = to))
            />
            <Choice
                label=text::AFTER_A_BREAK
                options=BREAKS.map(|after| (after, standing::after_break(after))).to_vec()
                value=after_break
                on_change=Callback::new(move |to| rule.change(|limits| limits.after_break = to))
            />
        </section>
    }
}

/// The joint that the question about swelling is about.
#[component]
fn Joint(client: Id) -> impl IntoView {
    let caseload = use_caseload();
    let (of, to) = (client.clone(), client);
    let joint = Memo::new(move |_| caseload.draft(&of).joint);
    let value = Signal::derive(move || as_text(joint.get().as_ref()));
    let set = Callback::new(move |entered: String| {
        let words = maybe_words(&entered)?;
        caseload.change_draft(&to, |draft| draft.joint = words);
        Ok(())
    });
    view! {
        <section class="stack">
            <h2>{text::SWELLING}</h2>
            <TextLine label=text::WHICH_JOINT value on_change=set />
            <p class="small soft">{move || standing::swelling(joint.get().as_ref())}</p>
        </section>
    }
}

/// Where it may hurt: two places in one joint can mean two different things.
#[component]
pub fn Sites(rule: Rule) -> impl IntoView {
    let names = Memo::new(move |_| {
        rule.limits
            .with(|limits| limits.sites.iter().map(|site| site.name.clone()).collect::<Vec<_>>())
    });
    let name = move |entered: &str| {
        let words = some_words(entered)?;
        if names.with_untracked(|names| names.contains(&words)) {
            return Err(text::NAMED_ALREADY.to_owned());
        }
        if MOST_SITES <= names.with_untracked(Vec::len) {
            return Err(text::at_most_places(MOST_SITES));
        }
        rule.change(|limits| {
            limits.sites.push(Site { name: words, counts: SiteCounts::AsRated });
        });
        Ok(())
    };
    let add = Callback::new(move |entered: String| {
        name(&entered).map_err(|why: String| fields_text::not_taken(&why))
    });
    let row = move |words: crate::domain::words::Words| {
        let (of, to, out) = (words.clone(), words.clone(), words.clone());
        let counts = Signal::derive(move || {
            rule.limits.with(|limits| {
                limits
                    .sites
                    .iter()
                    .find(|site| site.name == of)
                    .map_or(SiteCounts::AsRated, |site| site.counts)
            })
        });
        let set = Callback::new(move |counts| {
            rule.change(|limits| {
                if let Some(site) = limits.sites.iter_mut().find(|site| site.name == to) {
                    site.counts = counts;
                }
            });
            Ok(())
        });
        let take_out = move |_| {
            rule.change(|limits| limits.sites.retain(|site| site.name != out));
            focus::go_to([SITES.to_owned()]);
        };
        let label = words.to_string();
        view! {
            <li class="row">
                <div class="grow">
                    <Select
                        label=text::pain_at(&label)
                        options=COUNTS.map(|counts| (counts, text::counts(counts))).to_vec()
                        value=counts
                        on_change=set
                    />
                </div>
                <button
                    type="button"
                    class="link"
                    aria-label=text::take_out(&label)
                    on:click=take_out
                >
                    {routine_text::TAKE_OUT}
                </button>
            </li>
        }
    };
    view! {
        <section class="stack">
            <h2 id=SITES tabindex="-1">{text::WHERE_IT_MAY_HURT}</h2>
            <p class="small soft">{text::WHEN_ASKED}</p>
            <ul class="bare stack">
                <For each=move || names.get() key=Clone::clone let:words>
                    {row(words)}
                </For>
            </ul>
            <AddLine label=text::A_PLACE button=text::NAME_IT on_add=add />
        </section>
    }
}
