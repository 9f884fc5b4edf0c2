//! Every screen and layer, each with the way there.

use crate::sitting::Sitting;

pub struct Place {
    pub name: &'static str,
    go: fn(&mut Sitting),
}

impl Place {
    pub fn go(&self, sitting: &mut Sitting) {
        (self.go)(sitting);
    }
}

/// The screens.
pub const SCREENS: &[Place] = &[
    Place { name: "ground", go: |sitting| sitting.keys("gA2<Enter>") },
    Place { name: "bed", go: |sitting| sitting.keys("gA2<Enter>2") },
    Place { name: "year", go: |sitting| sitting.keys("gA2<Enter>3") },
    Place { name: "book", go: |sitting| sitting.keys("4/leek<Enter>") },
    Place { name: "findings", go: |sitting| sitting.keys("5H") },
];

/// The layers.
pub const LAYERS: [Place; 29] = [
    Place { name: "placing", go: |sitting| sitting.keys("gA1<Enter>aleek<Enter>") },
    Place { name: "interplanting", go: |sitting| sitting.keys("gB2<Enter>2ilettuce<Enter>") },
    Place { name: "changing", go: |sitting| sitting.keys("gA2<Enter>2e") },
    Place { name: "moving", go: |sitting| sitting.keys("gA2<Enter>2m") },
    Place { name: "help", go: |sitting| sitting.keys("2?") },
    Place { name: "finder", go: |sitting| sitting.keys(":undo") },
    Place { name: "picker", go: |sitting| sitting.keys("aonion") },
    Place { name: "could_follow", go: |sitting| sitting.keys("gA1<Enter>n") },
    Place { name: "why", go: |sitting| sitting.keys("5Hw") },
    Place { name: "accepting", go: |sitting| sitting.keys("5HA") },
    Place { name: "new_bed", go: |sitting| sitting.keys("N") },
    Place { name: "past", go: |sitting| sitting.keys("y") },
    Place { name: "site", go: |sitting| sitting.keys("L") },
    Place { name: "site_months", go: |sitting| sitting.keys("L<Up>o<Down><Down>") },
    Place { name: "families", go: |sitting| sitting.keys("R") },
    Place { name: "prompt", go: |sitting| sitting.keys("p") },
    Place { name: "confirm", go: Sitting::is_asked_before_losing },
    Place { name: "welcome", go: Sitting::is_asked_first },
    Place { name: "came_back", go: Sitting::is_told_what_came_back },
    Place { name: "open_elsewhere", go: Sitting::is_open_elsewhere },
    Place { name: "file_changed", go: Sitting::file_has_changed },
    Place {
        name: "what_differs",
        go: |sitting| {
            sitting.file_has_changed();
            sitting.keys("<Enter>");
        },
    },
    Place { name: "file_gone", go: Sitting::file_is_gone },
    Place { name: "file_unreadable", go: Sitting::file_is_unreadable },
    Place { name: "file_linked", go: Sitting::file_has_other_names },
    Place { name: "only_looked_at", go: Sitting::is_only_looked_at },
    Place {
        name: "versions",
        go: |sitting| {
            sitting.sees_versions();
            sitting.keys("<Down>");
        },
    },
    Place {
        name: "put_aside",
        go: |sitting| {
            sitting.sees_versions();
            sitting.keys("<End>");
        },
    },
    Place {
        name: "restoring",
        go: |sitting| {
            sitting.sees_versions();
            sitting.keys("<Down><Enter>");
        },
    },
];
