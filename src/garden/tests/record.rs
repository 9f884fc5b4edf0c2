//! A step as one line of the journal.

use super::*;

fn record(edit: Edit) -> Record {
    Record { how: How::Made, title: "place leek in A1".to_owned(), edit }
}

#[test]
fn a_record_is_one_line_and_read_back_as_it_was() {
    let mut notes = leek(7, "A1");
    notes.notes = "two\nlines,\r\n\"quoted\" \\ and \u{2028} a separator".to_owned();
    for edit in [
        Edit::AddPlanting(Box::new(notes)),
        Edit::SetReturn { family: "onion".to_owned(), years: Some(4) },
        Edit::SetReturn { family: "onion".to_owned(), years: None },
        Edit::Several { title: "a\nb".to_owned(), edits: vec![Edit::RemovePlanting(PlantingId(3))] },
    ] {
        let record = record(edit);
        let line = record.to_line().unwrap();
        assert!(!line.contains(['\n', '\r']), "{line}");
        assert_eq!(Record::from_line(&line).unwrap(), record);
    }
}

/// The form on disk is a contract with journals already written.
#[test]
fn a_record_looks_so() {
    let line = record(Edit::RemovePlanting(PlantingId(3))).to_line().unwrap();
    assert_eq!(line, r#"(how:Made,title:"place leek in A1",edit:RemovePlanting(3))"#);
    let edit = Edit::AddPlanting(Box::new(leek(1, "A1")));
    let line = Record { how: How::MadeAgain, ..record(edit) }.to_line().unwrap();
    assert_eq!(
        line,
        "(how:MadeAgain,title:\"place leek in A1\",edit:AddPlanting((id:1,bed:\"A1\",crop:\"leek\",from_mm:0,to_mm:2400,\
         layout:Grid(spacing_mm:300),clump:4,raised:Module,planned:(sow:\"2027-03-15\",plant:\"2027-06-07\",\
         clear:\"2028-03-06\"))))"
    );
}

#[test]
fn unknown_fields_and_edits_are_refused() {
    for line in [
        r#"(how:Made,title:"t",edit:RemovePlanting(3),by:"x")"#,
        r#"(how:Made,title:"t",edit:SetReturn(family:"onion",years:None,why:"x"))"#,
        r#"(how:Made,title:"t",edit:Burn(3))"#,
        r#"(how:Sold,title:"t",edit:RemovePlanting(3))"#,
        r#"(how:Made,title:"t")"#,
        "",
    ] {
        assert!(matches!(Record::from_line(line), Err(RecordError::Unreadable(_))), "{line}");
    }
}

#[test]
fn a_replay_stops_at_the_first_record_that_does_not_apply() {
    let lines: Vec<String> = [
        Edit::AddPlanting(Box::new(leek(40, "A1"))),
        Edit::RemovePlanting(PlantingId(99)),
        Edit::Rename("never reached".to_owned()),
    ]
    .map(|edit| record(edit).to_line().unwrap())
    .to_vec();
    let mut replayed = garden();
    let (place, error) = replay(&mut replayed, &lines).unwrap_err();
    assert_eq!((place, error), (1, RecordError::DoesNotApply(EditError::NoPlanting(PlantingId(99)))));
    let mut expected = garden();
    Edit::AddPlanting(Box::new(leek(40, "A1"))).apply_to(&mut expected).unwrap();
    assert_eq!(replayed, expected, "what comes before is kept");
}
