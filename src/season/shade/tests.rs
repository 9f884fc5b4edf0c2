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
