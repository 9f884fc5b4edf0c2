//! The commands that read or write a garden file.

use std::fs;

use bedfellow::garden::Garden;

use super::bench::{Bench, SMALL, has_keys, keys};

#[test]
fn a_new_garden_holds_its_beds_and_is_never_written_over() {
    let bench = Bench::new();
    let said = bench.run("new own.ron --name Own~garden --bed A1=120x240 --bed A2=80.5x300");
    assert_eq!(said.code, 0, "{}", said.err);
    assert!(said.out.contains("2 beds"), "{}", said.out);
    let text = bench.read("own.ron");
    let garden = Garden::from_ron(&text, "own.ron").unwrap();
    assert_eq!((garden.name.as_str(), garden.beds.len()), ("Own garden", 2));
    assert_eq!((garden.beds[1].width_mm.0, garden.beds[1].length_mm.0), (805, 3000));
    bench.run("new own.ron --name Other").is_refused("a file that is there");
    assert_eq!(bench.read("own.ron"), text);
    let answer = bench.json("new second.ron --bed A1=120x240", 0);
    has_keys(
        &answer,
        &["beds", "file", "name", "latitude", "elevation_m", "last_frost", "first_frost", "is_place_given"],
    );
    assert_eq!((answer["name"].as_str(), answer["beds"].as_u64()), (Some("second"), Some(1)));
    assert!(bench.run("new third.ron --bed A1=120x240").out.contains("1 bed;"));
}

#[test]
fn what_a_command_says_of_a_long_path_is_said_whole() {
    let bench = Bench::new();
    let folder = ["terrace"; 20].join("/");
    std::fs::create_dir_all(bench.path(&folder)).unwrap();
    let file = format!("{folder}/walled.ron");
    let made = bench.run(&format!("new {file} --bed A1=120x240"));
    assert_eq!(made.code, 0, "{}", made.err);
    let lines: Vec<&str> = made.out.lines().take(4).collect();
    let command = format!("`bedfellow {file}`");
    assert_eq!(lines, ["wrote", &file, "with 1 bed; open it with", &command]);
    let list = bench.run(&format!("list {file} --from 2027-01-01 --out {folder}/list.txt"));
    assert_eq!(list.out, format!("wrote the planting list to\n{folder}/list.txt\n"));
    let table = bench.run(&format!("export plantings {file} --out {folder}/plantings.csv"));
    assert_eq!(table.out, format!("wrote 0 plantings to\n{folder}/plantings.csv\n"));
    let versions = bench.run(&format!("versions {file}"));
    assert_eq!(versions.out, format!("{file}:\n0 earlier versions\n"));
    let again = bench.run(&format!("new {file}"));
    assert!(again.err.contains(&format!("{file} is there already; choose another name")), "{}", again.err);
}

#[test]
fn a_new_garden_has_the_frosts_of_its_place_or_says_that_it_has_none_yet() {
    let bench = Bench::new();
    let said = bench.run("new bare.ron --bed A1=120x240");
    assert!(said.out.contains("the place is a starting value") && said.out.contains("`L`"), "{}", said.out);
    let frosts = |file: &str| {
        let site = Garden::from_ron(&bench.read(file), file).unwrap().site;
        ((site.last_frost.month, site.last_frost.day), (site.first_frost.month, site.first_frost.day))
    };
    let said = bench.run("new low.ron --latitude 51.5 --elevation 20");
    assert!(said.out.contains("latitude 51.5, 20 m high") && !said.out.contains("starting value"), "{}", said.out);
    let flat = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(flat(&said.out).contains("by latitude and height alone: give the longitude"), "{}", said.out);
    let said = bench.run("new near.ron --latitude 51.5 --longitude -0.5 --elevation 20");
    assert!(flat(&said.out).contains("Heathrow, UK, 4 km away and 5 m higher (met office)"), "{}", said.out);
    assert!(bench.read("near.ron").contains("longitude_deg: -0.5,"));
    // Nearer the pole the frost ends later; where nothing is known there is no garden.
    assert_eq!(bench.run("new far.ron --latitude 66 --elevation 20").code, 0);
    assert!(frosts("far.ron").0 > frosts("low.ron").0 && frosts("far.ron").1 < frosts("low.ron").1);
    bench.run("new pole.ron --latitude 90").is_refused("nothing is known of the climate there");
    assert_eq!(bench.run("new high.ron --latitude 51.5 --elevation 420").code, 0);
    assert!(frosts("high.ron").0 > frosts("low.ron").0 && frosts("high.ron").1 < frosts("low.ron").1);
    assert_eq!(bench.run("new south.ron --latitude -37 --elevation 100").code, 0);
    assert!(frosts("south.ron").0 > frosts("south.ron").1, "the last frost falls into the southern spring");
    for words in ["--latitude 95", "--latitude north", "--latitude 54 --elevation high", "--elevation 100"] {
        bench.run(&format!("new bad.ron {words}")).is_refused(words);
        assert!(!bench.path("bad.ron").exists(), "{words}");
    }
}

#[test]
fn suggested_commands_can_be_typed_as_they_stand() {
    let bench = Bench::new();
    let said = bench.run("new my~garden.ron --bed A1=120x240");
    assert!(said.out.contains("`bedfellow 'my garden.ron'`"), "{}", said.out);
    let said = bench.command().args(["new", "--bed", "A1=120x240", "--", "-x.ron"]).output().unwrap();
    let out = String::from_utf8(said.stdout).unwrap();
    assert!(out.contains("`bedfellow -- -x.ron`"), "{out}");
}

#[test]
fn a_new_garden_that_cannot_be_is_refused_and_no_file_is_left() {
    let bench = Bench::new();
    for words in [
        "--bed A1",
        "--bed A1=120",
        "--bed A1=0x240",
        "--bed A1=-1x240",
        "--bed =120x240",
        "--bed A1=120x240 --bed A1=120x240",
        "--name ",
    ] {
        let mut args = vec!["new", "bad.ron"];
        args.extend(words.split(' '));
        bench.run_args(&args).is_refused(words);
        assert!(!bench.path("bad.ron").exists(), "{words}");
    }
    let long = "n".repeat(10_000);
    bench.run_args(&["new", "bad.ron", "--name", &long]).is_refused("a name of 10,000 letters");
    bench.run("new nowhere/bad.ron").is_refused("a folder that is not there");
}

#[test]
fn check_tells_findings_with_their_keys_and_a_breach_sets_the_exit_code() {
    let bench = Bench::with_small();
    let answer = bench.json("check small.ron --today 2026-09-01", 1);
    assert_eq!(answer["worst"], "breach");
    let findings = answer["findings"].as_array().unwrap();
    for finding in findings {
        has_keys(
            finding,
            &["severity", "rule", "year", "crop", "earlier_crop", "earlier_year", "why", "source", "bed", "planting"],
        );
    }
    // Potatoes in 2027 where potatoes were in 2026.
    let breach = findings.iter().find(|finding| finding["severity"] == "breach").unwrap();
    assert_eq!((breach["bed"].as_str(), breach["planting"].as_str()), (Some("A3"), Some("p5")));
    assert_eq!((breach["year"].as_i64(), breach["earlier_year"].as_i64()), (Some(2027), Some(2026)));
    assert!(breach["earlier_crop"].as_str().unwrap().to_lowercase().contains("potato"), "{breach}");
    let text = bench.run("check small.ron --today 2026-09-01");
    assert_eq!(text.code, 1);
    assert!(text.out.starts_with("Small garden: 1 breach, "), "{}", text.out);
    assert!(text.out.lines().all(|line| line.chars().count() <= 100), "{}", text.out);
}

#[test]
fn check_tells_of_one_bed_what_it_tells_of_it_among_all() {
    let bench = Bench::with_small();
    let all = bench.json("check small.ron --today 2026-09-01", 1);
    let findings = all["findings"].as_array().unwrap();
    let n_of = |bed: &str| findings.iter().filter(|finding| finding["bed"] == bed).count();
    assert!(n_of("A3") > 0 && n_of("A3") < findings.len());
    for (bed, code, worst) in [("A1", 0, None), ("A3", 1, Some("breach"))] {
        let one = bench.json(&format!("check small.ron --today 2026-09-01 --bed {bed}"), code);
        let of_bed: Vec<_> = findings.iter().filter(|finding| finding["bed"] == bed).collect();
        assert_eq!(one["findings"].as_array().unwrap().iter().collect::<Vec<_>>(), of_bed, "{bed}");
        assert!(worst.is_none_or(|worst| one["worst"] == worst) && (worst.is_some() || one["worst"] != "breach"));
    }
    let text = bench.run("check small.ron --today 2026-09-01 --bed a3");
    assert_eq!(text.code, 1);
    assert!(text.out.starts_with("Small garden: 1 breach, ") && !text.out.contains("bed A1"), "{}", text.out);
    bench.run("check small.ron --bed Z9").is_refused("a bed that is not there");
}

/// A bed with so many rows of salad onions along the edges of leeks, all on one another.
fn edges(n: usize) -> String {
    let mut plantings = String::new();
    for id in 2..n + 2 {
        plantings.push_str(&format!(
            "(id: {id}, bed: \"A1\", crop: \"salad-onion\", from_mm: 0, to_mm: 2400, layout: Edge(spacing_mm: 150, \
             along: Whole), clump: 1, raised: Module, planned: (plant: \"2027-06-01\", clear: \"2027-07-31\")),\n"
        ));
    }
    let (before, after) = SMALL.split_once("plantings: [").unwrap();
    let (_, after) = after.split_once("\n    ],").unwrap();
    format!("{before}plantings: [\n{plantings}    ],{after}")
}

#[test]
fn fit_tells_so_many_pairs_and_counts_the_others() {
    let bench = Bench::new();
    // 50 × 49 / 2 = 1225 pairs.
    bench.write("edges.ron", edges(50).as_bytes());
    let answer = bench.json("fit edges.ron A1", 1);
    assert_eq!((answer["pairs"].as_array().unwrap().len(), answer["not_told"].as_u64()), (1_000, Some(225)));
    assert_eq!(answer["worst"], "crowds");
    let text = bench.run("fit edges.ron A1");
    assert!(text.out.starts_with("bed A1: 1225 pairs share ground\n"), "{}", &text.out[..200]);
    assert!(text.out.ends_with("and 225 more pairs weighed and not told; lay the bed out as several\n"));
}

#[test]
fn an_accepted_breach_stays_listed_but_no_longer_sets_the_exit_code() {
    let bench = Bench::with_small();
    let rule = {
        let answer = bench.json("check small.ron --today 2026-09-01", 1);
        let findings = answer["findings"].as_array().unwrap();
        findings.iter().find(|finding| finding["severity"] == "breach").unwrap()["rule"].as_str().unwrap().to_owned()
    };
    let accepted = format!(
        "    accepted: [(rule: \"{rule}\", planting: 5, against: Past(year: 2026, what: \"potato-maincrop\"), reason: \"fresh soil\")],\n)\n"
    );
    let text = SMALL.trim_end().strip_suffix(')').unwrap().to_owned() + &accepted;
    bench.write("accepted.ron", text.as_bytes());
    let answer = bench.json("check accepted.ron --today 2026-09-01", 0);
    assert_ne!(answer["worst"], "breach");
    let findings = answer["findings"].as_array().unwrap();
    let breach = findings.iter().find(|finding| finding["severity"] == "breach").unwrap();
    assert_eq!(breach["accepted"], "fresh soil");
    assert!(bench.run("check accepted.ron --today 2026-09-01").out.contains("1 accepted"));
}

#[test]
fn check_hides_what_is_kept_quiet_counts_it_and_lists_it_with_all() {
    let bench = Bench::with_small();
    let quiet = "kept_quiet: [(rule: \"family-return\", bed: \"A3\", crop: \"potato-maincrop\", reason: \"in bags\")])";
    let text = SMALL.trim_end().strip_suffix(')').unwrap().to_owned() + quiet;
    bench.write("quiet.ron", text.as_bytes());
    // Before the potatoes go in.
    let words = "check quiet.ron --today 2026-09-01";
    let (loud, hidden) = (bench.run("check small.ron --today 2026-09-01"), bench.run(words));
    assert!(loud.out.starts_with("Small garden: 1 breach, ") && !loud.out.contains("quiet"), "{}", loud.out);
    assert!(loud.out.contains("p5: potato (maincrop): potato is back after 1 year"), "{}", loud.out);
    assert_eq!((loud.code, hidden.code), (1, 0));
    let first = hidden.out.lines().next().unwrap();
    assert!(first.starts_with("Small garden: 0 breaches, ") && first.ends_with(", 1 kept quiet"), "{}", hidden.out);
    assert!(!hidden.out.contains("p5"), "{}", hidden.out);
    let all = bench.run(&format!("{words} --all"));
    assert_eq!((all.code, all.out.lines().next()), (0, Some(first)));
    assert!(all.out.contains("breach   bed A3 p5 (kept quiet: in bags): potato (maincrop): "), "{}", all.out);
    // The work list does not tell it either.
    let list = "--from 2027-04-01 --to 2027-04-30 --today 2026-09-01";
    assert!(bench.run(&format!("list small.ron {list}")).out.contains("potato is back after 1 year"));
    assert!(!bench.run(&format!("list quiet.ron {list}")).out.contains("potato is back after 1 year"));

    let reasons = |answer: &serde_json::Value| -> Vec<serde_json::Value> {
        answer["findings"].as_array().unwrap().iter().map(|finding| finding["kept_quiet"].clone()).collect()
    };
    let (hidden, all) = (bench.json(words, 0), bench.json(&format!("{words} --all"), 0));
    for answer in [&hidden, &all] {
        assert_eq!((&answer["worst"], &answer["n_kept_quiet"]), (&"note".into(), &1.into()));
        assert_eq!(answer["n_past"], 0);
    }
    assert!(reasons(&hidden).iter().all(serde_json::Value::is_null), "{hidden}");
    assert_eq!(reasons(&all).len(), reasons(&hidden).len() + 1);
    assert_eq!(reasons(&all)[0], "in bags", "the gravest comes first: {all}");
    assert_eq!(reasons(&all)[1..], reasons(&hidden));
    // Of another bed nothing is kept quiet, and a bed must be there.
    assert_eq!(bench.json("check quiet.ron --today 2026-09-01 --bed A1", 0)["n_kept_quiet"], 0);
    bench.write(
        "no-bed.ron",
        text.replace("bed: \"A3\", crop: \"potato-maincrop\", reason", "bed: \"Z9\", reason").as_bytes(),
    );
    let refused = bench.run("check no-bed.ron");
    assert_eq!((refused.code, refused.out.as_str()), (2, ""));
    assert!(refused.err.starts_with("error: entry 1 of kept_quiet: there is no bed `Z9`\n"), "{}", refused.err);
}

#[test]
fn free_says_when_each_bed_frees_up() {
    let bench = Bench::with_small();
    let answer = bench.json("free small.ron", 0);
    let beds = answer.as_array().unwrap();
    assert_eq!(beds.len(), 3);
    for bed in beds {
        has_keys(bed, &["bed", "free_from", "free_from_early", "free_from_late", "range_from"]);
        has_keys(bed, &["whole_bed_free_from", "standing", "next"]);
    }
    // On 3 May nothing stands in A1; potatoes stand in A3 until 13 September.
    assert_eq!(beds[0]["free_from"], "2027-05-03");
    assert_eq!(beds[0]["standing"].as_array().unwrap().len(), 0);
    assert_eq!(beds[0]["next"].as_array().unwrap().len(), 2);
    assert_eq!(beds[2]["whole_bed_free_from"], "2027-09-13");
    assert_eq!(beds[2]["standing"][0]["planting"], "p5");
    let one = bench.json("free small.ron --bed A2", 0);
    assert_eq!(bench.json("free small.ron --bed a2", 0), one);
    assert_eq!(bench.json("list small.ron --bed a2", 0), bench.json("list small.ron --bed A2", 0));
    assert_eq!(bench.json("fit small.ron a1", 0), bench.json("fit small.ron A1", 0));
    assert_eq!(one.as_array().unwrap().len(), 1);
    let text = bench.run("free small.ron --bed A3");
    assert!(text.out.contains("2027-09-13") && text.out.contains("2027-W18"), "{}", text.out);
    bench.run("free small.ron --bed Z9").is_refused("a bed that is not there");
}

#[test]
fn fit_judges_the_pairs_of_a_bed() {
    let bench = Bench::with_small();
    let answer = bench.json("fit small.ron A1", 0);
    assert_eq!((answer["bed"].as_str(), answer["worst"].as_str()), (Some("A1"), Some("fits")));
    let pairs = answer["pairs"].as_array().unwrap();
    assert_eq!(pairs.len(), 1);
    assert_eq!(
        (pairs[0]["stands"]["planting"].as_str(), pairs[0]["joins"]["planting"].as_str()),
        (Some("p1"), Some("p2"))
    );
    assert_eq!(pairs[0]["stands"]["plants"].as_u64(), Some(128));
    let weeks = pairs[0]["weeks"].as_array().unwrap();
    // Both stand from 1 June to 31 July 2027: ISO weeks 22 to 30, nine weeks.
    assert_eq!((weeks.len(), weeks[0]["week"].as_str()), (9, Some("2027-W22")));
    let text = bench.run("fit small.ron A1").out;
    assert!(text.contains("2027-W22 – 2027-W30"), "{text}");
    let empty = bench.run("fit small.ron A3");
    assert_eq!((empty.code, empty.out.as_str()), (0, "bed A3: no two plantings share ground at the same time\n"));
    bench.run("fit small.ron Z9").is_refused("a bed that is not there");
}

/// The garden in which every date is given, so that this snapshot does not move when growth reckons dates anew.
#[test]
fn the_planting_list_reads_as_expected() {
    let bench = Bench::new();
    bench.write("given.ron", include_bytes!("../screens/given.ron"));
    let said = bench.run("list given.ron --from 2027-01-01 --to 2028-04-30");
    assert_eq!(said.code, 0, "{}", said.err);
    insta::assert_snapshot!("given_list", said.out);
}

/// Rows along the bed, tubers to have ready, a place between other stations, counted by hand: 2.4 m of 1.2 m.
#[test]
fn the_planting_list_counts_rows_tubers_and_places_between() {
    let bench = Bench::with_small();
    let text = bench.run("list small.ron --from 2027-03-01 --to 2028-08-01").out;
    for words in [
        // 8 by 4 stations of 4 at 30 cm; a tenth more modules, 80 % come up: 36 modules, 36 × 4 / 0.8 = 180 seeds.
        "grid 30 cm: 32 stations × 4 = 128 plants",
        "36 modules (1 tray), 180 seeds (0.5 g)",
        // In the 7 by 3 gaps of the leeks.
        "between the stations of Leek: 21 stations × 8 = 168 plants",
        // Lines 20 cm apart, 5 cm in the line: 6 × 48.
        "rows along the bed, 20 cm apart, 5 cm in the row:",
        "288 stations × 1 = 288 plants",
        // Lines 60 cm apart, 40 cm in the line: 2 × 6; a tenth more tubers.
        "rows along the bed, 60 cm apart, 40 cm in the row:",
        "12 stations × 1 = 12 plants",
        "have ready 13 tubers",
        "0–240 cm; then nothing is planned",
    ] {
        assert!(text.contains(words), "no `{words}` in\n{text}");
    }
    let ascii = bench.run("list small.ron --from 2027-03-01 --to 2028-08-01 --ascii").out;
    assert!(ascii.is_ascii(), "{ascii}");
    assert!(ascii.lines().all(|line| line.len() <= 80), "{ascii}");
    assert!(ascii.contains("32 stations x 4 = 128 plants") && ascii.contains("Blavinter"), "{ascii}");
}

#[test]
fn the_planting_list_begins_this_monday_and_keeps_to_its_bed_and_days() {
    let bench = Bench::with_small();
    // 3 May 2027 is itself a Monday; 53 weeks later ends on Sunday 7 May 2028.
    let answer = bench.json("list small.ron", 0);
    assert_eq!((answer["from"].as_str(), answer["to"].as_str()), (Some("2027-05-03"), Some("2028-05-07")));
    has_keys(&answer, &["garden", "from", "to", "weeks", "totals", "findings"]);
    let one = bench.json("list small.ron --bed A2", 0);
    let crops: Vec<&str> =
        one["totals"].as_array().unwrap().iter().map(|total| total["crop"].as_str().unwrap()).collect();
    assert!(crops.iter().all(|crop| crop.contains("arrot") || crop.contains("arlic")), "{crops:?}");
    let empty = bench.run("list small.ron --from 2030-01-01 --to 2030-02-01");
    assert!(empty.out.contains("Nothing to clear, sow, plant or pick"), "{}", empty.out);
    bench.run("list small.ron --from 2027-06-01 --to 2027-05-01").is_refused("days reversed");
    bench.run("list small.ron --from 2027-13-01").is_refused("no such month");
    bench.run("list small.ron --bed Z9").is_refused("a bed that is not there");
}

#[test]
fn a_list_is_written_to_a_file_but_never_over_the_garden() {
    let bench = Bench::with_small();
    let said = bench.run("list small.ron --out spring.txt");
    assert_eq!((said.code, said.out.as_str()), (0, "wrote the planting list to spring.txt\n"));
    assert_eq!(bench.read("spring.txt"), bench.run("list small.ron").out);
    bench.run("list small.ron --out small.ron").is_refused("the garden itself");
    bench.run("list small.ron --out ./small.ron").is_refused("the garden itself by another path");
    assert_eq!(bench.read("small.ron"), SMALL);
    let answer = bench.json("list small.ron --out again.txt", 0);
    assert_eq!(keys(&answer), ["file", "from", "to"]);
}

#[test]
fn the_crop_book_is_listed_and_opened_at_a_page() {
    let bench = Bench::new();
    let all = bench.json("crops", 0);
    assert!(all.as_array().unwrap().len() >= 70);
    has_keys(&all[0], &["id", "crop", "latin", "family", "family_id"]);
    let onions = bench.json("crops --family Amaryllidaceae", 0);
    assert!(onions.as_array().unwrap().iter().all(|crop| crop["family"] == "Amaryllidaceae"));
    assert!(onions.as_array().unwrap().iter().any(|crop| crop["id"] == "leek"));
    assert_eq!(bench.json("crops leeks", 0)["id"], "leek");
    let page = bench.run("crops leek").out;
    assert!(page.contains("Amaryllidaceae") && page.contains("Sources"), "{page}");
    assert!(bench.run("crops").out.lines().all(|line| line.chars().count() <= 100));
    // Leaves of rhubarb are poisonous: wherever the crop is, its caution is.
    assert!(bench.run("crops rhubarb").out.contains("CAUTION"));
    bench.run("crops unobtainium").is_refused("a crop that is not there");
    bench.run("crops --family Nobodyaceae").is_refused("a family that is not there");
    bench.run("crops leek --family onion").is_refused("both");
}

#[test]
fn the_demo_is_printed_whole_and_copied_fresh() {
    let bench = Bench::new();
    let printed = bench.run("demo --print");
    assert_eq!(printed.code, 0);
    let garden = Garden::from_ron(&printed.out, "demo").unwrap();
    assert!(garden.beds.len() >= 24, "{} beds", garden.beds.len());
    let file = bench.json("demo", 0)["file"].as_str().unwrap().to_owned();
    assert_eq!(fs::read_to_string(file).unwrap(), printed.out);
    assert_eq!(bench.json("demo --print", 0)["format"].as_u64(), Some(2));
    // The demo is nobody's garden: it is not what is opened next time.
    assert!(!bench.path("home").exists());
}

#[test]
fn every_command_answers_on_the_demo() {
    let bench = Bench::new();
    bench.write("demo.ron", bench.run("demo --print").out.as_bytes());
    for (words, code) in [("check", 1), ("free", 0), ("list", 0)] {
        let said = bench.run(&format!("{words} demo.ron"));
        assert_eq!(said.code, code, "{words}: {}", said.err);
        assert!(said.out.lines().all(|line| line.chars().count() <= 100), "{words}: {}", said.out);
        bench.json(&format!("{words} demo.ron"), code);
        let ascii = bench.run(&format!("{words} demo.ron --ascii")).out;
        assert!(ascii.is_ascii(), "{words}: {ascii}");
    }
}

#[test]
fn the_planting_list_of_the_demo_goes_week_by_week_and_names_everything_that_is_to_be_done() {
    let bench = Bench::new();
    bench.write("demo.ron", bench.run("demo --print").out.as_bytes());
    let text = bench.run("list demo.ron --from 2026-10-26").out;
    let weeks: Vec<&str> = text.lines().filter_map(|line| line.split_once(" · Mon ").map(|(week, _)| week)).collect();
    assert!(weeks.len() > 30 && weeks.is_sorted_by(|one, other| one < other), "{weeks:?}");
    // Within a week what has to go comes first.
    let order = ["CLEAR", "SOW", "PLANT", "PICK"];
    let mut last = 0;
    for line in text.lines() {
        if line.contains(" · Mon ") {
            last = 0;
        }
        if let Some(place) = order.iter().position(|heading| line.starts_with(&format!("  {heading} "))) {
            assert!(place >= last, "{line}");
            last = place;
        }
    }
    let list = bench.json("list demo.ron --from 2026-10-26", 0);
    let n_listed: usize = list["weeks"]
        .as_array()
        .unwrap()
        .iter()
        .flat_map(|week| ["clear", "sow", "plant", "pick"].map(|heading| week[heading].as_array().unwrap().len()))
        .sum();
    let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
    let n_named: usize = [" for bed ", " in bed ", " from bed "].iter().map(|place| flat.matches(place).count()).sum();
    assert!(n_listed > 200, "{n_listed}");
    assert_eq!(n_named, n_listed);
}
