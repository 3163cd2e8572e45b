//! What can be counted and measured on a shell.

use crate::shell::fold::{Bend, bend};
use crate::shell::{MemberKind, PanelId, Shape, Shell};
use crate::vector::Vec3;
use std::collections::BTreeSet;

/// How many there are of everything.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Counts {
    /// Joints, those of gables included.
    pub joints: usize,
    /// Seams, rims and bars.
    pub members: usize,
    /// Panels.
    pub panels: usize,
    /// Edges of two panels.
    pub seams: usize,
    /// Edges of one panel.
    pub rims: usize,
    /// Timbers of no panel.
    pub bars: usize,
    /// Joints on the base plane.
    pub feet: usize,
    /// Seams convex seen from outside.
    pub ridge_seams: usize,
    /// Seams concave seen from outside.
    pub valley_seams: usize,
    /// Seams with no fold to speak of.
    pub flat_seams: usize,
    /// Panels of three corners.
    pub triangles: usize,
    /// Panels of four corners.
    pub quadrilaterals: usize,
    /// Closed rings of rims.
    pub boundary_loops: usize,
    /// Joints of panels less edges plus panels: Euler's characteristic of the surface. For a shell in one
    /// piece without handles it is 2 less the number of boundary loops.
    pub euler: i64,
}

/// Counts a shell.
#[must_use]
pub fn counts(shell: &Shell) -> Counts {
    let kinds = |kind: MemberKind| shell.members.iter().filter(|member| member.kind == kind).count();
    let folds = |wanted: Bend| {
        let seams = shell.members.iter().filter(|member| member.kind == MemberKind::Seam);
        seams.filter(|member| bend(member.fold) == wanted).count()
    };
    let corners = |count: usize| shell.panels.iter().filter(|panel| panel.joints.len() == count).count();
    let (seams, rims) = (kinds(MemberKind::Seam), kinds(MemberKind::Rim));
    let of_panels: BTreeSet<_> = shell.panels.iter().flat_map(|panel| panel.joints.iter().copied()).collect();
    Counts {
        joints: shell.joints.len(),
        members: shell.members.len(),
        panels: shell.panels.len(),
        seams,
        rims,
        bars: kinds(MemberKind::Bar),
        feet: shell.joints.iter().filter(|joint| joint.foot).count(),
        ridge_seams: folds(Bend::Ridge),
        valley_seams: folds(Bend::Valley),
        flat_seams: folds(Bend::Flat),
        triangles: corners(3),
        quadrilaterals: corners(4),
        boundary_loops: boundary_loops(shell),
        euler: of_panels.len() as i64 - (seams + rims) as i64 + shell.panels.len() as i64,
    }
}

/// Closed rings of rims. Where rings touch in a joint they count as one walk turns from one to the other.
fn boundary_loops(shell: &Shell) -> usize {
    // A rim runs with its panel on the left, so that each joint of a ring is left once.
    let mut next: Vec<Vec<usize>> = vec![Vec::new(); shell.joints.len()];
    for member in shell.members.iter().filter(|member| member.kind == MemberKind::Rim) {
        next[member.joints[0].0].push(member.joints[1].0);
    }
    let mut loops = 0;
    for start in 0..next.len() {
        while let Some(mut at) = next[start].pop() {
            while at != start {
                let Some(onward) = next[at].pop() else { break };
                at = onward;
            }
            loops += 1;
        }
    }
    loops
}

/// Areas and volume.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measures {
    /// True area of the panels that are there \[m²\].
    pub surface: f64,
    /// Area of ground that the shell stands over at its base plane, openings closed \[m²\].
    pub floor: f64,
    /// Volume between the panels and the base plane, openings closed and flat ends upright \[m³\].
    pub volume: f64,
}

/// Between the outermost joints.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Extents {
    /// Along x \[m\].
    pub along: f64,
    /// Along y \[m\].
    pub across: f64,
    /// Of the highest joint above the base plane \[m\].
    pub height: f64,
}

/// The size of the curve behind a shell, where it differs by more than one per cent from that between joints \[m\]; an own mesh has no
/// curve behind it.
#[must_use]
pub fn other_than(shell: &Shell, joints: f64, curve: f64) -> Option<f64> {
    (shell.outline.shape != Shape::Free && (joints - curve).abs() > 0.01 * joints).then_some(curve)
}

/// How far a shell's joints reach.
#[must_use]
pub fn extents(shell: &Shell) -> Extents {
    let between = |of: fn(&Vec3) -> f64| {
        let all = shell.joints.iter().map(|joint| of(&joint.at));
        let (low, high) =
            all.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), at| (low.min(at), high.max(at)));
        (high - low).max(0.0)
    };
    let height = shell.joints.iter().map(|joint| joint.at.z).fold(0.0, f64::max);
    Extents { along: between(|at| at.x), across: between(|at| at.y), height }
}

/// Measures a shell.
///
/// With `A` a panel's area vector and `z̄` the height of its centroid, floor = `Σ A_z` and volume =
/// `Σ A_z z̄`: what hangs over is taken off again, upright ends and the base plane add nothing. Panels
/// that openings took are put back for both. Exact for shells that stand on z = 0; for an own mesh with
/// feet at several heights it is the volume above z = 0.
#[must_use]
pub fn measures(shell: &Shell) -> Measures {
    let mut sum = Measures { surface: 0.0, floor: 0.0, volume: 0.0 };
    for (number, panel) in shell.panels.iter().enumerate() {
        sum.surface += shell.area_vector(PanelId(number)).norm();
        let corners: Vec<Vec3> = panel.joints.iter().map(|&joint| shell.at(joint)).collect();
        add_prism(&mut sum, &corners);
    }
    for corners in shell.openings.iter().flat_map(|opening| &opening.outlines) {
        add_prism(&mut sum, corners);
    }
    sum
}

/// Adds the plan area under a polygon and the volume under it.
fn add_prism(sum: &mut Measures, corners: &[Vec3]) {
    for pair in corners[1..].windows(2) {
        let plan = 0.5 * (pair[0] - corners[0]).cross(&(pair[1] - corners[0])).z;
        sum.floor += plan;
        sum.volume += plan * (corners[0].z + pair[0].z + pair[1].z) / 3.0;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shell::ask::{EndForm, Form, Pattern, Profile, ShellAsk, Up};
    use crate::shell::build;
    use approx::assert_relative_eq;

    fn built(form: Form) -> Shell {
        build(&ShellAsk { form, openings: Vec::new(), mend: false }).unwrap()
    }

    #[test]
    fn fine_domes_approach_the_cap() {
        let (radius, base) = (3.0, 0.7);
        let shell = built(Form::Dome { radius, frequency: 16, up: Up::Face, base });
        let (area, volume, height) = (measures(&shell), measures(&shell).volume, radius - base);
        let pi = std::f64::consts::PI;
        assert_relative_eq!(area.surface, 2.0 * pi * radius * height, max_relative = 5e-3);
        assert_relative_eq!(area.floor, pi * (radius * radius - base * base), max_relative = 5e-3);
        assert_relative_eq!(
            volume,
            pi * height * height * (3.0 * radius - height) / 3.0,
            max_relative = 1e-2
        );
    }

    /// A pointed arch of five pieces has its highest joints beside the point, a cut dome fewer joints than its circle has ends.
    #[test]
    fn joints_fall_short_of_the_curve_that_they_stand_on() {
        let shell = built(Form::Barrel {
            profile: Profile::Pointed,
            span: 4.0,
            rise: 3.0,
            segments: 5,
            bays: 3,
            bay_length: 1.1,
            pattern: Pattern::PlainLeft,
            ends: [EndForm::Open; 2],
        });
        let found = extents(&shell);
        assert_relative_eq!(found.across, 4.0, max_relative = 1e-12);
        assert_relative_eq!(found.along, 3.3, max_relative = 1e-12);
        assert_relative_eq!(found.height, 2.504, max_relative = 1e-3);
        assert_relative_eq!(shell.outline.rise, 3.0, max_relative = 1e-12);
        // Ten feet on a circle: two of them opposite each other along y, none along x.
        let dome = built(Form::Dome { radius: 2.1, frequency: 2, up: Up::Vertex, base: 0.0 });
        let found = extents(&dome);
        let pi = std::f64::consts::PI;
        let (short, long) = (found.along.min(found.across), found.along.max(found.across));
        assert_relative_eq!(long, 4.2, max_relative = 1e-12);
        assert_relative_eq!(short, 4.2 * (pi / 10.0).cos(), max_relative = 1e-12);
    }

    #[test]
    fn a_plain_barrel_has_exact_measures() {
        // Semicircle of 6 chords: half a regular dodecagon over the bay's length.
        let ends = [EndForm::Open; 2];
        for pattern in [Pattern::PlainLeft, Pattern::PlainCrossed] {
            let shell = built(Form::Barrel {
                profile: Profile::Circular,
                span: 4.0,
                rise: 2.0,
                segments: 6,
                bays: 3,
                bay_length: 1.0,
                pattern,
                ends,
            });
            let step = std::f64::consts::PI / 6.0;
            let found = measures(&shell);
            assert_relative_eq!(found.surface, 6.0 * 4.0 * (step / 2.0).sin() * 3.0, max_relative = 1e-12);
            assert_relative_eq!(found.floor, 12.0, max_relative = 1e-12);
            assert_relative_eq!(found.volume, 6.0 * 0.5 * 4.0 * step.sin() * 3.0, max_relative = 1e-12);
            assert_eq!(counts(&shell).boundary_loops, 1);
            assert_eq!(counts(&shell).euler, 1);
        }
    }
}
