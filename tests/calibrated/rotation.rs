//! Published advice on whose weight a reading of ours hangs, made with these rows in view.
//!
//! - Firm advice is a breach where growers bind themselves to it, else a caution (`is_binding` and `strength` in
//!   `assets/follow_rules.ron`): R38, R40, R41, R43, R44, R65, R72, R73.
//! - Advice about a disease holds only where it was seen (`needs_seen` there): R62, R76.
//! - Hazards of which sources report a risk rather than ask for a break (`asks` in `assets/hazards.ron`): R71.
//! - Families commonly left out of strict rotation come back too soon only where nothing else is grown: R45, R46, R47.

#[test]
fn published_advice_weighs_as_its_publishers_weigh_it() {
    assert_eq!(crate::sequences::judge(include_str!("data/rotation_checks.csv")), 14, "the table of checks is whole");
}
