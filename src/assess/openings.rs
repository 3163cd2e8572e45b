//! What each opening takes: the size that was wanted, and the hole that whole panels leave.

use crate::project::Project;
use crate::shell::ask::OpeningForm;
use crate::shell::{Opening, Shell};
use crate::units::{Kind, Show};
use crate::vector::Vec3;

/// An opening in a sentence without a full stop, in the order asked for.
#[must_use]
pub fn words(project: &Project, shell: &Shell) -> Vec<String> {
    let show = Show::new(project.units);
    let length = |metres: f64| show.text_to(Kind::Length, metres, 3);
    project
        .shell
        .openings
        .iter()
        .zip(&shell.openings)
        .map(|(ask, opening)| {
            let asked = match &ask.form {
                OpeningForm::Door { width, height, .. } => {
                    format!("asked for {} wide and {} high: ", length(*width), length(*height))
                }
                OpeningForm::Panels(_) | OpeningForm::Inside { .. } => String::new(),
            };
            let facing = match ask.form {
                OpeningForm::Door { facing, .. } => Some(Vec3::new(facing.cos(), facing.sin(), 0.0)),
                _ => None,
            };
            let panels = match opening.panels.len() {
                1 => "1 panel".to_owned(),
                count => format!("{count} panels"),
            };
            let [wide, high, level] = hole(opening, facing);
            let size = if level > 0.0 {
                format!("{} by {} in plan", length(wide), length(level))
            } else {
                format!("{} wide and {} high", length(wide), length(high))
            };
            let middle = middle(opening);
            let [x, y, z] = [middle.x, middle.y, middle.z].map(length);
            format!(
                "{asked}takes {panels} ({}), a hole of up to {size}, its middle at x {x}, y {y}, z {z}",
                show.text_to(Kind::Area, opening.area(), 2)
            )
        })
        .collect()
}

/// The middle of the corners of a hole's outlines, to the centimetre, so that no sign is told of a middle that is all but on an axis \[m\].
fn middle(opening: &Opening) -> Vec3 {
    let corners = opening.outlines.iter().flatten();
    let count = corners.clone().count().max(1) as f64;
    (corners.sum::<Vec3>() / count).map(|at| (at * 100.0).round() / 100.0 + 0.0)
}

/// How far a hole reaches across and up, seen from the front; where it looks up, along x and y instead (the last is 0 of any other) \[m\].
fn hole(opening: &Opening, facing: Option<Vec3>) -> [f64; 3] {
    let reach = |along: Vec3| {
        let at = opening.outlines.iter().flatten().map(|corner| corner.dot(&along));
        let [low, high] =
            at.fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], x| [low.min(x), high.max(x)]);
        (high - low).max(0.0)
    };
    let looks = opening.area_vector();
    let level = Vec3::new(looks.x, looks.y, 0.0);
    // Nearer to level than to upright: a skylight.
    if facing.is_none() && level.norm() < looks.z.abs() {
        return [reach(Vec3::x()), 0.0, reach(Vec3::y())];
    }
    let front = facing.or_else(|| level.try_normalize(1e-12)).unwrap_or_else(Vec3::x);
    [reach(Vec3::new(-front.y, front.x, 0.0)), reach(Vec3::z()), 0.0]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shell::ask::{OpeningAsk, ShellAsk};

    /// A door is told by what was wanted and by the hole that its panels leave, which is no smaller.
    #[test]
    fn the_hole_is_told_beside_the_door() {
        let mut project = crate::assess::example("propagation-tunnel.toml");
        let told = |project: &Project| {
            let shell = crate::shell::build(&project.shell).unwrap();
            (words(project, &shell), shell)
        };
        project.shell.openings.clear();
        assert!(told(&project).0.is_empty());
        let form = OpeningForm::Door { width: 0.8, height: 1.2, facing: 0.0 };
        let door = OpeningAsk { form, rim_strips: 1, sill: false, leaf: true };
        project.shell = ShellAsk { openings: vec![door], ..project.shell };
        let (said, shell) = told(&project);
        let [wide, high, level] = hole(&shell.openings[0], Some(Vec3::x()));
        assert!(wide >= 0.8 && high >= 1.2 && level == 0.0, "{wide} {high}");
        let count = shell.openings[0].panels.len();
        assert!(
            said[0].starts_with(&format!("asked for 0.8 m wide and 1.2 m high: takes {count} panels (")),
            "{said:?}"
        );
    }
}
