//! The finished timbers: distinct strips and distinct panels, for the saw and the jig.
//!
//! Everything is sorted into classes first (lengths, angles and folds that differ by rounding only share a
//! class), then kinds are compared class by class. Equal length does not mean equal bevel, so both count.

use crate::shell::fold::{Bend, bend};
use crate::shell::net::size_of;
use crate::shell::order::classes;
use crate::shell::{MemberId, MemberKind, PanelId, Role, Shell};
use crate::vector::Vec3;
use std::cmp::Reverse;
use std::collections::BTreeMap;
use std::f64::consts::FRAC_PI_2;

/// Lengths within this share of the shell's size are one length. Fine spheres have lengths that differ by
/// 3 in 100 000 of the radius, so it must be well under 1e-5.
pub const SAME_LENGTH: f64 = 1e-6;

/// Angles within this \[rad\] are one angle.
pub const SAME_ANGLE: f64 = 1e-6;

/// Above this mass a panel is for two people to lift \[kg\].
///
/// Source: the guideline figure of the UK Health and Safety Executive for a man lifting close to the body
/// at waist height (*Manual handling at work*, leaflet INDG143; from memory). It is common guidance, no
/// limit, and lower for most other people and postures.
pub const TWO_PEOPLE_MASS: f64 = 25.0;

/// Left, right, or the same as its mirror image.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Hand {
    /// Its own mirror image.
    Either,
    /// Left hand.
    Left,
    /// Right hand: the mirror image of the left.
    Right,
}

/// A kind of strip: all that are cut alike.
#[derive(Debug, Clone, PartialEq)]
pub struct StripKind {
    /// The part it plays.
    pub role: Role,
    /// Of a seam, a rim, or a bar.
    pub of: MemberKind,
    /// Between joints, which is along the seam side of the outermost strip on the outside face \[m\].
    pub between: f64,
    /// Which strip of its side it is, from the edge inward: 0 along the seam or rim, 1 beside that one, …
    pub row: usize,
    /// Half the fold angle, to which its seam side is ripped \[rad\]: positive at a ridge (the inside face is
    /// the narrow one), negative in a valley (the outside face is), 0 square. Only the first of a side is ripped.
    pub bevel: f64,
    /// That of the first strip of the side.
    pub first_bevel: f64,
    /// Angles between its end cuts and its length \[rad\], each half the panel's corner, so that the panel's
    /// strips meet in mitres; the sharper first. A quarter turn is a square end, which bars are given: they
    /// are cut to suit. The cuts stand square to the panel.
    pub end_cuts: [f64; 2],
    /// A bevelled strip with unlike ends has a hand: left where, seen from outside with the panel to its
    /// left, the end it runs toward has the blunter cut. Turned over, an unbevelled strip is its own mirror
    /// image.
    pub hand: Hand,
    /// How many.
    pub count: usize,
    /// How far it runs past the seam side of a neighbour in its panel on the inside face, for each metre of
    /// depth; the most at any of its ends, 0 where it does not. The mitre stands square to the panel, so of two
    /// strips that meet in a corner the one with less bevel sticks out by the difference of the tangents.
    pub past: f64,
    /// The members that have such strips, in order, each as often as it has one.
    pub members: Vec<MemberId>,
    /// The sides of panels that have one, in order: panel and number of the side.
    pub sides: Vec<(PanelId, usize)>,
}

impl StripKind {
    /// What both mitres take of its length for each metre that lies further inside.
    fn mitres(&self) -> f64 {
        self.end_cuts.iter().map(|angle| angle.tan().recip()).sum()
    }

    /// Its long edge on the outside face \[m\]: between joints along the seam or rim; further inside the mitres have taken
    /// what the strips before it are broad.
    #[must_use]
    pub fn length(&self, breadth: f64, depth: f64) -> f64 {
        let before = match self.row {
            0 => 0.0,
            // The outside face of a valley strip is the narrow one.
            row => row as f64 * breadth - depth * (-self.first_bevel).tan().max(0.0),
        };
        self.between - before * self.mitres()
    }

    /// From long point to long point on its wide face \[m\]: that of a valley strip is the inside one, which reaches past the
    /// line between the joints.
    #[must_use]
    pub fn long_point(&self, breadth: f64, depth: f64) -> f64 {
        self.length(breadth, depth) + depth * (-self.bevel).tan().max(0.0) * self.mitres()
    }

    /// Its inner edge on the outside face \[m\]; not positive where the mitres meet before it and it cannot be cut.
    #[must_use]
    pub fn inner_edge(&self, breadth: f64, depth: f64) -> f64 {
        let narrower = if self.bevel < 0.0 { depth * self.bevel.tan() } else { 0.0 };
        self.length(breadth, depth) - (breadth + narrower) * self.mitres()
    }

    /// Mean length of a strip `breadth` broad after its ends are cut \[m\], for its mass.
    #[must_use]
    pub fn mean_length(&self, breadth: f64, depth: f64) -> f64 {
        (self.length(breadth, depth) - 0.5 * breadth * self.mitres()).max(0.0)
    }

    /// Ridge, valley or flat.
    #[must_use]
    pub fn bend(&self) -> Bend {
        bend(2.0 * self.bevel)
    }
}

/// A kind of panel: all that come from one jig.
#[derive(Debug, Clone, PartialEq)]
pub struct PanelKind {
    /// Lengths of its sides \[m\], anticlockwise seen from outside, from a shortest one on.
    pub sides: Vec<f64>,
    /// Its corners \[rad\]; the first between the last side and the first.
    pub corners: Vec<f64>,
    /// Left, right or its own mirror image, by sides and corners (and folds where they count).
    pub hand: Hand,
    /// Fold angle along each side \[rad\], of the first panel of the kind.
    pub folds: Vec<f64>,
    /// Area \[m²\].
    pub area: f64,
    /// The panels, in order.
    pub panels: Vec<PanelId>,
    /// Which side of each of them comes first in that order of sides.
    pub starts: Vec<usize>,
}

/// Whether panels of equal shape but unlike bevels are one kind.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Likeness {
    /// Sides and corners count.
    Shape,
    /// Sides, corners and fold angles count: equal as finished frames.
    Finished,
}

/// The values of a shell sorted into classes.
struct Classed<'a> {
    shell: &'a Shell,
    /// Members along each panel's sides.
    sides: Vec<Vec<MemberId>>,
    /// Class of each member's length and of its fold.
    length: Vec<usize>,
    fold: Vec<usize>,
    /// Corner angles of each panel, and their classes.
    corner: Vec<Vec<f64>>,
    corner_class: Vec<Vec<usize>>,
}

impl<'a> Classed<'a> {
    fn new(shell: &'a Shell) -> Classed<'a> {
        let points: Vec<Vec3> = shell.joints.iter().map(|joint| joint.at).collect();
        let size = size_of(&points);
        let mut by_ends = BTreeMap::new();
        for (number, member) in shell.members.iter().enumerate() {
            if member.kind != MemberKind::Bar {
                let [a, b] = member.joints;
                by_ends.insert((a.min(b), a.max(b)), MemberId(number));
            }
        }
        let sides = shell
            .panels
            .iter()
            .map(|panel| {
                let count = panel.joints.len();
                (0..count)
                    .filter_map(|i| {
                        let (a, b) = (panel.joints[i], panel.joints[(i + 1) % count]);
                        by_ends.get(&(a.min(b), a.max(b))).copied()
                    })
                    .collect()
            })
            .collect();
        let corner: Vec<Vec<f64>> = shell
            .panels
            .iter()
            .map(|panel| {
                let at: Vec<Vec3> = panel.joints.iter().map(|&joint| shell.at(joint)).collect();
                let count = at.len();
                (0..count)
                    .map(|i| {
                        let (back, on) = (at[(i + count - 1) % count] - at[i], at[(i + 1) % count] - at[i]);
                        on.cross(&back).norm().atan2(on.dot(&back))
                    })
                    .collect()
            })
            .collect();
        let flat: Vec<f64> = corner.iter().flatten().copied().collect();
        let mut flat_class = classes(&flat, SAME_ANGLE).into_iter();
        let corner_class =
            corner.iter().map(|angles| flat_class.by_ref().take(angles.len()).collect()).collect();
        let lengths: Vec<f64> = (0..shell.members.len()).map(|at| shell.length(MemberId(at))).collect();
        let folds: Vec<f64> = shell.members.iter().map(|member| member.fold).collect();
        Classed {
            shell,
            sides,
            length: classes(&lengths, SAME_LENGTH * size),
            fold: classes(&folds, SAME_ANGLE),
            corner,
            corner_class,
        }
    }
}

/// What makes two strips one kind: role, kind of member, row, classes of length, fold and end cuts, hand.
type StripKey = (Role, MemberKind, usize, usize, usize, [usize; 2], Hand);

/// Strips of a member where nothing else is said: two to a seam, one to a rim or bar, or as many as an opening asks for in
/// its rim.
#[must_use]
pub fn usual_strips(shell: &Shell, member: MemberId) -> usize {
    let usual = if shell.members[member.0].kind == MemberKind::Seam { 2 } else { 1 };
    shell.rim_strips(member).unwrap_or(usual)
}

/// How many of a member's strips one of its panels has: half of a seam's, and of an odd number one more on its left.
#[must_use]
pub fn strips_on_side(shell: &Shell, member: MemberId, panel: PanelId, strips: usize) -> usize {
    let member = &shell.members[member.0];
    match member.kind {
        MemberKind::Seam if member.panels.first() == Some(&panel) => strips.div_ceil(2),
        MemberKind::Seam => strips / 2,
        MemberKind::Rim | MemberKind::Bar => strips,
    }
}

/// All strips of a shell by kind, longest first within each role. `bevelled` says whether their sides are
/// ripped to half the fold, `strips` how many a member has.
#[must_use]
pub fn strip_kinds(shell: &Shell, bevelled: bool, strips: impl Fn(MemberId) -> usize) -> Vec<StripKind> {
    let classed = Classed::new(shell);
    let mut kinds: BTreeMap<StripKey, StripKind> = BTreeMap::new();
    let mut take = |key: StripKey, strip: StripKind| {
        let kind = kinds.entry(key).or_insert_with(|| StripKind {
            count: 0,
            members: Vec::new(),
            sides: Vec::new(),
            ..strip.clone()
        });
        kind.count += strip.count;
        kind.past = kind.past.max(strip.past);
        kind.members.extend(strip.members);
        kind.sides.extend(strip.sides);
    };
    let bevel_of = |id: MemberId| if bevelled { 0.5 * shell.members[id.0].fold } else { 0.0 };
    for (panel, members) in classed.sides.iter().enumerate() {
        let count = members.len();
        for (i, &id) in members.iter().enumerate() {
            let member = &shell.members[id.0];
            let first_bevel = bevel_of(id);
            let fold_class = if bevelled { classed.fold[id.0] } else { 0 };
            let ends = [i, (i + 1) % count];
            let cuts = ends.map(|end| 0.5 * classed.corner[panel][end]);
            let cut_classes = ends.map(|end| classed.corner_class[panel][end]);
            // Mirror images and turned-over strips are looked up with the sharper end first.
            let (end_cuts, end_classes) = if cut_classes[0] <= cut_classes[1] {
                (cuts, cut_classes)
            } else {
                ([cuts[1], cuts[0]], [cut_classes[1], cut_classes[0]])
            };
            let neighbours = [members[(i + count - 1) % count], members[(i + 1) % count]];
            let past = neighbours.map(|other| bevel_of(other).tan() - first_bevel.tan());
            for row in 0..strips_on_side(shell, id, PanelId(panel), strips(id)) {
                let bevel = if row == 0 { first_bevel } else { 0.0 };
                let hand = match cut_classes[0].cmp(&cut_classes[1]) {
                    _ if bend(2.0 * bevel) == Bend::Flat => Hand::Either,
                    std::cmp::Ordering::Less => Hand::Left,
                    std::cmp::Ordering::Equal => Hand::Either,
                    std::cmp::Ordering::Greater => Hand::Right,
                };
                take(
                    (member.role, member.kind, row, classed.length[id.0], fold_class, end_classes, hand),
                    StripKind {
                        role: member.role,
                        of: member.kind,
                        between: shell.length(id),
                        row,
                        bevel,
                        first_bevel,
                        end_cuts,
                        hand,
                        count: 1,
                        past: if row == 0 { past[0].max(past[1]).max(0.0) } else { 0.0 },
                        members: vec![id],
                        sides: vec![(PanelId(panel), i)],
                    },
                );
            }
        }
    }
    for (number, member) in shell.members.iter().enumerate() {
        if member.kind == MemberKind::Bar {
            let id = MemberId(number);
            take(
                (member.role, member.kind, 0, classed.length[number], 0, [0; 2], Hand::Either),
                StripKind {
                    role: member.role,
                    of: member.kind,
                    between: shell.length(id),
                    row: 0,
                    bevel: 0.0,
                    first_bevel: 0.0,
                    end_cuts: [FRAC_PI_2; 2],
                    hand: Hand::Either,
                    count: strips(id),
                    past: 0.0,
                    members: vec![id],
                    sides: Vec::new(),
                },
            );
        }
    }
    // By role, then longest first; equal lengths stay in the order of fold, cuts and hand.
    let mut kinds: Vec<_> = kinds.into_iter().collect();
    kinds.sort_by_key(|((role, of, row, length, ..), _)| (*role, *of, *row, Reverse(*length)));
    kinds.into_iter().map(|(_, kind)| kind).collect()
}

/// All panels of a shell by kind, largest first.
#[must_use]
pub fn panel_kinds(shell: &Shell, likeness: Likeness) -> Vec<PanelKind> {
    let classed = Classed::new(shell);
    let mut kinds: BTreeMap<(Vec<[usize; 3]>, Hand), PanelKind> = BTreeMap::new();
    for (number, members) in classed.sides.iter().enumerate() {
        let count = members.len();
        let fold = |at: usize| match likeness {
            Likeness::Shape => 0,
            Likeness::Finished => classed.fold[members[at].0],
        };
        let length = |at: usize| classed.length[members[at].0];
        let corner = |at: usize| classed.corner_class[number][at % count];
        // Round the panel as it is, and round its mirror image: sides in the other order, each corner
        // before the side that it now starts.
        let forward: Vec<[usize; 3]> = (0..count).map(|i| [length(i), corner(i), fold(i)]).collect();
        let mirrored: Vec<[usize; 3]> =
            (0..count).rev().map(|i| [length(i), corner(i + 1), fold(i)]).collect();
        let (this, start) = first_turn(&forward);
        let (image, _) = first_turn(&mirrored);
        let (key, hand) = match this.cmp(&image) {
            std::cmp::Ordering::Less => (this, Hand::Left),
            std::cmp::Ordering::Equal => (this, Hand::Either),
            std::cmp::Ordering::Greater => (image, Hand::Right),
        };
        let id = PanelId(number);
        let kind = kinds.entry((key, hand)).or_insert_with(|| {
            let turned = (0..count).map(|i| (start + i) % count);
            PanelKind {
                sides: turned.clone().map(|i| shell.length(members[i])).collect(),
                corners: turned.clone().map(|i| classed.corner[number][i]).collect(),
                hand,
                folds: turned.map(|i| shell.members[members[i].0].fold).collect(),
                area: classed.shell.area_vector(id).norm(),
                panels: Vec::new(),
                starts: Vec::new(),
            }
        });
        kind.panels.push(id);
        kind.starts.push(start);
    }
    let kinds: Vec<PanelKind> = kinds.into_values().collect();
    let areas: Vec<f64> = kinds.iter().map(|kind| kind.area).collect();
    let largest = areas.iter().copied().fold(0.0, f64::max);
    let area_classes = classes(&areas, SAME_LENGTH * largest);
    let mut order: Vec<usize> = (0..kinds.len()).collect();
    order.sort_by_key(|&i| (Reverse(area_classes[i]), i));
    order.into_iter().map(|i| kinds[i].clone()).collect()
}

/// The turning of a cycle that comes first in order, and where it starts.
fn first_turn(cycle: &[[usize; 3]]) -> (Vec<[usize; 3]>, usize) {
    (0..cycle.len())
        .map(|start| {
            let mut turned = cycle.to_vec();
            turned.rotate_left(start);
            (turned, start)
        })
        .min()
        .unwrap_or_default()
}
