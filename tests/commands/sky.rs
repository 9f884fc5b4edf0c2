//! The desk calculator on sun, warmth and the dates that follow from them.

use serde_json::Value;

use super::bench::{Bench, keys};

fn number(answer: &Value, key: &str) -> f64 {
    answer[key].as_f64().unwrap_or_else(|| panic!("{key} in {answer}"))
}

fn is_near(found: f64, expected: f64, tolerance: f64, what: &str) {
    assert!((found - expected).abs() <= tolerance, "{what}: {found} for {expected} ± {tolerance}");
}

#[test]
fn day_length_is_that_of_an_astronomy_library_and_of_fao_56() {
    let bench = Bench::new();
    // NREL's algorithm in pvlib 0.16.1: 15.619 h at 45° on 21 June 2023; FAO-56 eq. 34: 15.425 h. (`tests/outside/data/daylength.csv`.)
    let june = bench.json("reckon daylight --latitude 45 --date 2023-06-21", 0);
    assert_eq!(keys(&june), ["geometric_hours", "hours"]);
    is_near(number(&june, "hours"), 15.619, 0.05, "hours");
    is_near(number(&june, "geometric_hours"), 15.425, 0.005, "geometric hours");
    // FAO-56 Example 9: 11.7 h at 20° S on 3 September.
    let south = bench.json("reckon daylight --latitude -20 --date 2023-09-03", 0);
    is_near(number(&south, "geometric_hours"), 11.7, 0.05, "example 9");
    assert!(number(&south, "hours") > number(&south, "geometric_hours"));
}

#[test]
fn polar_day_and_night_are_answers() {
    let bench = Bench::new();
    for (latitude, date, hours) in
        [("80", "2027-06-21", 24.0), ("80", "2027-12-21", 0.0), ("-90", "2027-12-21", 24.0), ("90", "2027-12-21", 0.0)]
    {
        let words = format!("reckon daylight --latitude {latitude} --date {date}");
        let answer = bench.json(&words, 0);
        is_near(number(&answer, "hours"), hours, 1e-9, &words);
        is_near(number(&answer, "geometric_hours"), hours, 1e-9, &words);
        assert!(bench.run(&words).out.contains("the sun does not"), "{words}");
    }
    let dark = bench.json("reckon radiation --latitude 80 --date 2027-12-21", 0);
    is_near(number(&dark, "mj_m2_day"), 0.0, 1e-9, "no sun, no radiation");
}

#[test]
fn radiation_is_that_of_the_examples_of_fao_56() {
    let bench = Bench::new();
    // Example 8: 32.2 at 20° S on 3 September. Example 15: 40.6 at 45.72° N on 15 July. Example 18: 41.09 at 50.80° N on 6 July.
    for (latitude, date, expected, tolerance) in
        [("-20", "2023-09-03", 32.2, 0.05), ("45.72", "2023-07-15", 40.6, 0.05), ("50.80", "2023-07-06", 41.09, 0.01)]
    {
        let answer = bench.json(&format!("reckon radiation --latitude {latitude} --date {date}"), 0);
        assert_eq!(keys(&answer), ["mj_m2_day"]);
        is_near(number(&answer, "mj_m2_day"), expected, tolerance, latitude);
    }
    // The equals sign is no other number.
    let equals = bench.json("reckon radiation --latitude=-20 --date=2023-09-03", 0);
    is_near(number(&equals, "mj_m2_day"), 32.2, 0.05, "--latitude=-20");
    assert!(bench.run("reckon radiation --latitude -20 --date 2023-09-03").out.contains("32.2 MJ"));
}

#[test]
fn evaporation_is_that_of_fao_56() {
    let bench = Bench::new();
    // Eq. 52 with the radiation of eq. 21 (`tests/outside/data/fao56_radiation_et0.csv`): 45° on day 196 and day 74, 37° S on day 15.
    for (words, expected) in [
        ("--latitude 45 --date 2023-07-15 --tmin 14 --tmax 28", 5.531),
        ("--latitude 45 --date 2023-03-15 --tmin -1 --tmax 9", 1.607),
        ("--latitude -37 --date 2023-01-15 --tmin 14 --tmax 26", 5.331),
    ] {
        let answer = bench.json(&format!("reckon evaporation {words}"), 0);
        assert_eq!(keys(&answer), ["mm_day"]);
        is_near(number(&answer, "mm_day"), expected, 0.005, words);
    }
    let text = bench.run("reckon evaporation --latitude 45 --date 2023-07-15 --tmin 14 --tmax 28").out;
    assert!(text.contains("5.5 mm") && text.contains("5.5 litres"), "{text}");
}

#[test]
fn heat_is_summed_by_sine_and_by_mean() {
    let bench = Bench::new();
    for (words, expected, tolerance) in [
        // Single sine, by numerical integration (`tests/outside/data/gdd.csv`).
        ("--base 10 --tmin 5 --tmax 20", 3.7712, 0.005),
        ("--base 4.4 --tmin -2 --tmax 12", 2.5364, 0.005),
        ("--base 10 --upper 30 --tmin 15 --tmax 35", 13.91, 0.005),
        ("--base 12 --upper 33 --tmin 7 --tmax 14 --method sine", 0.47, 0.005),
        // Average method: Michigan State University Extension's example is in °F, and so is its answer.
        ("--base 50 --tmin 40 --tmax 65 --method mean", 2.5, 0.001),
        ("--base 50 --tmin 35 --tmax 60 --method mean", 0.0, 0.001),
        ("--base 4.4 --tmin -2 --tmax 12 --method mean", 0.6, 0.001),
        ("--base -5 --tmin -2 --tmax 12 --method mean", 10.0, 0.001),
    ] {
        let answer = bench.json(&format!("reckon heat {words}"), 0);
        assert_eq!(keys(&answer), ["degree_days"]);
        is_near(number(&answer, "degree_days"), expected, tolerance, words);
    }
}

#[test]
fn emergence_is_that_of_the_published_table_and_nothing_is_said_beyond_it() {
    let bench = Bench::new();
    // Harrington & Minges 1954 (`assets/emergence.ron`, `tests/outside/data/emergence_days.csv`).
    for (words, days) in [("carrot --soil 10", 17.0), ("bean, snap --soil 20", 11.0), ("beetroot --soil 5", 42.0)] {
        let answer = bench.json(&format!("reckon emergence {words}"), 0);
        assert_eq!(keys(&answer), ["days", "reason"], "{words}");
        assert!(answer["reason"].is_null(), "{words}");
        is_near(number(&answer, "days"), days, 1e-9, words);
    }
    for (words, reason) in [
        ("runner bean --soil 10", "too cold"),
        ("lettuce --soil 35", "too hot"),
        ("carrot --soil 45", "too hot"),
        ("carrot --soil -3", "too cold"),
    ] {
        let answer = bench.json(&format!("reckon emergence {words}"), 0);
        assert_eq!(keys(&answer), ["days", "reason"], "{words}");
        assert!(answer["days"].is_null() && answer["reason"] == reason, "{words}: {answer}");
        assert!(bench.run(&format!("reckon emergence {words}")).out.contains(reason), "{words}");
    }
    // A crop that is not sown is not in a table of seed; of some that are it knows nothing either.
    bench.run("reckon emergence potato --soil 10").is_refused("no seed");
    // The names of the table, the book's ids, plurals and capitals.
    for name in ["carrot", "Carrots", "CARROT", "carrot-maincrop", "Carrot~(maincrop)", "~carrot~"] {
        let days = bench.json(&format!("reckon emergence {name} --soil 10"), 0)["days"].as_f64();
        assert_eq!(days, Some(17.0), "{name}");
    }
}

#[test]
fn nonsense_of_sun_and_warmth_is_refused_in_one_line() {
    let bench = Bench::new();
    for words in [
        "daylight --latitude 95 --date 2027-06-21",
        "daylight --latitude -90.1 --date 2027-06-21",
        "daylight --latitude NaN --date 2027-06-21",
        "daylight --latitude inf --date 2027-06-21",
        "daylight --latitude north --date 2027-06-21",
        "daylight --latitude 54 --date 2027-02-30",
        "daylight --latitude 54",
        "radiation --latitude 95 --date 2027-06-21",
        "radiation --latitude 54 --date 9999-01-01",
        "evaporation --latitude 45 --date 2027-07-15 --tmin 28 --tmax 14",
        "evaporation --latitude 45 --date 2027-07-15 --tmin 60 --tmax 80",
        "evaporation --latitude 45 --date 2027-07-15 --tmin NaN --tmax 14",
        "evaporation --latitude 95 --date 2027-07-15 --tmin 10 --tmax 14",
        "heat --base 10 --tmin 20 --tmax 5",
        "heat --base NaN --tmin 5 --tmax 20",
        "heat --base 10 --upper 10 --tmin 5 --tmax 20",
        "heat --base 10 --upper 5 --tmin 5 --tmax 20",
        "heat --base 10 --upper inf --tmin 5 --tmax 20",
        "heat --base 10 --tmin 5 --tmax 20 --method median",
        "heat --base 10 --tmin 5",
        "emergence carrot --soil 80",
        "emergence carrot --soil NaN",
        "emergence unobtainium --soil 10",
        "emergence --soil 10",
        "dates leek",
        "dates leek --sow 2027-03-01 --plant 2027-06-01",
        "dates leek --sow soon",
        "dates leek --sow 2027-03-01 --latitude 95",
        "dates leek --sow 2027-03-01 --climate nowhere",
        "dates leek --sow 2027-03-01 --cover igloo",
        "dates leek --sow 2027-03-01 --raised up",
        "dates unobtainium --sow 2027-03-01",
        "dates potato --sow 2027-04-10",
        "dates carrot --plant 2027-04-10",
        "dates leek --plant 2027-06-01 --raised direct",
        "dates leek --plant 2027-06-01 --raised tuber",
        "dates leek --sow 2027-03-01 --raised set",
        "dates leek --plant 2027-02-29",
        "dates leek --plant 2027-06-31",
        "dates leek --plant 0000-01-01",
        "dates --sow 2027-03-01",
        "daylight --latitude 66,56 --date 2027-06-21",
        "daylight --latitude 54 --date 0000-06-21",
        "daylight --latitude 54 --date 2027-06-31",
        "daylight --latitude 54 --date 21/06/2027",
        "radiation --latitude -inf --date 2027-06-21",
        "heat --base 10 --tmin inf --tmax inf",
        "heat --base 10 --tmin 5 --tmax 200",
        "emergence carrot --soil inf",
        "emergence carrot --soil warm",
        "emergence carrot",
    ] {
        bench.run(&format!("reckon {words}")).is_refused(words);
        bench.run(&format!("reckon {words} --json")).is_refused(words);
    }
}

/// The day of a key, as a number of days.
fn day(answer: &Value, key: &str) -> i64 {
    let text = answer[key].as_str().unwrap_or_else(|| panic!("{key} in {answer}"));
    let date: chrono::NaiveDate = text.parse().unwrap();
    (date - chrono::NaiveDate::default()).num_days()
}

/// The days that every answer has, `null` where they do not come.
const DATES: [&str; 8] = ["sow", "emerge", "plant", "first_pick", "last_pick", "clear", "clear_early", "clear_late"];

/// Every key that a day may stand under is there, and nothing but a day or `null` stands under it.
fn has_days(answer: &Value, words: &str) {
    for key in DATES.into_iter().chain(["first_pick_early", "first_pick_late"]) {
        let value = answer.get(key).unwrap_or_else(|| panic!("{words}: no {key} in {answer}"));
        assert!(
            value.is_null() || value.as_str().is_some_and(|day| day.parse::<chrono::NaiveDate>().is_ok()),
            "{value}"
        );
    }
    assert!(answer["limits"].is_array(), "{words}");
    assert_eq!(answer["reason"].is_null(), !answer["first_pick"].is_null(), "{words}: {answer}");
}

/// The short names of what forbids a planting.
fn limits(answer: &Value) -> Vec<&str> {
    answer["limits"].as_array().unwrap().iter().map(|limit| limit["what"].as_str().unwrap()).collect()
}

#[test]
fn dates_come_in_the_order_of_a_planting_s_life() {
    let bench = Bench::new();
    for words in [
        "leek --sow 2027-03-20 --climate maritime-upland",
        "leek --plant 2027-06-01 --climate maritime-upland",
        "lettuce --sow 2027-08-10 --cover unheated-tunnel --latitude 51.5",
        "cabbage --plant 2027-05-15 --climate continental --latitude 48",
    ] {
        let answer = bench.json(&format!("reckon dates {words}"), 0);
        has_days(&answer, words);
        let order = ["sow", "emerge", "plant", "first_pick", "last_pick", "clear"].map(|key| day(&answer, key));
        assert!(order.is_sorted(), "{words}: {answer}");
        assert!(day(&answer, "clear_early") <= day(&answer, "clear"), "{words}: {answer}");
        assert!(day(&answer, "clear") <= day(&answer, "clear_late"), "{words}: {answer}");
    }
    let leek = bench.json("reckon dates leek --plant 2027-06-01", 0);
    assert_eq!((leek["plant"].as_str(), leek["raised"].as_str()), (Some("2027-06-01"), Some("module")));
    assert_eq!((leek["climate"].as_str(), leek["cover"].as_str()), (Some("maritime-lowland"), Some("open")));
    let text = bench.run("reckon dates leek --plant 2027-06-01").out;
    let (early, late) = (leek["clear_early"].as_str().unwrap(), leek["clear_late"].as_str().unwrap());
    assert!(
        text.contains(&format!("between {early} and {late}"))
            && text.contains("In eight years out of ten the day lies between the two"),
        "{text}"
    );
}

#[test]
fn what_does_not_happen_has_no_date() {
    let bench = Bench::new();
    // Sown where it grows: nothing is planted. Planted as tubers: nothing is sown.
    let carrot = bench.json("reckon dates carrot --sow 2027-05-01", 0);
    assert_eq!((carrot["sow"].as_str(), carrot["plant"].is_null()), (Some("2027-05-01"), true));
    let potato = bench.json("reckon dates potato --plant 2027-04-20", 0);
    assert!(potato["sow"].is_null() && potato["emerge"].is_null(), "{potato}");
    // A tender crop sown as summer ends is cleared unripe by frost, the climate's median first frost being 8 October.
    let late = bench.json("reckon dates courgette --sow 2027-08-20 --climate maritime-upland", 0);
    has_days(&late, "courgette");
    assert_eq!(limits(&late), ["too late for frost"]);
    assert!(late["first_pick"].is_null() && late["last_pick"].is_null(), "{late}");
    assert_eq!(late["clear"], "2027-10-08");
    let text = bench.run("reckon dates courgette --sow 2027-08-20 --climate maritime-upland").out;
    assert!(text.contains("nothing is picked") && text.contains("frost"), "{text}");
}

#[test]
fn late_sowings_take_longer_and_a_tunnel_shortens_them() {
    // Autumn adds 10 to 15 days to a packet's days (Virginia and Nebraska extension services, `tests/calibrated/data/season_checks.csv`).
    let bench = Bench::new();
    let days = |words: &str| {
        let answer = bench.json(&format!("reckon dates lettuce {words} --raised in-place"), 0);
        day(&answer, "first_pick") - day(&answer, "sow")
    };
    let (may, august) = (days("--sow 2027-05-10"), days("--sow 2027-08-25"));
    assert!(august >= may + 10, "{may} days in May, {august} in August");
    let covered = days("--sow 2027-08-25 --cover unheated-tunnel");
    assert!(covered < august, "{covered} days in a tunnel, {august} in the open");
}

#[test]
fn seasons_turn_round_south_of_the_equator() {
    let bench = Bench::new();
    let days = |words: &str| {
        let answer = bench.json(&format!("reckon dates carrot {words}"), 0);
        day(&answer, "first_pick") - day(&answer, "sow")
    };
    // The same climate half a year later is the same season: a few days for the year's unequal halves.
    let north = days("--sow 2027-05-01 --climate maritime-lowland --latitude 52");
    let south = days("--sow 2027-11-01 --climate maritime-lowland --latitude -52");
    assert!((north - south).abs() <= 5, "{north} days in the north, {south} in the south");
    let text = bench.run("reckon dates leek --plant 2027-12-01 --latitude -37").out;
    assert!(text.contains("Auckland, New Zealand") && text.contains("latitude -37"), "{text}");
}

#[test]
fn months_come_from_the_nearest_place_or_from_a_file_and_from_nowhere_too_far() {
    let bench = Bench::new();
    let ripe = |place: &str| {
        let answer = bench.json(&format!("reckon dates \"French bean\" --sow 2027-06-01 {place}"), 0);
        (answer["climate"].as_str().unwrap().to_owned(), answer["first_pick"].as_str().map(str::to_owned))
    };
    let rome = ripe("--latitude 41.8 --longitude 12.5");
    let hill = ripe("--latitude 55.3 --longitude -3.2 --elevation 240");
    assert_eq!((rome.0.as_str(), hill.0.as_str()), ("Rome Ciampino, Italy", "Eskdalemuir, UK"));
    assert!(rome.1.is_some() && (hill.1.is_none() || hill.1 > rome.1), "{rome:?} {hill:?}");
    // At the pole nothing is known, so that nothing ripens there.
    for words in ["tomato --plant 2027-06-01 --latitude 90", "tomato --plant 2027-06-01 --latitude 0 --longitude -30"] {
        let said = bench.run(&format!("reckon dates {words}"));
        said.is_refused(words);
        assert!(said.err.contains("the nearest place of which the months are known is"), "{}", said.err);
    }
    let months = "month,tmin,tmax,rain\n1,2.7,12.1,69\n2,2.9,13.2,76\n3,5,16.1,67\n";
    bench.write("short.csv", months.as_bytes());
    let said = bench.run("reckon dates leek --plant 2027-06-01 --months short.csv --latitude 41.8");
    said.is_refused("three months");
    assert!(said.err.contains("short.csv") && said.err.contains("April, May"), "{}", said.err);
    let even: String = (1..=12).map(|month| format!("{month},9,19\n")).collect::<Vec<_>>().concat();
    bench.write("even.csv", even.as_bytes());
    let answer = bench.json("reckon dates leek --plant 2027-06-01 --months even.csv --latitude 41.8", 0);
    assert_eq!(answer["climate"], "own-normals");
    assert!(
        bench.run("reckon dates leek --plant 2027-06-01 --months even.csv --latitude 41.8").out.contains("even.csv")
    );
    bench.run("reckon dates leek --plant 2027-06-01 --months even.csv").is_refused("months without a latitude");
}

#[test]
fn an_empty_word_is_nonsense_too() {
    let bench = Bench::new();
    for args in [
        ["daylight", "--latitude", "", "--date", "2027-06-21"],
        ["daylight", "--latitude", "54", "--date", ""],
        ["radiation", "--latitude", "54", "--date", " "],
        ["dates", "leek", "--sow", "", "--json"],
        ["dates", "", "--sow", "2027-05-01", "--json"],
        ["dates", " ", "--plant", "2027-05-01", "--json"],
        ["emergence", "carrot", "--soil", "", "--json"],
        ["emergence", "", "--soil", "10", "--json"],
    ] {
        let args: Vec<&str> = std::iter::once("reckon").chain(args).collect();
        bench.run_args(&args).is_refused(&args.join(" "));
    }
    for given in [["--cover", ""], ["--climate", ""], ["--raised", ""], ["--latitude", ""]] {
        let args = ["reckon", "dates", "leek", "--sow", "2027-03-01", given[0], given[1]];
        bench.run_args(&args).is_refused(given[0]);
    }
    for given in [["--tmin", ""], ["--tmax", "NaN"], ["--method", ""], ["--upper", ""]] {
        let mut words = vec!["reckon", "heat", "--base", "5", given[0], given[1]];
        for rest in [["--tmin", "3"], ["--tmax", "14"]] {
            if rest[0] != given[0] {
                words.extend(rest);
            }
        }
        bench.run_args(&words).is_refused(given[0]);
    }
}

#[test]
fn the_ends_of_the_world_and_of_february_are_answers() {
    let bench = Bench::new();
    let hours = |latitude: &str, date: &str, key: &str| {
        number(&bench.json(&format!("reckon daylight --latitude {latitude} --date {date}"), 0), key)
    };
    // On the polar circle the midsummer sun is above the horizon all day; at midwinter refraction alone lifts it for some two hours
    // (by hand: cos ω = (sin -0.833° - sin 66.56° sin -23.44°) / (cos 66.56° cos -23.44°) = 0.9601, ω = 16.2°, 2.2 h).
    is_near(hours("66.56", "2027-06-21", "hours"), 24.0, 1e-9, "polar circle at midsummer");
    is_near(hours("-66.56", "2027-12-21", "hours"), 24.0, 1e-9, "southern polar circle at its midsummer");
    is_near(hours("66.56", "2027-12-21", "hours"), 2.2, 0.2, "polar circle at midwinter");
    // No refraction in FAO-56: hardly a day at all.
    assert!(hours("66.56", "2027-12-21", "geometric_hours") < 1.0);
    // The equator has twelve hours of FAO-56 on any day (tan 0° = 0), leap day or not.
    for date in ["2028-02-29", "2028-12-31", "2027-01-01", "1900-03-01", "2200-12-31"] {
        is_near(hours("0", date, "geometric_hours"), 12.0, 1e-9, date);
    }
    // North and south change places in half a year, to the few minutes by which the sun's path is not a circle.
    is_near(hours("54", "2027-06-21", "hours"), hours("-54", "2027-12-21", "hours"), 0.05, "54 degrees");
    let poles = |date: &str| {
        ["90", "-90"]
            .map(|at| number(&bench.json(&format!("reckon radiation --latitude {at} --date {date}"), 0), "mj_m2_day"))
    };
    let [north, south] = poles("2027-06-21");
    // FAO-56 eq. 21 with the sun up all day: 37.586 × dr × sin 90° × sin 23.45° × π = 37.586 × 0.967 × 0.398 × 3.1416 = 45.4.
    assert!((north - 45.4).abs() < 0.3 && south.abs() < 1e-9, "{north} {south}");
    // A crop may be sown on a leap day, and stand over one.
    let garlic = bench.json("reckon dates garlic --plant 2027-10-15", 0);
    assert!(day(&garlic, "clear") > day(&garlic, "plant") + 200);
    assert_eq!(bench.json("reckon dates carrot --sow 2028-02-29", 0)["sow"], "2028-02-29");
}

#[test]
fn a_day_of_one_temperature_has_warmth_and_no_evaporation() {
    let bench = Bench::new();
    let heat = |words: &str| number(&bench.json(&format!("reckon heat {words}"), 0), "degree_days");
    for method in ["sine", "mean", "Sine", "MEAN"] {
        is_near(heat(&format!("--base 5 --tmin 12 --tmax 12 --method {method}")), 7.0, 1e-9, method);
        // Nothing above the base is nothing; all above the upper threshold is the upper threshold.
        is_near(heat(&format!("--base 30 --tmin 12 --tmax 20 --method {method}")), 0.0, 1e-9, method);
        is_near(heat(&format!("--base 5 --upper 10 --tmin 12 --tmax 20 --method {method}")), 5.0, 1e-9, method);
    }
    // Hargreaves has the root of the day's range in it.
    let still = bench.json("reckon evaporation --latitude 45 --date 2027-07-15 --tmin 20 --tmax 20", 0);
    is_near(number(&still, "mm_day"), 0.0, 1e-9, "no range");
    let polar = bench.json("reckon evaporation --latitude 80 --date 2027-12-21 --tmin -30 --tmax -20", 0);
    is_near(number(&polar, "mm_day"), 0.0, 1e-9, "no sun");
}

#[test]
fn what_is_sown_or_planted_the_wrong_way_gets_advice() {
    let bench = Bench::new();
    for (words, advice) in [
        ("potato --sow 2027-04-10", "from tubers, not sown; give --plant DATE"),
        ("rhubarb --sow 2027-04-10", "from crowns, not sown; give --plant DATE"),
        ("carrot --plant 2027-04-10", "is sown in place; give --sow DATE, or --raised module"),
        ("leek --plant 2027-06-01 --raised in-place", "give --sow DATE"),
        ("leek --plant 2027-06-01 --raised tubers", "it knows module"),
        ("leek", "--sow DATE or --plant DATE"),
        ("leek --sow 2027-03-01 --plant 2027-06-01", "--sow DATE or --plant DATE"),
        ("leek --sow 2027-03-01 --climate maritime-uplands", "did you mean `maritime-upland`?"),
        ("lek --sow 2027-03-01", "nearest are"),
    ] {
        let said = bench.run(&format!("reckon dates {words}"));
        said.is_refused(words);
        assert!(said.err.contains(advice), "{words}: {}", said.err);
    }
    // Planted all the same, it is raised in modules and sown weeks before.
    let carrot = bench.json("reckon dates carrot --plant 2027-05-10 --raised module", 0);
    assert!(day(&carrot, "sow") < day(&carrot, "plant"), "{carrot}");
    // One crop, three ways.
    let sets = bench.json("reckon dates onion-sets --plant 2027-03-25", 0);
    assert_eq!((sets["raised"].as_str(), sets["sow"].is_null()), (Some("set"), true), "{sets}");
    for name in ["Leeks", "LEEK", "leek", "~Leek~"] {
        assert_eq!(bench.json(&format!("reckon dates {name} --plant 2027-06-01"), 0)["crop"], "Leek", "{name}");
    }
    for climate in ["Maritime~Upland", "maritime_upland", "MARITIME-UPLAND"] {
        let answer = bench.json(&format!("reckon dates leek --plant 2027-06-01 --climate {climate}"), 0);
        assert_eq!(answer["climate"], "maritime-upland", "{climate}");
    }
}

#[test]
fn what_growth_and_weather_forbid_is_told() {
    let bench = Bench::new();
    for (words, limit, said) in [
        // Common practice, no published source: beans want warm soil, tender crops go out after the last frost, spring spinach
        // bolts in June, and half-hardy crops do not outlive a continental winter.
        ("runner bean --sow 2027-03-10 --climate maritime-upland", "too cold", "cold soil"),
        ("courgette --plant 2027-04-10 --climate maritime-upland", "before last frost", "before the last frost"),
        ("courgette --sow 2027-08-20 --climate maritime-upland", "too late for frost", "frost"),
        ("calabrese --plant 2027-09-20 --climate maritime-upland", "too late for light", "light"),
        ("spinach --sow 2027-05-20", "bolts", "bolt"),
        ("chard --sow 2027-08-20 --climate continental", "killed", "cold has killed it by"),
    ] {
        let answer = bench.json(&format!("reckon dates {words}"), 0);
        has_days(&answer, words);
        assert!(limits(&answer).contains(&limit), "{words}: {answer}");
        let text = bench.run(&format!("reckon dates {words}")).out;
        assert!(text.contains(said), "{words}: {text}");
    }
    // Nothing forbids leeks in June.
    assert!(limits(&bench.json("reckon dates leek --plant 2027-06-10", 0)).is_empty());
}

#[test]
fn no_crop_s_days_run_backwards() {
    // Every crop of the book, from summer to winter; seed may lie over winter, and what frost ends may never come up.
    let bench = Bench::new();
    let book = bench.json("crops", 0);
    for crop in book.as_array().unwrap().iter().map(|crop| crop["id"].as_str().unwrap()) {
        for start in ["--plant 2027-06-10", "--sow 2027-09-10", "--sow 2027-11-10"] {
            let words = format!("reckon dates {crop} {start} --climate maritime-upland");
            let said = bench.run(&format!("{words} --json"));
            if said.code == 2 {
                said.is_refused(&words);
                assert!(said.err.contains("give --"), "{words}: {}", said.err);
                continue;
            }
            let answer: Value = serde_json::from_str(&said.out).unwrap();
            has_days(&answer, &words);
            let order = ["sow", "emerge", "plant", "first_pick", "last_pick", "clear"];
            let days: Vec<&str> = order.iter().filter_map(|key| answer[key].as_str()).collect();
            assert!(days.is_sorted(), "{words}: {answer}");
            assert_eq!(answer["raised"] == "in-place", answer["plant"].is_null(), "{words}: {answer}");
        }
    }
}
