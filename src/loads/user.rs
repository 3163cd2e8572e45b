//! The user's own cases: patterns by slope, height, side, sector, stretch or panel; forces and tractions
//! by name (also as read from CSV).

use crate::loads::ask::{LoadsAsk, PatternLoad, RegionAsk, UserCaseAsk, UserRole};
use crate::loads::build::{Integrals, Push};
use crate::loads::halves::middle;
use crate::loads::imposed::{joint, member, panel, tractions};
use crate::loads::integrate::{Cut, Field};
use crate::loads::section_line::towards;
use crate::loads::{Action, Case, CaseKind, JointLoad, LoadError, MemberLoad};
use crate::shell::{PanelId, Shell};
use crate::vector::Vec3;

/// The user's own cases; patterns lie on doors, windows and skylights too, on the shell that is `shut`.
///
/// # Errors
///
/// [`LoadError`]: a pattern that touches no panel, a name that the shell does not have.
pub(crate) fn cases(ask: &LoadsAsk, shells: (&Shell, &Shell)) -> Result<Vec<Case>, LoadError> {
    ask.user.iter().map(|case| one(case, shells)).collect()
}

fn one(ask: &UserCaseAsk, (shell, shut): (&Shell, &Shell)) -> Result<Case, LoadError> {
    let action = match ask.role {
        UserRole::Permanent => Action::Permanent,
        UserRole::Variable(_) => Action::Variable,
        UserRole::Accidental => Action::Accidental,
    };
    let mut case = Case::empty(ask.name.clone(), CaseKind::User, action);
    for (index, (region, load)) in ask.patterns.iter().enumerate() {
        let (value, push) = match *load {
            PatternLoad::PerPlan(value) => (value, Push::DownPerPlan),
            PatternLoad::PerArea(value) => (value, Push::DownPerArea),
            PatternLoad::Pressure(value) => (value, Push::Inward),
        };
        if !value.is_finite() {
            return Err(LoadError::OutOfRange {
                what: format!("a pattern of `{}`", ask.name),
                value,
                limit: "a number",
            });
        }
        // The region alone, so that a pattern of no size is told apart from one that touches nothing.
        let region_field = region_of(region, shut, &ask.name)?;
        let mut field = Field::new(|_, _| 0.0, Vec::new());
        field.value = {
            let inside = region_field.value;
            Box::new(move |panel, p| inside(panel, p) * value)
        };
        field.cuts = region_field.cuts;
        let (loads, asked) = Integrals::new(shut, &field, push).loads();
        if value != 0.0 && loads.is_empty() {
            return Err(LoadError::TouchesNothing {
                name: ask.name.clone(),
                why: format!(": nothing of the shell lies in the region of pattern {}", index + 1),
            });
        }
        case.panels.extend(loads);
        case.asked += asked;
        case.remarks.push(match load {
            PatternLoad::PerPlan(value) => format!("{value:.0} N/m² down per plan area"),
            PatternLoad::PerArea(value) => format!("{value:.0} N/m² down per true area"),
            PatternLoad::Pressure(value) => format!("{value:+.0} N/m² on the outer face, inward positive"),
        });
    }
    for load in tractions(shut, &ask.panels, &ask.name)? {
        case.asked += load.traction * shut.area_vector(load.panel).norm();
        case.panels.push(load);
    }
    for (name, [x, y, z]) in &ask.joints {
        let force = Vec3::new(*x, *y, *z);
        case.joints.push(JointLoad { joint: joint(shell, name, &ask.name)?, force });
        case.asked += force;
    }
    for (name, [x, y, z]) in &ask.members {
        let id = member(shell, name, &ask.name)?;
        let intensity = Vec3::new(*x, *y, *z);
        case.members.push(MemberLoad {
            member: id,
            span: [0.0, shell.length(id)],
            intensity: [intensity; 2],
            panel: None,
        });
        case.asked += intensity * shell.length(id);
    }
    if case.panels.is_empty() && case.joints.is_empty() && case.members.is_empty() {
        return Err(LoadError::TouchesNothing {
            name: ask.name.clone(),
            why: ": the case holds no load".into(),
        });
    }
    Ok(case)
}

/// 1 in the region, 0 outside it.
fn region_of<'a>(region: &RegionAsk, shell: &'a Shell, place: &str) -> Result<Field<'a>, LoadError> {
    let centre = middle(shell);
    let mut chosen: Vec<PanelId> = Vec::new();
    for name in &region.panels {
        chosen.push(panel(shell, name, place)?);
    }
    let mut cuts = Vec::new();
    let mut stretches: Vec<(Vec3, [f64; 2])> = Vec::new();
    for (axis, range) in [(Vec3::z(), region.height), (Vec3::x(), region.along)] {
        if let Some([from, to]) = range {
            for bound in [from, to] {
                if bound.is_finite() {
                    cuts.push(Cut::Plane(axis, bound));
                }
            }
            stretches.push((axis, [from, to]));
        }
    }
    if let Some(side) = region.side {
        let unit = towards(side);
        let from = centre.dot(&unit);
        cuts.push(Cut::Plane(unit, from));
        stretches.push((unit, [from, f64::INFINITY]));
    }
    let sector = region.sector.map(|[middle, half]| (middle, half));
    if let Some((middle, half)) = sector {
        for edge in [middle - half, middle + half] {
            let along = towards(edge);
            let normal = Vec3::new(-along.y, along.x, 0.0);
            cuts.push(Cut::Plane(normal, normal.dot(&centre)));
        }
    }
    let slope = region.slope;
    Ok(Field::new(
        move |id, p: &Vec3| {
            if !chosen.is_empty() && !chosen.contains(&id) {
                return 0.0;
            }
            if let Some([from, to]) = slope {
                let area = shell.area_vector(id);
                let angle = (area.z / area.norm()).clamp(-1.0, 1.0).acos();
                if angle < from - 1e-9 || angle > to + 1e-9 {
                    return 0.0;
                }
            }
            if stretches.iter().any(|(axis, [from, to])| !(*from..=*to).contains(&axis.dot(p))) {
                return 0.0;
            }
            if let Some((middle, half)) = sector {
                let out = Vec3::new(p.x - centre.x, p.y - centre.y, 0.0);
                let turn = out.y.atan2(out.x) - middle;
                let turn =
                    (turn + std::f64::consts::PI).rem_euclid(std::f64::consts::TAU) - std::f64::consts::PI;
                if turn.abs() > half {
                    return 0.0;
                }
            }
            1.0
        },
        cuts,
    ))
}
