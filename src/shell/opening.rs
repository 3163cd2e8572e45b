//! Openings: which panels go.

use crate::shell::ShellError;
use crate::shell::ask::{OpeningAsk, OpeningForm};
use crate::shell::build::Made;
use crate::shell::net::{Net, area_vector, middle};
use crate::vector::Vec3;

/// A door cuts a panel when it takes more than this share of the door's own area out of it, seen from
/// the front: less is a hair's breadth that a jamb is trimmed for (common practice, no source).
const HAIR: f64 = 1e-3;

/// Pieces up to this many panels that an opening leaves hanging by a corner go with it.
const CRUMB: usize = 2;

/// What the openings take out of a numbered net.
#[derive(Debug)]
pub(crate) struct Taken {
    /// For each panel the opening that it goes with.
    pub(crate) by_panel: Vec<Option<usize>>,
    pub(crate) openings: Vec<TakenOpening>,
    pub(crate) remarks: Vec<String>,
}

/// One opening.
#[derive(Debug)]
pub(crate) struct TakenOpening {
    pub(crate) panels: Vec<usize>,
    pub(crate) strips: usize,
    pub(crate) sill: bool,
    pub(crate) leaf: bool,
}

/// Finds what each opening takes. A panel goes with the first opening that names it.
pub(crate) fn take_out(made: &Made, asks: &[OpeningAsk]) -> Result<Taken, ShellError> {
    let net = &made.net;
    let mut by_panel = vec![None; net.panels.len()];
    let mut remarks = Vec::new();
    for (number, ask) in asks.iter().enumerate() {
        if ask.rim_strips == 0 {
            return Err(ShellError::Count { what: "opening.rim_strips", value: 0, least: 1, most: 10 });
        }
        let found = panels_of(made, number, ask, &mut remarks)?;
        let mut fresh = false;
        for panel in found {
            if by_panel[panel].is_none() {
                by_panel[panel] = Some(number);
                fresh = true;
            }
        }
        if !fresh {
            return Err(ShellError::OpeningMissed { opening: number + 1, what: described(&ask.form) });
        }
    }
    if !asks.is_empty() {
        drop_crumbs(net, made, &mut by_panel, &mut remarks)?;
    }
    let openings: Vec<TakenOpening> = asks
        .iter()
        .enumerate()
        .map(|(number, ask)| TakenOpening {
            panels: (0..by_panel.len()).filter(|&panel| by_panel[panel] == Some(number)).collect(),
            strips: ask.rim_strips,
            sill: ask.sill,
            leaf: ask.leaf,
        })
        .collect();
    for (number, (ask, opening)) in asks.iter().zip(&openings).enumerate() {
        remarks.push(summary(net, made, number, ask, opening));
    }
    Ok(Taken { by_panel, openings, remarks })
}

/// What an opening takes, in a sentence.
fn summary(net: &Net, made: &Made, number: usize, ask: &OpeningAsk, opening: &TakenOpening) -> String {
    let names: Vec<String> = opening.panels.iter().map(|&panel| made.panel_name(panel)).collect();
    let area: f64 =
        opening.panels.iter().map(|&panel| area_vector(&net.points, &net.panels[panel]).norm()).sum();
    let inside = net
        .edges()
        .values()
        .filter(|along| along.len() == 2 && along.iter().all(|(panel, _)| opening.panels.contains(panel)))
        .count();
    format!(
        "opening {} ({}) takes {} ({} panels, {area:.2} m2) and {inside} seams between them",
        number + 1,
        described(&ask.form),
        names.join(", "),
        names.len(),
    )
}

fn described(form: &OpeningForm) -> String {
    match form {
        OpeningForm::Panels(names) => format!("panels {}", names.join(", ")),
        OpeningForm::Inside { low, high } => format!(
            "a box from {:.2}, {:.2}, {:.2} to {:.2}, {:.2}, {:.2} m",
            low.x, low.y, low.z, high.x, high.y, high.z
        ),
        OpeningForm::Door { width, height, facing } => {
            format!(
                "a door {width:.2} m wide and {height:.2} m high facing {:.0} degrees",
                facing.to_degrees()
            )
        }
    }
}

fn panels_of(
    made: &Made,
    number: usize,
    ask: &OpeningAsk,
    remarks: &mut Vec<String>,
) -> Result<Vec<usize>, ShellError> {
    let net = &made.net;
    match &ask.form {
        OpeningForm::Panels(names) => names.iter().map(|name| named(made, number, name)).collect(),
        OpeningForm::Inside { low, high } => Ok((0..net.panels.len())
            .filter(|&panel| {
                let at = middle(&net.points, &net.panels[panel]);
                (0..3).all(|axis| at[axis] >= low[axis] && at[axis] <= high[axis])
            })
            .collect()),
        &OpeningForm::Door { width, height, facing } => {
            for (what, value) in [("opening.width", width), ("opening.height", height)] {
                if !(value.is_finite() && value > 0.0) {
                    return Err(ShellError::NotPositive { what, value });
                }
            }
            if !facing.is_finite() {
                return Err(ShellError::NotANumber { what: "opening.facing", value: facing });
            }
            let door = Door { width, height, facing };
            let right = Vec3::new(-facing.sin(), facing.cos(), 0.0);
            let reach = |along: Vec3| {
                let at = net.points.iter().map(|point| point.dot(&along));
                at.fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], x| [low.min(x), high.max(x)])
            };
            let ([left_end, right_end], [_, top]) = (reach(right), reach(Vec3::z()));
            for (what, asked, most) in [("high", height, top), ("wide", width, right_end - left_end)] {
                if asked > most {
                    return Err(ShellError::DoorTooLarge { opening: number + 1, what, asked, most });
                }
            }
            let (panels, met) = door.cuts(net, &made.outline.centre);
            if !panels.is_empty() && met < 0.999 {
                remarks.push(format!(
                    "opening {}: only {:.0} % of the door's outline meets the shell; the rest of it stands \
                     beside or above",
                    number + 1,
                    100.0 * met
                ));
            }
            Ok(panels)
        }
    }
}

fn named(made: &Made, number: usize, name: &str) -> Result<usize, ShellError> {
    let count = made.net.panels.len();
    (0..count).find(|&panel| made.panel_name(panel) == name).ok_or_else(|| {
        let mut near: Vec<(usize, String)> = (0..count)
            .map(|panel| made.panel_name(panel))
            .map(|known| (strsim::damerau_levenshtein(&known, name), known))
            .collect();
        near.sort();
        near.truncate(3);
        ShellError::NoSuchPanel {
            opening: number + 1,
            name: name.to_owned(),
            count,
            near: near.into_iter().map(|(_, known)| known).collect::<Vec<_>>().join(", "),
        }
    })
}

struct Door {
    width: f64,
    height: f64,
    facing: f64,
}

impl Door {
    /// The panels on the side that the door faces whose picture from the front its outline cuts, and
    /// how much of the outline they fill.
    fn cuts(&self, net: &Net, centre: &Vec3) -> (Vec<usize>, f64) {
        let front = Vec3::new(self.facing.cos(), self.facing.sin(), 0.0);
        let right = Vec3::new(-self.facing.sin(), self.facing.cos(), 0.0);
        let door = self.width * self.height;
        let mut met = 0.0;
        let panels = (0..net.panels.len())
            .filter(|&panel| {
                let corners = &net.panels[panel];
                let towards = area_vector(&net.points, corners).dot(&front) > 1e-9 * door;
                if !towards || (middle(&net.points, corners) - centre).dot(&front) <= 0.0 {
                    return false;
                }
                let picture: Vec<[f64; 2]> = corners
                    .iter()
                    .map(|&corner| net.points[corner])
                    .map(|at| [(at - centre).dot(&right), at.z])
                    .collect();
                let share =
                    area_in_box(picture, [-0.5 * self.width, 0.0], [0.5 * self.width, self.height]) / door;
                met += share;
                share > HAIR
            })
            .collect();
        (panels, met)
    }
}

/// Area of the part of a convex polygon that lies in a box (each side of the box cuts in turn).
fn area_in_box(mut polygon: Vec<[f64; 2]>, low: [f64; 2], high: [f64; 2]) -> f64 {
    for axis in 0..2 {
        for (limit, sign) in [(low[axis], 1.0), (high[axis], -1.0)] {
            let inside = |at: &[f64; 2]| sign * (at[axis] - limit);
            let mut kept = Vec::with_capacity(polygon.len() + 1);
            for (i, a) in polygon.iter().enumerate() {
                let b = &polygon[(i + 1) % polygon.len()];
                let (da, db) = (inside(a), inside(b));
                if da >= 0.0 {
                    kept.push(*a);
                }
                if da * db < 0.0 {
                    let t = da / (da - db);
                    kept.push([a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])]);
                }
            }
            polygon = kept;
        }
    }
    let twice: f64 = polygon
        .iter()
        .enumerate()
        .map(|(i, a)| {
            let b = &polygon[(i + 1) % polygon.len()];
            a[0] * b[1] - b[0] * a[1]
        })
        .sum();
    0.5 * twice.abs()
}

/// Takes out what hangs only by corners, says where the shell touches itself in a point, and refuses
/// what is in pieces or gone.
fn drop_crumbs(
    net: &Net,
    made: &Made,
    by_panel: &mut [Option<usize>],
    remarks: &mut Vec<String>,
) -> Result<(), ShellError> {
    let kept: Vec<usize> = (0..by_panel.len()).filter(|&panel| by_panel[panel].is_none()).collect();
    if kept.is_empty() {
        return Err(ShellError::OpeningsTakeAll);
    }
    let left = Net {
        points: net.points.clone(),
        panels: kept.iter().map(|&panel| net.panels[panel].clone()).collect(),
        bars: Vec::new(),
    };
    let (piece, pieces) = left.pieces();
    let sizes: Vec<usize> = (0..pieces).map(|one| piece.iter().filter(|&&of| of == one).count()).collect();
    let largest = (0..pieces).max_by_key(|&one| (sizes[one], usize::MAX - one)).unwrap_or(0);
    if (0..pieces).any(|one| one != largest && sizes[one] > CRUMB) {
        return Err(ShellError::Pieces { pieces });
    }
    let edges = net.edges();
    for (at, &panel) in kept.iter().enumerate() {
        if piece[at] == largest {
            continue;
        }
        // The opening next to it; a crumb of two may hang on one through the other.
        let beside = edges
            .values()
            .filter(|along| along.iter().any(|&(of, _)| of == panel))
            .flat_map(|along| along.iter().map(|&(of, _)| of))
            .find_map(|of| by_panel[of]);
        by_panel[panel] = Some(beside.unwrap_or(0));
        remarks.push(format!(
            "{} would hang only by a corner beside the opening and goes with it",
            made.panel_name(panel)
        ));
    }
    let whole = Net {
        points: net.points.clone(),
        panels: (0..by_panel.len())
            .filter(|&panel| by_panel[panel].is_none())
            .map(|panel| net.panels[panel].clone())
            .collect(),
        bars: Vec::new(),
    };
    for point in whole.pinched() {
        remarks.push(format!(
            "beside the openings the shell touches itself only in {}: take out or leave in one panel more there",
            made.joint_name(point)
        ));
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shell::ask::{EndForm, Form, ShellAsk, Up};
    use crate::shell::{MemberKind, Role, Shell, build};
    use std::f64::consts::TAU;

    fn dome(openings: Vec<OpeningAsk>) -> Result<Shell, ShellError> {
        let form = Form::Dome { radius: 2.5, frequency: 3, up: Up::Vertex, base: -0.2 };
        build(&ShellAsk { form, openings, mend: false })
    }

    fn door(facing: f64) -> OpeningAsk {
        OpeningAsk {
            form: OpeningForm::Door { width: 0.9, height: 1.7, facing },
            rim_strips: 2,
            sill: false,
            leaf: true,
        }
    }

    #[test]
    fn a_door_takes_panels_and_leaves_a_framed_rim() {
        let whole = dome(Vec::new()).unwrap();
        let shell = dome(vec![door(0.3)]).unwrap();
        let [opening] = shell.openings.as_slice() else { panic!("one opening") };
        assert!(!opening.panels.is_empty());
        assert_eq!(whole.panels.len(), shell.panels.len() + opening.panels.len());
        assert_eq!(opening.rim.len(), shell.members.iter().filter(|m| m.role == Role::DoorRim).count());
        assert!(opening.rim.iter().all(|&id| shell.rim_strips(id) == Some(2)));
        assert!(shell.remarks.iter().any(|remark| remark.contains("opening 1 (a door")));
        // What is left keeps its name and its place.
        for panel in &shell.panels {
            let before = whole.panels.iter().find(|other| other.name == panel.name).unwrap();
            for (a, b) in panel.joints.iter().zip(&before.joints) {
                assert_eq!(shell.joints[a.0], whole.joints[b.0]);
            }
        }
        for member in shell.members.iter().filter(|m| m.role != Role::DoorRim) {
            let before = whole.members.iter().find(|other| other.name == member.name).unwrap();
            assert_eq!((before.kind, before.role), (member.kind, member.role));
        }
    }

    #[test]
    fn turning_a_door_by_a_fifth_turn_takes_as_much() {
        let areas = |facing: f64| {
            let shell = dome(vec![door(facing)]).unwrap();
            (shell.openings[0].panels.len(), shell.openings[0].rim.len())
        };
        for k in 1..5 {
            assert_eq!(areas(0.2), areas(0.2 + TAU * f64::from(k) / 5.0));
        }
        assert_eq!(areas(0.2), areas(-0.2));
    }

    #[test]
    fn a_sill_keeps_the_base_line() {
        let mut ask = door(0.0);
        ask.sill = true;
        let shell = dome(vec![ask]).unwrap();
        let sills: Vec<_> =
            shell.members.iter().filter(|m| m.kind == MemberKind::Bar && m.role == Role::Sill).collect();
        assert!(!sills.is_empty());
        assert!(sills.iter().all(|sill| sill.joints.iter().all(|&joint| shell.joints[joint.0].foot)));
    }

    #[test]
    fn panels_by_name_and_by_box() {
        let named = |name: &str| OpeningAsk {
            form: OpeningForm::Panels(vec![name.to_owned()]),
            rim_strips: 1,
            sill: false,
            leaf: true,
        };
        let shell = dome(vec![named("p40")]).unwrap();
        assert_eq!(shell.openings[0].rim.len(), 3);
        assert!(matches!(dome(vec![named("p4000")]), Err(ShellError::NoSuchPanel { opening: 1, .. })));
        assert!(matches!(
            dome(vec![named("p40"), named("p40")]),
            Err(ShellError::OpeningMissed { opening: 2, .. })
        ));
        let boxed = |low: Vec3, high: Vec3| OpeningAsk {
            form: OpeningForm::Inside { low, high },
            rim_strips: 1,
            sill: false,
            leaf: true,
        };
        let all = boxed(Vec3::repeat(-9.0), Vec3::repeat(9.0));
        assert!(matches!(dome(vec![all]), Err(ShellError::OpeningsTakeAll)));
        let crown = boxed(Vec3::new(-9.0, -9.0, 2.5), Vec3::repeat(9.0));
        assert_eq!(dome(vec![crown]).unwrap().openings[0].panels.len(), 5);
        let nowhere = boxed(Vec3::repeat(20.0), Vec3::repeat(21.0));
        assert!(matches!(dome(vec![nowhere]), Err(ShellError::OpeningMissed { .. })));
    }

    #[test]
    fn a_door_in_an_open_end_touches_no_panel() {
        let form = Form::Tunnel {
            radius: 2.1,
            frequency: 2,
            bands: 2,
            base: 0.0,
            spacing: None,
            ends: [EndForm::HalfDome, EndForm::Open],
        };
        let built =
            |facing: f64| build(&ShellAsk { form: form.clone(), openings: vec![door(facing)], mend: false });
        assert!(matches!(built(0.0), Err(ShellError::OpeningMissed { .. })));
        assert!(built(TAU / 2.0).is_ok());
        assert!(built(TAU / 4.0).is_ok());
    }

    #[test]
    fn area_in_a_box_is_that_of_the_common_part() {
        let square = vec![[0.0, 0.0], [2.0, 0.0], [2.0, 2.0], [0.0, 2.0]];
        assert!((area_in_box(square.clone(), [1.0, 1.0], [5.0, 5.0]) - 1.0).abs() < 1e-12);
        assert!(area_in_box(square.clone(), [3.0, 3.0], [5.0, 5.0]).abs() < 1e-12);
        let triangle = vec![[0.0, 0.0], [2.0, 0.0], [0.0, 2.0]];
        assert!((area_in_box(triangle, [0.0, 0.0], [1.0, 1.0]) - 1.0).abs() < 1e-12);
    }
}
