//! Sun, warmth and dates on the desk calculator.

use super::bench::{Bench, keys};

#[test]
fn published_examples_of_sun_and_evaporation_come_out() {
    let bench = Bench::new();
    let figure = |words: &str, key: &str| bench.json(words, 0)[key].as_f64().unwrap();
    // FAO-56 Example 8: 20° south, 3 September, 32.2 MJ per m² and day.
    assert!((figure("reckon radiation --latitude -20 --date 2027-09-03", "mj_m2_day") - 32.2).abs() < 0.05);
    // FAO-56 Example 9: the same place and day, 11.7 hours.
    assert!((figure("reckon daylight --latitude -20 --date 2027-09-03", "geometric_hours") - 11.7).abs() < 0.05);
    // FAO-56 Example 20: 45° 43' north, July, 14.8 and 26.6 °C, 5.0 mm a day.
    let words = "reckon evaporation --latitude 45.72 --date 2027-07-15 --tmin 14.8 --tmax 26.6";
    assert!((figure(words, "mm_day") - 5.0).abs() < 0.05);
    // By hand: (5 + 20) / 2 − 10.
    assert!((figure("reckon heat --base 10 --tmin 5 --tmax 20 --method mean", "degree_days") - 2.5).abs() < 1e-9);
}

#[test]
fn polar_day_and_night_are_answers() {
    let bench = Bench::new();
    let hours = |latitude: &str| {
        let answer = bench.json(&format!("reckon daylight --latitude {latitude} --date 2027-06-21"), 0);
        assert_eq!(keys(&answer), ["geometric_hours", "hours"]);
        answer["hours"].as_f64().unwrap()
    };
    assert!((hours("85") - 24.0).abs() < 1e-9 && hours("-85").abs() < 1e-9);
}

#[test]
fn emergence_is_the_tables_or_says_which_end() {
    let bench = Bench::new();
    let answer = |words: &str| bench.json(&format!("reckon emergence {words}"), 0);
    // Harrington & Minges 1954, in reprints: carrot at 50 °F (10 °C), 17 days; lettuce at 95 °F (35 °C), no germination.
    assert!((answer("carrot --soil 10")["days"].as_f64().unwrap() - 17.0).abs() < 0.6);
    let cold = answer("carrot --soil -2");
    assert!(cold["days"].is_null() && cold["reason"] == "too cold");
    let hot = answer("lettuce --soil 35");
    assert!(hot["days"].is_null() && hot["reason"] == "too hot");
}

#[test]
fn a_late_summer_lettuce_takes_longer_than_a_may_one() {
    // Common practice, no published source: a late-summer sowing takes markedly longer than one in May.
    let bench = Bench::new();
    let days = |sown: &str| {
        let answer = bench.json(&format!("reckon dates lettuce --sow {sown}"), 0);
        for key in ["sow", "emerge", "plant", "first_pick", "last_pick", "clear", "clear_early", "clear_late"] {
            assert!(answer.get(key).is_some(), "{key}");
        }
        let day = |key: &str| answer[key].as_str().unwrap().parse::<chrono::NaiveDate>().unwrap();
        assert!(day("clear_early") <= day("clear") && day("clear") <= day("clear_late"));
        (day("first_pick") - day("sow")).num_days()
    };
    assert!(days("2027-08-20") >= days("2027-05-01") + 7);
}

#[test]
fn nonsense_is_one_line_and_exit_2() {
    let bench = Bench::new();
    for words in [
        "reckon daylight --latitude 95 --date 2027-06-21",
        "reckon daylight --latitude NaN --date 2027-06-21",
        "reckon radiation --latitude 54 --date 2027-02-30",
        "reckon evaporation --latitude 54 --date 2027-07-15 --tmin 20 --tmax 10",
        "reckon heat --base 10 --upper 5 --tmin 3 --tmax 14",
        "reckon heat --base 10 --tmin 3 --tmax 14 --method guess",
        "reckon emergence carrot --soil 80",
        "reckon emergence nonsuch --soil 10",
        "reckon dates leek",
        "reckon dates leek --sow 2027-04-01 --plant 2027-06-01",
        "reckon dates leek --sow 2027-04-01 --climate nowhere",
        "reckon dates leek --sow 2027-04-01 --cover snow",
    ] {
        let run = bench.run(words);
        assert_eq!(run.code, 2, "{words}");
        assert_eq!(run.err.trim_end().lines().count(), 1, "{words}: {}", run.err);
    }
}
