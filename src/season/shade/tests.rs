#![allow(clippy::unwrap_used)]

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
