//! Where each measure ends.

use serde::Deserialize;

use super::list::{at_most, at_most_named};
use super::{LengthError, Mm, Rect, Week};

#[test]
fn rectangles_that_only_touch_share_no_ground() {
    let rect = |x0, x1, y0, y1| Rect { x0: Mm(x0), x1: Mm(x1), y0: Mm(y0), y1: Mm(y1) };
    let bed = rect(0, 100, 0, 50);
    assert_eq!(bed.shared_with(rect(100, 200, 0, 50)), None, "end to end");
    assert_eq!(bed.shared_with(rect(0, 100, 50, 80)), None, "side by side");
    assert_eq!(bed.shared_with(rect(99, 200, 49, 80)), Some(rect(99, 100, 49, 50)));
}

#[test]
fn half_of_an_odd_length_is_the_smaller_half() {
    assert_eq!((Mm(1201).half(), Mm(1200).half(), Mm(1).half()), (Mm(600), Mm(600), Mm::ZERO));
}

#[test]
fn a_kilometre_is_the_longest_length_read() {
    assert_eq!(Mm::parse_cm("100000"), Ok(Mm(1_000_000)));
    assert_eq!(Mm::parse_cm("100001"), Err(LengthError::TooLong("100001".to_owned())));
}

#[test]
fn a_week_ends_on_its_sunday() {
    // 6 January 2027 is a Wednesday.
    let week = Week::of("2027-01-06".parse().unwrap());
    assert_eq!((week.monday().to_string(), week.sunday().to_string()), ("2027-01-04".into(), "2027-01-10".into()));
}

#[test]
fn a_list_is_read_up_to_its_length_and_no_further() {
    #[derive(Debug, Deserialize)]
    struct Read {
        #[serde(default, deserialize_with = "at_most::<2, _, _>")]
        list: Vec<u8>,
        #[serde(default, deserialize_with = "at_most_named::<2, _, _>")]
        table: std::collections::BTreeMap<String, u8>,
    }
    let read = |text: &str| ron::from_str::<Read>(text).map(|read| read.list.len() + read.table.len());
    assert_eq!(read("(list: [1, 2])").ok(), Some(2));
    assert_eq!(read("(table: {\"a\": 1, \"b\": 2})").ok(), Some(2));
    for long in ["(list: [1, 2, 3])", "(table: {\"a\": 1, \"b\": 2, \"c\": 3})"] {
        assert!(read(long).is_err_and(|error| error.code.to_string().contains("more entries than 2")), "{long}");
    }
}
