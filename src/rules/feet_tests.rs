//! Feet: worked examples, friction while lifting, and every printed formula worked again.

use proptest::prelude::*;

use super::*;
use crate::rules::notation;

fn close(value: f64, expected: f64, tolerance: f64) {
    assert!((value - expected).abs() <= tolerance * expected.abs(), "{value} is not {expected}");
}

fn eurocode() -> SeamBasis {
    SeamBasis::Eurocode { k_mod: 0.9, gamma_m: 1.3 }
}

fn asd() -> SeamBasis {
    SeamBasis::Nds(nds::Service {
        format: nds::Format::Asd { duration: 1.6 },
        wet: true,
        made_wet: false,
        temperature_f: 70.0,
    })
}

fn everything(basis: SeamBasis) -> FootInput {
    FootInput {
        demand: FootDemand {
            uplift: 0.0,
            down: 3000.0,
            slide: 800.0,
            outward: 500.0,
            tie: 900.0,
            moment: 120.0,
        },
        feet: FeetAsk {
            uplift: Some(4000.0),
            slide: Some(1500.0),
            moment: Some(400.0),
            pad_weight: Some(2200.0),
            pad_area: Some(0.2),
            ground_pressure: Some(75e3),
            friction: Some(0.3),
            tie: Some(3000.0),
            bearing_length: Some(0.047),
        },
        compression_across: 2.5e6,
        glued: false,
        breadth: 0.047,
        basis,
    }
}

fn of(input: &FootInput, rule: &str) -> f64 {
    working_foot(input)
        .iter()
        .find(|c| c.rule == rule)
        .unwrap_or_else(|| panic!("{rule} not made"))
        .utilisation
}

/// Bearing 47 × 47 on a plate with 30 mm either side (E23 of the Eurocode sheet, four figures).
#[test]
fn compression_on_a_plate() {
    let contact = Contact {
        breadth: 47.0,
        length: 47.0,
        beside: 60.0,
        k_c90: 1.25,
        strength: 2.5,
        factors: (0.9, 1.3),
    };
    close(bearing_across(&mut Silent::new(), &contact), 10_880.0, 6e-4);
}

#[test]
fn friction_helps_only_while_the_foot_presses() {
    let mut input = everything(eurocode());
    close(of(&input, "sliding of a foot"), 800.0 / (1500.0 + 0.3 * 3000.0), 1e-12);
    input.demand = FootDemand { uplift: 10.0, down: 0.0, slide: 800.0, ..input.demand };
    close(of(&input, "sliding of a foot"), 800.0 / 1500.0, 1e-12);
    input.feet.slide = None;
    assert!(of(&input, "sliding of a foot").is_infinite(), "friction alone holds nothing that lifts");
}

#[test]
fn a_moment_is_compared_with_what_the_anchor_holds_where_there_is_one() {
    let mut input = everything(eurocode());
    close(of(&input, "moment in the foot"), 120.0 / 400.0, 1e-12);
    input.demand.moment = 440.0;
    close(of(&input, "moment in the foot"), 1.1, 1e-12);
    input.basis = asd();
    close(of(&input, "moment in the foot"), 1.1, 1e-12);
    input.demand.moment = 0.0;
    let made = |input: &FootInput| working_foot(input).iter().any(|c| c.rule == "moment in the foot");
    assert!(!made(&input), "a foot that turns freely has none");
    input.demand.moment = 440.0;
    input.feet.moment = None;
    assert!(!made(&input));
}

#[test]
fn weight_that_holds_down_is_factored_by_the_basis() {
    let mut input = everything(eurocode());
    input.demand.uplift = 990.0;
    close(of(&input, "lift of a foot against its pad"), 990.0 / (0.9 * 2200.0), 1e-12);
    input.basis = asd();
    close(of(&input, "lift of a foot against its pad"), 990.0 / (0.6 * 2200.0), 1e-12);
    close(of(&input, "lift of a foot against its anchor"), 990.0 / 4000.0, 1e-12);
}

#[test]
fn what_is_not_given_is_not_checked_and_said() {
    let mut input = everything(eurocode());
    input.feet = FeetAsk::default();
    assert!(working_foot(&input).is_empty());
    assert!(worst_foot(&input).utilisation <= 0.0);
    assert!(remarks(&input.feet).len() >= 5);
    assert!(remarks(&input.feet).iter().all(|r| r.contains("not") || r.contains("no ")));
}

#[test]
fn worst_is_the_worst_of_the_working_and_it_can_be_worked_again() {
    for basis in [eurocode(), asd()] {
        for demand in [
            FootDemand::of_push([300.0, 400.0, 900.0], [1.0, 0.0]),
            FootDemand::of_push([300.0, -400.0, -2900.0], [0.0, -2.0]),
        ] {
            let input = FootInput { demand, ..everything(basis) };
            let checks = working_foot(&input);
            checks.iter().for_each(notation::recompute);
            let most = checks.iter().map(|c| c.utilisation).fold(0.0, f64::max);
            assert_eq!(most.to_bits(), worst_foot(&input).utilisation.to_bits());
        }
    }
    let d = FootDemand::of_push([300.0, -400.0, -2900.0], [0.0, -2.0]);
    assert!((d.outward - 400.0).abs() < 1e-9 && (d.slide - 500.0).abs() < 1e-9);
    assert!((d.down - 2900.0).abs() < 1e-9 && d.uplift <= 0.0);
}

proptest! {
    #[test]
    fn utilisation_rises_with_load(
        up in 0.0..5000.0_f64, slide in 0.0..3000.0_f64, down in 0.0..9000.0_f64, more in 1.0..2.0_f64,
    ) {
        for basis in [eurocode(), asd()] {
            let mut input = everything(basis);
            input.feet.friction = None;
            input.demand = FootDemand { uplift: up, down, slide, outward: 0.0, tie: slide, moment: slide };
            let base = worst_foot(&input).utilisation;
            input.demand = FootDemand {
                uplift: up * more, down: down * more, slide: slide * more, outward: 0.0, tie: slide * more,
                moment: slide * more,
            };
            prop_assert!(worst_foot(&input).utilisation >= base);
        }
    }
}

#[test]
fn what_nobody_gave_is_said_and_what_one_of_two_gives_is_not() {
    let nothing = FeetAsk::default();
    let says = |feet: &FeetAsk, words: &str| remarks(feet).iter().any(|said| said.starts_with(words));
    let lift = "lift of the feet was not checked";
    assert!(says(&nothing, lift));
    assert!(!says(&FeetAsk { uplift: Some(1.0), ..nothing }, lift));
    assert!(!says(&FeetAsk { pad_weight: Some(1.0), ..nothing }, lift));
    let slide = "sliding of the feet was not checked";
    assert!(says(&nothing, slide));
    assert!(!says(&FeetAsk { slide: Some(1.0), ..nothing }, slide));
    assert!(!says(&FeetAsk { friction: Some(0.3), ..nothing }, slide));
    let ground = "pressure on the ground was not checked";
    assert!(says(&FeetAsk { pad_area: Some(1.0), ..nothing }, ground));
    assert!(says(&FeetAsk { ground_pressure: Some(1.0), ..nothing }, ground));
    assert!(!says(&FeetAsk { pad_area: Some(1.0), ground_pressure: Some(1.0), ..nothing }, ground));
}

/// 444.822 N are 100 lb (one pound-force is 0.45359237 kg at 9.80665 m/s²).
#[test]
fn us_working_is_in_pounds() {
    let mut input = everything(asd());
    input.demand = FootDemand { uplift: 444.822_161_526, slide: 444.822_161_526, ..FootDemand::default() };
    let checks = working_foot(&input);
    let sliding = checks.iter().find(|check| check.rule == "sliding of a foot").unwrap();
    for symbol in ["U_Ed", "H_Ed"] {
        close(sliding.steps.iter().find(|step| step.symbol == symbol).unwrap().value, 100.0, 1e-9);
    }
}

/// A pad of no area carries nothing, whatever presses on it; and across the grain only a foot that presses is looked at.
#[test]
fn no_area_carries_nothing_and_a_foot_that_lifts_bears_nowhere() {
    let mut input = everything(eurocode());
    input.feet.pad_area = Some(0.0);
    assert!(of(&input, "pressure on the ground").is_infinite());
    input.feet.pad_weight = None;
    input.demand = FootDemand::default();
    assert!(of(&input, "pressure on the ground").is_infinite(), "not even a number");
    let bears = |input: &FootInput| {
        working_foot(input).iter().any(|check| check.rule == "foot's timber pressed across the grain")
    };
    for basis in [eurocode(), asd()] {
        let pressing = everything(basis);
        assert!(bears(&pressing));
        let lifting = FootDemand { uplift: 500.0, down: 0.0, ..pressing.demand };
        assert!(!bears(&FootInput { demand: lifting, ..pressing }));
    }
}

/// What a pad holds sideways goes with the weight that is left on it: 990 of 1980 N up leave half of 1500 N, of which 600 N ask 0.4.
/// An anchor of its own is looked at beside it, however strong; a foot that only lifts, or only slides, has neither.
#[test]
fn a_pad_that_lifts_holds_less_sideways() {
    let rule = "pad lifted and pushed sideways together";
    let mut input = everything(eurocode());
    input.demand = FootDemand { uplift: 990.0, slide: 600.0, ..FootDemand::default() };
    for (anchor, basis, wanted) in [
        (None, eurocode(), 0.5 + 0.4),
        (Some(1e9), eurocode(), 0.5 + 0.4),
        (None, asd(), 990.0 / (0.6 * 2200.0) + 0.4),
    ] {
        let with = FootInput { feet: FeetAsk { uplift: anchor, ..input.feet }, basis, ..input };
        close(of(&with, rule), wanted, 1e-12);
        assert!(worst_foot(&with).utilisation >= wanted);
        working_foot(&with).iter().for_each(notation::recompute);
    }
    for (uplift, slide) in [(990.0, 0.0), (0.0, 600.0)] {
        let demand = FootDemand { uplift, slide, ..FootDemand::default() };
        assert!(!working_foot(&FootInput { demand, ..input }).iter().any(|check| check.rule == rule));
    }
}

/// Up and sideways at once wants both of what an anchor holds: with one of them alone it is said that it was not compared.
#[test]
fn what_of_both_at_once_was_not_compared_is_said() {
    let nothing = FeetAsk::default();
    let (up, side, pad) = (Some(1e3), Some(2e3), Some(3e3));
    for (feet, told) in [
        (nothing, None),
        (FeetAsk { uplift: up, slide: side, ..nothing }, None),
        (FeetAsk { uplift: up, ..nothing }, Some("at once was not compared: enter feet.slide")),
        (FeetAsk { slide: side, ..nothing }, Some("at once was not compared: enter feet.uplift")),
        (
            FeetAsk { slide: side, pad_weight: pad, ..nothing },
            Some("at once was not compared but with the weight of its pad: enter feet.uplift"),
        ),
    ] {
        let said = remarks(&feet);
        let found: Vec<&String> =
            said.iter().filter(|said| said.contains("at once was not compared")).collect();
        assert_eq!(found.len(), usize::from(told.is_some()), "{feet:?}");
        assert!(found.iter().all(|said| said.contains(told.unwrap_or_default())), "{found:?}");
    }
}
