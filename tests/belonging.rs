//! Whose a log is that comes in: what is plain is kept without a question, and everything else is asked.

mod support;

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use carryover::domain::log::belonging::{
    Belonging, InCommon, KnownClient, Oddity, Question, SHIPPED, belonging, is_anyones,
};
use carryover::domain::plan::routine::{Routine, Version};
use carryover::domain::words::Id;
use proptest::prelude::*;
use proptest::sample::select;
use support::{chair_rise, heel_drop, id, limits, routine, words};

const ROUND: &str = "postal-round";
const STAIRCASE: &str = "staircase";

/// A version of a routine of that id, made for that label.
fn version(of: &str, number: i64, made_for: Option<&str>) -> Routine {
    let exercises = [heel_drop(), chair_rise()];
    let mut made = routine(number, &limits(), &exercises);
    made.id = id(of);
    made.client = made_for.map(words);
    made
}

fn client(name: &str, routines: Vec<Routine>) -> KnownClient {
    let label = words(if name == ROUND { "Postal round 7" } else { "Third floor" });
    let (client, in_common) = (id(name), InCommon::Nothing);
    KnownClient { client, label, routines, in_common }
}

fn sharing(known: KnownClient) -> KnownClient {
    KnownClient { in_common: InCommon::Entries, ..known }
}

fn whose(followed: &[Routine], known: &[KnownClient], visited: Option<&str>) -> Belonging {
    let followed: Vec<&Routine> = followed.iter().collect();
    belonging(&followed, known, visited.map(id).as_ref())
}

fn plain(name: &str) -> Belonging {
    Belonging::Plain(id(name))
}

fn asked(why: Oddity, may_be: &[&str]) -> Belonging {
    Belonging::Asked(Question { why, may_be: may_be.iter().map(|name| id(name)).collect() })
}

#[test]
fn the_routines_that_ship_are_known_by_their_ids() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("public/routines");
    let files = fs::read_dir(folder).unwrap().map(|file| fs::read_to_string(file.unwrap().path()));
    let ids: BTreeSet<String> = files
        .map(|text| {
            let file: serde_json::Value = serde_json::from_str(&text.unwrap()).unwrap();
            file["routine"]["id"].as_str().unwrap().to_owned()
        })
        .collect();
    assert_eq!(ids, SHIPPED.map(str::to_owned).into());
}

#[test]
fn a_log_that_followed_a_clients_own_routine_is_plainly_theirs() {
    let known = [
        client(STAIRCASE, vec![version("other", 1, None)]),
        client(ROUND, vec![version(ROUND, 1, None)]),
    ];
    let log = [version(ROUND, 1, None)];
    assert_eq!(whose(&log, &known, None), plain(ROUND));
    assert_eq!(whose(&log, &known, Some(ROUND)), plain(ROUND));
    let moved_on = [version("before", 4, None), version(ROUND, 1, None)];
    assert_eq!(whose(&moved_on, &known, None), plain(ROUND), "another routine long ago");
}

#[test]
fn an_entry_in_common_tells_more_than_a_routine() {
    let both = [version("stairs", 1, None)];
    let known = [client(STAIRCASE, both.to_vec()), sharing(client(ROUND, both.to_vec()))];
    assert_eq!(whose(&both, &known, None), plain(ROUND));
    assert_eq!(whose(&[], &known, None), plain(ROUND), "a part that names no routine");
}

#[test]
fn a_log_of_another_client_than_the_one_who_is_visited_is_asked_about() {
    let known = [client(STAIRCASE, vec![]), client(ROUND, vec![version(ROUND, 1, None)])];
    let why = Oddity::OtherClient { whose: words("Postal round 7"), visited: words("Third floor") };
    let log = [version(ROUND, 1, None)];
    assert_eq!(whose(&log, &known, Some(STAIRCASE)), asked(why, &[ROUND, STAIRCASE]));
}

#[test]
fn a_log_made_for_another_label_is_asked_about_and_an_old_label_is_none() {
    let made_for = |label| [version(ROUND, 1, Some(label))];
    let known = [client(ROUND, vec![version(ROUND, 1, Some("Before it was renamed"))])];
    assert_eq!(whose(&made_for("Before it was renamed"), &known, None), plain(ROUND));
    assert_eq!(whose(&made_for("Postal round 7"), &known, None), plain(ROUND));
    let why = Oddity::OtherLabel { made_for: words("Banister"), whose: words("Postal round 7") };
    assert_eq!(whose(&made_for("Banister"), &known, None), asked(why, &[ROUND]));
    let known = known.map(sharing);
    assert_eq!(whose(&made_for("Banister"), &known, None), plain(ROUND), "answered before");
}

#[test]
fn a_later_version_than_any_that_is_known_is_asked_about() {
    let known = [client(ROUND, vec![version(ROUND, 1, None), version(ROUND, 2, None)])];
    let log = |number| [version(ROUND, 1, None), version(ROUND, number, None)];
    assert_eq!(whose(&log(2), &known, None), plain(ROUND));
    let why = Oddity::NewerVersion {
        whose: words("Postal round 7"),
        found: Version::nearest(3),
        newest: Version::nearest(2),
    };
    assert_eq!(whose(&log(3), &known, Some(ROUND)), asked(why.clone(), &[ROUND]));
    assert_eq!(whose(&log(3), &known.map(sharing), None), asked(why, &[ROUND]), "of a known log");
}

#[test]
fn an_unknown_routine_is_asked_about_wherever_the_log_was_opened() {
    let known = [client(ROUND, vec![version(ROUND, 1, None)]), client(STAIRCASE, vec![])];
    let log = [version("small", 1, Some("Rucksack"))];
    let title = words("Stairs and chair");
    let why = Oddity::UnknownRoutine { title, made_for: Some(words("Rucksack")) };
    assert_eq!(whose(&log, &known, None), asked(why.clone(), &[]));
    assert_eq!(whose(&log, &known, Some(STAIRCASE)), asked(why.clone(), &[STAIRCASE]));
    let went_on = [version(ROUND, 1, None), version("small", 1, Some("Rucksack"))];
    assert_eq!(whose(&went_on, &known, None), asked(why, &[ROUND]));
    assert_eq!(whose(&[], &known, None), asked(Oddity::NoRoutine, &[]));
}

#[test]
fn a_routine_that_ships_never_makes_a_log_somebodys() {
    for shipped in SHIPPED {
        let log = [version(shipped, 1, None)];
        let known = [client(STAIRCASE, vec![]), client(ROUND, log.to_vec())];
        let why = Oddity::ShippedRoutine { title: words("Stairs and chair") };
        assert_eq!(whose(&log, &known, None), asked(why.clone(), &[ROUND]));
        assert_eq!(whose(&log, &known, Some(ROUND)), asked(why.clone(), &[ROUND]));
        assert_eq!(whose(&log, &known, Some(STAIRCASE)), asked(why, &[STAIRCASE, ROUND]));
        assert_eq!(whose(&log, &known.map(sharing)[1..], None), plain(ROUND), "answered before");
    }
}

#[test]
fn clients_who_were_given_one_routine_are_told_apart_by_its_words_then_by_the_label() {
    let (old, new) = (version("stairs", 1, None), version("stairs", 2, Some("Third floor")));
    let known = [client(ROUND, vec![old.clone()]), client(STAIRCASE, vec![new.clone()])];
    assert_eq!(whose(std::slice::from_ref(&old), &known, None), plain(ROUND));
    let known = [client(ROUND, vec![new.clone()]), client(STAIRCASE, vec![old])];
    let renamed = version("stairs", 2, Some("Postal round 7"));
    assert_eq!(whose(&[renamed], &known, None), plain(ROUND));
    let known = [client(ROUND, vec![new.clone()]), client(STAIRCASE, vec![new.clone()])];
    let why =
        Oddity::SeveralClients { labels: vec![words("Postal round 7"), words("Third floor")] };
    assert_eq!(whose(&[new], &known, Some(STAIRCASE)), asked(why, &[STAIRCASE, ROUND]));
}

fn any_client() -> impl Strategy<Value = KnownClient> {
    let routines = prop::collection::vec(any_routine(), 0..3);
    (select(vec!["a", "b", "c"]), routines, any::<bool>()).prop_map(|(name, routines, shares)| {
        let known = client(name, routines);
        if shares { sharing(known) } else { known }
    })
}

fn any_routine() -> impl Strategy<Value = Routine> {
    let ids = select(vec!["heel-drop", "small", "stairs"]);
    let labels = select(vec![None, Some("Third floor"), Some("Rucksack")]);
    (ids, 1..4_i64, labels).prop_map(|(of, number, label)| version(of, number, label))
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(512) })]

    /// The order in which clients are known decides nothing, and what is plain has a reason.
    #[test]
    fn nothing_is_kept_by_guess(
        followed in prop::collection::vec(any_routine(), 0..3),
        known in prop::collection::vec(any_client(), 0..4),
        visited in prop::option::of(select(vec!["a", "b"])),
        turn in 0..4_usize,
    ) {
        let mut clients: Vec<KnownClient> = Vec::new();
        for one in known {
            if clients.iter().all(|known| known.client != one.client) {
                clients.push(one);
            }
        }
        let visited: Option<Id> = visited.map(id).filter(|id| clients.iter().any(|known| known.client == *id));
        let followed: Vec<&Routine> = followed.iter().collect();
        let told = belonging(&followed, &clients, visited.as_ref());
        let mut turned = clients.clone();
        turned.reverse();
        turned.rotate_left(turn.min(clients.len()));
        let plainly = |told: &Belonging| match told {
            Belonging::Plain(id) => Some(id.clone()),
            Belonging::Asked(_) => None,
        };
        prop_assert_eq!(plainly(&told), plainly(&belonging(&followed, &turned, visited.as_ref())));
        match &told {
            Belonging::Plain(of) => {
                let of = clients.iter().find(|known| known.client == *of).unwrap();
                let shares = of.in_common == InCommon::Entries;
                let own = |routine: &&Routine| !is_anyones(&routine.id);
                let tied = followed.iter().copied().filter(own);
                let follows = |routine: &Routine| of.routines.iter().any(|known| known.id == routine.id);
                prop_assert!(shares || tied.clone().any(follows));
                prop_assert!(visited.is_none_or(|visited| visited == of.client));
                let sharing = |known: &&KnownClient| known.in_common == InCommon::Entries;
                prop_assert!(clients.iter().filter(sharing).count() <= 1);
            }
            Belonging::Asked(question) => {
                let once: BTreeSet<&Id> = question.may_be.iter().collect();
                prop_assert_eq!(once.len(), question.may_be.len());
                let is_asked = |visited| question.may_be.contains(&visited);
                prop_assert!(visited.is_none_or(is_asked));
            }
        }
    }
}
