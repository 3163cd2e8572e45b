//! The least wind on a building of ASCE 7 27.1.5 (7-16 and 7-22): so much on the walls and half of it on the roof's projection on
//! a plane across the wind, along the wind, both at once, as a case of its own. Panels are roof, framed ends are walls, and so are
//! the upright panels of a free shape. A shell that the wind blows through takes the walls' all over (27.1.5, open buildings).

use crate::loads::ask::{Basis, InternalAsk, LoadsAsk, WindAsk};
use crate::loads::figures::figure;
use crate::loads::section_line::degrees;
use crate::loads::wind::gable;
use crate::loads::{Action, Case, CaseKind, Inlet, PanelLoad};
use crate::shell::{PanelId, Shape, Shell};
use crate::vector::Vec3;

/// The case of one direction; `None` in the Eurocode, and where nothing faces it. It is there however strong the wind
/// is: what a stronger one does never gets less for want of it.
pub(super) fn case(ask: &LoadsAsk, wind: &WindAsk, shell: &Shell, direction: f64) -> Option<Case> {
    if ask.basis == Basis::Eurocode {
        return None;
    }
    let [roof, walls] = ["least on roof", "least on walls"]
        .map(|which| figure("asce7_wind_constants", which, "value") * POUND_PER_SQUARE_FOOT);
    let through = wind.internal == InternalAsk::Open;
    let travel = -Vec3::new(direction.cos(), direction.sin(), 0.0);
    let mut panels = Vec::new();
    let (mut on_roof, mut on_walls) = (0.0, 0.0);
    for panel in (0..shell.panels.len()).map(PanelId) {
        let outward = shell.area_vector(panel);
        let faces = -outward.dot(&travel);
        if faces > 1e-9 * outward.norm() {
            let upright = shell.outline.shape == Shape::Free && outward.z < outward.norm() * UPRIGHT.cos();
            let (pressure, area) =
                if through || upright { (walls, &mut on_walls) } else { (roof, &mut on_roof) };
            panels.push(PanelLoad { panel, traction: travel * (pressure * faces / outward.norm()) });
            *area += projected(shell, panel, &travel);
        }
    }
    let mut case = Case {
        name: format!("wind from {}, least of the code", degrees(direction)),
        kind: CaseKind::Wind,
        action: Action::Variable,
        inlet: Inlet::Shut,
        panels,
        members: Vec::new(),
        joints: Vec::new(),
        asked: travel * (roof * on_roof + walls * on_walls),
        remarks: vec![format!(
            "{roof:.0} N/m² on the {on_roof:.2} m² of the surface's projection across the wind, {walls:.0} N/m² on that of framed ends\
             {} (ASCE 7 27.1.5)",
            if on_walls > 0.0 {
                format!(
                    " and on {on_walls:.2} m² of {}",
                    if through { "an open shell's surface" } else { "upright panels" }
                )
            } else {
                String::new()
            }
        )],
        provisional: Vec::new(),
    };
    gable::along_wind(shell, &travel, walls, &mut case);
    let pushes = !(case.panels.is_empty() && case.members.is_empty());
    pushes.then_some(case)
}

/// A panel of a free shape steeper than this is a wall (own reading) \[rad\].
const UPRIGHT: f64 = 80.0 * std::f64::consts::PI / 180.0;

/// \[N/m²\].
const POUND_PER_SQUARE_FOOT: f64 = 4.448_221_615_260_5 / (0.3048 * 0.3048);

/// Area of a panel's projection on a plane across the wind, by its corners there: apart from its area vector \[m²\].
fn projected(shell: &Shell, panel: PanelId, travel: &Vec3) -> f64 {
    let across = travel.cross(&Vec3::z());
    let corners: Vec<[f64; 2]> = shell.panels[panel.0]
        .joints
        .iter()
        .map(|&joint| {
            let at = shell.at(joint);
            [at.dot(&across), at.z]
        })
        .collect();
    let next = corners.iter().cycle().skip(1);
    0.5 * corners.iter().zip(next).map(|([s, z], [t, w])| s * w - t * z).sum::<f64>().abs()
}

#[cfg(test)]
mod tests {
    use std::f64::consts::PI;

    use super::*;
    use crate::loads::ask::{AsceEdition, Given};
    use crate::loads::audit::audit;
    use crate::loads::edge_share::EdgeShares;
    use crate::loads::tests::{all, asce, barrel_between, dome, named, no_inside, total};
    use crate::shell::ask::EndForm;

    fn blowing(pressure: f64) -> LoadsAsk {
        let mut ask = asce(AsceEdition::Seven22);
        if let Given::Value(wind) = &mut ask.wind {
            wind.strength = crate::loads::ask::WindStrength::Pressure(pressure);
        }
        ask
    }

    /// 8 lb/ft² is 383 N/m² on the outline of the dome seen along the wind, however it blows; where it blows through the shell, what walls take (open buildings).
    #[test]
    fn a_dome_is_pushed_by_the_least() {
        let dome = dome(4);
        let cases = all(&blowing(300.0), &dome);
        let least = named(&cases, "wind from 0°, least of the code");
        let force = total(&dome, least);
        // Half the disc of 2 m, less what the flat panels cut off.
        let disc = 0.5 * PI * 4.0;
        let area = -force.x / 383.04;
        assert!(area < disc && area > 0.97 * disc && force.yz().norm() < 1e-6 * area, "{area} {force}");
        assert!(audit(&dome, &EdgeShares::new(&dome), least).residual < 1e-9);
        let strong = all(&blowing(3000.0), &dome);
        assert_eq!(total(&dome, named(&strong, "wind from 0°, least of the code")), force);
        let through = all(&no_inside(blowing(300.0)), &dome);
        let open = total(&dome, named(&through, "wind from 0°, least of the code"));
        assert!((open - 2.0 * force).norm() < 1e-9 * open.norm());
    }

    /// A framed end is a wall: twice as much on its whole polygon, and on the surface nothing, which lies along the wind.
    #[test]
    fn a_framed_end_takes_the_least_of_walls() {
        let framed = EndForm::Framed { studs: 2, sill: true, diagonals: false };
        let shed = barrel_between(2.0, 12, 3, [framed, framed]);
        let cases = all(&blowing(100.0), &shed);
        let force = total(&shed, named(&cases, "wind from 180°, least of the code"));
        let polygon = 0.5 * 12.0 * 4.0 * (PI / 12.0).sin();
        assert!((force.x - 766.08 * polygon).abs() < 0.1 && force.yz().norm() < 1e-6, "{force}");
        // Across it: 3 m by 2 m of roof.
        let force = total(&shed, named(&cases, "wind from 90°, least of the code"));
        assert!((-force.y - 383.04 * 6.0).abs() < 0.1, "{force}");
        // What blows in at an open end takes hold of the framed one behind.
        let open = barrel_between(2.0, 12, 3, [EndForm::Open, framed]);
        let force = total(&open, named(&all(&blowing(100.0), &open), "wind from 180°, least of the code"));
        assert!((force.x - 766.08 * polygon).abs() < 0.1, "{force}");
    }

    /// A house of 3 m by 2 m with walls of 1 m and a roof 0.5 m higher, as a mesh: 16 lb/ft² on the wall, 8 on the roof's rise.
    #[test]
    fn upright_panels_of_a_free_shape_are_walls() {
        let point = |x: f64, y: f64, z: f64| Vec3::new(x, y, z);
        let points = [
            point(0.0, -1.0, 0.0),
            point(0.0, -1.0, 1.0),
            point(0.0, 0.0, 1.5),
            point(0.0, 1.0, 1.0),
            point(0.0, 1.0, 0.0),
        ];
        let ends = [0.0, 3.0].iter().flat_map(|x| points.iter().map(move |at| at + Vec3::new(*x, 0.0, 0.0)));
        let mesh = crate::shell::ask::MeshAsk {
            joints: ends.enumerate().map(|(k, at)| (format!("j{k}"), at)).collect(),
            panels: (0..4).map(|k| (format!("p{k}"), vec![k, k + 5, k + 6, k + 1])).collect(),
            feet: Vec::new(),
            lines: crate::shell::ask::MeshLines::default(),
        };
        let form = crate::shell::ask::Form::Mesh(mesh);
        let shell =
            crate::shell::build(&crate::shell::ask::ShellAsk { form, openings: Vec::new(), mend: true })
                .unwrap();
        let force = total(&shell, named(&all(&blowing(300.0), &shell), "wind from 90°, least of the code"));
        let hand = 766.08 * 3.0 + 383.04 * 1.5;
        assert!((force.y.abs() - hand).abs() < 0.1, "{force} {hand}");
    }
}
