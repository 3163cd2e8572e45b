//! What a seam is asked for by EN 1995-1-1, and from where on.

use crate::rules::Check;
use crate::rules::ask::{FixingKind, FixingsAsk};
use crate::rules::fasteners::WoodKind;
use crate::rules::fasteners::timber::C16;
use crate::rules::seams::tests::ASKED;
use crate::rules::seams::{SeamBasis, SeamDemand, SeamInput, working_seam};
use crate::rules::spacing::Strip;

fn seam(fixings: FixingsAsk) -> SeamInput {
    SeamInput {
        strip: Strip {
            count: 2,
            corner: 1.1,
            breadth: 0.047,
            depth: 0.089,
            fold: 0.0,
            bevelled: false,
            length: 1.22,
            wood: WoodKind::Softwood,
            density_k: 310.0,
        },
        corner: 1.1,
        fixings,
        timber: C16,
        shear_strength: None,
        basis: SeamBasis::Eurocode { k_mod: 0.9, gamma_m: 1.3 },
        demand: ASKED,
    }
}

fn made(input: &SeamInput, rule: &str) -> Option<Check> {
    working_seam(input).into_iter().find(|check| check.rule == rule)
}

/// 8.1.4: a strip is split by what pushes it across its grain, and by nothing else.
#[test]
fn splitting_is_asked_where_something_pushes_through_the_shell() {
    let pushed = seam(FixingsAsk::new(FixingKind::Bolt, 0.008, 3, 0.0445));
    let rule = "splitting by force across the grain";
    assert!(made(&pushed, rule).is_some());
    for sign in [1.0, -1.0] {
        let demand = SeamDemand { through: sign * 200.0, ..SeamDemand::default() };
        assert!(made(&SeamInput { demand, ..pushed }, rule).is_some());
    }
    let demand = SeamDemand { through: 0.0, end_through: 0.0, ..pushed.demand };
    assert!(made(&SeamInput { demand, ..pushed }, rule).is_none());
}

/// 8.7.2(2): six diameters of thread are the least: 36 mm of a 6 mm screw, of which 30 count here. One screw of three, 3^0.9/3 of
/// 0.52·6^(−0.5)·30^(−0.1)·310^0.8 = 14.87 N/mm² on 6·30 mm by 6/8: 1798.6 N characteristic.
#[test]
fn six_diameters_of_thread_are_enough_and_less_is_not() {
    let pulled = |thread: f64| {
        let screw = FixingsAsk::new(FixingKind::Screw, 0.006, 3, 0.0445);
        let input = seam(FixingsAsk { length: Some(0.087), thread: Some(thread), ..screw });
        made(&input, "withdrawal of the screws").unwrap()
    };
    let least = pulled(0.036);
    let one = least.steps.iter().find(|step| step.symbol == "F_ax,1,Rk").unwrap().value;
    assert!((one - 1798.6).abs() < 0.1, "{one}");
    assert!(least.utilisation.is_finite() && pulled(0.0359).utilisation.is_infinite());
}

/// Table 8.1: of three screws in a row 10 diameters apart 3^0.85 = 2.544 count, 12 apart (half way from 0.85 to 1) 3^0.925 = 2.763, 14 apart
/// all; 7 apart, drilled, 3^0.7 = 2.158. The diameter is the whole one of the screw, not that of its thread's root.
#[test]
fn screws_close_to_each_other_count_for_less() {
    for (diameters, predrilled, by_hand) in
        [(10.0, false, 2.5442), (12.0, false, 2.7627), (14.0, false, 3.0), (7.0, true, 2.1577)]
    {
        let screw = FixingsAsk::new(FixingKind::Screw, 0.006, 3, 0.0445);
        let end = Some(0.5 * (1.22 - 2.0 * diameters * 0.006));
        let input = seam(FixingsAsk { end, predrilled, ..screw });
        let shear = made(&input, "fixings in shear").unwrap();
        let of = |symbol| shear.steps.iter().find(|step| step.symbol == symbol).unwrap().value;
        assert!((of("n_ef") - by_hand).abs() < 1e-4, "{diameters} {}", of("n_ef"));
        // 0.9/1.3 of what one holds, over three.
        let one = 0.9 / 1.3 * of("F_v,Rk") / 3.0;
        assert!((of("F_v,Rd") / one - by_hand).abs() < 1e-4, "{diameters}");
    }
}
