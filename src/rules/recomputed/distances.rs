//! What the standards want of the places of fixings.

use super::{Row, rows};
use crate::rules::ask::{FixingKind, FixingsAsk};
use crate::rules::fasteners::WoodKind;
use crate::rules::spacing::{Shear, Standard, Strip, layout, needed};
use crate::units::MILLIMETRE;

fn fixings(row: &Row) -> FixingsAsk {
    let kind = match row.text("kind") {
        "bolt" => FixingKind::Bolt,
        "screw" => FixingKind::Screw,
        _ => FixingKind::CoachScrew,
    };
    FixingsAsk {
        root: (kind != FixingKind::Bolt).then(|| row.number("root") * MILLIMETRE),
        predrilled: row.yes("predrilled"),
        ..FixingsAsk::new(kind, row.number("diameter") * MILLIMETRE, 3, 0.05)
    }
}

#[test]
fn what_is_wanted_is_what_the_second_version_wants() {
    for row in rows(include_str!("../../../tests/outside/rules/distances.csv")) {
        let fixings = fixings(&row);
        let strip = Strip {
            count: 2,
            corner: 1.1,
            breadth: 0.047,
            depth: 0.100,
            fold: 0.0,
            bevelled: false,
            length: 1.2,
            wood: WoodKind::Softwood,
            density_k: row.number("density"),
        };
        let standard = if row.text("standard") == "nds" { Standard::Nds } else { Standard::Eurocode5 };
        let shear =
            Shear { angle_deg: row.number("angle"), any: row.yes("sheared"), pulled: row.yes("pulled") };
        let found = needed(&fixings, &strip, &layout(&fixings, &strip, standard), standard, shear);
        let expected = row.expected();
        for (name, metres) in [
            ("edge", found.edge),
            ("end", found.end),
            ("spacing", found.spacing),
            ("thread", found.thread),
            ("pulled_edge", found.pulled[0]),
            ("pulled_end", found.pulled[1]),
            ("pulled_spacing", found.pulled[2]),
            ("thickness", found.thickness),
        ] {
            row.same(name, metres, expected[name] * MILLIMETRE, 1e-9);
        }
    }
}
