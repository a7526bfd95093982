//! The page for clients says what the app's own help says.

use carryover::ui::text::guide::GUIDE;
use carryover::ui::text::verdict::{IN_THREE_LINES, light};

const PAGE: &str = include_str!("../docs/for-clients.md");

#[test]
fn the_page_for_clients_says_what_the_help_says() {
    let mut rest = PAGE;
    for (title, lines) in GUIDE {
        let (_, part) = rest.split_once(&format!("\n## {title}\n")).expect(title);
        rest = part;
        let part = part.split("\n## ").next().unwrap_or_default();
        let said: Vec<&str> = part.lines().filter_map(|line| line.strip_prefix("- ")).collect();
        assert_eq!(said, lines, "{title}");
    }
    for (which, says) in IN_THREE_LINES {
        assert!(PAGE.contains(&format!("| {} | {says} |", light(which))), "{says}");
    }
}
