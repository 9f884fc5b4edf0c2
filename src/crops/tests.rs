//! The embedded book as a whole: it loads, every figure has a source, every name leads somewhere.

use std::collections::BTreeSet;

use super::*;

fn book() -> CropBook {
    CropBook::embedded().unwrap_or_else(|error| panic!("{error}"))
}

#[test]
fn the_embedded_book_holds_together_and_is_whole() {
    let book = book();
    assert_eq!(book.crops().len(), 172);
    assert_eq!(book.hazards().len(), 40);
    let rules: BTreeSet<&str> = book.follow_rules().iter().map(|rule| rule.id.as_str()).collect();
    assert_eq!(rules.len(), 71, "F01 to F71, each of one pair or more");
    // The thirty families that hold crops of the reference, and those that only known plants need.
    assert_eq!(book.families().iter().filter(|family| family.source != "family-other").count(), 30);
    assert!(book.plants().len() > 350);
}

#[test]
fn every_group_of_every_crop_has_a_source_in_words() {
    let book = book();
    for crop in book.crops() {
        let mut sources = vec![
            &crop.spacing.source,
            &crop.seed.source,
            &crop.calendar.source,
            &crop.temperature.source,
            &crop.size.source,
            &crop.yields.source,
            &crop.keeping.source,
            &crop.feeding_source,
        ];
        // None of the book's cautions stands without its source.
        sources.extend(crop.caution.as_ref().map(|_| &crop.caution_source));
        sources.extend(crop.stages.as_ref().map(|stages| &stages.source));
        sources.extend(crop.bed_years.as_ref().map(|bed_years| &bed_years.source));
        sources.extend(crop.development.as_ref().map(|development| &development.source));
        sources.extend(crop.emergence.as_ref().map(|comes_up| &comes_up.source));
        sources.extend((!crop.timing.source.is_empty()).then_some(&crop.timing.source));
        for source in sources {
            let words = book.source_words(source);
            let is_marked =
                ["read in ", "from memory", "common practice", "judgement", "not a food crop", "not stored"]
                    .iter()
                    .any(|mark| words.contains(mark));
            assert!(is_marked, "{}: `{source}` stands for `{words}`", crop.id);
            assert!(!words.contains("opened"), "{}: {words}", crop.id);
        }
    }
}

#[test]
fn every_source_of_families_hazards_rules_and_plants_says_how_it_was_had() {
    let book = book();
    let sources = (book.families().iter().map(|family| &family.source))
        .chain(book.families().iter().filter_map(|family| family.after_lime.as_ref()).map(|lime| &lime.source))
        .chain(book.hazards().iter().map(|hazard| &hazard.source))
        .chain(book.follow_rules().iter().map(|rule| &rule.source))
        .chain(book.plants().iter().map(|plant| &plant.source));
    for source in sources {
        let words = book.source_words(source);
        let is_marked = ["read in", "from memory", "common practice"].iter().any(|mark| words.contains(mark));
        assert!(is_marked, "{source}: {words}");
    }
}

#[test]
fn no_source_is_kept_that_nothing_points_to() {
    let book = book();
    let mut used: BTreeSet<&str> = BTreeSet::new();
    for crop in book.crops() {
        used.extend([
            crop.spacing.source.as_str(),
            &crop.seed.source,
            &crop.calendar.source,
            &crop.temperature.source,
            &crop.size.source,
            &crop.yields.source,
            &crop.keeping.source,
            &crop.feeding_source,
            &crop.caution_source,
        ]);
        used.extend(crop.stages.as_ref().map(|stages| stages.source.as_str()));
        used.extend(crop.emergence.as_ref().map(|comes_up| comes_up.source.as_str()));
        used.insert(&crop.timing.source);
        used.extend(crop.development.as_ref().map(|development| development.source.as_str()));
    }
    used.extend(book.families().iter().map(|family| family.source.as_str()));
    used.extend(book.hazards().iter().map(|hazard| hazard.source.as_str()));
    used.extend(book.follow_rules().iter().map(|rule| rule.source.as_str()));
    used.extend(book.plants().iter().map(|plant| plant.source.as_str()));
    let idle: Vec<&String> = book.sources.keys().filter(|key| !used.contains(key.as_str())).collect();
    assert!(idle.is_empty(), "{idle:?}");
}

#[test]
fn every_host_of_a_hazard_is_a_plant_the_book_knows() {
    let book = book();
    for hazard in book.hazards() {
        for host in hazard.host_crops.iter().chain(&hazard.host_green_manures) {
            let plant = book.find(host).unwrap_or_else(|| panic!("{}: `{host}`", hazard.id));
            assert!(
                book.rotation_id(plant) == host || book.plant_id(plant) == host,
                "{}: `{host}` leads to {}",
                hazard.id,
                book.rotation_id(plant)
            );
        }
    }
}

/// Things done to the ground, or counted, which no plant stands for.
const PRACTICES_WITHOUT_PLANTS: [&str; 9] = [
    "clover ley then potatoes",
    "cruciferous cover crop grown against nematodes",
    "fresh manure or compost",
    "harvest",
    "lime application",
    "lime application then Brassicaceae",
    "ploughed cover crop or fresh residues",
    "raw manure (ground-contact crop)",
    "rotation count",
];

#[test]
fn every_name_in_a_follow_rule_leads_to_a_plant_a_family_or_a_listed_practice() {
    let book = book();
    let everything =
        || (0..book.crops().len()).map(PlantRef::Crop).chain((0..book.plants().len()).map(PlantRef::Known));
    for rule in book.follow_rules() {
        for (kind, name) in [(rule.before_kind, &rule.before), (rule.after_kind, &rule.after)] {
            let leads_somewhere = match kind {
                RuleSide::Crop => {
                    book.find(name).is_some_and(|plant| book.rotation_id(plant) == name || book.plant_id(plant) == name)
                }
                RuleSide::Family => name == SAME_FAMILY || !book.find_families(name).is_empty(),
                RuleSide::Group | RuleSide::Practice => {
                    PRACTICES_WITHOUT_PLANTS.contains(&name.as_str())
                        || everything().any(|plant| book.is_in_group(plant, name))
                }
            };
            assert!(leads_somewhere, "{}: {kind:?} `{name}`", rule.id);
        }
    }
}

#[test]
fn every_crop_of_a_botanical_family_that_clubroot_names_is_of_that_family() {
    let book = book();
    let clubroot = book.hazards().iter().find(|hazard| hazard.id == "clubroot").unwrap();
    assert_eq!(clubroot.host_families, ["Brassicaceae"]);
    for host in clubroot.host_crops.iter().chain(&clubroot.host_green_manures) {
        let (name, _, family) = book.plant_names(book.find(host).unwrap());
        assert_eq!(family, "brassicaceae", "{name}");
    }
}

#[test]
fn figures_are_those_of_the_reference_for_one_crop_in_full() {
    // Leek: 15 x 30 cm single plants, or clumps of four at 25 cm; 22.2 and 64 plants per m² (worked by hand).
    let book = book();
    let leek = book.crop("leek").unwrap();
    let at = &leek.spacing;
    let per_m2 =
        |clump: u32, a: crate::units::Mm, b: crate::units::Mm| f64::from(clump) * 1e6 / (a.as_f64() * b.as_f64());
    assert!((per_m2(at.row_clump, at.row_mm.unwrap(), at.in_row_mm.unwrap()) - 22.222).abs() < 0.001);
    assert!((per_m2(at.clump, at.equidistant_mm.unwrap(), at.equidistant_mm.unwrap()) - 64.0).abs() < 1e-9);
    assert_eq!(leek.seed.raised, [Raised::Module, Raised::InPlace]);
    assert_eq!(leek.calendar.harvest, Months { from: 9, to: 4 });
    assert_eq!(leek.calendar.days_from_planting, Some(95));
    assert!(leek.stages.is_none(), "FAO-56 Table 11 has no leek");
    // FAO-56 Table 11, potato planted in April, Europe: 30, 35, 50 and 30 days, 145 together.
    let stages = book.crop("potato-maincrop").unwrap().stages.clone().unwrap();
    let days = [stages.initial_days, stages.development_days, stages.mid_days, stages.late_days];
    assert!((days.iter().sum::<f64>() - 145.0).abs() < 1e-9 && days[0] < days[1]);
}

#[test]
fn crops_that_can_hurt_carry_a_caution_that_defers_to_advice() {
    let book = book();
    for id in [
        "rhubarb",
        "potato-maincrop",
        "potato-first-early",
        "runner-bean",
        "french-bean-dwarf",
        "french-bean-climbing",
        "tomato-outdoor",
        "aubergine",
        "broad-bean-spring",
        "parsnip",
        "asparagus",
        "courgette",
        "lambs-lettuce",
        "chard",
        "beetroot",
        "fennel-herb",
        "lovage",
        "watercress",
        "drying-bean-dwarf",
        "edamame",
        "buckwheat",
        "tomatillo",
        "marrow",
        "borage",
        "sage",
    ] {
        let crop = book.crop(id).unwrap();
        assert!(crop.caution.is_some(), "{id}");
        let source = book.source_words(&crop.caution_source);
        assert!(source.contains("qualified advice") && source.contains("from memory"), "{id}: {source}");
    }
}

#[test]
fn no_two_crops_share_a_name_or_a_short_name() {
    let book = book();
    let (mut names, mut short_names) = (BTreeSet::new(), BTreeSet::new());
    for crop in book.crops() {
        assert!(names.insert(&crop.name), "{}", crop.name);
        assert!(short_names.insert(&crop.short_name), "{}", crop.short_name);
    }
}

#[test]
fn a_garden_replaces_a_crop_by_its_id_and_adds_another() {
    let book = book();
    let mut leek = book.crop("leek").unwrap().clone();
    leek.name = "Home leek".to_owned();
    let mut giant = book.crop("leek").unwrap().clone();
    giant.id = "giant-leek".to_owned();
    giant.name = "Giant leek".to_owned();
    giant.short_name = "Giant leek".to_owned();
    giant.other_names = vec!["onion".to_owned()];
    let own = book.with_own_crops(&[leek, giant]).unwrap();
    assert_eq!(own.crops().len(), 173);
    assert_eq!(own.crop_idx("leek"), book.crop_idx("leek"));
    assert_eq!(own.crop("leek").unwrap().name, "Home leek");
    assert_eq!(own.find("home leeks"), own.crop_idx("leek").map(PlantRef::Crop));
    assert_eq!(own.find("Giant Leeks"), Some(PlantRef::Crop(172)));
    assert_eq!(own.plant_names(PlantRef::Crop(172)).0, "Giant leek");
    assert_eq!(book.find("Giant leek"), None, "the book itself is as it was");
    assert_eq!(own.find("onion"), book.find("onion"), "a by-name does not take the usual word from the usual crop");
}

#[test]
fn own_crops_are_checked_like_the_book() {
    let book = book();
    let mut leek = book.crop("leek").unwrap().clone();
    leek.spacing.row_mm = Some(crate::units::Mm(0));
    let error = book.with_own_crops(&[leek.clone()]).unwrap_err();
    assert_eq!(error.to_string(), "the garden's own crops: leek: spacing.row_mm: is 0 mm, must be above 0");
    leek.spacing.row_mm = None;
    leek.family = "leekaceae".to_owned();
    let error = book.with_own_crops(&[leek.clone()]).unwrap_err();
    assert_eq!(error.to_string(), "the garden's own crops: leek: family: `leekaceae` is no family of families.ron");
    let twice = book.crop("leek").unwrap();
    let error = book.with_own_crops(&[twice.clone(), twice.clone()]).unwrap_err();
    assert_eq!(error.to_string(), "the garden's own crops: leek: id: is there twice");
}

#[test]
fn a_place_outside_the_book_has_no_name_rather_than_a_panic() {
    let book = book();
    assert_eq!(book.plant_names(PlantRef::Crop(9999)), ("", "", ""));
    assert_eq!(book.plant_names(PlantRef::Known(9999)), ("", "", ""));
    assert!(!book.is_in_group(PlantRef::Known(9999), "root crop"));
}

#[test]
fn the_usual_words_lead_to_crops_and_plants_of_the_book() {
    let book = book();
    for (word, id) in &book.words.usual.meanings {
        let plant = book.find(word).unwrap_or_else(|| panic!("{word}"));
        assert_eq!(book.plant_id(plant), id.as_str(), "{word}");
    }
}

#[test]
fn a_window_over_new_year_holds_its_last_month() {
    let winter = Months { from: 11, to: 2 };
    let held: Vec<u32> = (1..=12).filter(|month| winter.holds(*month)).collect();
    assert_eq!(held, [1, 2, 11, 12]);
}

/// A sound crop of that name alone.
fn own_crop(id: &str, name: &str) -> Crop {
    let mut own = book().crop("leek").unwrap().clone();
    (own.id, own.name, own.short_name, own.latin) = (id.to_owned(), name.to_owned(), id.to_owned(), name.to_owned());
    (own.other_names, own.known_as) = (Vec::new(), None);
    own
}

#[test]
fn a_garden_s_own_crop_takes_the_name_of_the_book_s_and_is_found_though_names_were_asked_before() {
    let book = book();
    assert_eq!(book.find("Leek"), book.crop_idx("leek").map(PlantRef::Crop));
    let own =
        book.with_own_crops(&[own_crop("fennock", "Lettuce (hearting)"), own_crop("fell-kale", "Fell kale")]).unwrap();
    let name = "Lettuce (hearting)";
    assert_eq!(book.find(name), book.crop_idx("lettuce-head").map(PlantRef::Crop));
    assert_eq!(own.find(name), own.crop_idx("fennock").map(PlantRef::Crop), "of equal claims the last holds");
    assert_eq!(own.find("fell kale"), own.crop_idx("fell-kale").map(PlantRef::Crop));
}

#[test]
fn near_names_name_each_plant_once_however_many_are_asked_for() {
    let book = book();
    let names = book.nearest_names("leek", 10_000);
    assert_eq!(names[0], "Leek");
    assert!(names.len() <= book.crops().len() + book.plants().len(), "{}", names.len());
}

#[test]
fn a_search_for_a_word_keeps_out_what_only_holds_its_letters() {
    let book = book().with_own_crops(&[own_crop("soyabeans", "Soyabeans")]).unwrap();
    let holds = |letters: &str| book.search(letters).contains(&book.crop_idx("soyabeans").unwrap());
    assert!(holds("yabean") && holds("soya") && !holds("bean"));
    // What is left of a plural must be a word: "is" are not many of "i".
    assert_eq!(SearchWords::of("is").hold_of("I"), None);
}

#[test]
fn twenty_metres_are_the_longest_length_of_the_book() {
    let tall = |mm: i32| {
        let mut own = own_crop("beanstalk", "Beanstalk");
        own.size.height_mm = crate::units::Mm(mm);
        book().with_own_crops(&[own]).is_ok()
    };
    assert_eq!((tall(20_000), tall(20_001)), (true, false));
}

#[test]
fn a_family_that_is_exempt_in_part_is_commonly_exempt() {
    // Peppers and aubergines may go anywhere (RHS), tomatoes not; of potatoes nobody says so.
    let is_exempt = |id: &str| book().family(id).unwrap().is_commonly_exempt();
    assert_eq!([is_exempt("solanaceae_fruiting"), is_exempt("solanaceae_potato")], [true, false]);
    assert!(is_exempt("asteraceae"));
}
