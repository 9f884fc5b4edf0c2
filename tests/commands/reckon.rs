//! The desk calculator.

use super::bench::{Bench, has_keys, keys};

#[test]
fn leeks_in_clumps_of_four_at_thirty_two_stations_make_128_plants() {
    // A bed of 1.2 m × 2.4 m at 30 cm: 4 × 8 = 32 stations, × 4 = 128 plants (common practice, no published source).
    let bench = Bench::new();
    let answer = bench.json("reckon plants --bed 120x240 --layout grid --spacing 30 --clump 4", 0);
    assert_eq!(keys(&answer), ["lines", "per_m2", "plants", "stations"]);
    assert_eq!((answer["stations"].as_u64(), answer["plants"].as_u64()), (Some(32), Some(128)));
    // 128 plants on 2.88 m², by hand.
    assert!((answer["per_m2"].as_f64().unwrap() - 44.4444).abs() < 1e-9);
    let text = bench.run("reckon plants --bed 120x240 --layout grid --spacing 30 --clump 4").out;
    assert!(text.contains("32 stations × 4 = 128 plants"), "{text}");
}

#[test]
fn every_layout_counts_and_one_plant_is_not_plants() {
    let bench = Bench::new();
    let n =
        |words: &str, key: &str| bench.json(&format!("reckon plants --bed 120x240 {words}"), 0)[key].as_u64().unwrap();
    // By hand: 240 / 15 = 16 stations a line; 120 / 45 = 2 whole rows (a third would lie over the edge).
    assert_eq!(n("--layout rows --row 45 --in-row 15", "stations"), 32);
    assert_eq!(n("--layout edge --spacing 15", "stations"), 16);
    assert_eq!(n("--layout edge --spacing 15 --sides 2", "stations"), 32);
    assert_eq!(n("--layout edge --spacing 15 --sides 2", "lines"), 2);
    // 2.88 m² × 100.
    assert_eq!(n("--layout broadcast --per-m2 100", "plants"), 288);
    assert_eq!(n("--layout broadcast --per-m2 100", "stations"), 288);
    assert!(n("--layout offset --spacing 30", "stations") >= 30);
    assert_eq!(n("--layout drill --row 20 --per-metre 40", "lines"), 6);
    let drill = bench.json("reckon plants --bed 120x240 --layout drill --row 20 --per-metre 40", 0);
    assert_eq!(drill["stations"], drill["plants"]);
    let one = bench.run("reckon plants --bed 30x30 --layout grid --spacing 30").out;
    assert!(one.contains("1 station × 1 = 1 plant\n") && one.contains("in 1 line,"), "{one}");
}

#[test]
fn twelve_inches_go_eight_times_into_eight_feet() {
    // 12 in = 30.48 cm and 8 ft = 243.84 cm exactly (the inch is 25.4 mm by definition), 2.5 ft = 76.2 cm.
    let bench = Bench::new();
    let answer = bench.json("reckon plants --bed 76.2x243.84 --layout grid --spacing 30.48", 0);
    assert_eq!(answer["stations"].as_u64(), Some(16));
    // By hand: 16 plants on 0.762 m × 2.4384 m.
    assert!((answer["per_m2"].as_f64().unwrap() - 8.6112).abs() < 1e-4);
}

#[test]
fn a_spacing_wider_than_the_bed_is_an_answer_of_none() {
    let bench = Bench::new();
    for spacing in ["121", "5000", "99999"] {
        let answer = bench.json(&format!("reckon plants --bed 120x240 --layout grid --spacing {spacing}"), 0);
        assert_eq!((answer["stations"].as_u64(), answer["plants"].as_u64()), (Some(0), Some(0)), "{spacing}");
    }
}

#[test]
fn nonsense_in_a_count_is_refused_in_one_line() {
    let bench = Bench::new();
    for words in [
        "--bed 120x240 --layout grid",
        "--bed 120x240 --layout grid --spacing 0",
        "--bed 120x240 --layout grid --spacing -30",
        "--bed 120x240 --layout grid --spacing NaN",
        "--bed 120x240 --layout grid --spacing inf",
        "--bed 120x240 --layout grid --spacing 30 --clump 0",
        "--bed 120x240 --layout grid --spacing 30 --clump -1",
        "--bed 120x240 --layout grid --spacing 30 --clump 1.5",
        "--bed 120x240 --layout grid --spacing 30 --setback -1",
        "--bed 120x240 --layout grid --spacing 30 --per-m2 4",
        "--bed 120x240 --layout circles --spacing 30",
        "--bed 120x240 --layout between --spacing 30",
        "--bed 120x240 --layout rows --row 45",
        "--bed 120x240 --layout drill --row 20",
        "--bed 120x240 --layout drill --row 20 --per-metre NaN",
        "--bed 120x240 --layout broadcast --per-m2 -1",
        "--bed 120x240 --layout broadcast --per-m2 inf",
        "--bed 120x240 --layout edge --spacing 15 --sides 3",
        "--bed 0x240 --layout grid --spacing 30",
        "--bed -120x240 --layout grid --spacing 30",
        "--bed 120 --layout grid --spacing 30",
        "--bed 120xNaN --layout grid --spacing 30",
        "--bed 99999999999x240 --layout grid --spacing 30",
        "--layout grid --spacing 30",
        "--bed 120x240 --layout grid --spacing 30 --colour red",
    ] {
        bench.run(&format!("reckon plants {words}")).is_refused(words);
        bench.run(&format!("reckon plants {words} --json")).is_refused(words);
    }
}

#[test]
fn families_are_named_by_any_of_a_crops_names() {
    let bench = Bench::new();
    for name in ["leek", "Leeks", "LEEK"] {
        let answer = bench.json(&format!("reckon family {name}"), 0);
        has_keys(&answer, &["crop", "latin", "family", "family_id"]);
        assert_eq!(answer["crop"], "Leek");
        // The leek is of the Amaryllidaceae (APG IV, from memory).
        assert_eq!(answer["family"], "Amaryllidaceae");
    }
    // Several words need no quotes.
    assert_eq!(bench.json("reckon family broad bean", 0)["family"], "Fabaceae");
    let said = bench.run("reckon family leke --json");
    said.is_refused("leke");
    // Only names that it may be a slip of are offered; three used to be, whatever they were.
    assert!(said.err.contains("nearest are Leek") && !said.err.contains("Kale"), "{}", said.err);
    let absent = bench.run("reckon family tractor");
    absent.is_refused("tractor");
    assert!(absent.err.contains("none of its names is near"), "{}", absent.err);
    bench.run_args(&["reckon", "family", ""]).is_refused("no name");
    bench.run_args(&["reckon", "family", "\u{1b}[31m"]).is_refused("a control character");
}

#[test]
fn a_sequence_says_its_worst_and_why() {
    let bench = Bench::new();
    let tight = bench.json("reckon rotation potato,~leek,~potato --return 4", 1);
    assert_eq!(tight["worst"], "breach");
    let finding = tight["findings"].as_array().unwrap().iter().find(|one| one["severity"] == "breach").unwrap();
    has_keys(finding, &["severity", "rule", "year", "crop", "earlier_crop", "earlier_year", "why", "source"]);
    assert_eq!((finding["year"].as_i64(), finding["earlier_year"].as_i64()), (Some(3), Some(1)));
    // One year in three, as asked: no breach.
    let sound = bench.json("reckon rotation potato,~leek,~carrot --cycle --return 3", 0);
    assert_ne!(sound["worst"], "breach");
    // Asked of one family alone.
    assert_eq!(
        bench.json("reckon rotation potato,~leek,~potato --return 2 --return Solanaceae=4", 1)["worst"],
        "breach"
    );
    assert_ne!(
        bench.json("reckon rotation potato,~leek,~potato --return 4 --return Solanaceae=2", 0)["worst"],
        "breach"
    );
    let text = bench.run("reckon rotation potato,~leek,~potato --return 4");
    assert_eq!(text.code, 1);
    assert!(text.out.starts_with("1 breach, "), "{}", text.out);
    // Leeks after shallots in one year: a finding, though not a breach (common practice, no published source).
    let same_year = bench.json("reckon rotation shallot+leek", 0);
    assert!(["note", "caution"].contains(&same_year["worst"].as_str().unwrap()), "{same_year}");
}

#[test]
fn a_sequence_that_names_nothing_known_is_refused() {
    let bench = Bench::new();
    for args in [
        &["reckon", "rotation", ""][..],
        &["reckon", "rotation", "potato, , leek"],
        &["reckon", "rotation", "unobtainium, leek"],
        &["reckon", "rotation", "leek, potato", "--return", "-1"],
        &["reckon", "rotation", "leek, potato", "--return", "many"],
        &["reckon", "rotation", "leek, potato", "--return", "Nobodyaceae=4"],
        &["reckon", "rotation", "leek, potato", "--return", "Solanaceae="],
        &["reckon", "rotation", "leek, potato", "--hazard", "green mist"],
    ] {
        bench.run_args(args).is_refused(&args.join(" "));
    }
}

#[test]
fn salad_onions_between_leeks_fit_and_are_out_in_time() {
    // Common practice, no published source: a clump of salad onions at the centres between leek clumps 30 cm apart,
    // for about two months from the same day, fits and is out before the leeks fill the ground.
    let bench = Bench::new();
    let stands = "leek~grid~30~x4~2027-06-01..2027-11-15";
    let joins = "salad~onion~between~x8~2027-06-01..2027-08-01";
    let answer = bench.json(&format!("reckon fit --bed 120x240 --stands {stands} --joins {joins}"), 0);
    has_keys(&answer, &["verdict", "stands", "joins", "first_bad_week", "out_by_week", "share_lost_max"]);
    assert_eq!(answer["verdict"], "fits");
    assert_eq!(answer["stands"]["stations"].as_u64(), Some(32));
    assert_eq!(answer["stands"]["plants"].as_u64(), Some(128));
    // Cells of 4 × 8 stations: 3 × 7 = 21, by hand.
    assert_eq!(answer["joins"]["stations"].as_u64(), Some(21));
    assert_eq!(answer["joins"]["plants"].as_u64(), Some(168));
    assert!(answer["first_bad_week"].is_null());
    // Between leeks at 20 cm the centres lie 14 cm from each clump: left until the leeks are grown, they no longer fit.
    let close = "leek~grid~20~x4~2027-06-01..2027-11-15";
    let late = "salad~onion~between~x8~2027-06-01..2027-11-15";
    let said = bench.run(&format!("reckon fit --bed 120x240 --stands {close} --joins {late} --json"));
    let answer: serde_json::Value = serde_json::from_str(&said.out).unwrap();
    assert_ne!(answer["verdict"], "fits");
    assert_eq!(said.code, i32::from(answer["verdict"] == "crowds"));
    let week = answer["first_bad_week"].as_str().unwrap();
    assert!(week.starts_with("2027-W"), "{week}");
}

#[test]
fn a_row_of_garlic_along_the_edge_is_possible_beside_brassicas() {
    // Common practice, no published source.
    let bench = Bench::new();
    let answer = bench.json(
        "reckon fit --bed 120x240 --stands cabbage~rows~60x45~2027-06-01..2027-10-01 \
         --joins garlic~edge~15~2027-02-20..2027-07-15",
        0,
    );
    assert_ne!(answer["verdict"], "crowds");
    assert_eq!(answer["joins"]["stations"].as_u64(), Some(16));
}

#[test]
fn a_planting_that_cannot_be_read_is_refused_by_its_part() {
    let bench = Bench::new();
    let good = "leek grid 30 x4 2027-06-01..2027-11-15";
    for bad in [
        "",
        "leek",
        "leek grid 30",
        "grid 30 2027-06-01..2027-11-15",
        "leek 30 2027-06-01..2027-11-15",
        "leek grid 0 2027-06-01..2027-11-15",
        "leek grid -30 2027-06-01..2027-11-15",
        "leek grid wide 2027-06-01..2027-11-15",
        "leek grid 30 40 2027-06-01..2027-11-15",
        "leek grid 30 x0 2027-06-01..2027-11-15",
        "leek rows 30 2027-06-01..2027-11-15",
        "leek grid 30 2027-11-15..2027-06-01",
        "leek grid 30 2027-06-01..2027-06-01",
        "leek grid 30 2027-06-31..2027-11-15",
        "leek grid 30 ..",
        "lekk grid 30 2027-06-01..2027-11-15",
        "between between 2027-06-01..2027-11-15",
    ] {
        bench.run_args(&["reckon", "fit", "--bed", "120x240", "--stands", bad, "--joins", good]).is_refused(bad);
        bench.run_args(&["reckon", "fit", "--bed", "120x240", "--stands", good, "--joins", bad]).is_refused(bad);
    }
    let between = "leek between 2027-06-01..2027-11-15";
    bench.run_args(&["reckon", "fit", "--bed", "120x240", "--stands", between, "--joins", good]).is_refused(between);
}

#[test]
fn the_land_equivalent_ratio_is_the_sum_of_shares() {
    // By hand: 2.8 / 4.0 + 0.7 / 1.2 = 0.7 + 0.583333 = 1.283333.
    let bench = Bench::new();
    let answer = bench.json("reckon share --alone 4.0,1.2 --together 2.8,0.7", 0);
    assert_eq!(keys(&answer), ["land_equivalent_ratio"]);
    assert!((answer["land_equivalent_ratio"].as_f64().unwrap() - 1.283_333).abs() < 1e-9);
    for words in
        ["0,1 --together 1,1", "1,1 --together -1,1", "1,1 --together 1", "NaN,1 --together 1,1", "1 --together 1"]
    {
        bench.run(&format!("reckon share --alone {words}")).is_refused(words);
    }
}

#[test]
fn a_count_beyond_ten_million_stations_is_refused_and_a_spacing_beyond_the_bed_holds_none() {
    let bench = Bench::new();
    let said = bench.run("reckon plants --bed 100000x100000 --layout grid --spacing 0.1");
    said.is_refused("a tenth of a centimetre over a square kilometre");
    assert!(said.err.contains("more than 10000000 stations"), "{}", said.err);
    // By hand: 3,162 stations each way at 1 cm are 9,998,244; one more each way is 10,004,569.
    assert!(bench.run("reckon plants --bed 3162x3162 --layout grid --spacing 1").out.contains("9998244 plants"));
    bench.run("reckon plants --bed 3163x3163 --layout grid --spacing 1").is_refused("10,004,569 stations");
    let wide = bench.json("reckon plants --bed 120x240 --layout grid --spacing 9999", 0);
    assert_eq!(wide["stations"].as_u64(), Some(0));
}

#[test]
fn plants_tell_the_setback_that_was_asked_for() {
    let bench = Bench::new();
    let told = |words: &str| bench.run(&format!("reckon plants --bed 120x240 --layout grid --spacing 40 {words}")).out;
    assert!(told("--setback 40").starts_with("bed 120x240 cm, grid 40 cm, 40 cm from the edges\n"));
    assert!(told("--setback 20").starts_with("bed 120x240 cm, grid 40 cm\n"));
}

#[test]
fn a_family_left_out_of_rotation_is_told_without_a_garden() {
    let answer = Bench::new().json("reckon rotation leek,leek --return 0", 0);
    let why = answer["findings"][0]["why"].as_str().unwrap();
    assert!(why.ends_with("left out of rotation") && !why.contains("garden"), "{why}");
}

#[test]
fn a_host_without_cells_is_named_as_the_reason_that_nothing_joins() {
    let bench = Bench::new();
    // One line of leeks fits across 40 cm, and one line has nothing between its rows.
    let said = bench.run_args(&[
        "reckon",
        "fit",
        "--bed",
        "40x240",
        "--stands",
        "leek grid 40 x1 2027-06-01..2027-11-15",
        "--joins",
        "salad onion between x8 2027-06-01..2027-08-01",
    ]);
    assert!(said.out.contains("the stations of Leek leave no cells between them"), "{}{}", said.out, said.err);
    assert!(!said.out.contains("never stand"), "{}", said.out);
}

#[test]
fn crops_of_a_family_answer_to_its_short_name_and_a_slip_is_met_with_three_names() {
    let bench = Bench::new();
    let whole = bench.json("crops --family onion~family", 0);
    assert_eq!(bench.json("crops --family onion", 0), whole);
    assert!(whole.as_array().unwrap().iter().any(|crop| crop["id"] == "leek"));
    let slip = bench.run("crops --family onyon~family");
    slip.is_refused("a slip for a family");
    let nearest = slip.err.trim_end().split_once("nearest are ").unwrap().1;
    assert!(nearest.starts_with("onion family, ") && nearest.split(", ").count() == 3, "{nearest}");
}
