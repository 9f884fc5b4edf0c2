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
        Edit::put(FamilyReturn { family: "onion".to_owned(), years: 4 }),
        Edit::Take(Key::Return("onion".to_owned())),
        Edit::change(garden().soil_log[0].clone()),
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
    assert_eq!(line, r#"3 (how:Made,title:"place leek in A1",edit:RemovePlanting(3))"#);
    let edit = Edit::AddPlanting(Box::new(leek(1, "A1")));
    let line = Record { how: How::MadeAgain, ..record(edit) }.to_line().unwrap();
    assert_eq!(
        line,
        "3 (how:MadeAgain,title:\"place leek in A1\",edit:AddPlanting((id:1,bed:\"A1\",crop:\"leek\",from_mm:0,to_mm:2400,\
         layout:Grid(spacing_mm:300),clump:4,raised:Module,planned:(sow:\"2027-03-15\",plant:\"2027-06-07\",\
         clear:\"2028-03-06\"))))"
    );
}

#[test]
fn unknown_fields_and_edits_are_refused() {
    for line in [
        r#"3 (how:Made,title:"t",edit:RemovePlanting(3),by:"x")"#,
        r#"3 (how:Made,title:"t",edit:Put(Return((family:"onion",years:4,why:"x"))))"#,
        r#"3 (how:Made,title:"t",edit:Burn(3))"#,
        r#"3 (how:Sold,title:"t",edit:RemovePlanting(3))"#,
        r#"3 (how:Made,title:"t")"#,
        "3 ",
        "3",
        "",
    ] {
        assert!(matches!(Record::from_line(line), Err(RecordError::Unreadable(_))), "{line}");
    }
}

/// The second form was written beside files of format 1.
#[test]
fn a_record_of_the_second_form_says_the_same_in_the_words_of_today() {
    let mut sown = leek(7, "A1");
    sown.raised = Raised::InPlace;
    sown.notes = "raised: Direct".to_owned();
    let crop = crate::crops::CropBook::embedded().unwrap().crop("leek").unwrap().clone();
    let accepted = Accepted {
        id: EntryId(3),
        rule: "overlap".to_owned(),
        planting: PlantingId(7),
        against: Against::Planting(PlantingId(7)),
        reason: "against:p7".to_owned(),
    };
    let edits = [
        Edit::AddPlanting(Box::new(sown.clone())),
        Edit::ChangePlanting(Box::new(sown.clone())),
        Edit::put(crop.clone()),
        Edit::change(crop),
        Edit::put(accepted.clone()),
        Edit::change(accepted),
        Edit::Several { title: "raised:Direct".to_owned(), edits: vec![Edit::AddPlanting(Box::new(sown))] },
    ];
    for edit in edits {
        let record = record(edit);
        let line = record.to_line().unwrap();
        let former = line.replacen("3 ", "2 ", 1).replace("InPlace", "Direct").replace("Planting(7)", "\"p7\"");
        assert_ne!(former.len(), line.len());
        assert_eq!(Record::from_line(&former).unwrap(), record, "{former}");
        assert!(matches!(Record::from_line(&former.replacen("2 ", "3 ", 1)), Err(RecordError::Unreadable(_))));
    }
}

/// What happened was written in the planting then.
#[test]
fn a_record_of_the_second_form_is_read_where_it_leaves_what_happened_as_the_list_tells_it() {
    let mut garden = garden();
    let what = Happening::Planted;
    garden.happened = vec![Happened { id: EntryId(1), planting: PlantingId(1), date: day("2027-06-08"), what }].into();
    let line = |edit: &str, id: u32, real: &str| {
        let planting = ron::to_string(&leek(id, "A1")).unwrap();
        let told = planting.replace(",planned:", &format!(",{real}planned:"));
        format!("2 (how:Made,title:\"t\",edit:Several(title:\"t\",edits:[{edit}({told})]))")
    };
    let same = line("ChangePlanting", 1, "real:(plant:\"2027-06-08\"),");
    let edits = vec![Edit::ChangePlanting(Box::new(leek(1, "A1")))];
    let read = Records::default().read(&same, &garden).unwrap();
    assert_eq!(read.edit, Edit::Several { title: "t".to_owned(), edits });
    assert!(Records::default().read(&line("AddPlanting", 8, ""), &garden).is_ok());
    for (edit, id, real) in [
        ("ChangePlanting", 1, "real:(plant:\"2027-06-09\"),"),
        ("ChangePlanting", 1, ""),
        ("AddPlanting", 8, "real:(picked_g:[(\"2027-06-09\",3)]),"),
        ("ChangePlanting", 1, "real:(planted:\"2027-06-08\"),"),
    ] {
        let refused = Records::default().read(&line(edit, id, real), &garden);
        assert!(matches!(refused, Err(RecordError::Earlier(_))), "{refused:?}");
    }
}

/// Of the first form, which had no number and named rows by their places.
#[test]
fn a_record_of_another_form_is_read_if_it_says_the_same_and_else_refused_in_words() {
    let same = Record::from_line(r#"(how:Made,title:"t",edit:RemovePlanting(3))"#).unwrap();
    assert_eq!(same.edit, Edit::RemovePlanting(PlantingId(3)));
    let by_place = Record::from_line(r#"(how:Made,title:"t",edit:RemovePast(at:0))"#).unwrap_err().to_string();
    assert!(
        by_place.starts_with("an earlier bedfellow wrote it, and this one no longer makes such an edit"),
        "{by_place}"
    );
    for (line, form) in [(r#"4 (how:Made,title:"t",edit:Burn(3))"#, 4), ("99999999999 (", u32::MAX)] {
        assert_eq!(Record::from_line(line), Err(RecordError::Newer(form)));
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
