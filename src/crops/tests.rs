//! The embedded book as a whole.

use super::*;

fn book() -> CropBook {
    CropBook::embedded().unwrap_or_else(|error| panic!("{error}"))
}

#[test]
fn the_embedded_book_holds_together() {
    let book = book();
    assert_eq!(book.crops().len(), 96);
    assert_eq!(book.hazards().len(), 40);
    eprintln!("{} rules", book.follow_rules().len());
}

#[test]
#[ignore = "a measurement"]
fn time_to_load() {
    for _ in 0..5 {
        let start = std::time::Instant::now();
        let n = 50;
        for _ in 0..n {
            std::hint::black_box(CropBook::embedded().unwrap());
        }
        eprintln!("{:?}", start.elapsed() / n);
    }
    let book = book();
    let start = std::time::Instant::now();
    book.find("leek");
    eprintln!("index {:?}", start.elapsed());
    let start = std::time::Instant::now();
    eprintln!("{:?} {:?}", book.search("psb"), start.elapsed());
}
