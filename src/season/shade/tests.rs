#![allow(clippy::unwrap_used, clippy::panic)]

use super::*;

fn place(east_cm: i32, south_cm: i32, bearing_deg: u32) -> Place {
    let mut bed = crate::season::tests::bed("A1", 120, 480);
    (bed.east_mm, bed.south_mm, bed.bearing_deg) = (Mm::from_cm(east_cm), Mm::from_cm(south_cm), bearing_deg);
    Place::of(&bed).unwrap()
}

#[test]
fn a_bed_lies_with_its_north_west_corner_where_the_file_puts_it() {
    for (bearing_deg, corners) in [
        (0, [(1000.0, -6800.0), (2200.0, -2000.0)]),
        (90, [(1000.0, -2000.0), (5800.0, -3200.0)]),
        (180, [(2200.0, -2000.0), (1000.0, -6800.0)]),
    ] {
        let place = place(100, 200, bearing_deg);
        for ((x, y), (east, north)) in [(0.0, 0.0), (4800.0, 1200.0)].into_iter().zip(corners) {
            let found = place.on_site(x, y);
            assert!((found.0 - east).abs() < 1e-6 && (found.1 - north).abs() < 1e-6, "{bearing_deg}: {found:?}");
            let back = place.in_bed(found);
            assert!((back.0 - x).abs() < 1e-6 && (back.1 - y).abs() < 1e-6);
        }
    }
}

/// At noon of 15 March at 54° N the sun stands 90 - 54 - 2.3 = 33.7° high (declination of that day -2.3°): a crop of 2 m
/// throws a shadow of 2 / tan 33.7° = 3.0 m, due north.
#[test]
fn a_noon_shadow_in_march_is_half_as_long_again_as_its_crop_and_falls_north() {
    let rays = rays(54.0)[2].unwrap();
    // The parts of the day on both sides of noon.
    for ray in &rays[5..7] {
        assert!((2.0 * ray.per_height - 3.0).abs() < 0.05, "{ray:?}");
        assert!(ray.north < -0.99, "{ray:?}");
    }
    assert!(rays[0].east > 0.5 && rays[11].east < -0.5, "the sun goes from east to west");
}

#[test]
fn a_way_over_a_rectangle_meets_it_only_within_its_length() {
    let rect = Rect { x0: Mm(1000), x1: Mm(2000), y0: Mm(0), y1: Mm(1000) };
    assert!(meets(&rect, (0.0, 500.0), (1.0, 0.0), 1500.0));
    assert!(!meets(&rect, (0.0, 500.0), (1.0, 0.0), 900.0));
    assert!(!meets(&rect, (0.0, 500.0), (-1.0, 0.0), 1500.0));
    assert!(!meets(&rect, (0.0, 1500.0), (1.0, 0.0), 1500.0));
}

#[test]
fn the_sun_lies_in_the_north_in_the_south_and_low_months_do_not_count() {
    assert!(rays(-40.0)[0].unwrap()[5].north > 0.9);
    assert!(rays(54.0)[11].is_none() && rays(54.0)[5].is_some());
}

/// Sweetcorn of 1.8 m on `corn_mm` of a bed that runs from west to east, and lettuces in a bed of one metre due north of the middle of
/// the corn, its near end 1.3 m off.
fn corn_south_of_lettuce(corn_mm: i32) -> crate::season::Plan {
    use crate::season::tests::{bed, day, garden, grid, plan, planting};
    let mut garden = garden(&[]);
    garden.site.latitude_deg = 54.0;
    let (mut corn_bed, mut lettuce_bed) = (bed("A1", 120, 480), bed("A2", 120, 100));
    (corn_bed.east_mm, corn_bed.south_mm, corn_bed.bearing_deg) = (Mm(3000), Mm(9000), 90);
    (lettuce_bed.east_mm, lettuce_bed.south_mm) = (Mm(4800), Mm(6700));
    garden.beds = vec![corn_bed, lettuce_bed].into();
    let mut corn = planting(1, "A1", "sweetcorn", grid(20), day(2027, 5, 28), day(2027, 9, 20));
    (corn.from_mm, corn.to_mm) = (Mm(2400 - corn_mm / 2), Mm(2400 + corn_mm / 2));
    let mut lettuce = planting(2, "A2", "lettuce-leaf", grid(22), day(2027, 7, 1), day(2027, 10, 1));
    lettuce.to_mm = Mm(1000);
    garden.plantings = vec![corn, lettuce];
    plan(garden)
}

/// By hand. The three points along the lettuces lie 1.5, 1.8 and 2.1 m north of the corn. In the middle of September (declination
/// 3.3°) the sun of 54° N stands, at 3¾°, 11¼° and 18¾° of hour angle, 4.8°, 14.4° and 23.7° from south, and shadows of 1.8 m reach
/// 2.2 m north: far enough all day. In sight of the corn's half width w the sun is up to atan(w / distance) from south, so that of the
/// twelve half hours these are dark at the three points:
///
/// | half width | 1.5 m | 1.8 m | 2.1 m | dark | hours |
/// | --- | --- | --- | --- | --- | --- |
/// | 0.60 m | 21.8°: 4 | 18.4°: 4 | 15.9°: 4 | 12 | 12 × 0.5 / 3 = 2 |
/// | 0.50 m | 18.4°: 4 | 15.5°: 4 | 13.4°: 2 | 10 | 1.67 |
/// | 0.20 m | 7.6°: 2 | 6.3°: 2 | 5.4°: 2 | 6 | 1 |
/// | 0.17 m | 6.5°: 2 | 5.4°: 2 | 4.6°: 0 | 4 | 0.67 |
#[test]
fn two_hours_of_shade_are_a_caution_one_hour_a_note_and_less_nothing() {
    for (corn_mm, found) in [
        (1200, Some((Severity::Caution, 2.0))),
        (1000, Some((Severity::Note, 10.0 / 6.0))),
        (400, Some((Severity::Note, 1.0))),
        (340, None),
    ] {
        let plan = corn_south_of_lettuce(corn_mm);
        let shades: Vec<_> = plan
            .findings()
            .into_iter()
            .filter_map(|finding| match &finding.says {
                Says::Shade(shade) => Some((finding.severity, shade.hours_lost, shade.on)),
                _ => None,
            })
            .collect();
        match (&shades[..], found) {
            ([(severity, hours_lost, on)], Some((expected, hours))) => {
                assert_eq!((*severity, on.month()), (expected, 9), "{corn_mm}");
                assert!((hours_lost - hours).abs() < 1e-9, "{corn_mm}: {hours_lost}");
            }
            ([], None) => {}
            _ => panic!("{corn_mm}: {shades:?} and not {found:?}"),
        }
    }
}

#[test]
fn a_bed_that_loses_more_than_one_hour_is_counted() {
    let plan = corn_south_of_lettuce(1000);
    let n_beds = plan.findings().into_iter().find_map(|finding| match &finding.says {
        Says::Shade(shade) => Some(shade.n_beds),
        _ => None,
    });
    assert_eq!(n_beds, Some(1), "ten sixths of an hour");
}

/// What is known is taken as it is, and no less work is counted for it, so that what is left out is the same in whatever order a
/// garden was edited.
#[test]
fn what_is_known_of_beds_that_stay_is_not_sought_again_but_counts_as_work() {
    const WORK: u64 = 100_000;
    let plan = corn_south_of_lettuce(1200);
    let tall = &plan.standing_in(0)[0];
    let follow = |known: Option<(&[Taken], &BTreeSet<usize>)>| {
        let mut work_left = WORK;
        let (finding, taken) =
            of_standing(plan.inputs(), plan.shadows(), plan.beds(), (0, tall), known, &mut work_left);
        (finding.map(|finding| finding.severity), taken, work_left)
    };
    let (none, lettuces) = (BTreeSet::new(), BTreeSet::from([1]));
    let anew = follow(None);
    let (severity, taken, work_left) = &anew;
    // One bed near, one planting that enters before the corn is out, and the first and the last middle of a month in which both
    // stand: 4 + 1 + 2 × 100.
    assert_eq!((*severity, taken.len(), WORK - work_left), (Some(Severity::Caution), 1, 205));
    assert_eq!(follow(Some((taken, &none))), anew);
    let light = [Taken { most: None, is_noted: false, ..taken[0] }];
    assert_eq!(follow(Some((&light, &none))), (None, light.to_vec(), *work_left));
    assert_eq!(follow(Some((&light, &lettuces))), anew);
}

#[test]
fn shadows_follow_the_tall_crop_and_what_stands_beside_it_edit_by_edit() {
    use crate::garden::{Edit, Planting, PlantingId};
    use crate::season::tests::{book, day, worked_out};
    let plan = corn_south_of_lettuce(1200);
    let changed = |id: u32, with: fn(&mut Planting)| {
        let mut planting = plan.garden().planting(PlantingId(id)).unwrap().clone();
        with(&mut planting);
        Edit::ChangePlanting(Box::new(planting))
    };
    let shades =
        |plan: &crate::season::Plan| plan.findings().iter().filter(|f| matches!(f.says, Says::Shade(_))).count();
    assert_eq!(shades(&plan), 1);
    for edit in [
        changed(1, |corn| corn.planned.clear = Some(day(2027, 7, 20))),
        changed(1, |corn| corn.crop = "lettuce-leaf".to_owned()),
        changed(2, |lettuce| lettuce.planned.plant = Some(day(2027, 9, 19))),
        changed(2, |lettuce| lettuce.crop = "runner-bean".to_owned()),
        Edit::RemovePlanting(PlantingId(1)),
        Edit::RemovePlanting(PlantingId(2)),
    ] {
        let next = plan.with(edit.clone()).unwrap();
        let anew = crate::season::Plan::new(next.garden().clone(), &book());
        assert_eq!((next.table_unlike(&anew), worked_out(&next)), (None, worked_out(&anew)), "{edit:?}");
        assert_eq!(shades(&next), 0, "{edit:?}");
        // And back again.
        let (back, put_back) = (plan.garden(), [PlantingId(1), PlantingId(2)]);
        let edits = put_back.into_iter().filter_map(|id| back.planting(id)).map(|was| {
            let was = Box::new(was.clone());
            if next.garden().planting(was.id).is_some() { Edit::ChangePlanting(was) } else { Edit::AddPlanting(was) }
        });
        let again = next.with(Edit::Several { title: "as it was".to_owned(), edits: edits.collect() }).unwrap();
        assert_eq!((again.table_unlike(&plan), worked_out(&again)), (None, worked_out(&plan)), "{edit:?}");
    }
}
