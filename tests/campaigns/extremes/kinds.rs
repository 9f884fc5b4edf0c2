//! Every kind of garden file at the extremes of what a file may hold.

use super::{lists, standing};

/// A kind of garden file.
pub struct Kind {
    pub name: &'static str,
    /// How many of whatever there is most of: in the short form, in the long one.
    pub n: (usize, usize),
    /// The file's text for such a number.
    pub text: fn(usize) -> String,
}

/// Every kind of file inside the limits.
pub const KINDS: &[Kind] = &[
    Kind { name: "alike", n: (200, 200), text: standing::alike },
    Kind { name: "alike-in-beds", n: (7_000, 100_000), text: standing::alike_in_beds },
    Kind { name: "staggered", n: (400, 1_000), text: standing::staggered },
    Kind { name: "staggered-to-one-day", n: (200, 200), text: standing::staggered_to_one_day },
    Kind { name: "waves-in-a-bed", n: (250, 1_000), text: standing::waves },
    Kind { name: "waves", n: (250, 100_000), text: standing::waves },
    Kind { name: "a-day-each-in-a-bed", n: (30, 1_000), text: standing::a_day_each },
    Kind { name: "a-day-each", n: (15, 100_000), text: standing::a_day_each },
    Kind { name: "guests", n: (100, 200), text: standing::guests },
    Kind { name: "guests-in-beds", n: (210, 100_000), text: standing::guests },
    Kind { name: "edges", n: (100, 20_000), text: standing::edges },
    Kind { name: "dense-edges", n: (60, 20_000), text: standing::dense_edges },
    Kind { name: "drills", n: (200, 20_000), text: standing::drills },
    Kind { name: "broadcasts", n: (200, 20_000), text: standing::broadcasts },
    Kind { name: "chains", n: (200, 20_000), text: standing::chains },
    Kind { name: "one-history", n: (80, 1_000), text: lists::one_history },
    Kind { name: "histories", n: (80, 95_000), text: lists::histories },
    Kind { name: "one-day-of-soil", n: (1_000, 1_000), text: lists::one_day_of_soil },
    Kind { name: "unknown-past", n: (1_000, 100_000), text: lists::unknown_past },
    Kind { name: "unknown-crops", n: (300, 100_000), text: lists::unknown_crops },
    Kind { name: "dense-grid", n: (20, 2_000), text: standing::dense_grid },
    Kind { name: "dense-offset", n: (20, 2_000), text: standing::dense_offset },
    Kind { name: "dense-rows", n: (20, 2_000), text: standing::dense_rows },
    Kind { name: "dense-drill", n: (20, 2_000), text: standing::dense_drill },
    Kind { name: "dense-broadcast", n: (20, 2_000), text: standing::dense_broadcast },
    Kind { name: "dense-edge", n: (1, 2_000), text: standing::dense_edge },
    Kind { name: "dense-guests", n: (1, 2_000), text: standing::dense_guests },
    Kind { name: "one-dense-planting", n: (1, 1), text: standing::one_dense_planting },
    Kind { name: "shades", n: (6, 2_000), text: standing::shades },
    Kind { name: "picks", n: (3, 2_000), text: lists::picks },
    Kind { name: "own-crops", n: (5, 1_000), text: lists::own_crops },
    Kind { name: "own-crops-refused", n: (3, 1_000), text: lists::own_crops_refused },
    Kind { name: "wide-names", n: (10, 2_000), text: lists::wide_names },
    Kind { name: "accepted", n: (1_000, 100_000), text: lists::accepted },
    Kind { name: "accepted-at-length", n: (50, 20_000), text: lists::accepted_at_length },
    Kind { name: "wants", n: (50, 100_000), text: lists::wants },
    Kind { name: "full-past", n: (1_000, 100_000), text: lists::full_past },
    Kind { name: "full-hazards", n: (1_000, 100_000), text: lists::full_hazards },
    Kind { name: "full-accepted", n: (1_000, 100_000), text: lists::full_accepted },
    Kind { name: "full-expenses", n: (1_000, 100_000), text: lists::full_expenses },
    Kind { name: "full-seed-tin", n: (1_000, 100_000), text: lists::full_seed_tin },
    Kind { name: "full-plantings", n: (500, 100_000), text: lists::full_plantings },
    Kind { name: "three-centuries", n: (250, 40_000), text: standing::three_centuries },
    Kind { name: "empty-centuries", n: (20, 2_000), text: standing::empty_centuries },
    Kind { name: "long-returns", n: (30, 100_000), text: standing::long_returns },
    Kind { name: "slivers", n: (100, 100_000), text: standing::slivers },
];
