//! Timbers to NDS-2018, by equation.

use super::members_eurocode::{forces, hole, section, side};
use super::{Row, rows};
use crate::loads::Duration;
use crate::rules::members::{Conditions, MemberInput, NdsLoading, Restraint, working, worst};
use crate::tables::Tables;
use crate::tables::grade::Grade;
use crate::tables::nds::{NdsGrade, SizeGroup, Sized, Temperature, Values};

/// Both stop their series for torsion at about 1e-7.
const SERIES: f64 = 2e-7;

fn grade(row: &Row) -> Grade {
    let Grade::Nds(like) = Tables::built_in().grade("DF-L No.2").unwrap().clone() else {
        panic!("DF-L No.2")
    };
    let values = Values {
        f_b: row.number("f_b"),
        f_t: row.number("f_t"),
        f_v: row.number("f_v"),
        f_c: row.number("f_c"),
        e_min: row.number("e_min"),
        ..*like.reference()
    };
    let group = match row.text("group") {
        "general" => SizeGroup::General,
        "stud" => SizeGroup::Stud,
        "construction" => SizeGroup::ConstructionStandard,
        _ => SizeGroup::Included,
    };
    Grade::Nds(NdsGrade { sizes: vec![Sized { from_in: 0, to_in: u8::MAX, values, group }], ..like })
}

pub(super) fn conditions(row: &Row) -> Conditions {
    let time = row.number("time");
    let duration = match row.text("method") {
        "asd" => Duration::LoadDurationFactor(time),
        _ => Duration::TimeEffectFactor(time),
    };
    let temperature = match row.text("temperature") {
        "usual" => Temperature::Usual,
        "warm" => Temperature::Warm,
        _ => Temperature::Hot,
    };
    Conditions {
        temperature,
        incised: row.yes("incised"),
        repetitive: row.cells.get("repetitive") == Some(&"1"),
        ..Conditions::nds(row.yes("wet"), duration)
    }
}

/// "NDS 3.9.1 (3.9-1), flatwise bending added" → "3.9-1"; "NDS 3.6.3, 3.7.1" → "3.6.3"; torsion has no rule there.
fn equation(clause: &str) -> &str {
    let inside = clause.split_once('(').and_then(|(_, rest)| rest.split_once(')'));
    let Some(section) = clause.strip_prefix("NDS ") else { return "torsion" };
    inside.map_or(section.split([',', ' ']).next().unwrap_or(section), |(inside, _)| inside)
}

#[test]
fn every_equation_says_what_the_second_version_says() {
    let (mut seen, mut limits) = (0, 0);
    for row in rows(include_str!("../../../tests/outside/rules/members_nds.csv")) {
        let (grade, forces) = (grade(&row), [forces(&row)]);
        let nds_loading = match row.text("loading") {
            "uniform" => NdsLoading::Uniform,
            "ends" => NdsLoading::EndMoments,
            _ => NdsLoading::AnyOther,
        };
        let input = MemberInput {
            section: section(&row),
            length: row.number("length"),
            grade: &grade,
            conditions: conditions(&row),
            restraint: Restraint {
                length_factor_y: row.number("factor_y"),
                length_factor_z: row.number("factor_z"),
                side: side(&row),
                nds_loading,
                ..Restraint::default()
            },
            hole: hole(&row),
            forces: &forces,
            places: &[],
        };
        let expected = row.expected();
        let checks = working(&input).unwrap();
        if checks.iter().all(|check| check.utilisation.is_finite()) {
            row.all(&checks.iter().map(|check| equation(&check.clause)).collect::<Vec<_>>(), &expected);
        }
        for check in checks {
            let equation = equation(&check.clause);
            if check.utilisation.is_infinite() || check.utilisation == 0.0 {
                continue; // A limit that is passed: the worst says so.
            }
            let Some(again) = expected.get(equation) else {
                panic!("row {}: {} is not recomputed: {expected:?} {:?}", row.at, check.clause, row.cells)
            };
            row.same(
                &check.clause,
                check.utilisation,
                *again,
                if equation == "torsion" { SERIES } else { 1e-9 },
            );
            seen += 1;
        }
        let most = row.number("worst");
        limits += usize::from(most.is_infinite());
        row.same("the worst", worst(&input).unwrap().utilisation, most, SERIES);
    }
    assert!(seen > 700 && limits > 20, "{seen} {limits}");
}
