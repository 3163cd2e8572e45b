//! From three dimensions to the sheet: projections, and fitting into a room on the page.

use super::View;
use super::ends::{Caption, Laid};
use super::scene::Scene;
use crate::vector::Vec3;

/// How much wider than tall a surface laid flat is that is turned on an upright page.
pub(super) const UPRIGHT: f64 = 1.2;

/// A rectangle on the page.
#[derive(Debug, Clone, Copy)]
pub(super) struct Room {
    pub(super) x: f64,
    pub(super) y: f64,
    pub(super) width: f64,
    pub(super) height: f64,
}

impl Room {
    /// Smaller by so much on every side.
    pub(super) fn inset(self, by: f64) -> Self {
        Self {
            x: self.x + by,
            y: self.y + by,
            width: (self.width - 2.0 * by).max(10.0),
            height: (self.height - 2.0 * by).max(10.0),
        }
    }
}

/// The shell in the plane of a view: x to the right, y up \[m\].
pub(super) struct Flat {
    /// Every joint, moved where a movement is shown; behind them the joints that stand a second time.
    pub(super) points: Vec<[f64; 2]>,
    /// Every joint where it stands.
    pub(super) still: Vec<[f64; 2]>,
    /// Whether a panel looks toward the reader.
    pub(super) front: Vec<bool>,
    /// Whether a member is on the near side.
    pub(super) near: Vec<bool>,
    /// Points of every member.
    pub(super) ends: Vec<Option<[usize; 2]>>,
    /// Members that are drawn a second time, each with its points there.
    copies: Vec<(usize, [usize; 2])>,
    /// Joints that stand a second time, each with its point there.
    pub(super) again: Vec<(usize, usize)>,
    /// What stands under framed ends that are drawn beside the surface.
    pub(super) captions: Vec<Caption>,
    /// Right and up of the view in the axes of the whole; `None` for an unrolled view.
    axes: Option<[Vec3; 2]>,
    /// Whether an unrolled view is turned so that x runs up the page.
    turned: bool,
}

impl Flat {
    pub(super) fn new(scene: &Scene<'_>, view: View, moved: Option<&[Vec3]>) -> Self {
        let Some([right, up, out]) = axes(view) else { return Self::laid(scene, [1.0, 1.0]) };
        let flat = |p: &Vec3| [p.dot(&right), p.dot(&up)];
        let still: Vec<[f64; 2]> = scene.at.iter().map(flat).collect();
        let points = match moved {
            Some(moved) => scene.at.iter().zip(moved).map(|(at, by)| flat(&(at + by))).collect(),
            None => still.clone(),
        };
        let front: Vec<bool> = scene.normals.iter().map(|normal| normal.dot(&out) > -1e-6).collect();
        let near = scene
            .sides
            .iter()
            .map(|sides| sides.is_empty() || sides.iter().any(|&panel| front[panel]))
            .collect();
        Self {
            points,
            still,
            front,
            near,
            ends: scene.ends.clone(),
            copies: Vec::new(),
            again: Vec::new(),
            captions: Vec::new(),
            axes: Some([right, up]),
            turned: false,
        }
    }

    /// The surface laid flat for a room of a width and a height, with its framed ends beside it.
    pub(super) fn laid(scene: &Scene<'_>, room: [f64; 2]) -> Self {
        let laid = Laid::new(scene, unroll(scene), room);
        Self {
            still: laid.points.clone(),
            points: laid.points,
            front: vec![true; scene.corners.len()],
            near: vec![true; scene.ends.len()],
            ends: laid.ends,
            copies: laid.copies,
            again: laid.again,
            captions: laid.captions,
            axes: None,
            turned: laid.turned,
        }
    }

    /// Every member's line, those that are drawn twice twice.
    pub(super) fn lines(&self) -> impl Iterator<Item = (usize, [usize; 2])> {
        let once = self.ends.iter().enumerate().filter_map(|(member, ends)| Some((member, (*ends)?)));
        once.chain(self.copies.iter().copied())
    }

    /// Width and height \[m\].
    pub(super) fn extent(&self) -> [f64; 2] {
        super::paint::extent(&self.points)
    }

    /// Toward the reader; `None` for a surface laid flat.
    pub(super) fn out(&self) -> Option<Vec3> {
        self.axes.map(|[right, up]| right.cross(&up))
    }

    /// The axes that this view shows, each with one metre along it as seen; what points at the reader is left out.
    /// A surface laid flat has x and y as they run at its crown.
    pub(super) fn axes(&self) -> Vec<(&'static str, [f64; 2])> {
        let axes = [("x", Vec3::x()), ("y", Vec3::y()), ("z", Vec3::z())];
        let seen = axes.map(|(name, axis)| match self.axes {
            Some(_) => (name, self.direction(&axis)),
            None if self.turned => (name, [-axis.y, axis.x]),
            None => (name, [axis.x, axis.y]),
        });
        seen.into_iter().filter(|(_, by)| by[0].hypot(by[1]) > 0.2).collect()
    }

    /// A direction in space as seen in this view; nothing in an unrolled one.
    pub(super) fn direction(&self, vector: &Vec3) -> [f64; 2] {
        self.axes.map_or([0.0, 0.0], |[right, up]| [vector.dot(&right), vector.dot(&up)])
    }
}

/// Right, up and toward the reader.
fn axes(view: View) -> Option<[Vec3; 3]> {
    let (right, out) = match view {
        View::Plan => (Vec3::x(), Vec3::z()),
        View::End => (Vec3::y(), Vec3::x()),
        View::Side => (Vec3::x(), -Vec3::y()),
        View::Isometric | View::Sheet => {
            let out = Vec3::new(0.52, -0.72, 0.46).normalize();
            (Vec3::z().cross(&out).normalize(), out)
        }
        View::Unrolled => return None,
    };
    Some([right, out.cross(&right), out])
}

/// The surface laid flat. A round shell about its crown, distances along the sphere from the crown
/// kept; any other about its length, distances round the section kept.
fn unroll(scene: &Scene<'_>) -> Vec<[f64; 2]> {
    let from_centre = |at: &Vec3| at - scene.centre;
    let rise = scene.at.iter().map(|p| p.z).fold(0.0, f64::max);
    if scene.round() {
        let base = scene.at.iter().map(|p| from_centre(p).xy().norm()).fold(0.0, f64::max);
        // Radius of the sphere through the crown and the widest ring; a full half-sphere or more is
        // taken as having that ring at its middle.
        let radius = if rise > base { base } else { (base * base + rise * rise) / (2.0 * rise).max(1e-9) };
        return scene
            .at
            .iter()
            .map(|p| {
                let p = from_centre(p);
                let away = p.xy().norm();
                let along = radius * away.atan2(p.z - (rise - radius));
                if away > 0.0 { [p.x / away * along, p.y / away * along] } else { [0.0, 0.0] }
            })
            .collect();
    }
    scene
        .at
        .iter()
        .map(|p| {
            let p = from_centre(p);
            [p.x, p.y.atan2(p.z) * p.y.hypot(p.z)]
        })
        .collect()
}

/// From metres in the view's plane to units on the page.
#[derive(Debug, Clone, Copy)]
pub(super) struct Fit {
    /// Units to a metre.
    pub(super) scale: f64,
    middle: [f64; 2],
    page: [f64; 2],
}

impl Fit {
    /// The largest scale at which the points fit into the room.
    pub(super) fn into(points: &[[f64; 2]], room: Room) -> Self {
        let mut low = [f64::INFINITY; 2];
        let mut high = [f64::NEG_INFINITY; 2];
        for point in points.iter().filter(|point| point.iter().all(|v| v.is_finite())) {
            for k in 0..2 {
                low[k] = low[k].min(point[k]);
                high[k] = high[k].max(point[k]);
            }
        }
        let page = [room.x + room.width / 2.0, room.y + room.height / 2.0];
        if low[0] > high[0] {
            return Self { scale: 1.0, middle: [0.0, 0.0], page };
        }
        let wide = (high[0] - low[0]).max(1e-9);
        let tall = (high[1] - low[1]).max(1e-9);
        Self {
            scale: (room.width / wide).min(room.height / tall),
            middle: [f64::midpoint(low[0], high[0]), f64::midpoint(low[1], high[1])],
            page,
        }
    }

    /// At a scale, with a point of the view's plane at a point of the page.
    pub(super) fn about(middle: [f64; 2], page: [f64; 2], scale: f64) -> Self {
        Self { scale: if scale.is_finite() { scale } else { 1.0 }, middle, page }
    }

    /// A point on the page.
    pub(super) fn at(&self, point: [f64; 2]) -> [f64; 2] {
        [
            self.page[0] + (point[0] - self.middle[0]) * self.scale,
            self.page[1] - (point[1] - self.middle[1]) * self.scale,
        ]
    }
}
