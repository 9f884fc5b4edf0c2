//! What a journal says, whatever has happened to its bytes.

use proptest::prelude::*;

use super::super::lines::{self, Fingerprint, Found, Line, Tail};

/// A journal of these records, and where each line ends.
fn written(base: &[u8], lines: &[Line]) -> (Vec<u8>, Vec<usize>) {
    let (mut text, mut crc) = lines::head(Fingerprint::of(base));
    let mut ends = vec![text.len()];
    for line in lines {
        let (more, after) = line.written(crc);
        text.push_str(&more);
        crc = after;
        ends.push(text.len());
    }
    (text.into_bytes(), ends)
}

fn records(texts: &[&str]) -> Vec<Line> {
    texts.iter().map(|text| Line::Record((*text).to_owned())).collect()
}

fn read(bytes: &[u8]) -> (Vec<Line>, Tail) {
    match lines::read(bytes) {
        Found::Journal(found) => (found.lines.into_iter().map(|placed| placed.line).collect(), found.tail),
        other => panic!("{other:?}"),
    }
}

#[test]
fn the_bytes_of_a_journal_are_these() {
    // CRC-32 of ISO 3309, worked out with Python's zlib: zlib.crc32(b"base\n"), then of the first line, and of
    // "6 bean a" and "saving 5-…" carried on from there.
    let lines = [Line::Record("bean a".to_owned()), Line::Saving(Fingerprint::of(b"saved"))];
    let (bytes, _) = written(b"base\n", &lines);
    let expected = "bedfellow journal 1 base=5-08a2e3a3\ne1ac7490 6 bean a\nsaving 5-f9e3d325 b71303e7\n";
    assert_eq!(String::from_utf8(bytes.clone()).unwrap(), expected);
    assert_eq!(read(&bytes), (lines.to_vec(), Tail::Nothing));
}

#[test]
fn replay_begins_after_the_last_mark_of_the_contents_or_at_the_start() {
    let [a, b] = [b"a", b"b"].map(|bytes| Fingerprint::of(bytes));
    let record = |text: &str| Line::Record(text.to_owned());
    let lines = [record("1"), Line::Saving(a), record("2"), Line::Saving(b), record("3"), Line::Saving(a), record("4")];
    let Found::Journal(found) = lines::read(&written(b"base", &lines).0) else { panic!() };
    let from = |contents: &[u8]| {
        found.first_to_replay(Fingerprint::of(contents)).map(|first| found.records_from(first).collect::<Vec<_>>())
    };
    assert_eq!(from(b"base").unwrap(), ["1", "2", "3", "4"]);
    assert_eq!(from(b"a").unwrap(), ["4"]);
    assert_eq!(from(b"b").unwrap(), ["3", "4"]);
    assert_eq!(from(b"other"), None);
}

#[test]
fn a_line_lost_moved_or_doubled_is_missed() {
    let lines = records(&["one", "two", "six"]);
    let (bytes, ends) = written(b"", &lines);
    let piece = |n: usize| &bytes[ends[n]..ends[n + 1]];
    let head = &bytes[..ends[0]];
    for (order, n_good) in [([0, 2, 2], 1), ([0, 2, 1], 1), ([0, 0, 1], 1), ([1, 0, 2], 0)] {
        let changed = [head, piece(order[0]), piece(order[1]), piece(order[2])].concat();
        assert_eq!(read(&changed), (lines[..n_good].to_vec(), Tail::Damaged), "{order:?}");
    }
}

#[test]
fn what_is_no_journal_is_told_from_a_newer_one() {
    for text in ["", "\n", "bedfellow journal 1 base=5-00000000", "bedfellow journal 1 base=5-0\n", "x\ny\n"] {
        assert_eq!(lines::read(text.as_bytes()), Found::Foreign, "{text:?}");
    }
    for text in ["bedfellow journal 1 base=05-00000000\n", "bedfellow journal 0 base=5-00000000\n"] {
        assert_eq!(lines::read(text.as_bytes()), Found::Foreign, "{text:?}");
    }
    assert_eq!(lines::read(b"bedfellow journal 2 whatever\n\xff"), Found::Newer { format: 2 });
}

fn some_lines() -> impl Strategy<Value = Vec<Line>> {
    let line = prop_oneof![
        4 => "[ -~äß€]{0,12}".prop_map(Line::Record),
        1 => any::<[u8; 3]>().prop_map(|bytes| Line::Saving(Fingerprint::of(&bytes))),
    ];
    proptest::collection::vec(line, 0..12)
}

proptest! {
    #[test]
    fn any_bytes_are_read_without_a_panic(bytes in proptest::collection::vec(any::<u8>(), 0..200)) {
        let _ = lines::read(&bytes);
        let _ = lines::read(&[b"bedfellow journal 1 base=5-00000000\n", bytes.as_slice()].concat());
    }

    #[test]
    fn what_is_written_is_read(lines in some_lines()) {
        let (bytes, ends) = written(b"base", &lines);
        prop_assert_eq!(read(&bytes), (lines.clone(), Tail::Nothing));
        let Found::Journal(found) = lines::read(&bytes) else { panic!() };
        prop_assert_eq!(found.good().0, *ends.last().unwrap());
    }

    #[test]
    fn a_journal_cut_short_gives_the_lines_that_are_whole(lines in some_lines(), cut in any::<prop::sample::Index>()) {
        let (bytes, ends) = written(b"base", &lines);
        let n = cut.index(bytes.len() + 1);
        match lines::read(&bytes[..n]) {
            Found::Journal(found) => {
                let n_whole = ends.iter().filter(|end| **end <= n).count() - 1;
                prop_assert_eq!(found.lines.len(), n_whole);
                let torn = n - ends[n_whole];
                prop_assert_eq!(found.tail, if torn == 0 { Tail::Nothing } else { Tail::Torn { n_bytes: torn } });
            }
            other => {
                prop_assert_eq!(other, Found::Foreign);
                prop_assert!(n < ends[0]);
            }
        }
    }

    #[test]
    fn damage_leaves_the_lines_before_it_and_none_after(
        lines in some_lines(),
        places in proptest::collection::vec((any::<prop::sample::Index>(), 1_u8..), 1..4),
        put_in in proptest::collection::vec(any::<u8>(), 0..6),
    ) {
        let (bytes, ends) = written(b"base", &lines);
        let mut changed = bytes.clone();
        for (place, flip) in &places {
            let at = place.index(bytes.len());
            changed[at] = bytes[at] ^ flip;
        }
        let at = places[0].0.index(bytes.len());
        changed.splice(at..at, put_in);
        let first = (0..bytes.len()).find(|at| changed.get(*at) != bytes.get(*at)).unwrap_or(bytes.len());
        match lines::read(&changed) {
            Found::Journal(found) => {
                let read: Vec<Line> = found.lines.iter().map(|placed| placed.line.clone()).collect();
                if found.base == Fingerprint::of(b"base") {
                    prop_assert!(lines.starts_with(&read));
                    let n_before = ends.iter().filter(|end| **end <= first).count().saturating_sub(1);
                    prop_assert!(read.len() >= n_before.min(lines.len()));
                    prop_assert!(read.len() < lines.len() || changed == bytes || found.tail != Tail::Nothing);
                } else {
                    // The first line itself: it then belongs to other contents, and no line fits it.
                    prop_assert_eq!(read.len(), 0);
                }
            }
            Found::Foreign | Found::Newer { .. } => prop_assert!(first < ends[0]),
        }
    }
}
