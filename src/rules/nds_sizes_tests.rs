//! Sizes of lumber under the NDS: what factors they take, and which are outside the tables.

use crate::loads::Duration;
use crate::rules::members::{Conditions, MemberInput, RuleError, working, worst};
use crate::rules::nds_tests::{checked, forces, grade, input, near, of, step};
use crate::section::strip::strip;
use crate::tables::grade::Grade;
use crate::tables::nds::{SizeGroup, Sized};
use crate::tables::provenance::Seen;
use crate::units::INCH;

/// Trap: Southern Pine's values have the size factor in them; flat use is for bending flatwise only.
#[test]
fn size_and_flat_use_factors_go_where_they_belong() {
    let pine = grade("Southern Pine No.2");
    let carried = [forces(-100.0, 100.0, 100.0)];
    let checks = checked(&input("2x8", 60.0, &pine, &carried));
    let check = of(&checks, "(3.9-3)");
    near(step(check, "F_b1*"), 925.0 * 1.15, 1e-9);
    near(step(check, "F_b2′"), 925.0 * 1.15 * 1.15, 1e-9);
    near(step(check, "F_c*"), 1350.0 * 1.15, 1e-9);
}

#[test]
fn sizes_outside_the_tables_are_named_with_the_nearest_that_would_do() {
    let carried = [forces(-100.0, 0.0, 0.0)];
    let ask = |name: &str, b: f64, d: f64| {
        let grade = grade(name);
        let section = strip(b * INCH, d * INCH, 0.0, false).unwrap();
        worst(&MemberInput { section, ..input("2x4", 60.0, &grade, &carried) }).map_err(|e| e.to_string())
    };
    assert!(ask("DF-L No.2", 1.0, 3.5).unwrap_err().contains("2x4"));
    assert!(ask("DF-L No.2", 5.5, 5.5).unwrap_err().contains("4x6"));
    assert!(ask("DF-L Construction", 1.5, 5.5).unwrap_err().contains("4 in"));
    assert!(ask("Southern Pine No.2", 1.5, 13.25).unwrap_err().contains("12 in"));
    assert!(ask("DF-L No.2", 1.85, 2.95).is_ok());
    assert!(ask("DF-L Stud", 1.5, 7.25).is_ok());
    let no_2 = grade("DF-L No.2");
    let foreign = Conditions::nds(false, Duration::ShortTerm);
    let refused = worst(&MemberInput { conditions: foreign, ..input("2x4", 60.0, &no_2, &carried) });
    assert!(matches!(refused, Err(RuleError::Duration { .. })));
}

/// Values of the user's own have no sizes: where the tables end, the flat use is that of the largest row (1.1 for four
/// inches thick and ten or more wide), and a table's grade is refused.
#[test]
fn own_values_go_for_any_size_and_those_of_a_table_do_not() {
    let Grade::Nds(mut own) = grade("SP No.2") else { panic!("a grade of the NDS") };
    let section = strip(5.0 * INCH, 20.0 * INCH, 0.0, false).unwrap();
    let forces = [forces(0.0, 10e3, 10e3)];
    let ask = |grade: &Grade| working(&MemberInput { section, ..input("2x4", 60.0, grade, &forces) });
    assert!(matches!(ask(&Grade::Nds(own.clone())), Err(RuleError::Size { .. })));
    own.source.seen = Seen::Own;
    own.sizes = vec![Sized { from_in: 0, to_in: u8::MAX, group: SizeGroup::Included, ..own.sizes[0] }];
    let checks = ask(&Grade::Nds(own)).unwrap();
    near(step(&checks[0], "C_fu"), 1.0, 1e-12);
}

/// Lumber 3 in thick as planed is no 4 in lumber: of 8 in width C_F is 1.2, not 1.3 (Table 4A), and C_fu the lesser one too.
#[test]
fn lumber_between_two_columns_has_the_lesser_factors_of_both() {
    let grade = grade("SPF No.1/No.2");
    let forces = [forces(-100.0, 100.0, 100.0)];
    for (thick, size) in [(2.5, 1.2), (3.0, 1.2), (3.5, 1.3)] {
        let section = strip(thick * INCH, 7.25 * INCH, 0.0, false).unwrap();
        let checks = checked(&MemberInput { section, ..input("2x4", 60.0, &grade, &forces) });
        let check = of(&checks, "(3.9-3)");
        near(step(check, "C_F,b"), size, 1e-12);
    }
}
