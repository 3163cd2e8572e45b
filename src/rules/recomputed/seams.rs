//! Fixings of whole seams: flat strips, wide distances.

use super::{Row, rows};
use crate::rules::Compares;
use crate::rules::ask::{FixingKind, FixingsAsk};
use crate::rules::fasteners::nds::{Format, Service};
use crate::rules::fasteners::{JointTimber, WoodKind};
use crate::rules::seams::{SeamBasis, SeamDemand, SeamInput, working_seam, worst_seam};
use crate::rules::spacing::Strip;

fn basis(row: &Row) -> SeamBasis {
    let format = match row.text("basis") {
        "eurocode" => {
            return SeamBasis::Eurocode { k_mod: row.number("k_mod"), gamma_m: row.number("gamma_m") };
        }
        "lrfd" => Format::Lrfd { time_effect: row.number("time") },
        _ => Format::Asd { duration: row.number("time") },
    };
    let temperature_f = row.number("temperature");
    SeamBasis::Nds(Service { format, wet: row.yes("wet"), made_wet: false, temperature_f })
}

fn seam(row: &Row) -> SeamInput {
    let wood = if row.text("wood") == "softwood" { WoodKind::Softwood } else { WoodKind::Hardwood };
    let kind = match row.text("kind") {
        "bolt" => FixingKind::Bolt,
        "screw" => FixingKind::Screw,
        _ => FixingKind::CoachScrew,
    };
    let per_seam = row.number("per_seam") as usize;
    SeamInput {
        strip: Strip {
            count: 2,
            corner: 1.1,
            breadth: row.number("breadth"),
            depth: row.number("depth"),
            fold: 0.0,
            bevelled: false,
            length: row.number("length"),
            wood,
            density_k: row.number("density_k"),
        },
        corner: std::f64::consts::FRAC_PI_3,
        fixings: FixingsAsk {
            washer: row.maybe("washer"),
            length: row.maybe("screw"),
            root: row.maybe("root"),
            head: row.maybe("head"),
            steel: row.maybe("steel"),
            withdrawal: row.maybe("withdrawal"),
            head_pull: row.maybe("head_pull"),
            declared_density: row.maybe("declared_density"),
            predrilled: row.yes("predrilled"),
            corner_pull: row.maybe("corner_pull"),
            end: row.maybe("end"),
            ..FixingsAsk::new(kind, row.number("diameter"), per_seam, row.number("lever"))
        },
        timber: JointTimber {
            wood,
            density_k: row.number("density_k"),
            compression_across: row.number("compression_across"),
            specific_gravity: row.number("gravity"),
            elastic: row.number("elastic"),
            elastic_across: 3e8,
            glued: false,
        },
        shear_strength: Some(row.number("shear_strength")),
        basis: basis(row),
        demand: SeamDemand {
            moment: row.number("moment"),
            opening: row.number("opening"),
            end_opening: row.number("end_opening"),
            end_along: row.number("end_along"),
            end_through: row.number("end_through"),
            mitre: row.number("mitre"),
            along: row.number("along"),
            through: row.number("through"),
        },
    }
}

/// The column that a rule belongs to.
fn column(rule: &str) -> &str {
    match rule {
        "crushing under the washers" => "washer",
        "steel of the fixings in tension" => "steel",
        "withdrawal of the screws" => "withdrawal",
        "pull-through of the heads" => "head",
        "bearing under the washer" | "bearing under the washers" => "washer",
        "fixings in shear" => "shear",
        "fixings pulled and sheared" => "both",
        "bearing of the bevel's edge" => "edge",
        "splitting by force across the grain" => "splitting",
        "row of fixings tearing out of the strip's end" => "tear-out",
        "shear in the strip at the fixings" => "beside",
        "pull across the corner of a frame" => "corner",
        other => other,
    }
}

#[test]
fn every_check_of_a_seam_says_what_the_second_version_says() {
    let (mut seen, mut compared) = (0, 0);
    for row in rows(include_str!("../../../tests/outside/rules/seams.csv")) {
        let input = seam(&row);
        let expected = row.expected();
        let checks = working_seam(&input);
        row.all(&checks.iter().map(|check| column(&check.rule)).collect::<Vec<_>>(), &expected);
        let fits = checks.iter().all(|check| check.compares == Compares::Load || check.fits());
        for check in checks {
            if check.compares == Compares::Room || check.utilisation == 0.0 {
                continue;
            }
            let Some(again) = expected.get(column(&check.rule)) else {
                panic!("row {}: {} is not recomputed: {expected:?} {:?}", row.at, check.rule, row.cells)
            };
            row.same(&check.rule, check.utilisation, *again, 1e-9);
            seen += 1;
        }
        let most = expected.values().copied().fold(0.0, f64::max);
        if !fits {
            continue; // Room is no matter of this sheet; its being short may be the worst.
        }
        compared += 1;
        row.same("the worst", worst_seam(&input).utilisation, most, 1e-9);
    }
    assert!(seen > 700 && compared > 120, "{seen} {compared}");
}
