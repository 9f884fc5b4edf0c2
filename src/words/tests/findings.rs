//! Findings of small gardens as they are said.

use crate::crops::Raised;
use crate::garden::{EntryId, HazardSeen, Layout, PastCrop, PlannedDates, PlantingId, Severity, Side};
use crate::season::tests::findings::{beans_beside_lettuce, leeks_and_salad_onions, upland};
use crate::season::tests::{day, garden, grid, on_strip, plan, planting, says};
use crate::season::{Finding, Plan, Says};
use crate::units::Mm;
use crate::words::{self, Explanation, headline};

fn explain(plan: &Plan, finding: &Finding) -> Explanation {
    words::explain(plan, finding, &plan.explained(finding))
}

#[test]
fn that_an_order_goes_well_is_said_once_of_two_plantings_of_the_earlier_crop() {
    let mut garden = garden(&["A1"]);
    garden.plantings = vec![
        on_strip(planting(1, "A1", "pea-shelling", grid(10), day(2027, 3, 20), day(2027, 7, 1)), 0, 150),
        on_strip(planting(2, "A1", "pea-shelling", grid(10), day(2027, 4, 10), day(2027, 7, 15)), 150, 300),
        planting(3, "A1", "kale", grid(45), day(2027, 7, 20), day(2028, 3, 1)),
    ];
    let plan = plan(garden);
    let good = plan.beds()[0].findings.iter().filter(|finding| finding.is_good_order());
    let mut good: Vec<String> = good.map(|finding| headline(&plan, finding)).collect();
    assert!(good.iter().any(|words| words == "kale: goes well after pea (shelling)"), "{good:?}");
    let n = good.len();
    good.sort();
    good.dedup();
    assert_eq!(good.len(), n);
}

#[test]
fn plantings_that_reach_a_little_into_each_other_are_first_to_be_shortened() {
    let told = |strips: [(i32, i32); 2]| {
        let mut garden = garden(&["A1"]);
        garden.plantings = vec![
            on_strip(
                planting(1, "A1", "lettuce-head", grid(28), day(2027, 5, 1), day(2027, 7, 1)),
                strips[0].0,
                strips[0].1,
            ),
            on_strip(
                planting(2, "A1", "beetroot", grid(25), day(2027, 6, 10), day(2027, 9, 1)),
                strips[1].0,
                strips[1].1,
            ),
        ];
        let plan = plan(garden);
        let findings = says(&plan, "overlap");
        let Says::Overlap { shorten_mm, .. } = &findings[0].says else { panic!() };
        (*shorten_mm, explain(&plan, findings[0]).sentences.join(" "))
    };
    for strips in [[(0, 170), (150, 300)], [(150, 300), (0, 170)]] {
        let (shorten_mm, words) = told(strips);
        assert_eq!(shorten_mm, Some(Mm::from_cm(20)));
        let shorten = words.find("Shorten one of the two by 20 cm, so that they only meet").unwrap();
        assert!(shorten < words.find("on or after 1 Jul 2027").unwrap(), "{words}");
    }
    // One within the other, or much of it shared, is another matter.
    for strips in [[(0, 300), (150, 170)], [(0, 200), (100, 300)], [(0, 200), (0, 200)]] {
        let (shorten_mm, words) = told(strips);
        assert!(shorten_mm.is_none() && !words.contains("horten"), "{words}");
    }
}

#[test]
fn leeks_over_an_edge_of_garlic_are_troubled_only_along_that_edge() {
    let mut garden = garden(&["A1"]);
    let edge = Layout::Edge { spacing_mm: Mm::from_cm(15), along: Side::Left };
    garden.plantings = vec![
        planting(1, "A1", "garlic", edge, day(2025, 10, 20), day(2026, 7, 10)),
        planting(2, "A1", "leek", grid(30), day(2028, 6, 1), day(2028, 12, 1)),
    ];
    let plan = plan(garden);
    let findings = says(&plan, "family-return");
    let finding = findings.iter().find(|finding| finding.planting == Some(PlantingId(2))).unwrap();
    let Says::Rotation(rotation) = &finding.says else { panic!() };
    let shared_mm2: i64 = rotation.shared.iter().map(|rect| rect.area_mm2()).sum();
    assert_eq!(shared_mm2, 150 * 3000);
    let explained = explain(&plan, finding);
    assert_eq!(explained.rule, "family-return");
    assert!(explained.headline.starts_with("leek: onion family is back after 2 years; "), "{}", explained.headline);
    let text = explained.sentences.join("\n");
    assert!(
        text.contains("Garlic (p1) stands in A1 from 20 Oct 2025 to 9 Jul 2026; cleared almost 2 years before."),
        "{text}"
    );
    assert!(
        text.contains("only 0 to 300 cm along and 0 to 15 cm across of A1 is concerned")
            || text.contains("Only 0 to 300 cm along and 0 to 15 cm across of A1 is concerned"),
        "{text}"
    );
}

/// Common practice, no published source: leeks straight after shallots in one year is a finding, though not a breach.
#[test]
fn leeks_straight_after_shallots_are_a_caution_and_no_breach() {
    let mut garden = garden(&["A1", "A2"]);
    garden.plantings = vec![
        planting(1, "A1", "shallot", grid(20), day(2027, 3, 10), day(2027, 7, 12)),
        planting(2, "A1", "leek", grid(30), day(2027, 7, 12), day(2028, 3, 1)),
    ];
    let plan = plan(garden);
    let about_leeks: Vec<_> = plan.findings().into_iter().filter(|f| f.planting == Some(PlantingId(2))).collect();
    assert_eq!(about_leeks.iter().map(|finding| finding.severity).max(), Some(Severity::Caution), "{about_leeks:#?}");
    let finding = says(&plan, "same-year")[0];
    let explained = explain(&plan, finding);
    assert_eq!(explained.headline, "leek: onion family again in one year, after shallot");
    assert_eq!(explained.clean_beds, ["A2"]);
    assert!(explained.sentences.iter().any(|words| words.ends_with("it is followed at once.")), "{explained:#?}");
}

#[test]
fn a_crowded_interplanting_is_told_what_would_help() {
    // Kale between leeks from the same day until they are picked in winter: far too close.
    let mut garden = leeks_and_salad_onions(day(2027, 8, 9));
    garden.plantings[1] =
        planting(2, "A1", "kale", Layout::Between { host: PlantingId(1) }, day(2027, 6, 7), day(2027, 12, 1));
    let plan = plan(garden);
    let finding = says(&plan, "crowding")[0];
    assert_eq!((finding.severity, finding.planting), (Severity::Breach, Some(PlantingId(2))));
    let Says::Crowding { other, first_bad_week: Some(bad), share_lost_max, .. } = finding.says else { panic!() };
    assert_eq!(other, PlantingId(1));
    assert!(bad > crate::units::Week::of(day(2027, 6, 7)) && share_lost_max > 0.25);
    let text = explain(&plan, finding).sentences.join("\n");
    assert!(text.contains(&format!("; first too close in {bad}")), "{text}");
    // The worst week is told with its share, and is not the first.
    let Says::Crowding { worst_week: Some(worst), out_by_week, .. } = finding.says else { panic!() };
    assert!(worst > bad && text.contains(&format!("{:.0} % in {worst}", share_lost_max * 100.0)), "{text}");
    assert_eq!(text.contains("must be out by"), out_by_week.is_some(), "{text}");
    assert_eq!(headline(&plan, finding), format!("kale: too close to leek from {bad}"));
}

#[test]
fn every_finding_of_growth_says_what_would_help() {
    for (crop, raised, on) in [
        ("runner-bean", Raised::InPlace, day(2027, 3, 1)),
        ("courgette", Raised::Module, day(2027, 4, 20)),
        ("pumpkin", Raised::Module, day(2027, 8, 10)),
        ("spinach", Raised::InPlace, day(2027, 6, 10)),
    ] {
        let plan = upland(crop, raised, on, |_| {});
        for finding in plan.findings().into_iter().filter(|finding| matches!(finding.says, Says::Growth(_))) {
            let said = explain(&plan, finding);
            assert!(said.sentences.len() >= 3, "{said:?}");
            assert!(!said.source.is_empty() && said.headline.contains(": "));
        }
    }
}

#[test]
fn a_crop_set_in_autumn_is_told_with_the_year_it_counts_for() {
    let mut garden = garden(&["A1"]);
    let onions = PastCrop {
        id: EntryId(1),
        bed: "A1".to_owned(),
        year: 2026,
        what: "onion".to_owned(),
        strip_mm: None,
        side: Side::Whole,
    };
    garden.past = vec![onions].into();
    garden.plantings = vec![planting(1, "A1", "onion-overwintered", grid(15), day(2027, 9, 1), day(2028, 6, 20))];
    let plan = plan(garden);
    let finding = says(&plan, "family-return")[0];
    let words = headline(&plan, finding);
    assert!(
        words.ends_with("onion family is back after 2 rotation years, 2026 to 2028; the rule asks for 4"),
        "{words}"
    );
    let text = explain(&plan, finding).sentences.join("\n");
    assert!(
        text.contains("in 2026, 2 rotation years before 2028, for which this counts (it goes in on 1 Sep 2027)"),
        "{text}"
    );
    assert!(text.contains("counts for 2028 (goes in 1 Sep 2027); the onion family, as "), "{text}");
    assert!(text.contains("Both are of the onion family (Amaryllidaceae)."), "{text}");
    // Clear four years after 2026, for a crop of 2030: set in autumn 2029.
    assert!(text.contains("What counts for 2030 (a winter crop set from 15 Aug 2029 on) the rule allows."), "{text}");
}

#[test]
fn days_and_weeks_between_two_crops_are_told_as_such() {
    // Potatoes out on 13 October, tomatoes of the same family in after the winter: 13 October to 1 May are 200 days.
    let mut garden = garden(&["A1"]);
    garden.plantings = vec![
        planting(1, "A1", "potato-maincrop", grid(40), day(2026, 4, 20), day(2026, 10, 13)),
        planting(2, "A1", "potato-maincrop", grid(40), day(2027, 5, 1), day(2027, 10, 1)),
    ];
    let plan = plan(garden);
    let finding = says(&plan, "family-return")[0];
    assert!(
        headline(&plan, finding).ends_with("is back after 28 weeks; the rule asks for 4 years"),
        "{}",
        headline(&plan, finding)
    );
    let text = explain(&plan, finding).sentences.join("\n");
    assert!(text.contains("cleared 28 weeks before."), "{text}");
    assert!(text.contains("Both are of the potato family (Solanaceae)."), "{text}");
    assert!(!text.contains("path"), "{text}");
}

#[test]
fn a_hazard_leads_to_its_host_in_words() {
    let mut garden = garden(&["A1", "A2"]);
    garden.hazards_seen = vec![HazardSeen {
        id: EntryId(1),
        bed: "A1".to_owned(),
        hazard: "clubroot".to_owned(),
        date: day(2025, 8, 1),
        notes: String::new(),
    }]
    .into();
    garden.plantings = vec![planting(1, "A1", "mustard-greens", grid(25), day(2027, 8, 1), day(2027, 11, 1))];
    let plan = plan(garden);
    let text = explain(&plan, says(&plan, "hazard-host")[0]).sentences.join("\n");
    assert!(text.contains("Clubroot lives on the cabbage family, which holds "), "{text}");
    assert!(!text.contains("No other bed"), "{text}");
}

fn seen(hazard: &str) -> HazardSeen {
    let (id, bed, hazard) = (EntryId(1), "A1".to_owned(), hazard.to_owned());
    HazardSeen { id, bed, hazard, date: day(2025, 8, 1), notes: String::new() }
}

#[test]
fn a_hazard_says_from_when_on_it_weighs_less() {
    let mut garden = garden(&["A1"]);
    garden.hazards_seen = vec![seen("clubroot")].into();
    garden.plantings = vec![planting(1, "A1", "kale", grid(45), day(2027, 6, 15), day(2028, 3, 1))];
    let plan = plan(garden);
    let finding = says(&plan, "hazard-host")[0];
    // Seen in 2025: five host-free years are kept from 2031 on, the fifteen for which it usually lives from 2041 on.
    let text = explain(&plan, finding).sentences.join("\n");
    assert!(
        text.contains("From 2031, after 5 host-free years, it is a caution and no longer a breach; from 2041 on, after 15 host-free years, clubroot is taken to have died out"),
        "{text}"
    );
    // There is only this bed.
    assert!(text.contains("No other suitable bed is free that day."), "{text}");
    assert!(text.contains("Here rotation allows "), "{text}");
}

#[test]
fn a_past_crop_is_said_with_its_year() {
    let mut garden = garden(&["A1"]);
    let (id, bed, what) = (EntryId(1), "A1".to_owned(), "leek".to_owned());
    garden.past = vec![PastCrop { id, bed, year: 2026, what, strip_mm: None, side: Side::Whole }].into();
    garden.plantings = vec![planting(1, "A1", "garlic", grid(15), day(2027, 2, 20), day(2027, 8, 1))];
    let plan = plan(garden);
    let text = explain(&plan, says(&plan, "family-return")[0]).sentences.join("\n");
    assert!(text.contains("Leek stood in A1 in 2026, 1 year before."), "{text}");
}

#[test]
fn overlaps_gaps_and_unknown_hazards_are_said_in_a_line() {
    let mut garden = garden(&["A1", "A2"]);
    garden.hazards_seen = vec![seen("gremlins")].into();
    garden.plantings = vec![
        on_strip(planting(1, "A1", "lettuce-head", grid(28), day(2027, 5, 1), day(2027, 7, 1)), 0, 200),
        on_strip(planting(2, "A1", "beetroot", grid(25), day(2027, 6, 10), day(2027, 9, 1)), 150, 300),
        planting(3, "A2", "lettuce-head", grid(28), day(2027, 3, 20), day(2027, 6, 1)),
        planting(4, "A2", "beetroot", grid(25), day(2027, 6, 29), day(2027, 10, 20)),
    ];
    let plan = plan(garden);
    let first = |rule: &str, bed_idx: usize| {
        headline(&plan, says(&plan, rule).iter().find(|finding| finding.bed_idx == bed_idx).unwrap())
    };
    assert_eq!(first("overlap", 0), "beetroot: on the same ground as lettuce (hearting) for 3 weeks");
    assert_eq!(first("gap", 1), "A2: empty for 4 weeks from 1 Jun 2027");
    assert_eq!(first("unknown-hazard", 0), "A1: hazard `gremlins` is not in the book");
}

#[test]
fn what_cannot_be_worked_out_says_why() {
    let mut garden = leeks_and_salad_onions(day(2027, 8, 9));
    garden.plantings.remove(0);
    let mut undated = planting(3, "A1", "leek", grid(30), day(2027, 6, 1), day(2028, 3, 1));
    undated.planned = PlannedDates::default();
    garden.plantings.extend([
        undated,
        planting(4, "A1", "triffid", grid(30), day(2027, 6, 1), day(2027, 8, 1)),
        on_strip(planting(5, "A1", "kale", grid(45), day(2027, 6, 1), day(2028, 3, 1)), 0, 10),
    ]);
    let plan = plan(garden);
    let said = |rule: &str| says(&plan, rule).iter().map(|finding| headline(&plan, finding)).collect::<Vec<_>>();
    assert_eq!(
        said("no-stations"),
        ["salad onion: its host p1 is not in bed A1", "kale: no station has room in its strip"]
    );
    assert_eq!(said("unknown-crop"), ["triffid: `triffid` is not in the book"]);
    assert_eq!(said("no-dates"), ["leek: no date to start from: give the day it is sown, planted or first picked"]);
    for finding in plan.findings() {
        let explained = explain(&plan, finding);
        assert!(!explained.headline.is_empty() && !explained.sentences.is_empty(), "{explained:?}");
    }
}

#[test]
fn shade_is_said_with_the_bed_that_loses_most() {
    let plan = plan(beans_beside_lettuce());
    let words = headline(&plan, says(&plan, "shade")[0]);
    assert!(words.contains("lettuce (loose leaf) in A3"), "{words}");
}
