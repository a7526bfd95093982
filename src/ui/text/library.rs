//! Parts of the body and things in a home, in words.

use crate::domain::plan::library::{Region, Thing};

/// Where the search finds nothing.
pub const NOTHING: &str = "Nothing fits. Try another word, or another part of the body.";
/// Where it looks only among what can be done in the home.
pub const NOTHING_HERE: &str = "Nothing fits this home. Look at everything, or tick more of what is there on the client's page.";

pub const fn region(region: Region) -> &'static str {
    match region {
        Region::FootAndAnkle => "Foot and ankle",
        Region::Knee => "Knee",
        Region::Hip => "Hip",
        Region::Trunk => "Back and tummy",
        Region::Shoulder => "Shoulder",
        Region::ElbowAndWrist => "Elbow and wrist",
        Region::Neck => "Neck",
    }
}

/// A thing within a sentence.
pub const fn thing(thing: Thing) -> &'static str {
    match thing {
        Thing::Chair => "a sturdy chair",
        Thing::Armchair => "an armchair",
        Thing::Table => "a table",
        Thing::Worktop => "a kitchen worktop",
        Thing::Workbench => "a workbench",
        Thing::Wall => "a clear wall",
        Thing::DoorFrame => "a door frame",
        Thing::Stair => "the bottom step of the stairs",
        Thing::LowStep => "a low step that cannot slide",
        Thing::Banister => "a banister",
        Thing::Bed => "a bed",
        Thing::Mat => "a mat or carpet",
        Thing::Cushion => "a cushion",
        Thing::Towel => "a towel",
        Thing::Book => "a thick book",
        Thing::Broomstick => "a broomstick",
        Thing::Hammer => "a hammer",
        Thing::Bottle => "a bottle of water",
        Thing::Rucksack => "a rucksack",
        Thing::BathroomScale => "a bathroom scale",
        Thing::Ball => "a soft ball",
        Thing::Weight => "a hand weight",
        Thing::LoopBand => "a loop band",
        Thing::LongBand => "a long band",
        Thing::DoorAnchor => "a door anchor",
    }
}
