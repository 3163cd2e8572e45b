//! What shuts an opening (a door, a window, a skylight), and what it carries to the timbers round it.
//!
//! The panels that the opening took stand for its leaf: it is loaded as they would be. A leaf hangs in the timbers round the
//! opening, so that every point of it goes to the nearest place of that rim, and nothing to the ground that it may stop
//! at (own reading). Forces keep their size and direction; that the rim lies a little off the leaf is left out.

use crate::loads::edge_share::{EdgeShares, Stretch};
use crate::loads::{Case, PanelLoad};
use crate::shell::{Joint, JointId, MemberId, Opening, Panel, PanelId, Shell};
use crate::vector::Vec3;

/// Into how many parts a leaf's triangles are cut along a side.
const PARTS: usize = 30;

/// Into how many stretches a timber of the rim is parted, each with a load that varies linearly: the places at which timbers are looked at
/// anyway.
const STRETCHES: usize = 4;

/// A shell with its openings shut.
pub(crate) struct Shut {
    /// The shell, and behind its own panels those that stand for leaves; their corners are joints behind its own.
    pub(crate) shell: Shell,
    /// Panels of the shell itself.
    own: usize,
    /// By panel behind those: the opening that it shuts.
    opening: Vec<usize>,
    shares: EdgeShares,
}

impl Shut {
    pub(crate) fn new(shell: &Shell) -> Self {
        let own = shell.panels.len();
        let mut shut = shell.clone();
        let (mut opening, mut shares) = (Vec::new(), vec![Vec::new(); own]);
        for (number, one) in shell.openings.iter().enumerate() {
            if !has_leaf(one) {
                continue;
            }
            for (name, outline) in one.panels.iter().zip(&one.outlines) {
                let first = shut.joints.len();
                let corner = |at: &Vec3| Joint { name: String::new(), at: *at, foot: false };
                shut.joints.extend(outline.iter().map(corner));
                let joints = (first..shut.joints.len()).map(JointId).collect();
                shut.panels.push(Panel { name: name.clone(), joints, turned: false });
                shares.push(stretches(shell, one, outline));
                opening.push(number);
            }
        }
        Self { shell: shut, own, opening, shares: EdgeShares::of(shares) }
    }

    /// The opening that a panel shuts; `None` of the shell's own panels.
    fn of(&self, panel: PanelId) -> Option<usize> {
        panel.0.checked_sub(self.own).map(|leaf| self.opening[leaf])
    }

    /// Whether a panel stands for a leaf.
    pub(crate) fn is_leaf(&self, panel: PanelId) -> bool {
        self.of(panel).is_some()
    }

    /// Whether a panel stands for the leaf of an opening, by its number; of `None` no panel does.
    pub(crate) fn shuts(&self, panel: PanelId, opening: Option<usize>) -> bool {
        opening.is_some() && self.of(panel) == opening
    }

    /// Takes the loads on leaves to the timbers that they hang in.
    pub(crate) fn hung(&self, mut case: Case) -> Case {
        let (own, leaves): (Vec<PanelLoad>, Vec<PanelLoad>) =
            case.panels.iter().partition(|load| self.of(load.panel).is_none());
        if leaves.is_empty() {
            return case;
        }
        for (number, one) in self.shell.openings.iter().enumerate() {
            if leaves.iter().any(|load| self.of(load.panel) == Some(number)) {
                case.remarks.push(format!(
                    "on what shuts opening {}, {:.2} m², as on the panels that it stands for: to the timbers round it",
                    number + 1,
                    one.area()
                ));
            }
        }
        case.members.extend(self.shares.share(&leaves));
        case.panels = own;
        case
    }
}

/// Whether something shuts an opening and hangs in its rim.
pub(crate) fn has_leaf(opening: &Opening) -> bool {
    opening.leaf && !opening.rim.is_empty()
}

/// What of a panel each stretch of the rim carries: a width that keeps its area and where along the timber that lies on the mean.
fn stretches(shell: &Shell, opening: &Opening, outline: &[Vec3]) -> Vec<Stretch> {
    let mut taken = vec![[[0.0; 2]; STRETCHES]; opening.rim.len()];
    for pair in outline[1..].windows(2) {
        let [a, b, c] = [outline[0], pair[0], pair[1]];
        let area = 0.5 * (b - a).cross(&(c - a)).norm() / (PARTS * PARTS) as f64;
        for middle in middles() {
            let at = a + (b - a) * middle[0] + (c - a) * middle[1];
            let places = nearest(shell, &opening.rim, &at);
            // What is as near to one timber as to another, as by their corner, goes to both alike.
            let area = area / places.len().max(1) as f64;
            for (rim, along) in places {
                let length = shell.length(opening.rim[rim]) / STRETCHES as f64;
                for (stretch, share) in in_stretch(along / length) {
                    taken[rim][stretch][0] += area * share;
                    taken[rim][stretch][1] += area * share * (along - stretch as f64 * length);
                }
            }
        }
    }
    let mut stretches = Vec::new();
    for (&member, taken) in opening.rim.iter().zip(&taken) {
        let length = shell.length(member) / STRETCHES as f64;
        for (number, &[area, moment]) in taken.iter().enumerate().filter(|(_, [area, _])| *area > 0.0) {
            // L·(w0 + w1)/2 is the area, L²·(w0 + 2·w1)/6 its moment about the start.
            let end = 6.0 * moment / (length * length) - 2.0 * area / length;
            let width = [2.0 * area / length - end, end];
            let start = number as f64 * length;
            stretches.push(Stretch { member, span: [start, start + length], width });
        }
    }
    stretches
}

/// Middles of equal parts of a triangle, as shares of two of its sides.
fn middles() -> impl Iterator<Item = [f64; 2]> {
    let part = 1.0 / PARTS as f64;
    (0..PARTS).flat_map(move |i| {
        (0..PARTS - i).flat_map(move |j| {
            let third =
                |k: usize, l: usize, of: f64| [(k as f64 + of / 3.0) * part, (l as f64 + of / 3.0) * part];
            let turned = (i + j + 1 < PARTS).then(|| third(i, j, 2.0));
            std::iter::once(third(i, j, 1.0)).chain(turned)
        })
    })
}

/// Points this much nearer to one timber than to another are as near to both, relative to the timbers' lengths: rounding.
const AS_NEAR: f64 = 1e-9;

/// The stretches that a place lies in, counted in their lengths from the first joint, and its share in each: half in either where it
/// lies between two.
fn in_stretch(at: f64) -> impl Iterator<Item = (usize, f64)> {
    let last = STRETCHES - 1;
    let [before, after] = [at - AS_NEAR, at + AS_NEAR].map(|at| (at.max(0.0) as usize).min(last));
    let share = if before == after { 1.0 } else { 0.5 };
    [before, after].into_iter().take(if before == after { 1 } else { 2 }).map(move |stretch| (stretch, share))
}

/// The members of a rim nearest to a point, by position, and how far along them the nearest place is \[m\].
fn nearest(shell: &Shell, rim: &[MemberId], point: &Vec3) -> Vec<(usize, f64)> {
    let places: Vec<(f64, usize, f64)> = rim
        .iter()
        .enumerate()
        .map(|(number, &member)| {
            let [from, to] = shell.members[member.0].joints.map(|joint| shell.at(joint));
            let length = (to - from).norm();
            let along = ((point - from).dot(&(to - from)) / length).clamp(0.0, length);
            let off = (point - from - (to - from) * (along / length)).norm();
            (off, number, along)
        })
        .collect();
    let least = places.iter().map(|place| place.0).fold(f64::INFINITY, f64::min);
    let near = |off: f64, number: usize| off <= least + AS_NEAR * shell.length(rim[number]);
    places.into_iter().filter(|p| near(p.0, p.1)).map(|(_, number, along)| (number, along)).collect()
}

#[cfg(test)]
mod tests {
    use std::f64::consts::{FRAC_PI_2, PI};

    use super::*;
    use crate::loads::ask::{AsceEdition, CoverAsk, DoorAsk, Given, LoadsAsk};
    use crate::loads::ask::{PatternLoad, UserRole};
    use crate::loads::audit::{audit, member_load};
    use crate::loads::combine::tests::everywhere;
    use crate::loads::test_shells::pyramid;
    use crate::loads::tests::{all, asce, eurocode, named, total};
    use crate::shell::ask::{Form, OpeningAsk, OpeningForm, ShellAsk, Up};

    fn dome(openings: Vec<OpeningAsk>) -> Shell {
        let form = Form::Dome { radius: 2.5, frequency: 4, up: Up::Vertex, base: 0.0 };
        crate::shell::build(&ShellAsk { form, openings, mend: false }).unwrap()
    }

    fn door(facing: f64, leaf: bool) -> OpeningAsk {
        let form = OpeningForm::Door { width: 0.9, height: 1.5, facing };
        OpeningAsk { form, rim_strips: 2, sill: false, leaf }
    }

    fn skylight(panel: &str) -> OpeningAsk {
        OpeningAsk { form: OpeningForm::Panels(vec![panel.into()]), rim_strips: 1, sill: false, leaf: true }
    }

    /// A door in the middle of a mirror image loads its rim alike on either side, whichever way it faces.
    #[test]
    fn a_door_hangs_alike_on_either_side() {
        let shell = dome(vec![door(0.0, true)]);
        let shut = Shut::new(&shell);
        let mut case =
            Case::empty("own".into(), crate::loads::CaseKind::User, crate::loads::Action::Variable);
        let traction = Vec3::new(0.0, 0.0, -100.0);
        case.panels.extend(
            (shell.panels.len()..shut.shell.panels.len()).map(|p| PanelLoad { panel: PanelId(p), traction }),
        );
        let found = shut.hung(case);
        let middle = |member: MemberId| {
            let [a, b] = shell.members[member.0].joints.map(|joint| shell.at(joint));
            0.5 * (a + b)
        };
        let on = |place: Vec3| -> f64 {
            let there = found.members.iter().filter(|load| (middle(load.member) - place).norm() < 1e-6);
            there.map(|load| member_load(&shell, load).0.z).sum()
        };
        assert!(shell.openings[0].rim.len() > 4);
        for &member in &shell.openings[0].rim {
            let place = middle(member);
            let (one, other) = (on(place), on(Vec3::new(place.x, -place.y, place.z)));
            assert!((one - other).abs() < 1e-9 * (1.0 + one.abs()), "{one} {other}");
        }
    }

    /// A pane of one panel loads its three timbers as the panel would by the nearest edge, to within the size of the parts it is cut
    /// into: force by force, and in its moment about the origin.
    #[test]
    fn a_pane_of_one_panel_loads_its_rim_as_the_panel_did() {
        let whole = dome(Vec::new());
        let glazed = dome(vec![skylight("p40")]);
        let traction = Vec3::new(30.0, -20.0, -100.0);
        let at = |name: &str| whole.panels.iter().position(|panel| panel.name == name).map(PanelId);
        let panel = at("p40").unwrap();
        let wanted = EdgeShares::new(&whole).share(&[PanelLoad { panel, traction }]);
        let shut = Shut::new(&glazed);
        let leaf = PanelId(glazed.panels.len());
        assert!(shut.is_leaf(leaf) && !shut.is_leaf(PanelId(0)));
        let mut case =
            Case::empty("own".into(), crate::loads::CaseKind::User, crate::loads::Action::Variable);
        case.panels.push(PanelLoad { panel: leaf, traction });
        let found = shut.hung(case);
        assert!(found.panels.is_empty() && found.remarks.len() == 1);
        let sum = |shell: &Shell, loads: &[crate::loads::MemberLoad]| {
            let each = loads.iter().map(|load| member_load(shell, load));
            each.fold((Vec3::zeros(), Vec3::zeros()), |sum, one| (sum.0 + one.0, sum.1 + one.1))
        };
        let (force, moment) = sum(&glazed, &found.members);
        let by_panel = sum(&whole, &wanted);
        assert!((force - by_panel.0).norm() < 1e-12 * force.norm());
        assert!((moment - by_panel.1).norm() < 2e-3 * moment.norm(), "{moment} {}", by_panel.1);
        let on_each = |shell: &Shell, loads: &[crate::loads::MemberLoad]| {
            let mut forces: Vec<f64> = (0..shell.members.len())
                .map(|m| {
                    sum(shell, &loads.iter().filter(|l| l.member == MemberId(m)).copied().collect::<Vec<_>>())
                        .0
                        .norm()
                })
                .filter(|force| *force > 0.0)
                .collect();
            forces.sort_by(f64::total_cmp);
            forces
        };
        let (found, wanted) = (on_each(&glazed, &found.members), on_each(&whole, &wanted));
        assert!(found.len() == 3 && wanted.len() == 3);
        for (a, b) in found.iter().zip(&wanted) {
            assert!((a / b - 1.0).abs() < 0.02, "{a} {b}");
        }
    }

    /// The middles of the parts are those of n² triangles alike: their mean is the middle of the whole.
    #[test]
    fn a_triangle_is_parted_evenly() {
        let all: Vec<[f64; 2]> = middles().collect();
        assert_eq!(all.len(), PARTS * PARTS);
        for side in 0..2 {
            let mean = all.iter().map(|at| at[side]).sum::<f64>() / all.len() as f64;
            assert!((mean - 1.0 / 3.0).abs() < 1e-12);
        }
        assert!(all.iter().all(|[a, b]| *a > 0.0 && *b > 0.0 && a + b < 1.0));
    }

    /// With door and skylight shut a shell carries in every case what it carried whole, by what is asked and by what reaches its
    /// timbers; without a leaf it carries less of the wind.
    #[test]
    fn a_shell_that_is_shut_carries_what_it_carried_whole() {
        let whole = dome(Vec::new());
        let pierced = dome(vec![door(0.0, true), skylight("p60")]);
        let bare = dome(vec![door(0.0, false)]);
        for mut ask in [eurocode(), asce(AsceEdition::Seven22)] {
            if let Given::Value(wind) = &mut ask.wind {
                wind.directions = vec![0.0];
            }
            let (found, wanted, less) = (all(&ask, &pierced), all(&ask, &whole), all(&ask, &bare));
            for case in found.iter().filter(|case| !case.name.contains("weight of")) {
                let [a, b] = [total(&pierced, case), total(&whole, named(&wanted, &case.name))];
                let audit = audit(&pierced, &EdgeShares::new(&pierced), case);
                assert!(audit.residual < 2e-3, "{}: {audit:?}", case.name);
                let open = case.name.contains("door open");
                let same = (a - b).norm() < 1e-9 * b.norm().max(1.0);
                assert!(same != open, "{}: {a} for {b}", case.name);
                if case.name.starts_with("wind from 0°") && !open {
                    assert!(
                        (total(&bare, named(&less, &case.name)) - b).norm() > 1e-3 * b.norm(),
                        "{}",
                        case.name
                    );
                }
            }
        }
    }

    /// The door that stands open is the one on the ground that faces the way that is said; where none does, every leaf bears its wind.
    #[test]
    fn the_door_that_is_open_is_the_one_that_faces_there() {
        let shell = dome(vec![door(0.0, true), door(PI, true), skylight("p100")]);
        let loaded = |facing: f64, name: &str| -> Vec<bool> {
            let mut ask = eurocode();
            if let Given::Value(wind) = &mut ask.wind {
                wind.door = DoorAsk::Facing(vec![facing]);
            }
            let cases = all(&ask, &shell);
            let said = |part: &str| named(&cases, name).remarks.iter().any(|words| words.contains(part));
            (1..=3).map(|number| said(&format!("shuts opening {number},"))).collect()
        };
        assert_eq!(loaded(0.3, "wind from 0°, door open"), [false, true, true]);
        assert_eq!(loaded(PI, "wind from 0°, door open"), [true, false, true]);
        assert_eq!(loaded(FRAC_PI_2, "wind from 0°, door open"), [true, true, true], "none faces there");
        assert_eq!(loaded(0.0, "wind from 0°, pressure inside"), [true, true, true]);
        let shut = Shut::new(&shell);
        assert!(!shut.shuts(PanelId(0), None) && !shut.shuts(PanelId(shell.panels.len()), None));
    }

    /// What the user lays on all of a shell lies on its doors and skylights too, as the snow of the code does.
    #[test]
    fn the_users_own_patterns_lie_on_leaves() {
        let mut ask = eurocode();
        let mut own = everywhere("own", UserRole::Variable([0.5, 0.2, 0.0]), 0.0);
        own.patterns[0].1 = PatternLoad::PerArea(100.0);
        ask.user = vec![own];
        let shell = dome(vec![skylight("p40")]);
        let cases = all(&ask, &shell);
        let own = cases.iter().find(|case| case.name == "own").unwrap();
        let panels: f64 = (0..shell.panels.len()).map(|p| shell.area_vector(PanelId(p)).norm()).sum();
        let door: f64 = shell.openings.iter().map(Opening::area).sum();
        assert!(door > 0.1 && (own.asked.z + 100.0 * (panels + door)).abs() < 1e-6 * own.asked.z.abs());
        assert!(!own.members.is_empty() && own.panels.iter().all(|load| load.panel.0 < shell.panels.len()));
    }

    /// A leaf weighs what the cover does, or what is entered, and a bare hole nothing.
    #[test]
    fn a_leaf_has_its_own_weight() {
        let cover = |leaf: Option<f64>, weight: f64, shell: &Shell| -> f64 {
            let cover = Given::Value(CoverAsk { weight, leaf, ..CoverAsk::default() });
            let ask = LoadsAsk { cover, ..eurocode() };
            let cases = all(&ask, shell);
            let covers = cases.iter().filter(|case| case.kind == crate::loads::CaseKind::Cover);
            covers.map(|case| -total(shell, case).z).sum()
        };
        let (shut, bare) = (dome(vec![door(0.0, true)]), dome(vec![door(0.0, false)]));
        let area = shut.openings[0].area();
        let left = cover(None, 90.0, &bare);
        let near = |a: f64, b: f64| (a - b).abs() < 1e-9 * b.max(1.0);
        assert!(near(cover(None, 90.0, &shut), left + 90.0 * area));
        assert!(near(cover(Some(200.0), 90.0, &shut), left + 200.0 * area));
        assert!(near(cover(Some(200.0), 0.0, &shut), 200.0 * area));
        assert!(near(cover(Some(200.0), 0.0, &bare), 0.0));
    }

    #[test]
    fn nothing_hangs_where_there_is_no_opening() {
        let shell = pyramid(2.0, 1.5);
        let shut = Shut::new(&shell);
        assert_eq!(shut.shell, shell);
    }
}
