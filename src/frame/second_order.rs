//! Second-order statics: equilibrium on the moved frame, small rotations, with an initial crookedness.
//!
//! K u + Kg(N)·(u + e) = F, N the axial forces of the answer itself, e the crookedness without stress
//! (a shape scaled by its amplitude); iterated until N stands still. N changes little from step to step, so that one
//! factor serves them all, each step correcting what the one before left over, unless they come to rest slowly. A
//! factor of K + Kg(N) at the end proves the answer stable: beyond the buckling load there are answers too.
//!
//! The bars' geometric stiffness is the consistent one, so both the sway of the nodes and the bow of bars between them
//! count; one bar a member is within 1 % up to 0.4 of its Euler load with rigid ends, several are better
//! (tests/published).

use faer::MatMut;

use crate::frame::assemble::Assembly;
use crate::frame::bar::Vector12;
use crate::frame::error::FrameError;
use crate::frame::factor::{Factor, NoFactor, Symbolic};
use crate::frame::linear::Solver;
use crate::frame::recover::Prepared;
use crate::frame::{Bar, EndFix, Frame, FrameLoads, Response, geometric, recover};

/// Steps allowed for the axial forces to settle.
const STEPS: usize = 50;
/// Change of the axial forces over the largest of them at which they count as settled.
const SETTLED: f64 = 1e-9;
/// Share of the change before at which a step is slow, and the next one has a factor of its own.
const SLOW: f64 = 0.3;
/// Corrections of the settled answer at most; each takes off what the factor's age leaves, a small share.
const CORRECTIONS: usize = 8;

/// Axial forces and crookedness that second-order forces are taken with.
#[derive(Debug, Clone, Copy)]
pub struct Moved<'a> {
    /// Axial force of every bar \[N\], tension positive.
    pub axial: &'a [f64],
    /// Crookedness of every node, or empty for none.
    pub crooked: &'a [[f64; 6]],
}

/// A second-order answer.
#[derive(Debug, Clone, PartialEq)]
pub struct SecondOrder {
    /// Movements (without the crookedness), forces in the axes of the frame as drawn, reactions.
    pub response: Response,
    /// Axial force of every bar \[N\] that the answer was made with.
    pub axial: Vec<f64>,
    /// Steps until the axial forces stood still.
    pub steps: usize,
}

/// A shape scaled so that its largest translation is `amplitude` \[m\].
#[must_use]
pub fn crookedness(shape: &[[f64; 6]], amplitude: f64) -> Vec<[f64; 6]> {
    let mut scaled = crate::frame::buckling::scaled(shape.to_vec());
    scaled.iter_mut().flatten().for_each(|v| *v *= amplitude);
    scaled
}

/// The frame with all its bars, links, folds and end springs softened by `factor` (design stiffness over mean
/// stiffness); springs to ground stay.
#[must_use]
pub fn softened(frame: &Frame, factor: f64) -> Frame {
    let mut soft = frame.clone();
    for Bar { section, ends, .. } in &mut soft.bars {
        section.elastic *= factor;
        section.shear *= factor;
        for end in ends {
            if let EndFix::Springs(k) = end {
                k.iter_mut().for_each(|k| *k *= factor);
            }
        }
    }
    soft.links.iter_mut().flat_map(|link| &mut link.stiffness).for_each(|k| *k *= factor);
    soft.folds.iter_mut().for_each(|fold| fold.stiffness *= factor);
    soft
}

impl Solver {
    /// Second-order answer to one load case. `crooked`: the initial crookedness of every node, or empty.
    ///
    /// # Errors
    /// As [`Solver::solve`]; [`FrameError::BeyondBuckling`] where the load is above the buckling load of
    /// this stiffness, [`FrameError::NotConverged`] where the axial forces do not settle.
    pub fn second_order(&self, loads: &FrameLoads, crooked: &[[f64; 6]]) -> Result<SecondOrder, FrameError> {
        Ok(self.second_order_each(loads, &[crooked])?.remove(0))
    }

    /// Second-order answers to one load case with each of several crookednesses, in their order. What does not depend
    /// on them, the first-order answer and the factor of the first step, is found once.
    ///
    /// # Errors
    /// As [`Solver::second_order`], where one of them has no answer.
    pub fn second_order_each(
        &self,
        loads: &FrameLoads,
        crooked: &[&[[f64; 6]]],
    ) -> Result<Vec<SecondOrder>, FrameError> {
        let first = self.solve(std::slice::from_ref(loads))?.remove(0);
        let axial = geometric::axial_forces(&first);
        let Some((symbolic, _)) = self.factor()? else {
            return Ok(vec![SecondOrder { response: first, axial, steps: 0 }; crooked.len()]);
        };
        let load = recover::prepare(self.frame(), self.assembly(), loads)?;
        let right = recover::right_hand_side(self.frame(), self.assembly(), &load);
        let factor = self.pushed_factor(symbolic, &self.pushed(&axial).1)?;
        let moved = self.assembly().gather(&first.displacements);
        let start = Start { load, right, axial, moved, factor };
        let answers: Vec<SecondOrder> =
            crooked.iter().map(|one| self.settled(symbolic, &start, one)).collect::<Result<_, _>>()?;
        self.prove(symbolic, &answers)?;
        Ok(answers)
    }

    /// Kg and K + Kg under these axial forces.
    fn pushed(&self, axial: &[f64]) -> (Vec<f64>, Vec<f64>) {
        let kg = self.geometric().assemble(self.assembly(), axial);
        let sum = self.stiffness().iter().zip(&kg).map(|(k, g)| k + g).collect();
        (kg, sum)
    }

    /// The factor of K + Kg.
    fn pushed_factor(&self, symbolic: &Symbolic, sum: &[f64]) -> Result<Factor, FrameError> {
        let assembly = self.assembly();
        symbolic.cholesky(assembly, sum).map_err(|why| match why {
            NoFactor::Pivot(_) => FrameError::BeyondBuckling,
            NoFactor::TooLarge => FrameError::TooLarge { unknowns: assembly.unknowns },
        })
    }

    /// That K + Kg is positive definite under the axial forces of every answer. Kg grows with each of them: where it is
    /// under the least of all answers, it is under those of each.
    fn prove(&self, symbolic: &Symbolic, answers: &[SecondOrder]) -> Result<(), FrameError> {
        let Some((first, others)) = answers.split_first() else { return Ok(()) };
        let mut least = first.axial.clone();
        for other in others {
            least.iter_mut().zip(&other.axial).for_each(|(a, b)| *a = a.min(*b));
        }
        match self.pushed_factor(symbolic, &self.pushed(&least).1) {
            Err(FrameError::BeyondBuckling) if !others.is_empty() => answers
                .iter()
                .try_for_each(|one| self.pushed_factor(symbolic, &self.pushed(&one.axial).1).map(drop)),
            known => known.map(drop),
        }
    }

    /// Steps from the first-order answer until the axial forces stand still.
    fn settled(
        &self,
        symbolic: &Symbolic,
        start: &Start,
        crooked: &[[f64; 6]],
    ) -> Result<SecondOrder, FrameError> {
        let (frame, assembly, n) = (self.frame(), self.assembly(), self.unknowns());
        let bow = if crooked.is_empty() { vec![0.0; n] } else { assembly.gather(crooked) };
        let mut own: Option<Factor> = None;
        let mut axial = start.axial.clone();
        let mut x = vec![0.0; n];
        let (mut before, mut left) = (f64::INFINITY, f64::INFINITY);
        let mut spare = vec![0.0; n];
        for steps in 1..=STEPS {
            let (kg, sum) = self.pushed(&axial);
            assembly.multiply(&kg, &bow, &mut spare);
            let mut wanted: Vec<f64> = start.right.iter().zip(&spare).map(|(f, g)| f - g).collect();
            if start.load.settles {
                let pushed = pushed_by_supports(frame, assembly, &axial, &start.load.imposed);
                wanted.iter_mut().zip(&pushed).for_each(|(f, g)| *f -= g);
            }
            // Adds to x what its forces lack; how large that is beside x.
            let mut correct = |x: &mut [f64]| {
                assembly.multiply(&sum, x, &mut spare);
                spare.iter_mut().zip(&wanted).for_each(|(has, wants)| *has = wants - *has);
                own.as_ref()
                    .unwrap_or(&start.factor)
                    .solve(MatMut::from_column_major_slice_mut(&mut spare, n, 1));
                x.iter_mut().zip(&spare).for_each(|(x, more)| *x += more);
                largest(&spare) / largest(x).max(f64::MIN_POSITIVE)
            };
            correct(&mut x);
            let now = self.axial_at(start, &x);
            let most = largest(&now).max(largest(&axial));
            left = now.iter().zip(&axial).fold(0.0_f64, |a, (x, y)| a.max((x - y).abs()))
                / if most > 0.0 { most } else { 1.0 };
            if left <= SETTLED {
                // What is left over now is taken off to the last digits.
                let mut change = f64::INFINITY;
                for _ in 0..CORRECTIONS {
                    let next = correct(&mut x);
                    if next <= f64::EPSILON || next > 0.5 * change {
                        break;
                    }
                    change = next;
                }
                let moved = Moved { axial: &axial, crooked };
                let response = recover::response(frame, assembly, &start.load, &x, Some(moved))?;
                return Ok(SecondOrder { response, axial, steps });
            }
            axial = now;
            if steps > 1 && (left > SLOW * before || own.is_some()) {
                own = Some(self.pushed_factor(symbolic, &self.pushed(&axial).1)?);
            }
            before = left;
        }
        Err(FrameError::NotConverged {
            what: "second-order equilibrium",
            steps: STEPS,
            residual: left,
            tolerance: SETTLED,
        })
    }

    /// Axial force of every bar \[N\] where the unknowns are `x`: those of the first-order answer and what its
    /// lengthening since then adds.
    fn axial_at(&self, start: &Start, x: &[f64]) -> Vec<f64> {
        let assembly = self.assembly();
        let since: Vec<f64> = x.iter().zip(&start.moved).map(|(x, first)| x - first).collect();
        let since = assembly.spread(&since);
        let bars = self.frame().bars.iter().zip(&assembly.lines).zip(&start.axial);
        bars.map(|((bar, line), first)| {
            let (from, to) = (&since[bar.from.0], &since[bar.to.0]);
            let longer: f64 = (0..3).map(|axis| line.axes[(0, axis)] * (to[axis] - from[axis])).sum();
            first + bar.section.elastic * bar.section.area / line.length * longer
        })
        .collect()
    }
}

/// What the steps start from, whatever the crookedness.
struct Start {
    load: Prepared,
    /// The load on the unknowns.
    right: Vec<f64>,
    /// Axial forces of the first-order answer \[N\].
    axial: Vec<f64>,
    /// Its unknowns.
    moved: Vec<f64>,
    /// Factor of K + Kg under its axial forces.
    factor: Factor,
}

fn largest(values: &[f64]) -> f64 {
    values.iter().fold(0.0_f64, |a, b| a.max(b.abs()))
}

/// What axial forces do on the unknowns where supports have moved: that part of Kg·u which the assembled Kg, of the
/// unknowns alone, does not have.
fn pushed_by_supports(frame: &Frame, assembly: &Assembly, axial: &[f64], imposed: &[[f64; 6]]) -> Vec<f64> {
    let mut nodes = vec![[0.0; 6]; frame.nodes.len()];
    for (index, bar) in frame.bars.iter().enumerate() {
        let line = &assembly.lines[index];
        let ends = [bar.from.0, bar.to.0];
        let moved = Vector12::from_iterator(ends.iter().flat_map(|&node| imposed[node]));
        let force = line.to_global(&(geometric::bar(bar, line.length, axial[index]) * line.to_local(&moved)));
        for (at, value) in force.iter().enumerate() {
            nodes[ends[at / 6]][at % 6] += value;
        }
    }
    assembly.gather(&nodes)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::frame::timber::TIMBER;
    use crate::frame::{BarSection, Node, NodeId};
    use crate::vector::Vec3;

    /// A post whose foot is turned by θ and whose top carries P: beside the straight line through the foot it bends as
    /// w″ = −k²·w with k² = P/(E·I), so the top moves by θ·tan(k·h)/k in all, and the foot holds P times that. A foot that only
    /// moves over takes the whole with it and holds nothing; what turns it the other way is the mirror image.
    #[test]
    fn a_post_on_a_foot_that_moves_leans_further_under_its_load() {
        let section = TIMBER;
        let (height, count, down) = (2.4, 6, 4000.0);
        let node = |k: usize| Node {
            at: Vec3::new(0.0, 0.0, height * k as f64 / count as f64),
            held: [k == 0; 6],
            ground: [0.0; 6],
        };
        let bar = |k: usize| Bar {
            from: NodeId(k),
            to: NodeId(k + 1),
            section,
            up: Vec3::new(0.0, 1.0, 0.0),
            ends: [EndFix::Rigid, EndFix::Rigid],
        };
        let frame = Frame {
            nodes: (0..=count).map(node).collect(),
            bars: (0..count).map(bar).collect(),
            ..Frame::default()
        };
        let solver = Solver::new(&frame).unwrap();
        let top = NodeId(count);
        let settled = |settlements: Vec<(NodeId, usize, f64)>| {
            let loads = FrameLoads {
                nodes: vec![(top, [0.0, 0.0, -down, 0.0, 0.0, 0.0])],
                settlements,
                ..FrameLoads::default()
            };
            solver.second_order(&loads, &[]).unwrap().response
        };
        let turn = 0.01;
        // Turned about y it leans along x and bends about the section's z, as y is up; about x, the other way.
        for (freedom, along, inertia) in [(4, 0, section.second_moment_z), (3, 1, section.second_moment_y)] {
            let k = (down / (section.elastic * inertia)).sqrt();
            let lean = turn * (k * height).tan() / k;
            assert!(lean > 1.3 * turn * height, "hardly pushed");
            let sign = if freedom == 4 { 1.0 } else { -1.0 };
            for way in [sign, -sign] {
                let found = settled(vec![(NodeId(0), freedom, way * turn)]);
                let moved = found.displacements[count][along];
                assert!((moved - way * sign * lean).abs() < 1e-4 * lean, "{moved} and {lean}");
                let held = found.reactions[0].1[freedom];
                assert!((held.abs() - down * lean).abs() < 1e-4 * down * lean, "{held} and {}", down * lean);
            }
        }
        let idle = solver.second_order(&FrameLoads::default(), &[]).unwrap();
        assert!(
            idle.response.displacements.iter().flatten().all(|u| u.abs() <= 0.0),
            "no axial force at all"
        );
        let over = settled(vec![(NodeId(0), 0, 0.05)]);
        assert!((over.displacements[count][0] - 0.05).abs() < 1e-9 && over.reactions[0].1[4].abs() < 1e-6);
    }

    /// Bars, their springy ends, links and folds half as stiff move twice as far under the same load, with the same forces; what
    /// the ground gives stays.
    #[test]
    fn half_as_stiff_moves_twice_as_far() {
        let mut frame = crate::frame::linear::tests::frame();
        frame.bars[0].ends[1] = EndFix::Springs([4e3, 5e3, 6e3]);
        let mut load = FrameLoads::default();
        for (node, force) in
            [(2, [30.0, -20.0, 50.0, 2.0, 3.0, -1.0]), (6, [10.0, 20.0, -60.0, 0.0, 0.0, 0.0])]
        {
            load.nodes.push((NodeId(node), force));
        }
        let of =
            |frame: &Frame| Solver::new(frame).unwrap().solve(std::slice::from_ref(&load)).unwrap().remove(0);
        let (whole, half) = (of(&frame), of(&softened(&frame, 0.5)));
        for (a, b) in whole.displacements.iter().flatten().zip(half.displacements.iter().flatten()) {
            assert!((2.0 * a - b).abs() < 1e-9 * (1e-6 + a.abs()), "{a} {b}");
        }
        for (a, b) in whole.bar_ends.iter().flatten().zip(half.bar_ends.iter().flatten()) {
            assert!((a.n - b.n).abs() + (a.t - b.t).abs() + (a.my - b.my).abs() + (a.mz - b.mz).abs() < 1e-6);
        }
        frame.nodes[2].ground = [1e3; 6];
        assert_eq!(softened(&frame, 0.5).nodes, frame.nodes);
    }

    /// Several crookednesses at once are, to the bit, each of them alone; either way of one moves a leaning post
    /// differently.
    #[test]
    fn several_ways_at_once_are_each_of_them_alone() {
        let node = |x: f64, z: f64| Node {
            at: Vec3::new(x, 0.0, z),
            held: if z > 0.0 { [false; 6] } else { [true; 6] },
            ground: [0.0; 6],
        };
        let section = TIMBER;
        let bar = Bar {
            from: NodeId(0),
            to: NodeId(1),
            section,
            up: Vec3::new(0.0, 1.0, 0.0),
            ends: [EndFix::Rigid, EndFix::Rigid],
        };
        let bars = vec![bar.clone(), Bar { from: NodeId(1), to: NodeId(2), ..bar }];
        let frame =
            Frame { nodes: vec![node(0.0, 0.0), node(0.1, 1.2), node(0.3, 2.4)], bars, ..Frame::default() };
        let solver = Solver::new(&frame).unwrap();
        let load = [50.0, 20.0, -4e3, 0.0, 0.0, 0.0];
        let loads = FrameLoads { nodes: vec![(NodeId(2), load)], ..FrameLoads::default() };
        let shape = [[0.0; 6], [0.3, 0.1, 0.0, 0.0, 0.0, 0.0], [1.0, 0.4, 0.0, 0.0, 0.0, 0.0]];
        let either = [crookedness(&shape, 0.02), crookedness(&shape, -0.02)];
        let straight: &[[f64; 6]] = &[];
        let all = [straight, &either[0], &either[1]];
        let together = solver.second_order_each(&loads, &all).unwrap();
        for (one, crooked) in together.iter().zip(all) {
            assert_eq!(*one, solver.second_order(&loads, crooked).unwrap());
        }
        let base =
            |answer: &SecondOrder| answer.response.bar_ends[0][0].my.hypot(answer.response.bar_ends[0][0].mz);
        assert!((base(&together[1]) - base(&together[2])).abs() > 0.05 * base(&together[0]));
    }

    /// A narrow portal whose columns have this second moment out of its plane; its beam holds them in the plane, and out of
    /// it as said.
    fn portal(across: f64, beam_across: f64) -> Frame {
        let node = |x: f64, z: f64| Node {
            at: Vec3::new(x, 0.0, z),
            held: if z > 0.0 { [false; 6] } else { [true; 6] },
            ground: [0.0; 6],
        };
        let section = |across: f64| BarSection {
            area: 8e-3,
            second_moment_y: across,
            second_moment_z: 3e-5,
            torsion: 1e-5,
            ..TIMBER
        };
        let post = |from: usize, to: usize| Bar {
            from: NodeId(from),
            to: NodeId(to),
            section: section(across),
            up: Vec3::new(0.0, 1.0, 0.0),
            ends: [EndFix::Rigid, EndFix::Rigid],
        };
        let beam = Bar {
            section: section(3e-5),
            up: Vec3::new(0.0, 0.0, 1.0),
            ends: [EndFix::Springs([0.0, 1e9, beam_across]); 2],
            ..post(1, 2)
        };
        Frame {
            nodes: vec![node(0.0, 0.0), node(0.0, 3.0), node(1.0, 3.0), node(1.0, 0.0)],
            bars: vec![post(0, 1), post(3, 2), beam],
            ..Frame::default()
        }
    }

    fn pushed_by(along: f64) -> FrameLoads {
        let top = |node: usize| (NodeId(node), [along, 0.0, -150e3, 0.0, 0.0, 0.0]);
        FrameLoads { nodes: vec![top(1), top(2)], ..FrameLoads::default() }
    }

    fn lowest(frame: &Frame, axial: &[f64]) -> f64 {
        Solver::new(frame).unwrap().buckling_under(axial, 1).unwrap().factors[0]
    }

    /// A portal that sways in its plane puts more on its leeward column than the first order says. Where that column
    /// buckles out of the plane, which nothing excites, between the two, the steps come to rest all the same: the
    /// answer is refused, and with a fifth more stiffness out of the plane it is given.
    #[test]
    fn an_answer_that_is_not_stable_is_refused() {
        let loads = pushed_by(1e3);
        let wide = Solver::new(&portal(3e-4, 0.0)).unwrap();
        let first = geometric::axial_forces(&wide.solve(std::slice::from_ref(&loads)).unwrap()[0]);
        let second = wide.second_order(&loads, &[]).unwrap().axial;
        let more = second[1] / first[1];
        assert!(second[1] < 0.0 && more > 1.01, "{more}");
        // Only the columns' own stiffness out of the plane counts in the lowest shape.
        let between = 4e-5 * more.sqrt() / lowest(&portal(4e-5, 0.0), &first);
        let frame = portal(between, 0.0);
        assert!(lowest(&frame, &first) > 1.0 && lowest(&frame, &second) < 1.0);
        let answer = |across: f64| Solver::new(&portal(across, 0.0)).unwrap().second_order(&loads, &[]);
        assert_eq!(answer(between).unwrap_err(), FrameError::BeyondBuckling);
        assert!(answer(1.2 * between).is_ok());
    }

    /// Crooked either way the portal puts more on one column or on the other, which sway out of the plane together. Stable
    /// either way, it is answered, though it would not stand with the more on both.
    #[test]
    fn ways_that_are_stable_each_are_answered() {
        let loads = pushed_by(0.0);
        let mut sway = [[0.0; 6]; 4];
        (sway[1][0], sway[2][0]) = (0.03, 0.03);
        let back = sway.map(|six| six.map(|v| -v));
        let both = |across: f64| {
            Solver::new(&portal(across, 1e9)).unwrap().second_order_each(&loads, &[&sway, &back])
        };
        let ways = both(3e-4).unwrap();
        let most: Vec<f64> = ways[0].axial.iter().zip(&ways[1].axial).map(|(a, b)| a.min(*b)).collect();
        let at =
            |across: f64| (lowest(&portal(across, 1e9), &ways[0].axial), lowest(&portal(across, 1e9), &most));
        let (each, together) = at(4e-5);
        let between = 4e-5 / (each * together).sqrt();
        let (each, together) = at(between);
        assert!(each > 1.0 && together < 1.0, "{each} {together}");
        assert_eq!(both(between).unwrap().len(), 2);
    }

    /// The axial forces that were settled on are those of the answer, where the frame shares them out anew under its sway; and
    /// in another unit of force everything is the same, in as many steps.
    #[test]
    fn the_axial_forces_are_those_of_the_answer_in_any_unit_of_force() {
        let of = |unit: f64| {
            let mut frame = portal(3e-4, 1e5);
            for bar in &mut frame.bars {
                (bar.section.elastic, bar.section.shear) =
                    (bar.section.elastic * unit, bar.section.shear * unit);
                for end in &mut bar.ends {
                    if let EndFix::Springs(k) = end {
                        *k = k.map(|k| k * unit);
                    }
                }
            }
            let mut loads = pushed_by(1e3);
            loads.nodes.iter_mut().for_each(|(_, six)| *six = six.map(|f| f * unit));
            Solver::new(&frame).unwrap().second_order(&loads, &[]).unwrap()
        };
        let here = of(1.0);
        for (axial, ends) in here.axial.iter().zip(&here.response.bar_ends) {
            assert!((axial - ends[0].n).abs() < 1e-7 * 150e3, "{axial} {}", ends[0].n);
        }
        for unit in [1e-9, 1e9] {
            let there = of(unit);
            assert_eq!(there.steps, here.steps);
            for (a, b) in there.axial.iter().zip(&here.axial) {
                assert!((a / unit - b).abs() < 1e-8 * 150e3, "{a} {b}");
            }
        }
    }
}
