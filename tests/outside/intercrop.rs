//! The land equivalent ratio against its worked example and measured values.
//!
//! `data/intercrop.csv` holds published rows, each with its source; those read only in an abstract say so there.

use bedfellow::fit::land_equivalent_ratio;

fn rows() -> Vec<csv::StringRecord> {
    let text = include_str!("data/intercrop.csv");
    csv::Reader::from_reader(text.as_bytes()).records().map(Result::unwrap).collect()
}

const ROW_ID: usize = 0;
const KIND: usize = 1;
const LER: usize = 6;
const LER_LOW: usize = 7;
const LER_HIGH: usize = 8;
const YIELDS: std::ops::Range<usize> = 9..13;

fn number(row: &csv::StringRecord, column: usize) -> Option<f64> {
    row.get(column).filter(|cell| !cell.is_empty()).map(|cell| cell.parse().unwrap())
}

#[test]
fn the_published_worked_example_comes_to_one_point_four() {
    // Row ic002: 4000/5000 + 9000/15000 (example table of the encyclopaedia article on the land equivalent ratio).
    let rows = rows();
    let row = rows.iter().find(|row| &row[ROW_ID] == "ic002").unwrap();
    let yields: Vec<f64> = YIELDS.map(|column| number(row, column).unwrap()).collect();
    let ratio = land_equivalent_ratio(&[(yields[0], yields[1]), (yields[2], yields[3])]);
    assert!((ratio - number(row, LER).unwrap()).abs() < 1e-12);
    assert!((ratio - 1.4).abs() < 1e-12);
}

#[test]
fn yield_per_plant_gives_the_same_ratio_as_yield_per_area() {
    // Deb & Dutta 2022, Experimental Agriculture (abstract): the ratio does not depend on the unit of yield.
    let per_area = land_equivalent_ratio(&[(4000.0, 5000.0), (9000.0, 15000.0)]);
    let per_plant = land_equivalent_ratio(&[(4000.0 / 222.0, 5000.0 / 222.0), (9000.0 / 44.0, 15000.0 / 44.0)]);
    assert!((per_area - per_plant).abs() < 1e-12);
}

#[test]
fn measured_mixtures_save_land_and_their_ratios_can_be_met() {
    let mut n = 0;
    for row in rows() {
        let published: Vec<f64> =
            [LER, LER_LOW, LER_HIGH].into_iter().filter_map(|column| number(&row, column)).collect();
        assert!(!published.is_empty(), "{}", &row[ROW_ID]);
        if &row[KIND] != "measured" {
            continue;
        }
        for ler in published {
            assert!((1.0..=2.5).contains(&ler), "{}", &row[ROW_ID]);
            // A host whose yield is unaffected (1 of 1), the rest of the ratio from the joining crop.
            assert!((land_equivalent_ratio(&[(1.0, 1.0), (ler - 1.0, 1.0)]) - ler).abs() < 1e-12, "{}", &row[ROW_ID]);
        }
        n += 1;
    }
    assert_eq!(n, 9);
}
