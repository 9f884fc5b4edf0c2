//! Botanical names and families of crops, and the return intervals of families, against published tables.
//!
//! `data/botanical.csv` carries the source beside each row: the family group is read in the extension table that is
//! named; binomials and formal family names follow APG IV and GRIN from memory where the row says so.

use bedfellow::crops::{CropBook, PlantRef};

fn book() -> CropBook {
    CropBook::embedded().expect("the embedded book loads")
}

/// Genus and species without what follows them.
fn genus_and_species(latin: &str) -> String {
    let words: Vec<&str> = latin.split_whitespace().collect();
    let n = if words.get(1) == Some(&"x") { 3 } else { 2 };
    words.into_iter().take(n).collect::<Vec<_>>().join(" ")
}

fn botanical_family(book: &CropBook, plant: PlantRef) -> String {
    let (_, _, family) = book.plant_names(plant);
    book.family(family).expect("a plant's family is in the book").botanical.clone()
}

#[test]
fn every_crop_of_the_published_table_has_its_binomial_and_family() {
    let book = book();
    let mut reader =
        csv::Reader::from_path(concat!(env!("CARGO_MANIFEST_DIR"), "/tests/outside/data/botanical.csv")).unwrap();
    let mut n_rows = 0;
    for row in reader.records() {
        let row = row.unwrap();
        let (id, name, latin, family, source) = (&row[0], &row[1], &row[2], &row[3], &row[4]);
        for asked in [id, name] {
            let plant = book.find(asked).unwrap_or_else(|| panic!("`{asked}` is not found ({source})"));
            let (_, own_latin, _) = book.plant_names(plant);
            assert_eq!(genus_and_species(own_latin), latin, "{asked} ({source})");
            assert_eq!(botanical_family(&book, plant), family, "{asked} ({source})");
        }
        n_rows += 1;
    }
    assert_eq!(n_rows, 86);
}

/// What a layman's name makes one guess wrong. Families by APG IV, from memory.
#[test]
fn misleading_names_do_not_mislead() {
    let book = book();
    for (name, family) in [
        ("sweet potato", "Convolvulaceae"),
        ("celeriac", "Apiaceae"),
        ("corn salad", "Caprifoliaceae"),
        ("miner's lettuce", "Montiaceae"),
        ("New Zealand spinach", "Aizoaceae"),
        ("Malabar spinach", "Basellaceae"),
        ("perpetual spinach", "Amaranthaceae"),
        ("salsify", "Asteraceae"),
        ("scorzonera", "Asteraceae"),
        ("Jerusalem artichoke", "Asteraceae"),
        ("Chinese artichoke", "Lamiaceae"),
        ("buckwheat", "Polygonaceae"),
        ("rhubarb", "Polygonaceae"),
        ("land cress", "Brassicaceae"),
        ("watercress", "Brassicaceae"),
        ("swede", "Brassicaceae"),
        ("mooli", "Brassicaceae"),
        ("horseradish", "Brassicaceae"),
        ("asparagus", "Asparagaceae"),
        ("leek", "Amaryllidaceae"),
        ("peanuts", "Fabaceae"),
        ("cape gooseberry", "Solanaceae"),
        ("gooseberry", "Grossulariaceae"),
        ("oca", "Oxalidaceae"),
        ("mashua", "Tropaeolaceae"),
        ("yacon", "Asteraceae"),
        ("rock samphire", "Apiaceae"),
        ("marsh samphire", "Amaranthaceae"),
        ("phacelia", "Boraginaceae"),
        ("strawberry", "Rosaceae"),
    ] {
        let plant = book.find(name).unwrap_or_else(|| panic!("`{name}` is not found"));
        assert_eq!(botanical_family(&book, plant), family, "{name}");
    }
}

/// Every name in the published rotation examples (data of tests/outside) is one the book knows.
#[test]
fn every_crop_named_in_published_rotations_is_known() {
    let book = book();
    for name in [
        "asparagus",
        "aubergine",
        "barley",
        "beetroot",
        "broad_bean",
        "cabbage",
        "calabrese",
        "carrot",
        "celeriac",
        "chard",
        "courgette",
        "cucumber",
        "french_bean",
        "garlic",
        "grass",
        "grass_clover",
        "grazing_rye",
        "kale",
        "leek",
        "lettuce",
        "lucerne",
        "melon",
        "oats",
        "onion",
        "parsnip",
        "pea",
        "potato",
        "radish",
        "raspberry",
        "red_clover",
        "spinach",
        "strawberry",
        "swede",
        "sweet_pepper",
        "sweetcorn",
        "tomato",
        "turnip",
        "wheat",
        "winter_squash",
        "winter_tares",
    ] {
        let plant = book.find(name).unwrap_or_else(|| panic!("`{name}` is not found"));
        assert_eq!(
            book.rotation_id(plant).replace('-', "_"),
            match name {
                "grass" => "grass_ley",
                other => other,
            }
        );
    }
}

/// Host-free years as published, and the return interval (host-free years + 1) the book starts from.
#[test]
fn return_intervals_are_the_published_host_free_years_and_one() {
    let book = book();
    let family = |id: &str| book.family(id).unwrap_or_else(|| panic!("{id}"));
    // Soil Association organic standards 2005, 5.1.10-5.1.13 (as summarised at organicrules.org/226): at least
    // three seasons between outdoor alliums, brassicas or potatoes.
    for id in ["amaryllidaceae", "brassicaceae", "solanaceae_potato"] {
        assert_eq!(family(id).return_usual_years, 3 + 1, "{id}");
    }
    // RHS three-year plan (rhs.org.uk, text as reproduced by Alwoodley Allotments): back in the fourth year at the
    // latest, so one course in three is the least that is advised.
    for id in ["amaryllidaceae", "brassicaceae", "solanaceae_potato", "apiaceae"] {
        assert_eq!(family(id).return_min_years, 3, "{id}");
    }
    // "Integrated Pest Management" guidance, Table 10 (copy at 9dok.net): carrots one year in 4 to 6; lettuce and
    // endive one year in three; spinach one year in three.
    assert_eq!((family("apiaceae").return_usual_years, family("apiaceae").return_max_years), (4, Some(6)));
    assert_eq!(family("asteraceae").return_usual_years, 3);
    assert_eq!(family("amaranthaceae").return_usual_years, 3);
    // University of Connecticut IPM, "Rotation periods suggested to help control vegetable diseases": after clubroot
    // seven years without a host; lettuce drop three; asparagus after fusarium is not replanted.
    assert_eq!(family("brassicaceae").return_max_years, Some(7));
    assert_eq!(family("asteraceae").return_max_years, Some(3 + 1));
    assert_eq!(family("asparagaceae").return_max_years, None);
    // RHS (rhs.org.uk): cucurbits, French and runner beans, sweetcorn and salads may go wherever convenient.
    for id in ["cucurbitaceae", "fabaceae_phaseolus", "poaceae", "asteraceae"] {
        assert!(family(id).is_commonly_exempt(), "{id}");
    }
    for id in ["brassicaceae", "amaryllidaceae", "solanaceae_potato", "apiaceae", "fabaceae_pea_broadbean"] {
        assert!(!family(id).is_commonly_exempt(), "{id}");
    }
}

/// How long hazards stay, as published.
#[test]
fn hazards_stay_as_long_as_published() {
    let book = book();
    let hazard = |id: &str| book.hazards().iter().find(|hazard| hazard.id == id).unwrap_or_else(|| panic!("{id}"));
    let close = |a: f64, b: f64| (a - b).abs() < 1e-9;
    // University of Connecticut IPM: clubroot, seven years. FAO cabbage IPM guide: viable 7 to 20 years.
    let clubroot = hazard("clubroot");
    assert!(close(clubroot.break_years.1, 7.0));
    assert!(close(clubroot.persistence_years.0, 7.0) && close(clubroot.persistence_years.2, 20.0));
    // UC IPM onion and garlic: white rot sclerotia over 20 years; UMass Extension: 15 years or more.
    let white_rot = hazard("allium_white_rot");
    assert!(close(white_rot.persistence_years.1, 15.0) && white_rot.persistence_years.2 >= 20.0);
    // PGRO TU34 (2025): foot rot resting spores last more than ten years.
    assert!(hazard("pea_foot_rot").persistence_years.1 >= 10.0);
    // Ontario OMAFRA: non-hosts for three or more years virtually eliminate stem nematode.
    assert!(close(hazard("onion_stem_nematode").break_years.0, 3.0));
    // Rothamsted (item 891vw): potatoes once in 5 or 6 years are too often for potato cyst nematodes, so five
    // host-free years are too few.
    assert!(hazard("potato_cyst_nematode").break_years.0 > 5.0);
}
