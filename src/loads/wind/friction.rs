//! Friction of the wind along a long vault (EN 1991-1-4 7.5). ASCE 7 has none.

use crate::loads::ask::{Basis, LoadsAsk, WindAsk};
use crate::loads::build::{Integrals, Push};
use crate::loads::figures::figure;
use crate::loads::integrate::{Cut, Field};
use crate::loads::section_line::towards;
use crate::loads::wind::upright::is_along;
use crate::loads::{Case, PanelLoad};
use crate::shell::{PanelId, Shape, Shell};
use crate::vector::Vec3;

/// Adds the friction on the straight part of a vault for wind along it, `pressure` being that of the wind \[N/m²\], and says
/// what was done.
pub(crate) fn add(
    ask: &LoadsAsk,
    wind: &WindAsk,
    shell: &Shell,
    (pressure, direction): (f64, f64),
    case: &mut Case,
) {
    let words = match straight(shell).filter(|_| ask.basis == Basis::Eurocode && is_along(direction)) {
        None => "friction along the surface left out".to_owned(),
        Some(barrel) => {
            let value = |item| figure("en1991_wind_friction", item, "value");
            let area = |of: &dyn Fn(&Vec3) -> f64| -> f64 {
                let panels =
                    (0..shell.panels.len()).map(PanelId).filter(|&panel| between(shell, panel, barrel));
                panels.map(|panel| of(&shell.area_vector(panel))).sum()
            };
            let outline = &shell.outline;
            let along = area(&Vec3::norm);
            // Walls below the vault belong to it, seen from the end and from the side.
            let section = section(shell) + wind.wall_height * outline.span;
            let walls = 2.0 * wind.wall_height * (barrel[1] - barrel[0]);
            let most = value("along over across") * 2.0 * section;
            if along + walls <= most {
                format!(
                    "friction left out: {:.1} m² along the wind is no more than 4 × the {:.1} m² across it (EN 1991-1-4 5.3(4))",
                    along + walls,
                    2.0 * section
                )
            } else {
                let height = outline.rise + wind.wall_height;
                let reach =
                    (value("reach over breadth") * outline.span).min(value("reach over height") * height);
                let downwind = -towards(direction);
                let way = if downwind.x > 0.0 { Vec3::x() } else { -Vec3::x() };
                let tip = shell.joints.iter().map(|joint| joint.at.dot(&way)).fold(f64::INFINITY, f64::min);
                let coefficient = value("very rough");
                let field = Field::new(
                    |panel, p: &Vec3| {
                        if between(shell, panel, barrel) && p.dot(&way) > tip + reach {
                            coefficient * pressure
                        } else {
                            0.0
                        }
                    },
                    vec![Cut::Plane(way, tip + reach)],
                )
                .stepped();
                let (loads, asked) = Integrals::new(shell, &field, Push::Way(way)).loads();
                case.asked += asked;
                for load in loads {
                    add_to(&mut case.panels, load);
                }
                format!(
                    "friction {coefficient} × {pressure:.0} N/m² along the vault beyond {reach:.1} m from the windward end: {:.0} N \
                     (EN 1991-1-4 7.5)",
                    asked.norm()
                )
            }
        }
    };
    case.remarks.push(words);
}

/// A panel has one load in a case.
fn add_to(panels: &mut Vec<PanelLoad>, load: PanelLoad) {
    match panels.iter_mut().find(|there| there.panel == load.panel) {
        Some(there) => there.traction += load.traction,
        None => panels.push(load),
    }
}

/// The straight part of a vault.
fn straight(shell: &Shell) -> Option<[f64; 2]> {
    shell.outline.barrel.filter(|_| shell.outline.shape == Shape::Vault)
}

/// Whether the middle of a panel lies in the straight part.
fn between(shell: &Shell, panel: PanelId, [from, to]: [f64; 2]) -> bool {
    let joints = &shell.panels[panel.0].joints;
    let middle = joints.iter().map(|&joint| shell.at(joint).x).sum::<f64>() / joints.len() as f64;
    (from..=to).contains(&middle)
}

/// Area of the cross-section of the vault \[m²\].
fn section(shell: &Shell) -> f64 {
    shell
        .outline
        .profile
        .windows(2)
        .map(|pair| 0.5 * (pair[1][0] - pair[0][0]) * (pair[0][1] + pair[1][1]))
        .sum::<f64>()
        .abs()
}

#[cfg(test)]
mod tests {
    use crate::loads::ask::AsceEdition;
    use crate::loads::audit::audit;
    use crate::loads::edge_share::EdgeShares;
    use crate::loads::tests::{all, asce, barrel_between, eurocode, named, no_inside};
    use crate::shell::ask::EndForm;

    /// A half-round vault of 4 m span: lesser of 2·4 and 4·2 is 8 m. Of 12 m the last 4 m rub, on π·2 m of arc: of 24 chords that is
    /// 4·24·2·2·sin(π/48) m². Short ones and ASCE 7 have none.
    #[test]
    fn a_long_vault_is_rubbed_beyond_eight_metres() {
        let ask = no_inside(eurocode());
        let force = |bays: usize, from: &str| {
            let shell = barrel_between(2.0, 24, bays, [EndForm::Open; 2]);
            let cases = all(&ask, &shell);
            let case = named(&cases, &format!("wind from {from}, open"));
            let found = audit(&shell, &EdgeShares::new(&shell), case);
            assert!(found.residual < 1e-3, "{found:?}");
            found.applied.x
        };
        let round = 24.0 * 4.0 * (std::f64::consts::PI / 48.0).sin();
        let wanted = 0.04 * 1000.0 * 4.0 * round;
        assert!((force(12, "180°") - wanted).abs() < 1e-6 * wanted, "{} {wanted}", force(12, "180°"));
        assert!((force(12, "0°") + wanted).abs() < 1e-6 * wanted);
        assert!(force(12, "90°").abs() < 1e-9 * wanted);
        // 8 bays are 50 m² along and 2 × 6.3 m² across, not more than four times; nor do they reach 8 m.
        assert!(force(8, "180°").abs() < 1e-9 * wanted);
        let shell = barrel_between(2.0, 24, 12, [EndForm::Open; 2]);
        let us = all(&no_inside(asce(AsceEdition::Seven16)), &shell);
        assert!(
            named(&us, "wind from 180°, open")
                .remarks
                .iter()
                .any(|said| said.contains("friction along the surface left out"))
        );
    }
}
