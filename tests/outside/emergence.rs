//! Days to emergence against the table of Harrington & Minges 1954, Vegetable Seed Germination (as adapted in Knott's Handbook for
//! Vegetable Growers 1997, reprinted in UC Santa Cruz, Teaching Organic Farming & Gardening, Unit 1.3 Appendix 4), row by row:
//! `data/emergence_days.csv`. Reprints differ by one day in ten cells, which is the tolerance of the rows themselves.

use bedfellow::growth::{Emergence, emergence_of_row};

#[test]
fn every_printed_cell_comes_back() {
    let mut reader = csv::Reader::from_path("tests/outside/data/emergence_days.csv").unwrap();
    let headers = reader.headers().unwrap().clone();
    let at = |name: &str| headers.iter().position(|header| header == name).unwrap();
    let (id, crop, celsius, status, days, tolerance) =
        (at("id"), at("crop"), at("temp_c"), at("status"), at("days"), at("tolerance"));
    let (mut n_days, mut n_none) = (0, 0);
    for record in reader.records() {
        let record = record.unwrap();
        let said = emergence_of_row(&record[crop], record[celsius].parse().unwrap());
        let label = format!("{}: {said:?}", &record[id]);
        match &record[status] {
            "days" => {
                n_days += 1;
                let Emergence::Days(found) = said else { panic!("{label}") };
                let (days, tolerance): (f64, f64) = (record[days].parse().unwrap(), record[tolerance].parse().unwrap());
                assert!((found - days).abs() <= tolerance, "{label}, printed {days}");
            }
            "no_germination" => {
                n_none += 1;
                assert!(matches!(said, Emergence::TooCold | Emergence::TooHot), "{label}");
            }
            // Not tested: the table must not be carried there.
            "not_tested" => assert!(!matches!(said, Emergence::Days(_)), "{label}"),
            other => panic!("{other}"),
        }
    }
    assert!(n_days > 90 && n_none > 25, "{n_days} {n_none}");
}
