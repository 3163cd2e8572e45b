//! Feet.

use super::{Row, rows};
use crate::rules::ask::FeetAsk;
use crate::rules::fasteners::nds::{Format, Service};
use crate::rules::feet::{FootDemand, FootInput, working_foot, worst_foot};
use crate::rules::seams::SeamBasis;

fn foot(row: &Row) -> FootInput {
    let us = |format| {
        let temperature_f = row.number("temperature");
        SeamBasis::Nds(Service { format, wet: row.yes("wet"), made_wet: false, temperature_f })
    };
    let time = row.number("time");
    FootInput {
        demand: FootDemand {
            uplift: row.number("up"),
            down: row.number("down"),
            slide: row.number("aside"),
            outward: 0.0,
            tie: row.number("tie_pull"),
            moment: row.number("turn"),
        },
        feet: FeetAsk {
            uplift: row.maybe("uplift"),
            slide: row.maybe("slide"),
            moment: row.maybe("moment"),
            pad_weight: row.maybe("pad_weight"),
            pad_area: row.maybe("pad_area"),
            ground_pressure: row.maybe("ground_pressure"),
            friction: row.maybe("friction"),
            tie: row.maybe("tie"),
            bearing_length: row.maybe("bearing_length"),
        },
        compression_across: row.number("compression_across"),
        glued: false,
        breadth: row.number("breadth"),
        basis: match row.text("basis") {
            "eurocode" => SeamBasis::Eurocode { k_mod: row.number("k_mod"), gamma_m: row.number("gamma_m") },
            "lrfd" => us(Format::Lrfd { time_effect: time }),
            _ => us(Format::Asd { duration: time }),
        },
    }
}

/// The column that a rule belongs to.
fn column(rule: &str) -> &str {
    match rule {
        "lift of a foot against its anchor" => "anchor",
        "lift of a foot against its pad" => "pad",
        "sliding of a foot" => "slide",
        "anchor pulled up and sideways together" => "both",
        "pad lifted and pushed sideways together" => "both_pad",
        "moment in the foot" => "moment",
        "thrust on the tie" => "tie",
        "pressure on the ground" => "ground",
        "foot's timber pressed across the grain" => "timber",
        other => other,
    }
}

#[test]
fn every_check_of_a_foot_says_what_the_second_version_says() {
    let mut seen = 0;
    for row in rows(include_str!("../../../tests/outside/rules/feet.csv")) {
        let input = foot(&row);
        let expected = row.expected();
        let mut made = Vec::new();
        for check in working_foot(&input) {
            let column = column(&check.rule);
            if check.utilisation == 0.0 {
                continue;
            }
            let Some(again) = expected.get(column) else {
                panic!("row {}: {} is not recomputed: {expected:?} {:?}", row.at, check.rule, row.cells)
            };
            row.same(&check.rule, check.utilisation, *again, 1e-9);
            made.push(column.to_owned());
            seen += 1;
        }
        row.all(&made.iter().map(String::as_str).collect::<Vec<_>>(), &expected);
        let most = expected.values().copied().fold(0.0, f64::max);
        row.same("the worst", worst_foot(&input).utilisation, most, 1e-9);
    }
    assert!(seen > 300, "{seen}");
}
