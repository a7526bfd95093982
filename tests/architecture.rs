//! The layers: each module uses those above it in `src/lib.rs`, never those below, and only
//! `platform` and `ui` know a browser. In `domain` the rooms are in order, too, and no files of it stand in a
//! circle.

#![expect(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

#[path = "support/sentences.rs"]
mod sentences;

use sentences::files_below;

const LAYERS: [&str; 5] = ["domain", "exchange", "store", "platform", "ui"];
/// Crates that exist in a browser only.
const BROWSER_CRATES: [&str; 7] = [
    "web_sys",
    "js_sys",
    "wasm_bindgen",
    "wasm_bindgen_futures",
    "gloo_storage",
    "leptos",
    "leptos_router",
];

#[test]
fn no_layer_names_a_layer_below_it() {
    for (depth, layer) in LAYERS.iter().enumerate() {
        // `store` and `exchange` both stand on `domain`; `store` may use `exchange`.
        for below in &LAYERS[depth + 1..] {
            assert_none(layer, &format!("crate::{below}"));
        }
    }
}

/// Each room of `domain`, with those that it may use. Its own files and those beside the rooms it always may.
const ROOMS: [(&str, &[&str]); 5] = [
    ("plan", &[]),
    ("log", &["plan"]),
    ("session", &["plan", "log"]),
    ("visit", &["plan", "log"]),
    ("tried", &["plan", "log"]),
];

#[test]
fn the_rooms_of_the_domain_are_in_order() {
    for (room, uses) in ROOMS {
        for (other, _) in ROOMS.iter().filter(|(other, _)| *other != room && !uses.contains(other))
        {
            assert_none(&format!("domain/{room}"), &format!("domain::{other}"));
        }
    }
    let rooms = ROOMS.map(|(room, _)| room);
    for file in ["letters", "refused", "words", "day", "event_id", "pain"] {
        let text = code_of(&format!("domain/{file}.rs"));
        for room in rooms {
            assert!(!text.contains(&format!("domain::{room}")), "{file} names {room}");
        }
    }
}

#[test]
fn no_files_of_the_domain_stand_in_a_circle() {
    let uses = uses_of("domain");
    assert!(uses["log/history"].contains("log/course"), "{:?}", uses["log/history"]);
    let circles: Vec<&String> = uses.keys().filter(|file| reaches(&uses, file, file)).collect();
    assert!(circles.is_empty(), "{circles:?}");
}

/// Which files of a layer each of its files uses. A folder of files counts as the file of its name.
fn uses_of(layer: &str) -> BTreeMap<String, BTreeSet<String>> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src").join(layer);
    let is_room = |name: &str| root.join(name).join("mod.rs").exists();
    let files = files_below(&format!("src/{layer}"));
    let paths = files.iter().filter(|file| !file.ends_with("mod.rs"));
    let mut uses: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    for path in paths {
        let below: Vec<String> = path
            .strip_prefix(&root)
            .unwrap()
            .with_extension("")
            .iter()
            .map(|part| part.to_str().unwrap().to_owned())
            .collect();
        let file = below[..if is_room(&below[0]) { 2 } else { 1 }].join("/");
        let code = code_of(path.strip_prefix(root.parent().unwrap()).unwrap().to_str().unwrap());
        let named = uses.entry(file.clone()).or_default();
        for (start, _) in code.match_indices(&format!("crate::{layer}::")) {
            let path = &code[start + format!("crate::{layer}::").len()..];
            let mut words = path.split(|letter: char| !is_of_a_name(letter));
            let first = words.next().unwrap();
            let second = words.find(|word| !word.is_empty());
            let other = if is_room(first) {
                format!("{first}/{}", second.unwrap())
            } else {
                first.to_owned()
            };
            named.insert(other);
        }
        // Beside it, in the same room.
        let folder = below.split_last().map(|(_, folders)| folders.join("/")).unwrap();
        let is_of_a_folder = is_room(&below[0]) && below.len() == 3;
        for (start, _) in code.match_indices("use super::").filter(|_| !is_of_a_folder) {
            let path = &code[start + "use super::".len()..];
            let first = path.split(|letter: char| !is_of_a_name(letter)).next().unwrap();
            named.insert(if folder.is_empty() {
                first.to_owned()
            } else {
                format!("{folder}/{first}")
            });
        }
        named.remove(&file);
    }
    uses
}

fn is_of_a_name(letter: char) -> bool {
    letter.is_alphanumeric() || letter == '_'
}

fn reaches(uses: &BTreeMap<String, BTreeSet<String>>, from: &str, to: &str) -> bool {
    let mut seen = BTreeSet::new();
    let mut next: Vec<&String> = uses.get(from).into_iter().flatten().collect();
    while let Some(file) = next.pop() {
        if file == to {
            return true;
        }
        if seen.insert(file) {
            next.extend(uses.get(file).into_iter().flatten());
        }
    }
    false
}

/// What a file says before its tests, without comments.
fn code_of(file: &str) -> String {
    let text =
        fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("src").join(file)).unwrap();
    let code = text.split("#[cfg(test)]").next().unwrap();
    code.lines().filter(|line| !line.trim_start().starts_with("//")).collect::<Vec<_>>().join("\n")
}

/// `DEVELOPERS.md` has a row for each folder of the program, and for nothing else there.
#[test]
fn every_room_stands_on_the_map() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let folder_of = |file: PathBuf| {
        let folder = file.parent().unwrap().strip_prefix(root).unwrap().to_owned();
        format!("{}/", folder.display())
    };
    let folders: BTreeSet<String> = files_below("src").into_iter().map(folder_of).collect();
    let map = fs::read_to_string(root.join("DEVELOPERS.md")).unwrap();
    let rooms = map.lines().filter_map(|line| line.strip_prefix("| `src/")?.split_once('`'));
    let rooms: BTreeSet<String> = rooms.map(|(room, _)| format!("src/{room}")).collect();
    let but_the_root: BTreeSet<String> =
        folders.into_iter().filter(|folder| folder != "src/").collect();
    assert_eq!(rooms, but_the_root);
}

#[test]
fn no_browser_crate_is_named_above_platform() {
    for layer in ["domain", "exchange", "store"] {
        for name in BROWSER_CRATES {
            assert_none(layer, &format!("{name}::"));
        }
    }
}

#[test]
fn the_domain_reads_no_clock() {
    for name in ["Utc::now", "Local::now", "Instant::now", "SystemTime"] {
        assert_none("domain", name);
    }
}

#[test]
fn the_browser_has_one_door() {
    for name in ["web_sys::", "gloo_storage::", "js_sys::"] {
        assert_none("ui", name);
    }
}

/// The browser counts such an address from the page's base, so that the app can stand in a folder of a site.
#[test]
fn a_link_in_a_view_counts_from_the_page_s_base() {
    for begins_at_the_root in ["href=\"/", "href=format!(\"/"] {
        assert_none("ui", begins_at_the_root);
    }
}

/// Words that stand in a view for a reason.
const WORDS_IN_VIEWS: [(&str, &str); 0] = [];

/// Every sentence that a screen shows or says stands in `ui/text`, so that it can be said in another language.
#[test]
fn no_view_has_a_sentence_of_its_own() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let styles: String =
        files_below("style").iter().map(|file| fs::read_to_string(file).unwrap()).collect();
    let is_class = |word: &str| styles.contains(&format!(".{word}"));
    let mut found = Vec::new();
    for file in files_below("src/ui") {
        let place = file.strip_prefix(&root).unwrap().display().to_string();
        if place.starts_with("ui/text/") {
            continue;
        }
        for said in sentences::said_in(&fs::read_to_string(&file).unwrap()) {
            let is_classes =
                said.text.split(' ').all(|word| word.starts_with('{') || is_class(word));
            if !is_classes && !WORDS_IN_VIEWS.contains(&(place.as_str(), said.text.as_str())) {
                found.push(format!("{place}, {}: {}", said.item, said.text));
            }
        }
    }
    assert!(found.is_empty(), "{}\n{}", found.len(), found.join("\n"));
}

/// Texts above `ui` that are words and stay where they are, each with its reason; of a file without a list, all.
const WORDS_ABOVE: [(&str, &[&str], &str); 19] = [
    ("domain/plan/dose.rs", &["{} kg", "{} lb"], "symbols of units"),
    ("domain/plan/figure/data.rs", &[], "for whoever writes the figures that ship with the app"),
    ("domain/plan/figure/props.rs", &[], "for whoever writes the figures that ship with the app"),
    (
        "domain/plan/ladder.rs",
        &["no help"],
        "part of a routine: what one without a ladder reads as",
    ),
    ("domain/plan/photo.rs", &["Photo({} bytes)"], "for developers"),
    ("domain/refused.rs", &[" at line {line} column {column}"], "the JSON reader's, taken off"),
    ("exchange/calendar.rs", &["PRODID:-//Carryover//Carryover {}//EN"], "iCalendar's"),
    (
        "exchange/copy.rs",
        &["a map of documents"],
        "for developers: such a copy is told of as damaged",
    ),
    (
        "exchange/fhir.rs",
        &[
            "Bundle",
            "Patient",
            "Procedure",
            "Observation",
            "Provenance",
            "Pain severity - 0-10 verbal numeric rating [Score] - Reported",
        ],
        "FHIR's and LOINC's own names",
    ),
    ("exchange/file.rs", &["a list of events"], "for developers: such a log is told of as no list"),
    ("exchange/ledger.rs", &["\\n{:08x} {:08x} {body}"], "how a line is laid out"),
    ("exchange/sealed.rs", &["-----BEGIN AGE ENCRYPTED FILE-----"], "the age format's"),
    ("platform/camera.rs", &["Worker"], "the browser's"),
    ("platform/canvas.rs", &["(prefers-color-scheme: dark)"], "the browser's"),
    ("platform/files.rs", &["Files"], "the browser's"),
    ("platform/offline.rs", &["take over", "keep practice"], "said to the service worker"),
    ("platform/screen.rs", &["(prefers-reduced-motion: reduce)"], "the browser's"),
    ("platform/sealer.rs", &["Worker"], "the browser's"),
    ("platform/second_place.rs", &["Worker"], "the browser's"),
];

/// What goes wrong is found above `ui` and worded in `ui/text/refusals`.
#[test]
fn no_layer_above_the_screens_words_anything() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut unused: BTreeSet<(&str, &str)> = WORDS_ABOVE
        .iter()
        .flat_map(|(place, texts, _)| texts.iter().map(|text| (*place, *text)))
        .collect();
    let mut found = Vec::new();
    for file in LAYERS[..4].iter().flat_map(|layer| files_below(&format!("src/{layer}"))) {
        let place = file.strip_prefix(&root).unwrap().display().to_string();
        let stays = WORDS_ABOVE.iter().find(|(known, _, _)| *known == place);
        for said in sentences::said_in(&fs::read_to_string(&file).unwrap()) {
            let text = said.text.as_str();
            unused.retain(|known| *known != (place.as_str(), text));
            if !stays.is_some_and(|(_, texts, _)| texts.is_empty() || texts.contains(&text)) {
                found.push(format!("{place}, {}: {text}", said.item));
            }
        }
    }
    assert!(found.is_empty(), "{}\n{}", found.len(), found.join("\n"));
    assert!(unused.is_empty(), "not there any more: {unused:?}");
}

#[test]
fn colours_and_sizes_stand_in_the_tokens_only() {
    let is_colour =
        |line: &str| line.contains("rgb(") || line.contains("hsl(") || has_hex_colour(line);
    for file in files_below("style").into_iter().filter(|file| !file.ends_with("tokens.css")) {
        let text = fs::read_to_string(&file).unwrap();
        let found: Vec<&str> = text.lines().filter(|line| is_colour(line)).collect();
        assert!(found.is_empty(), "{}: {found:?}", file.display());
    }
}

#[test]
fn the_tests_above_can_see_what_they_look_for() {
    assert!(mentions("ui", "crate::domain").is_some());
    assert!(mentions("platform", "web_sys::").is_some());
    assert!(has_hex_colour("  color: #fffdf8;"));
    let view = r#"fn page() { view! { <a href="far away" class="card stack">"Go on"</a> } }"#;
    let said: Vec<String> =
        sentences::said_in(view).into_iter().map(|said| said.item + ": " + &said.text).collect();
    assert_eq!(said, ["page: Go on"]);
    assert!(!has_hex_colour("  &#main { gap: 1rem; }"));
}

fn has_hex_colour(line: &str) -> bool {
    line.split('#').skip(1).any(|rest| {
        let digits = rest.bytes().take_while(u8::is_ascii_hexdigit).count();
        matches!(digits, 3 | 4 | 6 | 8)
            && !rest[digits..].starts_with(|next: char| next.is_alphanumeric())
    })
}

#[track_caller]
fn assert_none(layer: &str, name: &str) {
    if let Some(place) = mentions(layer, name) {
        panic!("{layer} must not name {name}: {place}");
    }
}

fn mentions(layer: &str, name: &str) -> Option<String> {
    files_below(&format!("src/{layer}")).into_iter().find_map(|file| {
        let text = fs::read_to_string(&file).unwrap();
        let line = text
            .lines()
            .position(|line| !line.trim_start().starts_with("//") && line.contains(name))?;
        Some(format!("{}:{}", file.display(), line + 1))
    })
}
