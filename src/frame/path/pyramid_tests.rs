//! Paths held to closed forms: of a joint on bars to a circle of feet (R. von Mises 1923; derived for engineering strain,
//! as in `tests/published/two_bar_truss.rs`), and of single beams.

use super::arc::Tracer;
use super::event::pin;
use super::system::System;
use super::{EventKind, PathEnd, PathOptions, continued, start, trace};
use crate::frame::corotational::rotation::Turn;
use crate::frame::{Bar, BarSection, EndFix, Frame, FrameError, FrameLoads, Node, NodeId};
use crate::vector::Vec3;

const RADIUS: f64 = 1000.0;
const RISE: f64 = 50.0;
const BARS: f64 = 3.0;
const EA: f64 = 1e6;

fn bar(from: NodeId, to: NodeId, end: EndFix) -> Bar {
    let section = BarSection {
        area: 1.0,
        second_moment_y: 2.0,
        second_moment_z: 3.0,
        torsion: 1.0,
        elastic: EA,
        shear: 4e5,
        mass: 0.0,
    };
    Bar { from, to, section, up: Vec3::new(0.1, 0.2, 1.0), ends: [end; 2] }
}

/// A joint on three hinged bars; `beside` such pyramids side by side.
fn pyramids(beside: usize) -> Frame {
    let mut frame = Frame::default();
    for i in 0..beside {
        let middle = Vec3::new(3.0 * RADIUS * i as f64, 0.0, 0.0);
        let top = NodeId(frame.nodes.len());
        let ground = [0.0; 6];
        frame.nodes.push(Node { at: middle + Vec3::new(0.0, 0.0, RISE), held: [false; 6], ground });
        for foot in 0..3 {
            let (sine, cosine) = (std::f64::consts::TAU * f64::from(foot) / BARS).sin_cos();
            let at = middle + Vec3::new(RADIUS * cosine, RADIUS * sine, 0.0);
            frame.bars.push(bar(top, NodeId(frame.nodes.len()), EndFix::Hinged));
            frame.nodes.push(Node { at, held: [true; 6], ground });
        }
    }
    frame
}

fn down(force: f64) -> FrameLoads {
    FrameLoads { nodes: vec![(NodeId(0), [0.0, 0.0, -force, 0.0, 0.0, 0.0])], ..FrameLoads::default() }
}

/// The load that holds the joint at the height `z`: n EA z (1/ℓ − 1/L).
fn load_at(z: f64) -> f64 {
    BARS * EA * z * (1.0 / z.hypot(RADIUS) - 1.0 / RISE.hypot(RADIUS))
}

/// The change of that load as the joint goes down by one more.
fn slope_at(z: f64) -> f64 {
    BARS * EA * (1.0 / RISE.hypot(RADIUS) - RADIUS * RADIUS / z.hypot(RADIUS).powi(3))
}

/// Its largest value: n EA (1 − (a/L)^(2/3))^1.5.
fn snaps_at() -> f64 {
    BARS * EA * (1.0 - (RADIUS / RISE.hypot(RADIUS)).powf(2.0 / 3.0)).powf(1.5)
}

/// What is there throughout takes its own from what may be added. A constant load above the snap is refused: there is an
/// equilibrium under it, but on the far side, and the frame would have fallen to get there.
#[test]
fn a_constant_load_takes_its_share_and_is_refused_beyond_the_snap() {
    for share in [-2.0, 0.1, 0.5, 0.9, 0.99, 0.999] {
        let constant = Some(down(share * snaps_at()));
        let options = PathOptions { constant, limit_only: true, ..PathOptions::default() };
        let path = trace(&pyramids(1), &down(2.0), &options).unwrap();
        let first = path.steps[0].watched;
        assert!((load_at(RISE + first) - share * snaps_at()).abs() < 1e-6 * snaps_at(), "{share}: {first}");
        let want = (1.0 - share) * snaps_at() / 2.0;
        let limit = path.limit_factor.unwrap();
        assert!((limit - want).abs() < 1e-5 * snaps_at(), "{share}: {limit} {want}");
    }
    for share in [1.001, 1.1, 1.5, 2.0, 5.0, 20.0] {
        let options = PathOptions { constant: Some(down(share * snaps_at())), ..PathOptions::default() };
        let fault = trace(&pyramids(1), &down(1.0), &options).unwrap_err();
        assert_eq!(fault, FrameError::BeyondBuckling, "{share}");
    }
    // On a held joint alone it does nothing.
    let held = FrameLoads { nodes: vec![(NodeId(1), [7.0; 6])], ..FrameLoads::default() };
    let options = PathOptions { constant: Some(held), limit_only: true, ..PathOptions::default() };
    let limit = trace(&pyramids(1), &down(1.0), &options).unwrap().limit_factor.unwrap();
    assert!((limit - snaps_at()).abs() < 1e-5 * snaps_at(), "{limit}");
}

#[test]
fn a_load_that_moves_nothing_is_refused() {
    let held = FrameLoads { nodes: vec![(NodeId(1), [1.0; 6])], ..FrameLoads::default() };
    for nothing in [FrameLoads::default(), held, down(0.0)] {
        let fault = trace(&pyramids(1), &nothing, &PathOptions::default()).unwrap_err();
        assert!(matches!(fault, FrameError::BadNumber { what: "load", .. }), "{fault:?}");
    }
}

/// Down, through the snap, back up with the load, and on to a factor that only the far side reaches.
#[test]
fn the_highest_factor_is_met_beyond_a_snap() {
    let highest = 3.0 * snaps_at();
    let options = PathOptions { highest_factor: Some(highest), ..PathOptions::default() };
    let path = trace(&pyramids(1), &down(1.0), &options).unwrap();
    assert_eq!((path.end, path.watch), (PathEnd::HighestFactor, (NodeId(0), 2)));
    let last = path.steps.last().unwrap();
    assert!((last.factor - highest).abs() < 1e-12 * highest);
    let z = RISE + last.watched;
    assert!(z < -RISE && (load_at(z) - highest).abs() < 1e-6 * highest, "{z}");
    // Two turns of the load and nothing else, each with the point just before it, where nothing is lost yet.
    assert_eq!(path.events.len(), 2);
    for (event, (sign, before)) in path.events.iter().zip([(1.0, 0), (-1.0, 1)]) {
        assert_eq!((event.kind, event.modes), (EventKind::Limit, 1));
        assert!((event.factor - sign * snaps_at()).abs() < 1e-6 * snaps_at(), "{}", event.factor);
        let (near, far) = (&path.steps[event.step], &path.steps[event.step + 1]);
        assert_eq!((near.unstable, far.unstable), (before, 1 - before));
        assert!(near.watched >= event.watched && event.watched >= far.watched);
        // Where the load is largest: ℓ = (a² L)^(1/3).
        let height = ((RADIUS * RADIUS * RISE.hypot(RADIUS)).powf(2.0 / 3.0) - RADIUS * RADIUS).sqrt();
        assert!((RISE + event.watched - sign * height).abs() < 0.02 * height, "{}", event.watched);
    }
}

/// At the snap the joint goes with its load, whatever the size of that.
#[test]
fn the_softest_shape_at_a_snap_goes_with_the_load() {
    for size in [0.01, 1.0, 300.0] {
        let options = PathOptions { limit_only: true, ..PathOptions::default() };
        let path = trace(&pyramids(1), &down(size), &options).unwrap();
        assert_eq!((path.end, path.events.len()), (PathEnd::FirstEvent, 1));
        let event = &path.events[0];
        assert!((event.load_share - 1.0).abs() < 1e-6, "{}", event.load_share);
        assert!((event.shape[0][2].abs() - 1.0).abs() < 1e-12 && event.shape[0][0].abs() < 1e-6);
        assert!(event.shape[1..].iter().flatten().all(|v| v.abs() <= 0.0));
        assert!((event.factor - snaps_at() / size).abs() < 1e-6 * snaps_at() / size);
    }
}

fn tracer(system: &System) -> Tracer<'_> {
    let reference = system.loads(&pyramids(1), &down(1.0)).unwrap();
    Tracer { system, reference, constant: vec![0.0; system.size()], tolerance: 1e-8 }
}

/// Where a long step seemed to change something and shorter ones find nothing, the path goes on from twice its length.
#[test]
fn shorter_steps_that_find_no_event_go_on_along_the_path() {
    let system = System::new(&pyramids(1)).unwrap();
    let tracer = tracer(&system);
    let point = start(&tracer).unwrap();
    for arc in [0.5, 3.0] {
        let pinned = pin(&tracer, &point, &point, arc, 1e-4, |_, _, _| true).unwrap().unwrap();
        assert!(pinned.found.is_empty());
        let down = -pinned.on.state.shift[0].z;
        assert!((down - 2.0 * arc).abs() < 2e-3 * arc, "{arc}: {down}");
        assert!((pinned.on.factor - load_at(RISE - down)).abs() < 1e-6 * snaps_at(), "{arc}");
    }
}

/// A snap is pinned down to what is asked: where the slopes on either side of it lead to one load that was all but reached, and to
/// no less where steps are refused on the way.
#[test]
fn a_snap_is_pinned_down_as_closely_as_asked() {
    let system = System::new(&pyramids(1)).unwrap();
    let tracer = tracer(&system);
    let start = start(&tracer).unwrap();
    for (first, arc) in [(19.0, 4.0), (10.0, 30.0), (20.9, 3.0)] {
        let near = tracer.advance(&start, first).unwrap().unwrap();
        let far = tracer.advance(&near, arc).unwrap().unwrap();
        for (closeness, longest) in [(1e-2, arc), (1e-3, arc), (1e-5, arc), (1e-3, arc / 8.0)] {
            let pinned = pin(&tracer, &near, &far, arc, closeness, |_, _, step| step <= longest);
            let found = &pinned.unwrap().unwrap().found;
            assert_eq!((found.len(), found[0].kind), (1, EventKind::Limit));
            let (found, most) = (&found[0], closeness * snaps_at());
            assert!((found.factor - snaps_at()).abs() < 0.02 * most, "{} {}", found.factor, snaps_at());
            let seen = found.before.factor.max(found.after.factor);
            assert!(found.factor - seen < most && seen <= snaps_at(), "{seen} {closeness}");
        }
    }
}

/// Moments are judged as forces at the frame's mean length, those that are unbalanced and those in a beam.
#[test]
fn moments_are_judged_over_the_mean_length() {
    let mut frame = Frame::default();
    for (x, free) in [(0.0, true), (2.5, true), (4.0, false)] {
        let held = [true, true, true, true, true, !free];
        frame.nodes.push(Node { at: Vec3::new(x, 0.0, 0.0), held, ground: [0.0; 6] });
    }
    frame.bars.push(Bar { up: Vec3::z(), ..bar(NodeId(0), NodeId(1), EndFix::Rigid) });
    frame.bars.push(bar(NodeId(1), NodeId(2), EndFix::Hinged));
    let system = System::new(&frame).unwrap();
    assert!((system.largest(&[7.0, 3.0]) - 3.5).abs() < 1e-12);
    // Turned alike either way, its ends hold 2 EI θ / L each and nothing else.
    let turn = 1e-5;
    let state = system.moved(&system.start(), &[-turn, turn]);
    let (force, scale) = system.forces(&state).unwrap();
    let moment = 2.0 * 3.0 * EA * turn / 2.5;
    assert!((force[1] - moment).abs() < 1e-6 * moment, "{force:?} {moment}");
    assert!((scale - moment / 2.0).abs() < 1e-6 * moment, "{scale} {moment}");
}

/// A moment counts in it as the turn does: alone on the only turn there is, it is all of it.
#[test]
fn a_moment_has_its_share_of_the_softest_shape() {
    let mut frame = Frame::default();
    for x in [0.0, 2.0] {
        let held = [true, true, true, true, true, x <= 0.0];
        frame.nodes.push(Node { at: Vec3::new(x, 0.0, 0.0), held, ground: [0.0; 6] });
    }
    frame.bars.push(Bar { up: Vec3::z(), ..bar(NodeId(0), NodeId(1), EndFix::Rigid) });
    let system = System::new(&frame).unwrap();
    let tracer = Tracer { system: &system, reference: vec![7.0], constant: vec![0.0], tolerance: 1e-8 };
    let (shape, share) = tracer.softest(&start(&tracer).unwrap());
    assert!((shape[0].abs() - 0.5).abs() < 1e-12 && (share - 1.0).abs() < 1e-12, "{shape:?} {share}");
}

/// Where no step meets what is asked of it, however short, the path ends where it is and says so.
#[test]
fn a_path_that_cannot_be_followed_is_lost() {
    let options = PathOptions { tolerance: 0.0, ..PathOptions::default() };
    let path = trace(&pyramids(1), &down(1.0), &options).unwrap();
    assert_eq!((path.end, path.limit_factor), (PathEnd::Lost, None));
    assert!(path.steps.len() < options.steps);
}

/// As many points as were asked for, the first and those just before the events beside them; and from each to the next the
/// slope changes by no more than twice the coarseness.
#[test]
fn steps_are_as_many_and_as_fine_as_asked() {
    for (steps, coarseness) in [(12, 0.25), (40, 0.25), (90, 0.05)] {
        let options = PathOptions { steps, coarseness, ..PathOptions::default() };
        let path = trace(&pyramids(1), &down(1.0), &options).unwrap();
        assert_eq!(path.end, PathEnd::Steps);
        assert_eq!(path.steps.len(), 1 + steps + path.events.len());
        for pair in path.steps.windows(2) {
            let [a, b] = [0, 1].map(|i| slope_at(RISE + pair[i].watched));
            let change = (b - a).abs() / a.abs().max(slope_at(RISE).abs());
            assert!(change <= 2.001 * coarseness, "{coarseness}: {change}");
        }
    }
}

/// The first step moves a thousandth of the frame's extent, or turns a fiftieth of a radian, or goes to the factor that was asked for.
#[test]
fn the_first_step_is_small() {
    let first = |frame: &Frame, loads: &FrameLoads, options: PathOptions| {
        let path = trace(frame, loads, &PathOptions { steps: 1, ..options }).unwrap();
        (path.steps[1].factor, path.steps[1].watched)
    };
    // The ball around the four nodes: their middle is a quarter of the rise above the feet.
    let reach = (0.25 * RISE).hypot(RADIUS);
    let (_, moved) = first(&pyramids(1), &down(1.0), PathOptions::default());
    assert!((moved + 2e-3 * reach).abs() < 2e-3 * 2e-3 * reach, "{moved}");
    for asked in [0.01, -0.01] {
        let options = PathOptions { first_factor: Some(asked), ..PathOptions::default() };
        let (factor, _) = first(&pyramids(1), &down(1.0), options);
        assert!((factor - 0.01).abs() < 1e-4, "{factor}");
    }
    // A beam that only turns at its ends, by M L / (4 EI) or M L / (G J) with the far end fast, about each of its axes.
    let mut frame = Frame::default();
    for at in [Vec3::zeros(), Vec3::new(2.0, 0.0, 0.0)] {
        let held = [true, true, true, at.x <= 0.0, at.x <= 0.0, at.x <= 0.0];
        frame.nodes.push(Node { at, held, ground: [0.0; 6] });
    }
    frame.bars.push(Bar { up: Vec3::z(), ..bar(NodeId(0), NodeId(1), EndFix::Rigid) });
    for (freedom, stiffness) in [(3, 4e5 / 2.0), (4, 4.0 * EA * 2.0 / 2.0), (5, 4.0 * EA * 3.0 / 2.0)] {
        let mut moment = [0.0; 6];
        moment[freedom] = 7.0;
        let loads = FrameLoads { nodes: vec![(NodeId(1), moment)], ..FrameLoads::default() };
        let options = PathOptions { watch: Some((NodeId(1), freedom)), ..PathOptions::default() };
        let (factor, turned) = first(&frame, &loads, options);
        assert!((turned - 0.02).abs() < 2e-4, "{freedom}: {turned}");
        assert!((factor * 7.0 - stiffness * turned).abs() < 1e-2 * stiffness * turned, "{freedom}: {factor}");
    }
}

/// Of two joints that move alike, the first is watched, whatever rounding makes of them.
#[test]
fn of_equals_the_first_is_watched() {
    let frame = pyramids(2);
    let push = |node, force: f64| (NodeId(node), [0.0, 0.0, -force, 0.0, 0.0, 0.0]);
    for more in [1.0, 1.0 + 1e-12] {
        let loads = FrameLoads { nodes: vec![push(0, 1.0), push(4, more)], ..FrameLoads::default() };
        let path = trace(&frame, &loads, &PathOptions { steps: 1, ..PathOptions::default() }).unwrap();
        assert_eq!(path.watch, (NodeId(0), 2));
    }
    // One that moves more is watched, be it far less than by one.
    let loads = FrameLoads { nodes: vec![push(0, 0.01), push(4, 0.02)], ..FrameLoads::default() };
    let path = trace(&frame, &loads, &PathOptions { steps: 1, ..PathOptions::default() }).unwrap();
    assert_eq!(path.watch, (NodeId(4), 2));
}

/// No step goes further than a tenth of the frame's extent, however large the first is asked to be: a rod of 1000 on rollers,
/// pulled, lengthens by F L/EA exactly.
#[test]
fn no_step_is_too_long() {
    let mut frame = Frame::default();
    for x in [0.0, 1000.0] {
        let held = [x <= 0.0, true, true, true, true, true];
        frame.nodes.push(Node { at: Vec3::new(x, 0.0, 0.0), held, ground: [0.0; 6] });
    }
    frame.bars.push(bar(NodeId(0), NodeId(1), EndFix::Hinged));
    let loads =
        FrameLoads { nodes: vec![(NodeId(1), [1.0, 0.0, 0.0, 0.0, 0.0, 0.0])], ..FrameLoads::default() };
    let options = PathOptions { first_factor: Some(1e9), steps: 1, ..PathOptions::default() };
    let path = trace(&frame, &loads, &options).unwrap();
    let step = &path.steps[1];
    assert!((step.watched - 100.0).abs() < 0.1, "{}", step.watched);
    assert!((step.factor - EA * step.watched / 1000.0).abs() < 1e-6 * step.factor);
}

/// A turn that goes on beyond half a circle, and beyond whole ones, either way round.
#[test]
fn a_turn_goes_on_beyond_the_whole_circle() {
    let axis = Vec3::new(2.0, -1.0, 2.0) / 3.0;
    for sign in [1.0, -1.0] {
        let mut before = Vec3::zeros();
        for step in 0..300 {
            let angle = sign * std::f64::consts::TAU * f64::from(step) / 100.0;
            let turn = Turn::from_scaled_axis(axis * angle);
            before = continued(&before, turn.scaled_axis());
            assert!((before - axis * angle).norm() < 1e-9, "{step}: {before}");
        }
        // A whole turn to the last digit.
        let whole = axis * sign * std::f64::consts::TAU;
        assert!((continued(&whole, Vec3::zeros()) - whole).norm() < 1e-12);
    }
}

#[test]
fn events_have_words() {
    assert_eq!([EventKind::Limit, EventKind::Branch].map(EventKind::word), ["limit", "branch"]);
}
