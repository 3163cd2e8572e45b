//! Hand formulas to stand beside the solver: rough on purpose, to catch an error of sign, unit or size.

use crate::assess::results::HandCheck;
use crate::loads::{Case, CaseKind};
use crate::model::joints::Material;
use crate::model::timbers::Timber;
use crate::shell::count::extents;
use crate::shell::{MemberId, Shape, Shell};
use crate::vector::Vec3;

/// The solver's push over that of the arch, as long as one says something of the other (own choice: some tens of per cent).
const LIKE_AN_ARCH: std::ops::Range<f64> = 0.4..1.7;

/// What the hand checks need to know of the solver's answer, softest solvable model first.
#[derive(Debug, Clone, Copy)]
pub struct Solved<'a> {
    /// Total reaction of every case \[N\].
    pub reactions: &'a [Vec3],
    /// Axial force in every member under every case, `[case][member]` \[N\], mid-length.
    pub axial: &'a [Vec<f64>],
    /// Total outward push of the feet of every case \[N\]: Σ of the horizontal reactions' part toward
    /// the shell's middle.
    pub thrust: &'a [f64],
}

/// All hand checks that fit this shape.
#[must_use]
pub fn checks(
    shell: &Shell,
    timbers: &[Timber],
    material: &Material,
    cases: &[Case],
    solved: Solved<'_>,
) -> Vec<HandCheck> {
    let mut out = Vec::new();
    weight(shell, timbers, material, cases, solved, &mut out);
    snow_total(shell, cases, solved, &mut out);
    match shell.outline.shape {
        Shape::Dome => dome_crown(shell, cases, solved, &mut out),
        Shape::Vault => arch_thrust(shell, cases, solved, &mut out),
        Shape::Free => {}
    }
    uplift(shell, cases, solved, &mut out);
    out
}

fn weight(
    shell: &Shell,
    timbers: &[Timber],
    material: &Material,
    cases: &[Case],
    solved: Solved<'_>,
    out: &mut Vec<HandCheck>,
) {
    let Some(i) = cases.iter().position(|c| c.kind == CaseKind::SelfWeight) else { return };
    let volume: f64 = timbers.iter().enumerate().map(|(m, t)| t.whole.area * shell.length(MemberId(m))).sum();
    let hand = volume * material.density * crate::units::STANDARD_GRAVITY;
    out.push(HandCheck {
        what: "Weight of the timber".into(),
        working: format!("V ρ g = {volume:.4} m³ × {:.0} kg/m³ × 9.81 m/s²", material.density),
        hand,
        solver: solved.reactions[i].z,
        unit: "N".into(),
        remark: "The solver's figure holds the allowance for fixings as well.".into(),
    });
}

fn snow_total(shell: &Shell, cases: &[Case], solved: Solved<'_>, out: &mut Vec<HandCheck>) {
    let Some(i) = cases.iter().position(|c| c.kind == CaseKind::Snow) else { return };
    let plan: f64 =
        (0..shell.panels.len()).map(|p| shell.area_vector(crate::shell::PanelId(p)).z.max(0.0)).sum();
    let greatest = cases[i]
        .panels
        .iter()
        .map(|l| {
            let area = shell.area_vector(l.panel);
            -l.traction.z * area.norm() / area.z.max(1e-9)
        })
        .fold(0.0_f64, f64::max);
    if greatest <= 0.0 {
        return;
    }
    out.push(HandCheck {
        what: format!("Total of {}", cases[i].name),
        working: format!("s A = {:.3} kN/m² × {plan:.2} m² of plan", greatest * 1e-3),
        hand: greatest * plan,
        solver: solved.reactions[i].z,
        unit: "N".into(),
        remark: "By hand the greatest intensity is taken over the whole plan, so the solver's total is \
                 equal or smaller where steep panels carry none."
            .into(),
    });
}

/// Membrane theory of a spherical cap under a uniform load on plan: N = −sR/2 both ways at the crown;
/// an equilateral net of side a carries S = N a / √3 in each pair.
fn dome_crown(shell: &Shell, cases: &[Case], solved: Solved<'_>, out: &mut Vec<HandCheck>) {
    let Some(radius) = shell.outline.radius else { return };
    let Some(i) = cases.iter().position(|c| c.kind == CaseKind::Snow) else { return };
    let top = shell.joints.iter().map(|j| j.at.z).fold(0.0_f64, f64::max);
    let near = |m: usize| {
        let [a, b] = shell.members[m].joints;
        (shell.at(a).z + shell.at(b).z) * 0.5 > 0.85 * top
    };
    let crown: Vec<usize> = (0..shell.members.len()).filter(|&m| near(m)).collect();
    let crown_intensity = cases[i]
        .panels
        .iter()
        .filter_map(|l| {
            let area = shell.area_vector(l.panel);
            (area.z > 0.9 * area.norm()).then(|| -l.traction.z * area.norm() / area.z)
        })
        .fold(0.0_f64, f64::max);
    if crown.is_empty() || crown_intensity <= 0.0 {
        return;
    }
    let count = crown.len() as f64;
    let side = crown.iter().map(|&m| shell.length(MemberId(m))).sum::<f64>() / count;
    let solver = crown.iter().map(|&m| solved.axial[i][m]).sum::<f64>() / count;
    let membrane = -0.5 * crown_intensity * radius;
    out.push(HandCheck {
        what: format!("Axial force near the crown under {}", cases[i].name),
        working: format!(
            "N = −s R / 2 = −{:.3} kN/m² × {radius:.3} m / 2; S = N a / √3, a = {side:.3} m",
            crown_intensity * 1e-3
        ),
        hand: membrane * side / 3.0_f64.sqrt(),
        solver,
        unit: "N".into(),
        remark: "Membrane theory of a smooth sphere; a coarse net differs by some tens of per cent.".into(),
    });
}

/// Three-hinged arch under a uniform load on plan: H = w L² / 8 h on each side, per metre of length.
fn arch_thrust(shell: &Shell, cases: &[Case], solved: Solved<'_>, out: &mut Vec<HandCheck>) {
    let Some(i) = cases.iter().position(|c| c.kind == CaseKind::Snow) else { return };
    let extents = extents(shell);
    let total = solved.reactions[i].z;
    // Of the arch as its joints stand, which may be lower than the curve.
    let (span, rise) = (extents.across, extents.height);
    if rise <= 0.0 || total <= 0.0 {
        return;
    }
    let hand = 2.0 * total * span / (8.0 * rise);
    out.push(HandCheck {
        what: format!("Outward push at the feet, both sides, under {}", cases[i].name),
        working: format!(
            "2 H = 2 × W L / (8 h) = 2 × {:.2} kN × {:.2} m / (8 × {:.2} m)",
            total * 1e-3,
            span,
            rise
        ),
        hand,
        solver: solved.thrust[i],
        unit: "N".into(),
        remark: thrust_remark(solved.thrust[i] / hand).into(),
    });
}

/// What the formula of an arch holds, and what takes a shell far from it. The difference is told all the same.
fn thrust_remark(ratio: f64) -> &'static str {
    if LIKE_AN_ARCH.contains(&ratio) {
        "Three-hinged arch under a load even on plan. Domed ends, and steep panels that carry no snow, take the solver's figure \
         below it; framed ends and stiff joints may take it below or above, by some tens of per cent."
    } else {
        "Three-hinged arch under a load even on plan. Here the two are too far apart for one to check the other: two \
         rows of feet, or a stiff end wall, push against the ground where a plain arch would not. Where a shell has neither, ask why."
    }
}

/// Uplift of the strongest lifting wind: plan area times pressure times a net coefficient.
fn uplift(shell: &Shell, cases: &[Case], solved: Solved<'_>, out: &mut Vec<HandCheck>) {
    let winds = cases.iter().enumerate().filter(|(_, c)| c.kind == CaseKind::Wind);
    let Some((i, case)) = winds.min_by(|a, b| solved.reactions[a.0].z.total_cmp(&solved.reactions[b.0].z))
    else {
        return;
    };
    let pressure_sum: f64 = case
        .panels
        .iter()
        .map(|l| {
            let area = shell.area_vector(l.panel);
            l.traction.dot(&(area / area.norm())) * area.z
        })
        .sum();
    out.push(HandCheck {
        what: format!("Lift of {}", case.name),
        working: "Σ (suction on a panel × its area on plan), without the solver".into(),
        hand: pressure_sum,
        // The feet hold against what lifts.
        solver: -solved.reactions[i].z,
        unit: "N".into(),
        remark: "Equal but for rounding; positive lifts, negative presses down.".into(),
    });
}

#[cfg(test)]
mod tests {
    use crate::assess::{example, find};

    /// Of a shed on two rows of feet the formula of an arch says nothing, and it is told so; the fruit cage stands like one.
    #[test]
    fn a_formula_that_is_far_off_is_told_of() {
        for (file, far) in [("cider-shed-barrel.toml", true), ("fruit-cage-barrel.toml", false)] {
            let project = example(file);
            let found = find(&project).unwrap();
            let checks = found.hand_checks(&project);
            let push = checks.iter().find(|check| check.what.starts_with("Outward push")).unwrap();
            assert_eq!(push.remark.contains("too far apart"), far, "{file} {push:?}");
            assert_eq!(push.remark.contains("some tens of per cent"), !far, "{file}");
        }
    }
}
