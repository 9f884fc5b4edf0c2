//! What a file may not hold, no screen can make.

use crate::sitting::{COLOUR, Sitting};
use bedfellow::garden::{Bed, Garden, limits};

const SIZE: (u16, u16) = (200, 50);

#[test]
fn the_last_bed_is_laid_out_and_one_more_is_refused() {
    let demo = Garden::from_ron(include_str!("../../demo/walled-garden.ron"), "demo").unwrap();
    let mut garden = Garden::empty("many beds");
    let bed = |n: usize| Bed { id: format!("n{n}"), ..demo.beds[0].clone() };
    garden.beds = (0..limits::N_BEDS - 1).map(bed).collect();
    let mut sitting = Sitting::at(garden, COLOUR, SIZE);
    sitting.keys("Nlast<Enter>");
    assert_eq!(sitting.session.plan().garden().beds.len(), limits::N_BEDS);
    sitting.keys("Nmore<Enter>");
    assert_eq!(sitting.session.plan().garden().beds.len(), limits::N_BEDS);
    let frame = sitting.frame(SIZE).backend().to_string();
    assert!(frame.contains("2000 are the most"), "{frame}");
}
