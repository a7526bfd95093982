//! The layers: each module uses those above it in `src/lib.rs`, never those below, and only
//! `platform` and `ui` know a browser.

#![expect(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]

use std::fs;
use std::path::{Path, PathBuf};

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

fn files_below(folder: &str) -> Vec<PathBuf> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
    let mut files = Vec::new();
    let mut folders = vec![root];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(&folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() { folders.push(path) } else { files.push(path) }
        }
    }
    assert!(!files.is_empty());
    files
}
