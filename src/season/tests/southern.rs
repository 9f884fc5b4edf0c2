//! A whole plan at 38° S: every season is the site's own, none half a year off.

use super::*;
use crate::garden::ClimateChoice;
use crate::season::{Reason, SoilCover};

fn southern(bed_ids: &[&str]) -> Garden {
    let mut garden = garden(bed_ids);
    garden.site.latitude_deg = -38.0;
    garden.site.elevation_m = 100;
    garden.site.climate = ClimateChoice::Book("southern-temperate".to_owned());
    garden
}

/// One planting to a bed, each with the day it goes in.
fn one_each(entries: &[(&str, NaiveDate)]) -> Garden {
    let ids: Vec<String> = (1..=entries.len()).map(|n| format!("A{n}")).collect();
    let mut garden = southern(&ids.iter().map(String::as_str).collect::<Vec<_>>());
    for (place, (crop, on)) in entries.iter().enumerate() {
        let mut one = planting(place as u32 + 1, &ids[place], crop, grid(60), *on, day(2035, 1, 1));
        one.raised = book().crop(crop).unwrap().seed.raised[0];
        one.planned = crate::season::entry::entering_on(one.raised, *on);
        garden.plantings.push(one);
    }
    garden
}

#[test]
fn what_growers_of_the_south_plant_in_their_seasons_meets_no_objection_and_ripens_when_they_pick() {
    // Common practice, no published source: the seasons of temperate southern gardens.
    let entries = [
        ("potato-maincrop", day(2027, 9, 25), (2028, 1)..=(2028, 4)),
        ("tomato-outdoor", day(2027, 11, 10), (2028, 1)..=(2028, 3)),
        ("courgette", day(2027, 11, 10), (2027, 12)..=(2028, 2)),
        ("french-bean-dwarf", day(2027, 11, 20), (2028, 1)..=(2028, 2)),
        ("lettuce-head", day(2027, 10, 1), (2027, 11)..=(2027, 12)),
        ("carrot-maincrop", day(2027, 11, 1), (2028, 2)..=(2028, 4)),
        ("leek", day(2027, 11, 25), (2028, 2)..=(2028, 5)),
        ("parsnip", day(2027, 9, 25), (2028, 3)..=(2028, 6)),
        ("garlic", day(2027, 4, 25), (2027, 11)..=(2028, 1)),
        ("broad-bean-autumn", day(2027, 5, 5), (2027, 10)..=(2027, 12)),
    ];
    let plan = plan(one_each(&entries.each_ref().map(|(crop, on, _)| (*crop, *on))));
    for (place, (crop, on, picked)) in entries.iter().enumerate() {
        let pick = plan.standing(PlantingId(place as u32 + 1)).unwrap().stages.first_pick;
        let month = (chrono::Datelike::year(&pick), chrono::Datelike::month(&pick));
        assert!(picked.contains(&month), "{crop} of {on}: {pick}");
    }
    let said: Vec<_> = plan
        .findings()
        .into_iter()
        .filter(|finding| finding.severity > Severity::Note || matches!(finding.says, Says::OutOfSeason { .. }))
        .collect();
    assert!(said.is_empty(), "{said:#?}");
}

#[test]
fn the_north_s_days_are_out_of_season_in_the_south() {
    for (crop, on) in [
        ("tomato-outdoor", day(2027, 5, 25)),
        ("french-bean-dwarf", day(2027, 6, 1)),
        ("garlic", day(2027, 10, 20)),
        ("leek", day(2027, 6, 10)),
    ] {
        assert_eq!(worst_of(&plan(one_each(&[(crop, on)])), "out-of-season"), Some(Severity::Caution), "{crop}");
    }
}

#[test]
fn beds_are_empty_in_the_growing_season_that_the_site_s_own_days_make() {
    let mut garden = southern(&["A1"]);
    garden.plantings = vec![
        planting(1, "A1", "lettuce-head", grid(28), day(2027, 8, 5), day(2027, 11, 20)),
        // Out in June, when nothing grows: no gap before spring.
        planting(2, "A1", "beetroot", grid(25), day(2028, 1, 1), day(2028, 6, 1)),
        planting(3, "A1", "lettuce-head", grid(28), day(2028, 8, 1), day(2028, 11, 1)),
    ];
    let plan = plan(garden);
    let (opens, closes) = plan.almanac().growing_season(Cover::Open, 2027).unwrap();
    // All means of this climate are above 5 °C (7.95 in July), so that light decides: at 38° S days are shorter than ten hours
    // from 22 May to 21 July (9.6 h at the solstice; computed by the program's own sun, checked in tests/outside).
    assert!((day(2027, 7, 10)..=day(2027, 7, 28)).contains(&opens), "{opens}");
    assert!((day(2028, 5, 14)..=day(2028, 5, 31)).contains(&closes), "{closes}");
    let gaps: Vec<_> = says(&plan, "gap").iter().map(|finding| &finding.says).collect();
    // 20 November to 1 January are 42 days; from the last crop of November to the end of its season.
    assert!(matches!(gaps[0], Says::Gap { from, n_weeks: 6, .. } if *from == day(2027, 11, 20)), "{gaps:?}");
    assert_eq!(gaps.len(), 2, "{gaps:?}");
    assert!(matches!(gaps[1], Says::Gap { from, .. } if *from == day(2028, 11, 1)), "{gaps:?}");
}

#[test]
fn what_could_follow_is_of_the_season_there() {
    let plan = plan(southern(&["A1"]));
    let book = book();
    let has = |on: NaiveDate, crop: &str| {
        let list = plan.candidates(0, on);
        let found = list.iter().find(|candidate| book.crops()[candidate.crop_idx].id == crop);
        found.map(|candidate| candidate.reasons.clone())
    };
    assert!(has(day(2027, 11, 5), "courgette").is_some() && has(day(2027, 11, 5), "garlic").is_none());
    assert!(has(day(2027, 4, 10), "garlic").is_some() && has(day(2027, 4, 10), "courgette").is_none());
    let covers =
        |on: NaiveDate| has(on, "winter-rye").is_some_and(|why| why.contains(&Reason::Covers(SoilCover::OverWinter)));
    assert!(covers(day(2027, 3, 25)) && !covers(day(2027, 9, 25)));
}

#[test]
fn no_window_of_any_crop_lies_absurdly() {
    // A book's window half a year later, give or take what frost dates move: within seven weeks by its middle.
    let plan = plan(southern(&["A1"]));
    let north = crate::growth::Almanac::new(&Arc::new(crate::climate::reference().unwrap()), None);
    let book = book();
    for crop in book.crops() {
        let raised = crop.seed.raised[0];
        let middle = |almanac: &crate::growth::Almanac| {
            let growing = almanac.growing(crop, raised, Cover::Open);
            let is_in = |on: NaiveDate| growing.is_in_season(on);
            let out = day(2027, 1, 1).iter_days().find(|on| !is_in(*on))?;
            let first = growing.next_entry(out)?;
            let n_days = first.iter_days().take_while(|on| is_in(*on)).count() as i64;
            Some(first + chrono::Duration::days(n_days / 2))
        };
        let (Some(here), Some(there)) = (middle(plan.almanac()), middle(&north)) else { continue };
        let off = ((here - there).num_days() - 182).rem_euclid(365);
        assert!(off.min(365 - off) <= 49, "{}: {here}, in the north {there}", crop.id);
    }
}
