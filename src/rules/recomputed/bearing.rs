//! Timbers that bear on something.

use super::members_eurocode::{duration, material};
use super::{Row, members_nds, rows};
use crate::rules::bearing::{BearingInput, Support, working, worst};
use crate::rules::members::Conditions;
use crate::section::strip::strip;
use crate::tables::Tables;
use crate::tables::grade::{EurocodeGrade, Grade};
use crate::tables::nds::{NdsGrade, SizeGroup, Sized, Values};

fn grade(row: &Row) -> Grade {
    let (along, across) = (row.number("along"), row.number("across"));
    if row.text("basis") == "eurocode" {
        let Grade::Eurocode(like) = Tables::built_in().grade("C24").unwrap().clone() else { panic!("C24") };
        return Grade::Eurocode(EurocodeGrade {
            material: material(row),
            f_c_0_k: along,
            f_c_90_k: across,
            highest_service_class: 3,
            ..like
        });
    }
    let Grade::Nds(like) = Tables::built_in().grade("DF-L No.2").unwrap().clone() else {
        panic!("DF-L No.2")
    };
    let values = Values { f_c: along, f_c_perp: across, ..*like.reference() };
    let all = Sized { from_in: 0, to_in: u8::MAX, values, group: SizeGroup::General };
    Grade::Nds(NdsGrade { sizes: vec![all], ..like })
}

#[test]
fn every_bearing_says_what_the_second_version_says() {
    for row in rows(include_str!("../../../tests/outside/rules/bearing.csv")) {
        let grade = grade(&row);
        let conditions = if row.text("basis") == "eurocode" {
            Conditions::eurocode(row.text("service_class").parse().unwrap(), duration(&row))
        } else {
            members_nds::conditions(&row)
        };
        let input = BearingInput {
            section: strip(row.number("breadth"), row.number("depth"), 0.0, false).unwrap(),
            grade: &grade,
            conditions,
            force: row.number("force"),
            contact: row.number("contact"),
            to_end: row.number("to_end"),
            angle: row.number("angle").to_radians(),
            support: match row.text("support") {
                "continuous" => Support::Continuous,
                "discrete" => Support::Discrete,
                _ => Support::Unknown,
            },
        };
        let expected = row.expected();
        let column = if row.text("angle") == "90.0" { "across" } else { "angle" };
        let checks = working(&input).unwrap();
        assert_eq!((checks.len(), expected.len()), (1, 1));
        assert_eq!(checks[0].rule.starts_with("bearing across"), column == "across", "row {}", row.at);
        row.same(&checks[0].rule, checks[0].utilisation, expected[column], 1e-9);
        row.same("the worst", worst(&input).unwrap().utilisation, expected[column], 1e-9);
    }
}
