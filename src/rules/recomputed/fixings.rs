//! Single formulas of fixings, of both standards.

use super::rows;
use crate::rules::fasteners::WoodKind;
use crate::rules::fasteners::{eurocode5, nds};
use crate::rules::recorder::Silent;

/// The arguments of a row in their order: words, numbers and what is not there.
struct Arguments {
    cells: Vec<&'static str>,
}

impl Arguments {
    fn number(&self, at: usize) -> f64 {
        self.cells[at].parse().unwrap_or_else(|_| panic!("{:?}", self.cells))
    }

    fn maybe(&self, at: usize) -> Option<f64> {
        self.cells[at].parse().ok()
    }

    fn yes(&self, at: usize) -> bool {
        self.cells[at] == "1"
    }
}

fn dowel(word: &str) -> eurocode5::Dowel {
    match word {
        "bolt" => eurocode5::Dowel::Bolt,
        "driven" => eurocode5::Dowel::Driven,
        _ => eurocode5::Dowel::Predrilled,
    }
}

fn plane(a: &Arguments) -> eurocode5::Plane {
    eurocode5::Plane {
        diameter: a.number(0),
        embedment_1: a.number(1),
        embedment_2: a.number(2),
        thickness_1: a.number(3),
        thickness_2: a.number(4),
        yield_moment: a.number(5),
        axial: a.number(6),
        rope_share: a.number(7),
    }
}

fn us_plane(a: &Arguments) -> nds::Plane {
    nds::Plane {
        diameter: a.number(0),
        lengths: (a.number(1), a.number(2)),
        bearing: (a.number(3), a.number(4)),
        bending: a.number(5),
        reduction: nds::Reduction { bearing: a.number(6), rotation: a.number(7), hinge: a.number(8) },
    }
}

fn eurocode(formula: &str, a: &Arguments) -> Option<f64> {
    let r = &mut Silent::new();
    Some(match formula {
        "ec_embedment" => {
            let wood = if a.cells[1] == "softwood" { WoodKind::Softwood } else { WoodKind::Hardwood };
            let (dowel, wood) = (dowel(a.cells[0]), (wood, a.number(2)));
            let [one, two] = [eurocode5::Member::One, eurocode5::Member::Two]
                .map(|member| eurocode5::embedment(r, member, dowel, a.number(3), wood, a.number(4)));
            assert_eq!(one.to_bits(), two.to_bits());
            one
        }
        "ec_yield_moment" => eurocode5::yield_moment(r, a.number(0), a.number(1)),
        "ec_single_shear" => eurocode5::single_shear(r, &plane(a)),
        "ec_washer" => eurocode5::washer(r, a.number(0), a.number(1) + 1.0, a.number(2)),
        "ec_withdrawal" => {
            let pull = eurocode5::Withdrawal {
                diameter: a.number(0),
                length: a.number(1),
                density: a.number(2),
                angle_deg: a.number(3),
                number: a.number(4),
                declared: a.maybe(5).map(|declared| (declared, a.number(6))),
            };
            eurocode5::withdrawal(r, &pull)
        }
        "ec_head" => eurocode5::head_pull_through(r, a.number(0), (a.number(1), a.number(2)), a.number(3)),
        "ec_row" => eurocode5::effective_number(a.number(0), a.number(1), a.number(2), a.number(3)),
        "ec_row_thin" => eurocode5::effective_number_nails(a.number(0), a.number(1), a.number(2), a.yes(3)),
        "ec_splitting" => eurocode5::splitting(r, a.number(0), a.number(1), a.number(2)),
        "ec_slip" => eurocode5::slip_modulus(dowel(a.cells[0]), a.number(1), a.number(2)),
        "ec_combined" => eurocode5::combined(a.number(0), a.number(1)),
        _ => return None,
    })
}

fn us(formula: &str, a: &Arguments) -> f64 {
    let reduction = || nds::reduction(a.number(0), a.number(1), a.number(2));
    match formula {
        "nds_bearing" => nds::dowel_bearing(a.number(0), a.number(1), a.number(2)),
        "nds_single_shear" => nds::single_shear(&mut Silent::new(), &us_plane(a)),
        "nds_group" => nds::group_factor(&nds::Group {
            number: a.number(0) as usize,
            spacing: a.number(1),
            diameter: a.number(2),
            stiffness: (a.number(3), a.number(4)),
        }),
        "nds_lag" => nds::withdrawal_lag(a.number(0), a.number(1)),
        "nds_wood_screw" => nds::withdrawal_wood_screw(a.number(0), a.number(1)),
        "nds_head" => nds::head_pull_through(a.number(0), a.number(1), a.number(2)),
        "nds_combined" => nds::combined(a.number(0), a.number(1), a.number(2), a.number(3)),
        "nds_area" => nds::bearing_area_factor(a.number(0)),
        "nds_temperature" => nds::temperature_factor(a.number(0), a.yes(1)).unwrap(),
        "nds_wet_lateral" => nds::wet_factor_lateral(a.number(0), a.yes(1), a.yes(2), a.yes(3)),
        "nds_yield_lag" => nds::bending_yield_lag(a.number(0)),
        "nds_lag_root" => nds::lag_screw(a.number(0)).0,
        "nds_lag_tip" => nds::lag_screw(a.number(0)).1,
        "nds_yield_wood_screw" => nds::bending_yield_wood_screw(a.number(0)),
        "nds_wood_screw_root" => nds::wood_screw_root(a.number(0)),
        "nds_reduction_bearing" => reduction().bearing,
        "nds_reduction_rotation" => reduction().rotation,
        "nds_reduction_hinge" => reduction().hinge,
        _ => panic!("no formula {formula}"),
    }
}

#[test]
fn every_formula_says_what_the_second_version_says() {
    let rows = rows(include_str!("../../../tests/outside/rules/fixings.csv"));
    assert!(rows.len() > 900);
    for row in &rows {
        let formula = row.text("formula");
        let arguments = Arguments { cells: row.text("arguments").split(' ').collect() };
        let found = eurocode(formula, &arguments).unwrap_or_else(|| us(formula, &arguments));
        row.same(formula, found, row.number("value"), 1e-9);
    }
}
