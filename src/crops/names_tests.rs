//! What growers say, and what it leads to.

use std::collections::HashMap;

use super::*;
use crate::crops::spelling::slips;

fn book() -> CropBook {
    CropBook::embedded().unwrap()
}

#[test]
fn fallow_is_told_in_several_words_none_of_which_is_a_crop() {
    let book = book();
    for word in ["fallow", "Bare", " bare fallow ", "bare-fallow", "bare_fallow"] {
        assert!(book.is_fallow(word), "{word}");
    }
    for word in ["", "leek", "fallows", "bareroot"] {
        assert!(!book.is_fallow(word), "{word}");
    }
    for word in &book.words.fallow.words {
        assert!(book.find(word).is_none() && book.find_families(word).is_empty(), "{word}");
    }
}

#[test]
fn a_name_is_understood_however_it_is_written() {
    let book = book();
    for (asked, id) in [
        ("leek", "leek"),
        ("Leeks", "leek"),
        ("LEEKS", "leek"),
        (" leek ", "leek"),
        ("broad_bean", "broad-bean-spring"),
        ("broad-bean", "broad-bean-spring"),
        ("Broad Beans", "broad-bean-spring"),
        ("broad bean (autumn sown)", "broad-bean-autumn"),
        ("radishes", "radish"),
        ("potatoes", "potato-maincrop"),
        ("tomatoes", "tomato-outdoor"),
        ("cabbages", "cabbage-summer"),
        ("savoy_cabbage", "cabbage-savoy"),
        ("red cabbages", "cabbage-red"),
        ("peas", "pea-shelling"),
        ("raspberries", "raspberry-summer"),
        ("autumn raspberries", "raspberry-autumn"),
        ("chillies", "chilli"),
        ("chilies", "chilli"),
        ("chive", "chives"),
        ("Chinese leaves", "chinese-cabbage"),
        ("mâche", "lambs-lettuce"),
        ("MACHE", "lambs-lettuce"),
        ("Lamb’s lettuce", "lambs-lettuce"),
        ("lambs lettuce", "lambs-lettuce"),
        ("lamb's_lettuce", "lambs-lettuce"),
        ("corn salad", "lambs-lettuce"),
        ("corn", "sweetcorn"),
        ("zucchini", "courgette"),
        ("eggplants", "aubergine"),
        ("rutabaga", "swede"),
        ("arugula", "rocket"),
        ("silverbeet", "chard"),
        ("scallions", "salad-onion"),
        ("spring onions", "salad-onion"),
        ("snow peas", "pea-mangetout"),
        ("fava beans", "broad-bean-spring"),
        ("Brussels sprouts", "brussels-sprout"),
        ("carrots (early)", "carrot-early"),
        ("early carrots", "carrot-early"),
        ("maincrop potatoes", "potato-maincrop"),
        ("dwarf French beans", "french-bean-dwarf"),
        ("winter_squash", "winter-squash"),
        ("sweet_pepper", "sweet-pepper"),
        ("french_bean", "french-bean-dwarf"),
        ("winter_purslane", "claytonia"),
        ("salad_rocket", "rocket"),
        ("grazing_rye", "winter-rye"),
        ("winter_tares", "vetch"),
        ("white_mustard", "mustard-green-manure"),
        ("grass_clover", "grass_clover"),
        ("grass", "grass_ley"),
        ("wheat", "wheat"),
        ("red_clover", "red-clover"),
        ("alfalfa", "lucerne"),
        ("jalapeno", "chilli"),
        ("Courgettes and marrows", "courgette"),
        ("carrot (early)", "carrot-early"),
        ("kale (any)", "kale"),
        ("beans, snap", "french-bean-dwarf"),
        ("cabbage, Chinese", "chinese-cabbage"),
        ("Foeniculum vulgare (Azoricum Group)", "florence-fennel"),
    ] {
        let plant = book.find(asked).unwrap_or_else(|| panic!("`{asked}` is not found"));
        assert_eq!(book.plant_id(plant), id, "{asked}");
    }
}

#[test]
fn every_name_of_the_book_leads_back_to_its_family_in_any_case_and_as_a_plural() {
    let book = book();
    let crops = book.crops.iter().map(|c| (&c.name, &c.other_names, &c.family));
    let plants = book.plants.iter().map(|p| (&p.name, &p.other_names, &p.family));
    for (name, others, family) in crops.chain(plants) {
        for name in std::iter::once(name).chain(others) {
            let plural = if name.contains('(') { name.replacen(" (", "s (", 1) } else { format!("{name}s") };
            for asked in [name.clone(), name.to_uppercase(), name.replace(' ', "_"), plural] {
                let found = book.find(&asked).unwrap_or_else(|| panic!("`{asked}` is not found"));
                let botanical = |id: &str| book.family(id).unwrap().botanical.clone();
                assert_eq!(botanical(book.plant_names(found).2), botanical(family), "{asked}");
            }
        }
    }
}

#[test]
fn no_two_entries_claim_the_same_name_unless_the_usual_one_is_chosen() {
    let book = book();
    let mut claims: HashMap<String, Vec<&str>> = HashMap::new();
    let crops = book.crops.iter().map(|c| (c.id.as_str(), c.name.as_str(), &c.other_names));
    let plants = book.plants.iter().map(|p| (p.id.as_str(), p.name.as_str(), &p.other_names));
    for (id, name, others) in crops.chain(plants) {
        let own: HashSet<String> =
            [folded(name), folded(id)].into_iter().chain(others.iter().map(|other| folded(other))).collect();
        for name in own {
            claims.entry(name).or_default().push(id);
        }
    }
    let doubtful: Vec<_> =
        claims.iter().filter(|(name, ids)| ids.len() > 1 && !book.words.usual.meanings.contains_key(*name)).collect();
    assert!(doubtful.is_empty(), "{doubtful:?}");
}

#[test]
fn nonsense_is_not_found_and_does_not_panic() {
    let book = book();
    for asked in [
        "",
        " ",
        "-",
        "()",
        "s",
        "es",
        "xyzzy",
        "leek and xyzzy",
        "leek and carrot",
        "\u{0}",
        "🥕",
        &"onion".repeat(2000),
    ] {
        assert_eq!(book.find(asked), None, "{asked:?}");
        assert!(book.find_families(asked).is_empty(), "{asked:?}");
        // Nothing is near to nonsense: only the two names put together hold words that are.
        assert!(book.nearest_names(asked, 3).is_empty() || asked.contains("leek"), "{asked:?}");
    }
}

#[test]
fn the_nearest_names_come_best_first_and_each_plant_once() {
    let book = book();
    for (asked, nearest) in [
        ("leak", "Leek"),
        ("lek", "Leek"),
        ("tomatto", "Tomato"),
        ("cabage", "Cabbage"),
        ("brocoli", "broccoli"),
        ("cuorgette", "Courgette"),
        ("courgete", "Courgette"),
        ("raddish", "Radish"),
        ("aspargus", "Asparagus"),
        ("letuce", "Lettuce"),
        ("parsnpi", "Parsnip"),
        ("aubergene", "Aubergine"),
        ("spinnach", "spinach"),
        ("califlower", "Cauliflower"),
        ("zuchini", "zucchini"),
        ("rubarb", "Rhubarb"),
        ("artichoak", "artichoke"),
        ("beatroot", "Beetroot"),
        ("celariac", "Celeriac"),
        ("kolrabi", "Kohlrabi"),
        ("radiccio", "radicchio"),
        ("garlick", "Garlic"),
        ("potatoe", "Potato"),
        ("cucmber", "Cucumber"),
        ("rosmary", "Rosemary"),
        ("early carot", "Carrot"),
        ("swiss chrad", "Swiss chard"),
        ("brusels sprouts", "Brussels sprouts"),
    ] {
        assert_eq!(book.find(asked), None, "{asked}");
        let names = book.nearest_names(asked, 3);
        assert_eq!(names.first().map(String::as_str), Some(nearest), "{asked}: {names:?}");
        assert_eq!(names.iter().collect::<HashSet<_>>().len(), names.len(), "{names:?}");
        assert!(names.iter().all(|name| book.find(name).is_some()), "{names:?}");
        assert!(!book.search(asked).is_empty(), "{asked}");
    }
    assert!(book.nearest_names("leak", 0).is_empty());
}

/// The book as if it had never heard of these crops and plants.
fn book_without(ids: &[&str]) -> CropBook {
    let mut book = book();
    book.crops.retain(|crop| !ids.contains(&crop.id.as_str()));
    book.plants.retain(|plant| !ids.contains(&plant.id.as_str()));
    book.crop_idx_by_id = book.crops.iter().enumerate().map(|(idx, crop)| (crop.id.clone(), idx)).collect();
    book.names = std::sync::OnceLock::new();
    book
}

#[test]
fn what_the_book_does_not_have_is_missing_and_never_another_crop() {
    let with = book();
    for name in ["thyme", "sage", "trefoil"] {
        assert_eq!(with.find(name), with.crop_idx(name).map(PlantRef::Crop), "{name}");
        assert_eq!(with.search(name).first().copied(), with.crop_idx(name), "{name}");
    }
    // A herb, a herb and a clover whose letters lie scattered over names of tomatoes, Chinese cabbage and rye.
    let without = book_without(&[
        "thyme",
        "sage",
        "trefoil",
        "clary_sage",
        "pineapple_sage",
        "birdsfoot_trefoil",
        "cuban_oregano",
    ]);
    for name in ["thyme", "sage", "trefoil", "velvet", "tractor", "spade", "trellis", "slug", "kapok", "orageno"] {
        assert_eq!(without.find(name), None, "{name}");
        assert_eq!(without.nearest_names(name, 3), Vec::<String>::new(), "{name}");
        assert_eq!(without.search(name), Vec::<usize>::new(), "{name}");
    }
    // Plants by their right names are no crops, though pear is a letter from pea and there are banana shallots.
    for name in ["tulip", "pear", "banana", "turmeric", "rice", "mango", "teasel", "cotton"] {
        assert!(matches!(with.find(name), Some(PlantRef::Known(_))), "{name}");
        assert_eq!(with.search(name), Vec::<usize>::new(), "{name}");
    }
}

#[test]
fn slips_are_counted_by_letters_and_short_names_must_begin_right() {
    for (asked, known, n_slips) in [
        ("leek", "leek", Some(0)),
        ("lek", "leek", Some(1)),
        ("lee", "leek", Some(1)),
        // Of three letters none may be wrong, of four none too many, and the first must be right.
        ("rue", "rye", None),
        ("pear", "pea", None),
        ("beek", "leek", None),
        ("lk", "leek", None),
        // One in five to seven letters.
        ("letuce", "lettuce", Some(1)),
        ("ltuce", "lettuce", None),
        // Two in eight to eleven, three in twelve.
        ("artichok", "artichoke", Some(1)),
        ("artichoak", "artichoke", Some(2)),
        ("arttichoakk", "artichoke", None),
        ("musselborogh", "musselburgh", Some(2)),
    ] {
        assert_eq!(slips(asked, known), n_slips, "{asked} {known}");
    }
}

#[test]
fn families_are_found_by_id_botanical_old_and_common_names() {
    let book = book();
    for (asked, ids) in [
        ("brassicaceae", &["brassicaceae"][..]),
        ("Cruciferae", &["brassicaceae"]),
        ("brassicas", &["brassicaceae"]),
        ("Brassica", &["brassicaceae"]),
        ("cabbage family", &["brassicaceae"]),
        ("the cabbage family", &["brassicaceae"]),
        ("crucifers", &["brassicaceae"]),
        ("mustard family", &["brassicaceae"]),
        ("Umbelliferae", &["apiaceae"]),
        ("umbellifers", &["apiaceae"]),
        ("Solanaceae", &["solanaceae_potato", "solanaceae_fruiting"]),
        ("nightshades", &["solanaceae_potato", "solanaceae_fruiting"]),
        ("solanaceae potato", &["solanaceae_potato"]),
        ("solanaceae_fruiting", &["solanaceae_fruiting"]),
        ("legumes", &["fabaceae_pea_broadbean", "fabaceae_phaseolus", "fabaceae_greenmanure"]),
        ("Leguminosae", &["fabaceae_pea_broadbean", "fabaceae_phaseolus", "fabaceae_greenmanure"]),
        ("alliums", &["amaryllidaceae"]),
        ("Alliaceae", &["amaryllidaceae"]),
        ("onion family", &["amaryllidaceae"]),
        ("cucurbits", &["cucurbitaceae"]),
        ("Chenopodiaceae", &["amaranthaceae"]),
        ("goosefoots", &["amaranthaceae"]),
        ("Compositae", &["asteraceae"]),
        ("daisy family", &["asteraceae"]),
        ("Gramineae", &["poaceae"]),
        ("grass family", &["poaceae"]),
        ("leek", &[]),
    ] {
        let found: Vec<&str> =
            book.find_families(asked).into_iter().map(|idx| book.families[idx].id.as_str()).collect();
        assert_eq!(found, ids, "{asked}");
    }
}

proptest::proptest! {
    #![proptest_config(proptest::prelude::ProptestConfig { failure_persistence: None, cases: 64, ..Default::default() })]

    #[test]
    fn folding_twice_changes_nothing(text in "\\PC{0,40}") {
        let once = folded(&text);
        proptest::prop_assert_eq!(folded(&once), once);
    }
}
