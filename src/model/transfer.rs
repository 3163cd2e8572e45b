//! What the two strips of a seam pass to each other because their panels are loaded unlike.
//!
//! Each panel's load comes onto its own strip, and the strips of a seam take equal shares of what the seam carries
//! (the model has one bar for both). So half of the difference of the two loads crosses the seam through its fixings:
//! along the seam, through the shell, and in the surface across it, where it opens the seam or closes it.
//!
//! Strips that act together in bending (composite action, where a project claims it) shear each other along the seam
//! besides: one is pulled and the other pushed, and what changes of that between two places crosses the seam there.

use crate::frame::BarForces;
use crate::loads::edge_share::EdgeShares;
use crate::loads::{Case, Combination, MemberLoad};
use crate::model::back;
use crate::model::timbers::Timber;
use crate::shell::{MemberId, PanelId, Shell};
use crate::vector::Vec3;

/// What crosses one seam \[N\], signed so that cases add up.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Transfer {
    /// Along the seam, on the first panel's side.
    pub along: f64,
    /// Through the shell, outward on the first panel's side.
    pub through: f64,
    /// Pulls the strips apart; negative presses them together.
    pub opening: f64,
    /// Through the shell likewise, of forces that stand in one place: the fixing nearest to them takes it, the others next to nothing.
    pub through_at_one: f64,
    /// Pulls the strips apart in one place, likewise.
    pub opening_at_one: f64,
}

/// A force on one panel that stands in one place of a seam, on the strip of that panel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spot {
    /// The case, by position.
    pub case: usize,
    /// Its middle, from the member's first joint \[m\].
    pub place: f64,
    /// Half of it, which the fixings bring to the other strip, across the member in the surface and through the shell \[N\].
    pub half: [f64; 2],
}

/// Of every member, over all cases.
#[must_use]
pub fn spots(shell: &Shell, cases: &[Case]) -> Vec<Vec<Spot>> {
    let mut out = vec![Vec::new(); shell.members.len()];
    for (case, one) in cases.iter().enumerate() {
        for load in &one.members {
            if load.panel.is_none_or(|panel| side(shell, load.member, panel) == 0.0) {
                continue;
            }
            let force = resultant(load) * 0.5;
            let [_, leftward] = axes(shell, load.member);
            let through = force.dot(&shell.members[load.member.0].outward);
            let place = 0.5 * (load.span[0] + load.span[1]);
            out[load.member.0].push(Spot { case, place, half: [force.dot(&leftward), through] });
        }
    }
    out
}

/// Along a member, and in the surface to the left of that seen from outside, where its first panel lies.
fn axes(shell: &Shell, member: MemberId) -> [Vec3; 2] {
    let [a, b] = shell.members[member.0].joints;
    let along = (shell.at(b) - shell.at(a)).try_normalize(1e-12).unwrap_or_else(Vec3::x);
    [along, shell.members[member.0].outward.cross(&along)]
}

fn resultant(load: &MemberLoad) -> Vec3 {
    (load.intensity[0] + load.intensity[1]) * (0.5 * (load.span[1] - load.span[0]))
}

/// Of every case and member; nothing for a member that is no pair between two panels.
#[must_use]
pub fn transfers(shell: &Shell, shares: &EdgeShares, cases: &[Case]) -> Vec<Vec<Transfer>> {
    cases.iter().map(|case| of_case(shell, shares, case)).collect()
}

/// A part of the two loads that is no more than this share of them is what rounding leaves of equal ones. It must be
/// nothing: only its direction counts for the distances of fixings, and rounding has any direction.
const ROUNDING: f64 = 1e-11;

fn of_case(shell: &Shell, shares: &EdgeShares, case: &Case) -> Vec<Transfer> {
    let mut half = vec![(Vec3::zeros(), Vec3::zeros(), 0.0); shell.members.len()];
    for load in &case.panels {
        for (member, area) in shares.areas(load.panel) {
            let force = load.traction * area;
            let (difference, _, size) = &mut half[member.0];
            *difference += force * (0.5 * side(shell, member, load.panel));
            *size += 0.5 * force.norm();
        }
    }
    for load in &case.members {
        if let Some(panel) = load.panel {
            let force = resultant(load);
            let (_, at_one, size) = &mut half[load.member.0];
            *at_one += force * (0.5 * side(shell, load.member, panel));
            *size += 0.5 * force.norm();
        }
    }
    half.iter()
        .enumerate()
        .map(|(m, (spread, at_one, size))| {
            let [along, leftward] = axes(shell, MemberId(m));
            let outward = shell.members[m].outward;
            let part = |force: &Vec3, axis: &Vec3| {
                let part = force.dot(axis);
                if part.abs() > ROUNDING * size { part } else { 0.0 }
            };
            Transfer {
                // A strip is stiff along itself: all fixings take that.
                along: part(&(spread + at_one), &along),
                through: part(spread, &outward),
                opening: part(spread, &leftward),
                through_at_one: part(at_one, &outward),
                opening_at_one: part(at_one, &leftward),
            }
        })
        .collect()
}

/// 1 for the first of a member's two panels, −1 for the second, 0 where there is no pair.
fn side(shell: &Shell, member: MemberId, panel: PanelId) -> f64 {
    match shell.members[member.0].panels.as_slice() {
        [first, second] if first != second => {
            if *first == panel {
                1.0
            } else {
                -1.0
            }
        }
        _ => 0.0,
    }
}

/// What composite action shears along the joint nearest the middle of a member's strips up to a place: the axial forces it puts
/// into the strips on one side of that joint, one side pulled and the other pushed, signed as the moment about z \[N\]; 0 where
/// the strips slide.
///
/// The forces grow linearly with the distance from the middle, so this is more than the outer strip's own from four strips up.
#[must_use]
pub fn couple(forces: &BarForces, timber: &Timber) -> f64 {
    let n = timber.count as f64;
    let outer = back::strip_forces(forces, timber, 1.0).n - forces.n / timber.sharing();
    // In pitches from the middle: the outer strip at (n − 1)/2, those on one side n²/8 together, (n² − 1)/8 about a strip in the middle.
    let one_side = (timber.count * timber.count / 4) as f64 / 2.0;
    let pair = if timber.count > 1 { outer * one_side / (0.5 * (n - 1.0)) } else { 0.0 };
    if forces.mz < 0.0 { -pair } else { pair }
}

/// Whether the strips of a member act together in bending about the shell's normal.
#[must_use]
pub fn acts_together(timber: &Timber) -> bool {
    timber.whole.second_moment_z > timber.count as f64 * timber.strip.second_moment_z * (1.0 + 1e-9)
}

/// What composite action shears along a seam between its ends \[N\]: all the change of [`couple`] from station to station.
#[must_use]
pub fn composite_shear(along: &[BarForces], timber: &Timber) -> f64 {
    along.windows(2).map(|w| (couple(&w[1], timber) - couple(&w[0], timber)).abs()).sum()
}

/// What crosses one member under a combination.
#[must_use]
pub fn combined(cases: &[Vec<Transfer>], combination: &Combination, member: usize) -> Transfer {
    let mut sum = Transfer::default();
    for &(case, factor) in &combination.terms {
        let one = cases[case.0][member];
        sum.along += factor * one.along;
        sum.through += factor * one.through;
        sum.opening += factor * one.opening;
        sum.through_at_one += factor * one.through_at_one;
        sum.opening_at_one += factor * one.opening_at_one;
    }
    sum
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::loads::{Action, CaseKind, Inlet, PanelLoad};
    use crate::shell::ask::{Form, MeshAsk, ShellAsk};

    /// Two triangles over the line x = 0, 2 m long and 0.4 m up, falling to x = ±2; turned about z and as far along x \[rad\].
    fn tent(turned: f64) -> Shell {
        let (sin, cos) = turned.sin_cos();
        let points =
            [("a", 0.0, -1.0, 0.4), ("b", 0.0, 1.0, 0.4), ("c", -2.0, 0.0, 0.0), ("d", 2.0, 0.0, 0.0)];
        // Off the axis, as two halves about it round alike.
        let at = |x: f64, y: f64, z: f64| Vec3::new(x * cos - y * sin + turned, x * sin + y * cos, z);
        let mesh = MeshAsk {
            joints: points.iter().map(|p| (p.0.to_owned(), at(p.1, p.2, p.3))).collect(),
            panels: vec![("p".into(), vec![0, 1, 2]), ("q".into(), vec![1, 0, 3])],
            feet: vec![2, 3],
            ..MeshAsk::default()
        };
        crate::shell::build(&ShellAsk { form: Form::Mesh(mesh), openings: Vec::new(), mend: true }).unwrap()
    }

    fn case(panels: Vec<PanelLoad>) -> Case {
        Case {
            name: "a test".into(),
            kind: CaseKind::User,
            action: Action::Permanent,
            inlet: Inlet::Shut,
            panels,
            members: Vec::new(),
            joints: Vec::new(),
            asked: Vec3::zeros(),
            remarks: Vec::new(),
            provisional: Vec::new(),
        }
    }

    /// Rounding has a direction, and a direction alone can want the distance of a loaded edge.
    #[test]
    fn what_rounding_leaves_of_equal_loads_is_nothing() {
        let mut rounded = 0;
        for step in 0..40 {
            let shell = tent(0.13 * f64::from(step));
            let shares = EdgeShares::new(&shell);
            let down = |panel| PanelLoad { panel: PanelId(panel), traction: Vec3::new(0.0, 0.0, -1000.0) };
            let found = transfers(&shell, &shares, &[case(vec![down(0), down(1)])]);
            assert!(found[0].iter().all(|one| *one == Transfer::default()), "{found:?}");
            let seam = shell.members.iter().position(|m| m.panels.len() == 2).unwrap();
            let area = |panel| shares.areas(PanelId(panel)).find(|(member, _)| member.0 == seam).unwrap().1;
            rounded += usize::from(area(0).to_bits() != area(1).to_bits());
        }
        assert!(rounded > 0, "no turn rounds the two panels apart: nothing was tried");
    }

    /// Hand figures: the inradius of a panel is 2·2.0396/(2 + 2·2.2716) = 0.62342 m, so 0.62342 m² of each reaches the
    /// 2 m of the seam. 1 kN/m² down on one panel alone: half of 623 N crosses through the shell. The same on both:
    /// nothing. 1 kN/m² of suction on both: each pulls its strip away with 623 N × sin of half the fold (0.4/√4.16).
    #[test]
    fn what_crosses_is_half_the_difference_of_the_panels_loads() {
        let shell = tent(0.0);
        let seam = shell.members.iter().position(|m| m.panels.len() == 2).unwrap();
        let area = 0.623_42;
        let shares = EdgeShares::new(&shell);
        let down = |panel: usize| PanelLoad { panel: PanelId(panel), traction: Vec3::new(0.0, 0.0, -1000.0) };
        let out = |panel: usize| PanelLoad {
            panel: PanelId(panel),
            traction: shell.area_vector(PanelId(panel)).normalize() * 1000.0,
        };
        let cases = [
            case(vec![down(0)]),
            case(vec![down(0), down(1)]),
            case(vec![out(0), out(1)]),
            case(vec![PanelLoad { panel: PanelId(1), traction: Vec3::new(0.0, 300.0, 0.0) }]),
        ];
        let found = transfers(&shell, &shares, &cases);
        let at = |case: usize| found[case][seam];
        assert!((at(0).through.abs() - 500.0 * area).abs() < 0.01, "{:?}", at(0));
        assert!(at(0).along.abs() < 1e-9 && at(0).opening.abs() < 1e-9);
        assert!(at(1).through.abs() < 1e-9);
        assert!((at(2).opening - 1000.0 * area * 0.4 / 4.16_f64.sqrt()).abs() < 0.01, "{:?}", at(2));
        assert!(at(2).through.abs() < 1e-9);
        assert!((at(3).along.abs() - 150.0 * area).abs() < 0.01, "{:?}", at(3));
        // 400 N on 0.2 m of one strip: half of it crosses; on both strips alike nothing does.
        let on_strip = |panel| MemberLoad {
            member: MemberId(seam),
            span: [0.3, 0.5],
            intensity: [Vec3::new(0.0, 0.0, -2000.0); 2],
            panel,
        };
        for (panel, through) in [(Some(PanelId(0)), -200.0), (Some(PanelId(1)), 200.0), (None, 0.0)] {
            let panel = panel.map(|PanelId(p)| shell.members[seam].panels[p]);
            let one = Case { members: vec![on_strip(panel)], ..case(Vec::new()) };
            let found = transfers(&shell, &shares, std::slice::from_ref(&one))[0][seam];
            let spots = spots(&shell, &[case(Vec::new()), one]);
            assert!(
                spots
                    .iter()
                    .enumerate()
                    .all(|(m, list)| list.len() == usize::from(m == seam && panel.is_some()))
            );
            for Spot { case, place, half: [across, through] } in &spots[seam] {
                assert!(*case == 1 && (place - 0.4).abs() < 1e-12);
                assert!(across.abs() < 1e-9 && (through + 200.0).abs() < 1e-9, "{across} {through}");
            }
            assert!(
                (found.through_at_one - through).abs() < 1e-9 && found.along.abs() < 1e-9,
                "{panel:?} {found:?}"
            );
            assert!(found.through.abs() < 1e-12, "the other fixings have none of it");
        }
        // Edges of one panel alone pass nothing.
        for (one, member) in found[0].iter().zip(&shell.members) {
            assert!(member.panels.len() == 2 || *one == Transfer::default());
        }
    }

    /// Two strips 47 × 95 mm as one: of 1 kN·m the strips' own bending takes 2·1³/2³ = ¼, and a couple 47 mm apart ¾, which is
    /// 0.75/0.047 = 15.957 kN. Up to it, down past zero and back shears the seam by all the changes.
    #[test]
    fn composite_action_shears_the_seam() {
        use crate::section::strip::{strip, together};
        let one = strip(0.047, 0.095, 0.0, false).unwrap();
        let timber = |composite: f64| Timber {
            strip: one,
            count: 2,
            whole: together(&one, 2, composite),
            bevel: 0.0,
            parted: true,
        };
        let at = |mz: f64| BarForces { mz, n: -300.0, ..BarForces::default() };
        let along = [at(0.0), at(600.0), at(1000.0), at(-200.0), at(0.0)];
        let force = 0.75 / 0.047 * 1e3;
        assert!((couple(&at(1000.0), &timber(1.0)) - force).abs() < 1e-6 * force);
        let shear = composite_shear(&along, &timber(1.0));
        assert!((shear - force * (1.0 + 1.2 + 0.2)).abs() < 1e-6 * force, "{shear}");
        assert!(composite_shear(&along, &timber(0.0)).abs() < 1e-9);
        // Ripped to 15° a side the strips are 47 − 95·tan 15° = 21.5 mm at the narrow edge, 34.3 mm apart, as their stiffness has them.
        let ripped = strip(0.047, 0.095, 0.524, true).unwrap();
        let whole = together(&ripped, 2, 1.0);
        let pitch = ripped.area / ripped.depth;
        let force = 1e3 * (1.0 - 2.0 * ripped.second_moment_z / whole.second_moment_z) / pitch;
        let found = couple(&at(1000.0), &Timber { strip: ripped, count: 2, whole, bevel: 0.0, parted: true });
        assert!(
            (found - force).abs() < 1e-9 * force && (pitch - 0.0343).abs() < 1e-4,
            "{found} {force} {pitch}"
        );
    }

    /// Solid rows of n strips of breadth b: M S/I over the joint nearest the middle, S the first moment of the strips on one side and
    /// I = (n b)³/12 for unit depth. S is n²/8, or (n² − 1)/8, times b²: M S/I = 12/n³ × that, in M/b: 2: 6/8, 3: 12/27, 4: 24/64, 5: 36/125,
    /// 6: 54/216. At the end as between the ends.
    #[test]
    fn the_shear_is_that_of_all_strips_on_one_side() {
        use crate::section::strip::{strip, together};
        let one = strip(0.047, 0.095, 0.0, false).unwrap();
        let hand = [(2, 6.0 / 8.0), (3, 12.0 / 27.0), (4, 24.0 / 64.0), (5, 36.0 / 125.0), (6, 54.0 / 216.0)];
        for (count, part) in hand {
            let timber =
                Timber { strip: one, count, whole: together(&one, count, 1.0), bevel: 0.0, parted: true };
            let at = |mz: f64| BarForces { mz, n: -300.0, ..BarForces::default() };
            let force = part * 100.0 / 0.047;
            for sign in [1.0, -1.0] {
                let found = couple(&at(sign * 100.0), &timber);
                assert!((found - sign * force).abs() < 1e-9 * force, "{count}: {found} for {force}");
            }
            let shear = composite_shear(&[at(0.0), at(100.0), at(0.0)], &timber);
            assert!((shear - 2.0 * force).abs() < 1e-9 * force, "{count}: {shear}");
        }
        let alone = Timber { strip: one, count: 1, whole: one, bevel: 0.0, parted: true };
        assert!(couple(&BarForces { mz: 100.0, ..BarForces::default() }, &alone).abs() < 1e-12);
    }
}
