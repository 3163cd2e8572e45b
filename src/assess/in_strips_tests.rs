//! What fixings bring to strips, by hand.

use super::*;

fn held() -> Held {
    let first = FirstFixing { lever: 0.16, touch: 0.3 };
    Held { length: 1.2, fixings: vec![0.2, 0.6, 1.0], first: Some(first), strips: 1.0, slip: Slip::default() }
}

fn near(found: Brought, hand: [f64; 3]) -> bool {
    let found = [found.bends, found.twists, found.shears];
    (0..3).all(|i| (found[i] - hand[i]).abs() < 1e-9)
}

/// The shear steps at a fixing, and how far that is from the other end is a difference: it may come out a last digit too far.
#[test]
fn both_ends_are_alike_whatever_the_length() {
    let mut rounded = 0;
    for step in 0..400 {
        let length = 1.2 + 1e-3 * f64::from(step);
        let place = 0.2 + 3.7e-4 * f64::from(step);
        let fixings = vec![place, length - place];
        let held = Held { length, fixings, ..held() };
        let far = length - place;
        rounded += usize::from(length - far > place);
        let one = held.at(&InStrips { through: [700.0, 0.0], ..InStrips::default() }, place);
        let other = held.at(&InStrips { through: [0.0, 700.0], ..InStrips::default() }, far);
        assert!((one.shears_through - 700.0).abs() < 1e-6, "{length} {place} {one:?}");
        assert!((one.shears_through - other.shears_through).abs() < 1e-6, "{length} {place} {other:?}");
        assert!((one.bends_through - other.bends_through).abs() < 1e-6, "{length} {place} {other:?}");
    }
    assert!(rounded > 20, "{rounded}");
}

/// By hand: an opening of 500 N at the first end alone bends the strip by 500 · 0.16 = 80 N·m at its first fixing, half of
/// that half way to the corner's middle and half way to the touch, and nothing beyond either. It shears it by 500 N up to the
/// fixing and by 500 · 0.16/0.3 from there to the touch.
#[test]
fn a_corner_that_opens_bends_the_strip_round_its_first_fixing() {
    let asked = InStrips { opening: [500.0, 0.0], ..InStrips::default() };
    let held = held();
    let presses = 500.0 * 0.16 / 0.3;
    for (x, bends, shears) in [
        (0.04, 0.0, 500.0),
        (0.0, 0.0, 0.0),
        (0.12, 40.0, 500.0),
        (0.2, 80.0, 500.0),
        (0.35, 40.0, presses),
        (0.51, 0.0, 0.0),
        (0.9, 0.0, 0.0),
    ] {
        let found = held.at(&asked, x);
        assert!(
            near(Brought { bends: found.bends.max(0.0), ..found }, [bends, 0.0, shears]),
            "{x}: {found:?}"
        );
    }
    assert!(near(held.most(&asked), [80.0, 0.0, 500.0]));
    // A touch nearer than the lever presses by more than the opening.
    let close = Held { first: Some(FirstFixing { lever: 0.16, touch: 0.08 }), ..held.clone() };
    assert!(near(close.most(&asked), [80.0, 0.0, 1000.0]));
    assert!(near(close.at(&asked, 0.2), [80.0, 0.0, 1000.0]));
    let places: Vec<f64> = held.places().collect();
    assert!(places.len() == 2 && (places[0] - 0.2).abs() < 1e-9 && (places[1] - 1.0).abs() < 1e-9);
    // The other end's opening mirrors it.
    let other = InStrips { opening: [0.0, 500.0], ..asked };
    assert!((held.at(&other, 1.2 - 0.12).bends - 40.0).abs() < 1e-9);
    // Two strips on either side share it.
    assert!((Held { strips: 2.0, ..held }.at(&asked, 0.2).bends - 40.0).abs() < 1e-9);
}

/// By hand: 100 N that cross at the first end bend the strip by 100 · 0.16 = 16 N·m at its first fixing, half as much half way to where
/// the centre lines meet, 0.04 m from the end, and half as much half way to the other such place, 0.96 m on.
#[test]
fn a_corner_that_is_held_through_the_shell_bends_the_strip() {
    let held = held();
    let first = InStrips { through: [100.0, 0.0], ..InStrips::default() };
    let back = 16.0 / 0.96;
    for (x, bends, shears) in [
        (0.0, 0.0, 0.0),
        (0.04, 0.0, 100.0),
        (0.12, 8.0, 100.0),
        (0.2, 16.0, 100.0),
        (0.68, 8.0, back),
        (1.16, 0.0, back),
        (1.2, 0.0, 0.0),
    ] {
        let found = held.at(&first, x);
        let near = |a: f64, b: f64| (a - b).abs() < 1e-9;
        assert!(near(found.bends_through, bends) && near(found.shears_through, shears), "{x}: {found:?}");
        // From the other end it is the same, and both add up.
        let other = held.at(&InStrips { through: [0.0, 100.0], ..first }, 1.2 - x);
        assert!(near(other.bends_through, bends) && near(other.shears_through, shears), "{x}: {other:?}");
    }
    let both = held.at(&InStrips { through: [100.0, 100.0], ..first }, 0.2);
    assert!((both.bends_through - 16.0 - 0.16 * back).abs() < 1e-9, "{both:?}");
    assert!((held.most(&first).bends_through - 16.0).abs() < 1e-9);
    // Nothing is fixed: nothing is held.
    assert_eq!(Held { fixings: Vec::new(), first: None, ..held }.at(&first, 0.2), Brought::default());
}

/// By hand: of 60 N·m that turn the seam 30 leave by either end; a third of it comes in at every fixing.
#[test]
fn the_moment_of_a_seam_twists_its_strips_from_the_fixings_to_both_ends() {
    let asked = InStrips { moment: 60.0, ..InStrips::default() };
    let held = held();
    for (x, twists) in
        [(0.0, 30.0), (0.1, 30.0), (0.2, 30.0), (0.4, 10.0), (0.6, 10.0), (0.8, 10.0), (1.2, 30.0)]
    {
        assert!(near(held.at(&asked, x), [0.0, twists, 0.0]), "{x}");
    }
    assert!(near(held.most(&asked), [0.0, 30.0, 0.0]));
    // Without fixings it comes in all along the seam.
    let even = Held { fixings: Vec::new(), first: None, ..held };
    assert!((even.at(&asked, 0.3).twists - 15.0).abs() < 1e-9 && even.at(&asked, 0.6).twists < 1e-9);
}

/// It is added the way that adds up, to every list of places in turn; what is no seam has none of it.
#[test]
fn what_the_fixings_bring_adds_to_the_forces_of_the_model() {
    let asked =
        InStrips { moment: 60.0, opening: [500.0, 0.0], through: [100.0, 0.0], ..InStrips::default() };
    let places = [(0.2, BarForces::default()), (0.6, BarForces::default())];
    let mut forces = vec![
        StripForces { mz: 5.0, t: -1.0, vy: -7.0, ..StripForces::default() },
        StripForces::default(),
        StripForces { mz: -5.0, ..StripForces::default() },
        StripForces::default(),
    ];
    let plain = forces.clone();
    held().add(&asked, &places, &mut forces);
    assert!((forces[0].mz - 85.0).abs() < 1e-9 && (forces[0].t + 31.0).abs() < 1e-9);
    assert!((forces[0].my - 16.0).abs() < 1e-9 && (forces[0].vz - 100.0).abs() < 1e-9);
    assert!((forces[0].vy + 507.0).abs() < 1e-9 && (forces[2].vy - 500.0).abs() < 1e-9);
    assert!((forces[2].mz + 85.0).abs() < 1e-9 && (forces[3].t - 10.0).abs() < 1e-9);
    let mut none = plain.clone();
    Held::default().add(&asked, &places, &mut none);
    assert_eq!(none, plain);
    assert_eq!(Held::default().most(&asked), Brought::default());
}

/// Nothing at any place is beyond the most.
#[test]
fn the_most_is_nowhere_exceeded() {
    for touch in [0.05, 0.3, 0.9] {
        let held = Held { first: Some(FirstFixing { lever: 0.16, touch }), ..held() };
        let asked = InStrips {
            moment: 60.0,
            opening: [500.0, 300.0],
            through: [200.0, 100.0],
            ..InStrips::default()
        };
        let most = held.most(&asked);
        for k in 0..=120 {
            let at = held.at(&asked, 0.01 * f64::from(k));
            assert!(
                at.bends <= most.bends + 1e-9
                    && at.twists <= most.twists + 1e-9
                    && at.shears <= most.shears + 1e-9
                    && at.bends_through <= most.bends_through + 1e-9
                    && at.shears_through <= most.shears_through + 1e-9
            );
        }
    }
}

/// The half of a force that a strip does not share with the other stands between two fixings, or a fixing and the corner, as on a
/// beam of that span; at a fixing it bends nothing.
#[test]
fn a_force_in_one_place_bends_its_strip_between_the_holds() {
    let held = held();
    // 0 | 0.2 | 0.6 | 1.0 | 1.2
    for (place, by_hand) in
        [(0.4, 0.2 * 0.2 / 0.4), (0.3, 0.1 * 0.3 / 0.4), (0.05, 0.05 * 0.15 / 0.2), (0.6, 0.0)]
    {
        assert!((held.between_holds(place) - by_hand).abs() < 1e-12, "{place}");
    }
    let loose = Held { fixings: Vec::new(), ..held.clone() };
    assert!((loose.between_holds(0.6) - 1.2 / 4.0).abs() < 1e-12, "the whole of it");
    assert!((loose.not_shared(500.0, 1e4, 0.6) - 150.0).abs() < 1e-9);
    let asked = InStrips { bends_between: [3.0, 50.0], shears_between: [20.0, 250.0], ..InStrips::default() };
    for found in [held.at(&asked, 0.4), held.most(&asked)] {
        let found = [found.bends, found.bends_through, found.shears, found.shears_through, found.twists];
        let by_hand = [3.0, 50.0, 20.0, 250.0, 0.0];
        assert!(found.iter().zip(by_hand).all(|(found, hand)| (found - hand).abs() < 1e-12), "{found:?}");
    }
}

/// Two beams 47 × 95 mm, 1.148 m long, of 11 kN/mm², 3 kN on one of them at the middle fixing of three, an M8 in C24: tied by a spring of
/// 1996 N/mm the loaded one takes 48·E·I/L³/(48·E·I/L³ + 2 K) of the half that is not shared; a clearance of 1 mm adds half of 12·E·I·δ/L².
#[test]
fn a_fixing_slips_before_it_takes_its_half() {
    let (l, bending) = (1.148_f64, 11e9 * 0.047 * 0.095_f64.powi(3) / 12.0);
    let stiffness = slip_modulus(420.0, 0.008);
    assert!((stiffness - 1.996e6).abs() < 1e3, "{stiffness}");
    let of = |clearance| Held {
        length: l,
        fixings: vec![0.2, 0.5 * l, l - 0.2],
        slip: Slip { bending: [bending; 2], stiffness, clearance },
        ..held()
    };
    let beam = 48.0 * bending / l.powi(3);
    let by_hand = 1500.0 * l / 4.0 * beam / (beam + 2.0 * stiffness);
    let found = of(0.0).not_shared(1500.0, bending, 0.5 * l);
    assert!((found - by_hand).abs() < 1e-9 * by_hand, "{found} {by_hand}");
    let closed = of(0.001).not_shared(1500.0, bending, 0.5 * l);
    assert!((closed - by_hand - 6.0 * bending * 0.001 / (l * l)).abs() < 1e-9 * closed);
    // No more than the whole, however wide the hole.
    assert!((of(0.1).not_shared(1500.0, bending, 0.5 * l) - 1500.0 * l / 4.0).abs() < 1e-9);
    assert!(of(0.001).not_shared(0.0, bending, 0.5 * l).abs() < 1e-12);
}
