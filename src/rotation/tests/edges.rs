//! The last case on which each rule speaks and the first on which it is silent, each worked by hand.

use crate::garden::{Amendment, Severity};
use crate::rotation::{Because, CropGraph, Given, Policy, RotationFinding, Rule, SoilCase, Stand, StandKey};
use crate::units::{Mm, Rect};

use super::{book, check, day, graph, of_rule, past, planting, seen, whole_bed};

fn of_year(findings: &[RotationFinding], year: i32) -> Vec<(Rule, Severity, Option<i32>)> {
    let of_year = findings.iter().filter(|finding| finding.year == year && finding.rule != Rule::GoodAfter);
    of_year.map(|finding| (finding.rule, finding.severity, finding.earlier_year)).collect()
}

/// The left or the right half of the bed's width.
fn half(stand: &Stand, is_left: bool) -> Stand {
    let (y0, y1) = if is_left { (0, 60) } else { (60, 120) };
    Stand { ground: vec![Rect { y0: Mm::from_cm(y0), y1: Mm::from_cm(y1), ..whole_bed() }], ..stand.clone() }
}

fn asking(asked: &[(&str, u32)]) -> Policy {
    Policy { by_family: asked.iter().map(|(id, years)| ((*id).to_owned(), *years)).collect(), for_all: None }
}

fn under(policy: &Policy, stands: &[Stand]) -> Vec<(Severity, Because)> {
    let findings = graph().check(book(), policy, stands, &[], &[]);
    let about_family = findings.iter().filter(|finding| matches!(finding.rule, Rule::FamilyReturn | Rule::Exempt));
    about_family.map(|finding| (finding.severity, finding.because)).collect()
}

fn ids(stands: &[Stand], rule: Rule) -> Vec<&'static str> {
    let findings = check(stands);
    let idxs = of_rule(&findings, rule).into_iter().filter_map(|finding| finding.follow_idx);
    idxs.map(|idx| book().follow_rules()[idx].id.as_str()).collect()
}

fn soil(stands: &[Stand], amendments: &[(Amendment, chrono::NaiveDate)]) -> Vec<SoilCase> {
    let amendments: Vec<Given> = amendments.iter().map(|&(amendment, date)| Given { amendment, date }).collect();
    let findings = graph().check(book(), &Policy::default(), stands, &[], &amendments);
    let cases = findings.iter().filter_map(|finding| match finding.because {
        Because::Soil(case) => Some(case),
        _ => None,
    });
    cases.collect()
}

// Families

#[test]
fn within_one_year_another_family_of_the_botanical_one_is_noted_only() {
    let potatoes = planting(1, "potato-first-early", day(2026, 3, 20), day(2026, 6, 20));
    let after = |name: &str| {
        let findings = check(&[potatoes.clone(), planting(2, name, day(2026, 6, 22), day(2026, 10, 1))]);
        let [finding] = of_rule(&findings, Rule::SameYear)[..] else { panic!("{findings:?}") };
        (finding.severity, finding.because)
    };
    assert_eq!(after("sweet_pepper"), (Severity::Note, Because::SameBotanical));
    // Tomatoes count as potatoes do, whose nematodes live on them.
    assert_eq!(after("tomato"), (Severity::Caution, Because::SameBotanical));
}

#[test]
fn a_crop_on_other_ground_does_not_stand_between_two_of_a_family() {
    let shallots = planting(1, "shallot", day(2026, 3, 1), day(2026, 7, 10));
    let lettuce = half(&planting(2, "lettuce-head", day(2026, 7, 12), day(2026, 8, 30)), false);
    let leeks = half(&planting(3, "leek", day(2026, 9, 1), day(2026, 12, 20)), true);
    let findings = check(&[shallots, lettuce, leeks]);
    assert_eq!(of_rule(&findings, Rule::SameYear)[0].severity, Severity::Caution);
}

#[test]
fn two_crops_of_a_year_whose_order_nobody_wrote_down_are_noted_only() {
    let findings = check(&[past("shallot", 2026), past("leek", 2026)]);
    assert_eq!(of_rule(&findings, Rule::SameYear)[0].severity, Severity::Note);
    // A sequence is written in order.
    let item = |idx, name| Stand { key: StandKey::Item(idx), ..past(name, 2026) };
    let findings = check(&[item(0, "shallot"), item(1, "leek")]);
    assert_eq!(of_rule(&findings, Rule::SameYear)[0].severity, Severity::Caution);
}

#[test]
fn what_is_planted_on_the_day_of_clearing_comes_after() {
    let shallots = planting(1, "shallot", day(2026, 3, 1), day(2026, 7, 10));
    let leeks = planting(2, "leek", day(2026, 7, 10), day(2026, 12, 20));
    assert_eq!(of_year(&check(&[shallots, leeks]), 2026), [(Rule::SameYear, Severity::Caution, Some(2026))]);
}

#[test]
fn what_stands_on_into_later_years_stands_beside_a_crop_of_its_first() {
    let berries = Stand { last_year: 2028, ..past("strawberry", 2026) };
    assert_eq!(
        of_rule(&check(&[berries, past("raspberry-summer", 2026)]), Rule::SameYear),
        Vec::<&RotationFinding>::new()
    );
}

#[test]
fn one_crop_is_no_rotation_only_where_no_other_stood_in_its_three_years() {
    let years = [2024, 2025, 2026];
    let lettuces = || years.map(|year| past("lettuce", year));
    let alone = (Rule::FamilyReturn, Severity::Caution, Some(2025));
    let noted = (Rule::Exempt, Severity::Note, Some(2025));
    assert_eq!(of_year(&check(&lettuces()), 2026), [alone]);
    // Leeks before those years change nothing.
    assert_eq!(of_year(&check(&[&[past("leek", 2023)][..], &lettuces()].concat()), 2026), [alone]);
    // Endive is of the lettuces' family, yet another crop.
    let with_endive = [past("lettuce", 2024), past("endive", 2025), past("lettuce", 2026)];
    assert_eq!(of_year(&check(&with_endive), 2026), [noted]);
    // A bed of rhubarb is no rotation to begin with.
    assert_eq!(of_year(&check(&years.map(|year| past("rhubarb", year))), 2026), [noted]);
    // The lettuces of 2025 stood on half of the bed: those of 2024 are told too, as a return and not as one crop running.
    let by_halves = [past("lettuce", 2024), half(&past("lettuce", 2025), true), past("lettuce", 2026)];
    assert_eq!(of_year(&check(&by_halves), 2026), [alone, (Rule::Exempt, Severity::Note, Some(2024))]);
}

#[test]
fn what_is_asked_of_one_family_counts_for_its_taxon_only_where_both_are_asked_alike() {
    let stands = |potato: i32| [past("sweet_pepper", 2023), past("potato", potato)];
    // Three years apart.
    for (asked, said) in [
        (vec![("solanaceae_potato", 5), ("solanaceae_fruiting", 5)], (Severity::Breach, Because::SameBotanical)),
        (vec![("solanaceae_potato", 5), ("solanaceae_fruiting", 4)], (Severity::Caution, Because::SameBotanical)),
        // Peppers are left out of rotation by the grower: nothing of theirs is more than noted.
        (vec![("solanaceae_potato", 5), ("solanaceae_fruiting", 0)], (Severity::Note, Because::LeftOut)),
    ] {
        assert_eq!(under(&asking(&asked), &stands(2026)), [said], "{asked:?}");
    }
    // Peas two years before beans: beans are commonly left out of rotation, but not where the grower asks four years of them.
    let beans = [past("pea", 2024), past("french-bean-dwarf", 2026)];
    assert_eq!(under(&Policy::default(), &beans), [(Severity::Note, Because::CommonlyExempt)]);
    assert_eq!(under(&asking(&[("fabaceae_phaseolus", 4)]), &beans), [(Severity::Caution, Because::SameBotanical)]);
}

#[test]
fn a_graver_return_is_told_beside_a_later_one() {
    // Potatoes of 2024 are a breach (four years asked), peppers of 2025 a caution.
    let findings = check(&[past("potato", 2024), past("sweet_pepper", 2025), past("potato", 2026)]);
    let returns: Vec<_> =
        of_year(&findings, 2026).into_iter().filter(|(rule, ..)| *rule == Rule::FamilyReturn).collect();
    let (graver, later) = (Severity::Breach, Severity::Caution);
    assert_eq!(returns, [(Rule::FamilyReturn, graver, Some(2024)), (Rule::FamilyReturn, later, Some(2025))]);
}

#[test]
fn the_return_told_is_the_latest_by_its_last_year_not_by_its_first() {
    // Strawberries stand until 2027, past the raspberries that were planted after them and out in 2025.
    let berries = Stand { last_year: 2027, ..past("strawberry", 2024) };
    let findings = check(&[berries, past("raspberry-summer", 2025), past("blackberry", 2028)]);
    let returns = of_year(&findings, 2028).into_iter().filter(|(rule, ..)| *rule == Rule::FamilyReturn);
    assert_eq!(returns.map(|(.., earlier)| earlier).collect::<Vec<_>>(), [Some(2027)]);
}

#[test]
fn shared_ground_is_rounded_to_the_nearest_per_cent_and_never_to_nothing() {
    // 200 mm of 1200 mm are 16.7 per cent, 1 mm is 0.08 per cent.
    for (mm, pct) in [(200, 17), (1, 1)] {
        let garlic = Stand { ground: vec![Rect { y1: Mm(mm), ..whole_bed() }], ..past("garlic", 2026) };
        let findings = check(&[garlic, past("leek", 2027)]);
        assert_eq!(of_rule(&findings, Rule::FamilyReturn)[0].shared_pct, pct, "{mm} mm");
    }
}

// Orders

#[test]
fn advice_of_weeks_counts_days() {
    // Rye before small seed (F57; F58 asks it of any green manure, less firmly): 0.06 of a year are 21.9 days.
    let rye = planting(1, "winter-rye", day(2025, 9, 20), day(2026, 4, 1));
    let carrots = |d: u32| planting(2, "carrot-early", day(2026, 4, d), day(2026, 7, 20));
    assert!(ids(&[rye.clone(), carrots(22)], Rule::AvoidAfter).contains(&"F57"));
    assert!(!ids(&[rye.clone(), carrots(23)], Rule::AvoidAfter).contains(&"F57"));
    // It asks no years, so no year is named from which it would be clear.
    let findings = check(&[rye, carrots(10)]);
    let avoid = of_rule(&findings, Rule::AvoidAfter);
    assert!(avoid.iter().all(|finding| (finding.asked_years, finding.clear_year) == (None, None)), "{avoid:?}");
    // Of a sequence no days are known: what goes well straight after (F64) is said, what wants weeks between is not.
    let item = |idx, name| Stand { key: StandKey::Item(idx), ..past(name, 2026) };
    assert_eq!(ids(&[item(0, "winter-rye"), item(1, "carrot-early")], Rule::AvoidAfter), Vec::<&str>::new());
    assert!(ids(&[item(0, "pea"), item(1, "leek")], Rule::GoodAfter).contains(&"F64"));
}

#[test]
fn advice_against_an_order_needs_the_order_known() {
    // A root after a root (F04), both of one year; brassicas after peas (F12) may be praised all the same.
    assert_eq!(ids(&[past("carrot", 2026), past("beetroot", 2026)], Rule::AvoidAfter), Vec::<&str>::new());
    assert!(ids(&[past("pea", 2026), past("cabbage", 2026)], Rule::GoodAfter).contains(&"F12"));
}

#[test]
fn advice_of_years_says_from_when_it_would_be_clear() {
    // Within four years of grass (F27): the fifth year after 2022 is 2027.
    let findings = check(&[past("grass ley", 2022), past("potato", 2026)]);
    let finding = of_rule(&findings, Rule::AvoidAfter)[0];
    assert_eq!((finding.asked_years, finding.clear_year), (Some(5), Some(2027)));
}

#[test]
fn two_crops_of_a_family_in_one_year_are_a_caution_whatever_advice_says() {
    // Raspberries straight after raspberries (F66) would be a breach.
    let old = planting(1, "raspberry-summer", day(2020, 11, 1), day(2026, 3, 1));
    let new = planting(2, "raspberry-autumn", day(2026, 3, 10), day(2030, 11, 1));
    let findings = check(&[old, new]);
    let replanted: Vec<_> = of_rule(&findings, Rule::AvoidAfter).iter().map(|finding| finding.severity).collect();
    assert_eq!(replanted, [Severity::Caution]);
}

#[test]
fn advice_that_says_no_more_than_one_family_is_left_to_the_return_interval() {
    // Not potatoes after tomatoes (F47): both are nightshades, families apart in the book.
    assert_eq!(ids(&[past("tomato", 2025), past("potato", 2026)], Rule::AvoidAfter), Vec::<&str>::new());
}

#[test]
fn each_piece_of_advice_is_told_of_a_pair_once() {
    let graph: &CropGraph = graph();
    let (n_taxa, rules) = (book().crops().len() + book().plants().len(), book().follow_rules());
    for before in 0..n_taxa {
        for after in 0..n_taxa {
            let mut told: Vec<&str> =
                graph.rules_between(before, after).iter().map(|&idx| rules[usize::from(idx)].id.as_str()).collect();
            let n_told = told.len();
            told.sort_unstable();
            told.dedup();
            assert_eq!(told.len(), n_told, "{before} before {after}: {told:?}");
        }
    }
}

// Hazards

fn hazards(stands: &[Stand], hazard: &str, year: i32) -> Vec<RotationFinding> {
    let findings = graph().check(book(), &Policy::default(), stands, &[seen(hazard, year)], &[]);
    findings.into_iter().filter(|finding| finding.rule == Rule::HazardHost).collect()
}

#[test]
fn four_hosts_of_a_family_are_the_hosts_five_are_examples() {
    // Canker of parsnips names parsnip, carrot, parsley and coriander; white rot names five alliums, chives the last.
    let fennel = hazards(&[past("florence-fennel", 2026)], "parsnip_canker", 2025);
    assert_eq!((fennel[0].severity, fennel[0].because), (Severity::Note, Because::HostRelative));
    let unnamed = hazards(&[past("welsh_onion", 2026)], "allium_white_rot", 2025);
    assert_eq!((unnamed[0].severity, unnamed[0].because), (Severity::Breach, Because::Host));
}

#[test]
fn a_stand_known_by_family_only_may_have_kept_a_hazard() {
    // Leaf spot of celery lives two years at most without a host: of a sighting in 2020 nothing would be left in 2026.
    assert_eq!(hazards(&[past("celeriac", 2026)], "celery_leaf_spot", 2020), []);
    let kept = hazards(&[past("apiaceae", 2025), past("celeriac", 2026)], "celery_leaf_spot", 2020);
    let celeriac =
        kept.iter().find(|finding| finding.year == 2026).map(|finding| (finding.severity, finding.earlier_year));
    assert_eq!(celeriac, Some((Severity::Breach, Some(2025))));
}

#[test]
fn a_host_beside_another_does_not_keep_the_hazard_for_it() {
    // Clubroot seen twenty years before has died out; cabbage and kale share the bed in 2035.
    let cabbage = planting(1, "cabbage", day(2035, 5, 1), day(2035, 12, 1));
    let kale = planting(2, "kale", day(2035, 5, 20), day(2035, 12, 1));
    assert_eq!(hazards(&[cabbage, kale], "clubroot", 2015), []);
}

#[test]
fn of_several_hosts_the_latest_is_named() {
    // Rhubarb, which carries no clubroot, outstands the cabbage and the kale of 2026.
    let rhubarb = Stand { last_year: 2035, ..past("rhubarb", 2020) };
    let cabbage = planting(1, "cabbage", day(2026, 3, 1), day(2026, 6, 1));
    let kale = planting(2, "kale", day(2026, 7, 1), day(2026, 9, 1));
    let turnips = planting(3, "turnip", day(2028, 4, 1), day(2028, 7, 1));
    let kale_key = kale.key;
    let findings = hazards(&[rhubarb, cabbage, kale, turnips], "clubroot", 2025);
    let turnip = findings.iter().find(|finding| finding.year == 2028).and_then(|finding| finding.earlier);
    assert_eq!(turnip, Some(kale_key));
}

#[test]
fn what_never_is_a_breach_has_no_year_from_which_it_is_a_caution() {
    let caution_year = |crop, hazard| hazards(&[past(crop, 2026)], hazard, 2025)[0].caution_year;
    assert_eq!(caution_year("potato", "potato_black_dot"), None);
    assert_eq!(caution_year("apiaceae", "celery_leaf_spot"), None);
    // Two host-free years at least: 2028.
    assert_eq!(caution_year("celeriac", "celery_leaf_spot"), Some(2028));
}

#[test]
fn a_hazard_counts_as_alive_for_its_usual_break() {
    // Canker of parsnips usually lives three years; four host-free years are the usual break.
    assert_eq!(hazards(&[past("parsnip", 2024)], "parsnip_canker", 2020)[0].severity, Severity::Caution);
    assert_eq!(hazards(&[past("parsnip", 2025)], "parsnip_canker", 2020), []);
}

// Soil

#[test]
fn manure_troubles_roots_sown_within_a_year_after_it() {
    let carrots = [planting(1, "carrot-maincrop", day(2026, 5, 1), day(2026, 10, 20))];
    assert_eq!(soil(&carrots, &[(Amendment::Manure, day(2025, 5, 1))]), [SoilCase::RootsAfterManure]);
    assert_eq!(soil(&carrots, &[(Amendment::Manure, day(2025, 4, 30))]), []);
    // Given on top of them, 141 days before they are lifted, it forks none.
    assert_eq!(soil(&carrots, &[(Amendment::FreshManure, day(2026, 6, 1))]), []);
}

#[test]
fn raw_manure_is_not_kept_from_what_nobody_eats() {
    for green in ["mustard-green-manure", "grass ley"] {
        let stand = [planting(1, green, day(2026, 4, 1), day(2026, 9, 1))];
        assert_eq!(soil(&stand, &[(Amendment::FreshManure, day(2026, 7, 1))]), [], "{green}");
    }
}

#[test]
fn hunger_is_of_two_families_within_a_year_with_nothing_fed_between() {
    let long_ago = (Amendment::Compost, day(2023, 11, 1));
    let cabbage = || planting(1, "cabbage-summer", day(2025, 5, 1), day(2025, 9, 1));
    let courgettes = |year: i32| planting(2, "courgette", day(year, 5, 20), day(year, 10, 1));
    let hungry = [SoilCase::HeavyAfterHeavy];
    assert_eq!(soil(&[cabbage(), courgettes(2026)], &[long_ago]), hungry);
    assert_eq!(soil(&[cabbage(), courgettes(2027)], &[long_ago]), [], "after more than a year");
    let sprouts = planting(2, "brussels-sprout", day(2026, 5, 20), day(2026, 12, 1));
    assert_eq!(soil(&[cabbage(), sprouts], &[long_ago]), [], "one family: the return interval speaks");
    let radish = planting(1, "fodder_radish", day(2025, 8, 1), day(2026, 3, 1));
    assert_eq!(soil(&[radish, courgettes(2026)], &[long_ago]), [], "a green manure");
    // Lime feeds nothing; compost given while the cabbage stood feeds both.
    let given = |amendment, date| soil(&[cabbage(), courgettes(2026)], &[long_ago, (amendment, date)]);
    assert_eq!(given(Amendment::Lime, day(2025, 11, 1)), hungry);
    assert_eq!(given(Amendment::Compost, day(2025, 6, 1)), []);
}
