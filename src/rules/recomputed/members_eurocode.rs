//! Timbers to EN 1995-1-1, by expression.

use super::{Row, rows};
use crate::loads::Duration;
use crate::rules::members::{Conditions, Hole, LoadEdge, MemberInput, Restraint, SideHold, working, worst};
use crate::section::Section;
use crate::section::forces::StripForces;
use crate::tables::Tables;
use crate::tables::grade::{EurocodeGrade, Grade, Material};

/// The torsion modulus of the program stops its series at 1e-7, the second version at about the same.
const SERIES: f64 = 2e-7;

pub(super) fn material(row: &Row) -> Material {
    match row.text("material") {
        "softwood" => Material::Softwood,
        "hardwood" => Material::Hardwood,
        "glulam" => Material::Glulam,
        _ => Material::Lvl,
    }
}

fn grade(row: &Row) -> Grade {
    let Grade::Eurocode(like) = Tables::built_in().grade("C24").unwrap().clone() else { panic!("C24") };
    Grade::Eurocode(EurocodeGrade {
        material: material(row),
        f_m_k: row.number("f_m_k"),
        f_t_0_k: row.number("f_t_0_k"),
        f_c_0_k: row.number("f_c_0_k"),
        f_v_k: row.number("f_v_k"),
        e_0_05: row.number("e_0_05"),
        g_05: row.number("g_05"),
        rho_k: row.number("rho_k"),
        highest_service_class: 3,
        ..like
    })
}

pub(super) fn duration(row: &Row) -> Duration {
    match row.text("duration") {
        "permanent" => Duration::Permanent,
        "long" => Duration::LongTerm,
        "medium" => Duration::MediumTerm,
        "short" => Duration::ShortTerm,
        _ => Duration::Instantaneous,
    }
}

fn conditions(row: &Row) -> Conditions {
    Conditions {
        accidental: row.yes("accidental"),
        partial_factor: row.maybe("partial_factor"),
        k_sys: row.number("k_sys"),
        ..Conditions::eurocode(row.text("service_class").parse().unwrap(), duration(row))
    }
}

pub(super) fn section(row: &Row) -> Section {
    Section {
        breadth: row.number("breadth"),
        depth: row.number("depth"),
        area: row.number("area"),
        second_moment_y: row.number("second_moment_y"),
        second_moment_z: row.number("second_moment_z"),
        torsion: row.number("torsion"),
        modulus_y: row.number("modulus_y"),
        modulus_z: row.number("modulus_z"),
    }
}

pub(super) fn side(row: &Row) -> SideHold {
    match row.text("side") {
        "none" => SideHold::None,
        "outside" => SideHold::OutsideFace,
        _ => SideHold::BothFaces,
    }
}

pub(super) fn hole(row: &Row) -> Option<Hole> {
    row.maybe("hole").map(|diameter| Hole { diameter, off: row.number("hole_off") })
}

pub(super) fn forces(row: &Row) -> StripForces {
    StripForces {
        n: row.number("n"),
        vy: row.number("vy"),
        vz: row.number("vz"),
        t: row.number("t"),
        my: row.number("my"),
        mz: row.number("mz"),
    }
}

/// The expression that a clause ends with: "EN 1995-1-1 6.3.2 (6.23)".
fn expression(clause: &str) -> &str {
    clause.split_once('(').and_then(|(_, rest)| rest.split_once(')')).map_or(clause, |(inside, _)| inside)
}

#[test]
fn every_expression_says_what_the_second_version_says() {
    let mut seen = 0;
    for row in rows(include_str!("../../../tests/outside/rules/members_eurocode.csv")) {
        let (grade, forces) = (grade(&row), [forces(&row)]);
        let load_edge = match row.text("load_edge") {
            "compression" => LoadEdge::Compression,
            "middle" => LoadEdge::Middle,
            _ => LoadEdge::Tension,
        };
        let input = MemberInput {
            section: section(&row),
            length: row.number("length"),
            grade: &grade,
            conditions: conditions(&row),
            restraint: Restraint {
                length_factor_y: row.number("factor_y"),
                length_factor_z: row.number("factor_z"),
                lateral_factor: row.number("lateral_factor"),
                load_edge,
                side: side(&row),
                ..Restraint::default()
            },
            hole: hole(&row),
            forces: &forces,
            places: &[],
        };
        let expected = row.expected();
        let checks = working(&input).unwrap();
        row.all(&checks.iter().map(|check| expression(&check.clause)).collect::<Vec<_>>(), &expected);
        for check in checks {
            let expression = expression(&check.clause);
            let Some(again) = expected.get(expression) else {
                if check.utilisation == 0.0 {
                    continue;
                }
                panic!("row {}: {} is not recomputed: {expected:?} {:?}", row.at, check.clause, row.cells)
            };
            let tolerance = if expression == "6.14" { SERIES } else { 1e-9 };
            row.same(&check.clause, check.utilisation, *again, tolerance);
            seen += 1;
        }
        let most = expected.values().copied().fold(0.0, f64::max);
        row.same("the worst", worst(&input).unwrap().utilisation, most, SERIES);
    }
    assert!(seen > 900, "{seen}");
}
