//! The water that fills dry soil, on the desk calculator.

use super::bench::{Bench, has_keys};

#[test]
fn a_soak_is_told_in_litres_and_cans() {
    let bench = Bench::new();
    // Sandy loam holds 0.11 to 0.15 (FAO-56 Table 19): 20 cm of it, dried out, take 1000 × 0.13 × 0.2 = 26 mm, 22 to 30.
    let dry = bench.json("reckon soak --soil sandy~loam --depth 20", 0);
    has_keys(&dry, &["mm", "litres_m2", "cans_m2", "mm_low", "mm_high", "litres", "cans", "source"]);
    let number =
        |answer: &serde_json::Value, key: &str| answer[key].as_f64().unwrap_or_else(|| panic!("{key}: {answer}"));
    for (key, expected) in [("mm", 26.0), ("litres_m2", 26.0), ("cans_m2", 2.6), ("mm_low", 22.0), ("mm_high", 30.0)] {
        assert!((number(&dry, key) - expected).abs() < 1e-9, "{key}: {dry}");
    }
    assert!(dry["litres"].is_null() && dry["cans"].is_null() && dry["area_m2"].is_null());
    // Half as dry, half as much; on 2.88 m² 13 × 2.88 = 37.44 litres.
    let half = bench.json("reckon soak --soil sandy-loam --depth 20 --dry 0.5 --area 2.88", 0);
    assert!((number(&half, "mm") - 13.0).abs() < 1e-9);
    assert!((number(&half, "litres") - 37.44).abs() < 1e-9 && (number(&half, "cans") - 3.744).abs() < 1e-9);
    let text = bench.run("reckon soak --soil sandy-loam --depth 20 --dry 0.5 --area 2.88").out;
    assert!(text.contains("13 litres a square metre (11 to 15 within the class): 1½ cans"), "{text}");
    assert!(text.contains("37 litres on 2.88 square metres: 3½ cans"), "{text}");
    assert!(text.contains("wet through or frozen"), "the caution: {text}");
    let ascii = bench.run("reckon soak --soil sandy-loam --depth 20 --ascii").out;
    assert!(ascii.is_ascii() && ascii.contains("2.5 cans"), "{ascii}");
}

#[test]
fn soil_that_is_moist_wants_no_water() {
    let bench = Bench::new();
    for soil in ["sand", "Loamy~Sand", "SandyLoam", "LOAM", "silt_loam", "silt", "clay"] {
        let answer = bench.json(&format!("reckon soak --soil {soil} --depth 30 --dry 0"), 0);
        assert!(answer["mm"].as_f64().unwrap().abs() < 1e-12, "{soil}: {answer}");
        assert!(answer["total_available_mm"].as_f64().unwrap() > 0.0, "{soil}");
    }
    let text = bench.run("reckon soak --soil loam --depth 30 --dry 0").out;
    assert!(text.contains("no water is needed") && text.contains("frozen"), "{text}");
}

#[test]
fn a_crop_takes_its_share_before_it_suffers() {
    let bench = Bench::new();
    // Loam: 1000 × 0.155 × 0.4 = 62 mm; potato takes 0.35 of it (FAO-56 Table 22), 21.7 mm.
    let answer = bench.json("reckon soak --soil loam --depth 40 --crop potato", 0);
    assert!((answer["total_available_mm"].as_f64().unwrap() - 62.0).abs() < 1e-9);
    assert!((answer["readily_available_mm"].as_f64().unwrap() - 21.7).abs() < 1e-9);
    let text = bench.run("reckon soak --soil loam --depth 40 --crop potato").out.replace("\n  ", " ");
    assert!(text.contains("takes 22 of the 62 mm") && text.contains("40 to 60 cm deep"), "{text}");
    let without = bench.json("reckon soak --soil loam --depth 40", 0);
    assert!(without["crop"].is_null() && without["readily_available_mm"].is_null());
}

#[test]
fn nonsense_in_a_soak_is_refused_in_one_line() {
    let bench = Bench::new();
    for words in [
        "--depth 20",
        "--soil peat --depth 20",
        "--soil loam --depth 0",
        "--soil loam --depth -20",
        "--soil loam --depth NaN",
        "--soil loam --depth inf",
        "--soil loam --depth 1000",
        "--soil loam --depth deep",
        "--soil loam --depth 20 --dry 1.01",
        "--soil loam --depth 20 --dry -0.1",
        "--soil loam --depth 20 --dry 50%",
        "--soil loam --depth 20 --dry NaN",
        "--soil loam --depth 20 --area 0",
        "--soil loam --depth 20 --area -3",
        "--soil loam --depth 20 --area 1e9",
        "--soil loam --depth 20 --area 1.2x2.4",
        "--soil loam --depth 20 --crop unobtainium",
        "--soil loam --depth 20 --crop leek",
    ] {
        bench.run(&format!("reckon soak {words}")).is_refused(words);
        bench.run(&format!("reckon soak {words} --json")).is_refused(words);
    }
    for given in [["--soil", "", "--depth", "20"], ["--soil", "loam", "--depth", ""], ["--soil", "loam", "--crop", ""]]
    {
        let args: Vec<&str> = ["reckon", "soak"].into_iter().chain(given).collect();
        bench.run_args(&args).is_refused(&args.join(" "));
    }
    let slip = bench.run("reckon soak --soil sandy~lome --depth 20");
    assert!(slip.err.contains("did you mean sandy loam?"), "{}", slip.err);
}
