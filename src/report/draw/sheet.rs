//! Four views on one sheet: the plan over the side elevation, the end elevation beside that, and the isometric
//! view where there is room left. Plan and elevations have one scale and stand under and beside each other, so
//! that a joint is found again by going straight down or across.

use super::layers::Layers;
use super::paint::{self, Seen};
use super::scene::Scene;
use super::view::{Fit, Flat, Room};
use super::{View, words};
use crate::report::font;
use crate::report::picture::{Picture, tint::Tint};
use crate::report::show::{Printer, capital};
use crate::vector::Vec3;

/// The views in the order in which they are drawn.
const VIEWS: [View; 4] = [View::Plan, View::Side, View::End, View::Isometric];
/// The places of the views in [`VIEWS`].
const PLAN: usize = 0;
const SIDE: usize = 1;
const END: usize = 2;
const ISOMETRIC: usize = 3;
/// The least share of the common scale that the isometric view may have: it is to be recognised, not measured.
const LEAST_ISOMETRIC: f64 = 0.5;
/// Under each view its name and its axes.
const CAPTION: f64 = 28.0;
/// Between what stands in two cells.
const BETWEEN: f64 = 10.0;
/// What the head and the foot of a picture take of its height, and its edges of its width.
pub(super) const ROUND: [f64; 2] = [40.0, 102.0];

/// How the views stand to each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Arrangement {
    /// Plan over side elevation, the end elevation at the right of that, the isometric view in the corner left over.
    Corner,
    /// Plan over side elevation over the other two: for a shell much longer than wide.
    Stacked,
}

/// Room that a view wants round the shell, on the page.
#[derive(Debug, Clone, Copy)]
struct Pads {
    left: f64,
    right: f64,
    top: f64,
    bottom: f64,
}

/// What has to find room on the sheet.
pub(super) struct Board {
    /// Width and height of every view \[m\].
    sizes: [[f64; 2]; 4],
    /// Middle of every view, in its own plane \[m\].
    middles: [[f64; 2]; 4],
    pads: [Pads; 4],
    flats: [Flat; 4],
}

impl Board {
    pub(super) fn new(scene: &Scene<'_>, layers: &Layers<'_>) -> Self {
        let flats = VIEWS.map(|view| Flat::new(scene, view, layers.moved.as_deref()));
        let mut solid: Vec<Vec3> = scene.at.clone();
        if let Some(moved) = &layers.moved {
            solid.extend(scene.at.iter().zip(moved).map(|(at, by)| at + by));
        }
        for arrow in &layers.arrows {
            solid.push(if arrow.pushes { arrow.at - arrow.by } else { arrow.at + arrow.by });
        }
        // All views show the same points, so views that share an axis share its length and its middle.
        let bounds = flats.each_ref().map(|flat| {
            let seen: Vec<[f64; 2]> = solid.iter().map(|point| flat.direction(point)).collect();
            [0, 1].map(|k| paint::span(&seen, k))
        });
        let sizes = bounds.map(|both| both.map(|(low, high)| (high - low).max(0.0)));
        let middles = bounds
            .map(|both| both.map(|(low, high)| if low > high { 0.0 } else { f64::midpoint(low, high) }));
        Self { sizes, middles, pads: VIEWS.map(|view| pads(layers, view)), flats }
    }

    /// Width and height of the cell of a view at a scale.
    fn cell(&self, view: usize, scale: f64) -> [f64; 2] {
        let scale = if view == ISOMETRIC { LEAST_ISOMETRIC * scale } else { scale };
        let (size, pads) = (self.sizes[view], self.pads[view]);
        [
            size[0] * scale + pads.left + pads.right + BETWEEN,
            size[1] * scale + pads.top + pads.bottom + CAPTION + BETWEEN,
        ]
    }

    /// Width and height of all together at a scale.
    fn wanted(&self, arrangement: Arrangement, scale: f64) -> [f64; 2] {
        let [plan, side, end, isometric] = [PLAN, SIDE, END, ISOMETRIC].map(|view| self.cell(view, scale));
        let along = plan[0].max(side[0]);
        match arrangement {
            Arrangement::Corner => {
                [along + end[0].max(isometric[0]), plan[1].max(isometric[1]) + side[1].max(end[1])]
            }
            Arrangement::Stacked => {
                [along.max(end[0] + isometric[0]), plan[1] + side[1] + end[1].max(isometric[1])]
            }
        }
    }

    /// The largest scale at which all have room, and how they stand then.
    fn largest(&self, [width, height]: [f64; 2]) -> (f64, Arrangement) {
        let scale = |arrangement| {
            // What is wanted grows with the scale, so halving finds it; it is found to a millionth of a unit.
            let (mut low, mut high) = (0.0, 4000.0);
            for _ in 0..50 {
                let middle = f64::midpoint(low, high);
                let [wide, tall] = self.wanted(arrangement, middle);
                if wide <= width && tall <= height { low = middle } else { high = middle }
            }
            low
        };
        let (corner, stacked) = (scale(Arrangement::Corner), scale(Arrangement::Stacked));
        // The end elevation beside the side elevation reads better: a little is given up for it.
        if stacked > 1.08 * corner { (stacked, Arrangement::Stacked) } else { (corner, Arrangement::Corner) }
    }

    /// The height of a picture so wide in which the views are as large as in the highest one that is allowed.
    pub(super) fn height(&self, width: f64, [least, most]: [f64; 2]) -> f64 {
        let (scale, arrangement) = self.largest([width - ROUND[0], most - ROUND[1]]);
        let wanted = self.wanted(arrangement, scale)[1] + ROUND[1];
        if wanted.is_finite() { wanted.clamp(least, most).ceil() } else { least }
    }

    /// The cells, and the scale of plan and elevations.
    fn cells(&self, room: Room) -> ([Room; 4], f64) {
        let (scale, arrangement) = self.largest([room.width, room.height]);
        let [plan, side, end, isometric] = [PLAN, SIDE, END, ISOMETRIC].map(|view| self.cell(view, scale));
        let [_, tall] = self.wanted(arrangement, scale);
        let spare = (room.height - tall).max(0.0);
        let cell = |x: f64, y: f64, width: f64, height: f64| Room { x, y, width, height };
        let (right, bottom) = (room.x + room.width, room.y + room.height);
        let cells = match arrangement {
            Arrangement::Corner => {
                // What is left over goes to the column and the row of the isometric view.
                let across = room.x + plan[0].max(side[0]);
                let down = room.y + plan[1].max(isometric[1]) + spare;
                [
                    cell(room.x, room.y, across - room.x, down - room.y),
                    cell(room.x, down, across - room.x, bottom - down),
                    cell(across, down, right - across, bottom - down),
                    cell(across, room.y, right - across, down - room.y),
                ]
            }
            Arrangement::Stacked => {
                let under_plan = room.y + plan[1] + spare / 3.0;
                let under_side = under_plan + side[1] + spare / 3.0;
                let spare_across = (room.width - end[0] - isometric[0]).max(0.0);
                let across = room.x + end[0] + spare_across / 4.0;
                [
                    cell(room.x, room.y, room.width, under_plan - room.y),
                    cell(room.x, under_plan, room.width, under_side - under_plan),
                    cell(room.x, under_side, across - room.x, bottom - under_side),
                    cell(across, under_side, right - across, bottom - under_side),
                ]
            }
        };
        (cells, scale)
    }

    /// Where on the page a view stands in its cell.
    fn fit(&self, view: usize, cell: Room, scale: f64) -> Fit {
        let pads = self.pads[view];
        let free = Room {
            x: cell.x + pads.left + BETWEEN / 2.0,
            y: cell.y + pads.top + BETWEEN / 2.0,
            width: cell.width - pads.left - pads.right - BETWEEN,
            height: cell.height - pads.top - pads.bottom - CAPTION - BETWEEN,
        };
        let scale = if view == ISOMETRIC {
            let size = self.sizes[view].map(|size| size.max(1e-9));
            (free.width / size[0]).min(free.height / size[1]).max(0.0)
        } else {
            scale
        };
        let page = [free.x + free.width / 2.0, free.y + free.height / 2.0];
        Fit::about(self.middles[view], page, scale)
    }

    /// Paints all four views; gives how many labels had no room, and how many tell of what is hidden.
    pub(super) fn paint(
        &self,
        picture: &mut Picture,
        scene: &Scene<'_>,
        layers: &Layers<'_>,
        room: Room,
        show: Printer,
    ) -> paint::Untold {
        let (cells, scale) = self.cells(room);
        let mut untold = paint::Untold::default();
        for (n, (view, cell)) in VIEWS.into_iter().zip(cells).enumerate() {
            let fit = self.fit(n, cell, scale);
            let flat = &self.flats[n];
            let above = Room { height: (cell.height - CAPTION).max(10.0), ..cell };
            let seen = Seen { flat, fit: &fit, view, room: above, dimensions: dimensions(layers, view) };
            untold.add(layers.paint(picture, scene, &seen));
            let named = match view {
                View::Isometric => "Isometric view, to a scale of its own".to_owned(),
                _ => capital(view.words()),
            };
            let foot = cell.y + cell.height;
            let mut caption = words([cell.x + 4.0, foot - 4.0], &named, 10.5);
            caption.tint = Tint::Soft;
            caption.haloed = true;
            picture.words(caption);
            let beside = cell.x + font::width(&named, 10.5, false) + 30.0;
            paint::axes_mark(picture, flat, [beside, foot - 6.0], 14.0);
            if view == View::Plan {
                let x = (cell.x + 0.45 * cell.width).max(beside + 36.0);
                let bar = Room { x, y: cell.y, width: 1.5 * cell.width, height: cell.height + 12.0 };
                layers.scale_bar(picture, &fit, bar, show);
            }
        }
        untold
    }
}

/// Which of the overall sizes stand on a view, across and upright: on the sheet each is told where it serves two views.
fn dimensions(layers: &Layers<'_>, view: View) -> [bool; 2] {
    let told = match view {
        View::Plan => [false, true],
        View::Side => [true, true],
        View::End => [true, false],
        View::Isometric | View::Unrolled | View::Sheet => [false, false],
    };
    told.map(|told| told && layers.dimensions)
}

/// Views that stand under or beside each other have the same room kept there, so that they are aligned.
fn pads(layers: &Layers<'_>, view: View) -> Pads {
    if view == View::Isometric {
        let by = layers.beside_on_sheet().max(8.0);
        return Pads { left: by, right: by, top: 8.0, bottom: 8.0 };
    }
    let mut pads = Pads { left: paint::OVER_GROUND, right: paint::OVER_GROUND, top: 8.0, bottom: 10.0 };
    if layers.dimensions {
        pads.right = 28.0;
        if view != View::Plan {
            pads.bottom = 32.0;
        }
    }
    if !layers.arrows.is_empty() || !layers.labels.is_empty() {
        (pads.top, pads.bottom) = (20.0, 20.0);
    }
    let beside = layers.beside_on_sheet();
    (pads.left, pads.right) = (pads.left.max(beside), pads.right.max(beside));
    pads
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::sample::vault;

    /// The scale, the cells, and where every view puts every joint.
    fn laid(segments: usize, bays: usize, room: Room) -> (f64, [Room; 4], [Vec<[f64; 2]>; 4]) {
        let shell = vault(segments, bays);
        let scene = Scene::new(&shell);
        let board = Board::new(&scene, &Layers::shape(&scene));
        let (cells, scale) = board.cells(room);
        let joints = [PLAN, SIDE, END, ISOMETRIC].map(|view| {
            let fit = board.fit(view, cells[view], scale);
            board.flats[view].points.iter().map(|point| fit.at(*point)).collect()
        });
        (scale, cells, joints)
    }

    const A4: Room = Room { x: 20.0, y: 62.0, width: 1160.0, height: 721.0 };

    #[test]
    fn every_view_stands_in_its_cell_and_plan_over_elevation() {
        for (segments, bays) in [(8, 2), (8, 5), (9, 14), (8, 40)] {
            let (_, cells, joints) = laid(segments, bays, A4);
            for (cell, joints) in cells.iter().zip(&joints) {
                for [x, y] in joints {
                    assert!((cell.x..=cell.x + cell.width).contains(x), "{bays} bays: {x} {cell:?}");
                    assert!(
                        (cell.y..=cell.y + cell.height - CAPTION).contains(y),
                        "{bays} bays: {y} {cell:?}"
                    );
                }
            }
            let [plan, side, end, _] = &joints;
            for ((plan, side), end) in plan.iter().zip(side).zip(end) {
                assert!((plan[0] - side[0]).abs() < 1e-9, "a joint stands straight under its place in plan");
                if (cells[SIDE].y - cells[END].y).abs() < 1e-9 {
                    assert!((side[1] - end[1]).abs() < 1e-9, "a joint stands as high in both elevations");
                }
            }
        }
    }

    #[test]
    fn the_views_are_as_large_as_the_sheet_allows() {
        for (segments, bays) in [(8, 2), (8, 5), (9, 14), (8, 40)] {
            let shell = vault(segments, bays);
            let scene = Scene::new(&shell);
            let board = Board::new(&scene, &Layers::shape(&scene));
            let (_, scale) = board.cells(A4);
            for arrangement in [Arrangement::Corner, Arrangement::Stacked] {
                let [wide, tall] = board.wanted(arrangement, 1.09 * scale);
                assert!(wide > A4.width || tall > A4.height, "{bays} bays, {arrangement:?}: room is left");
            }
        }
        // Quarters of the sheet with 52 units round each would give a shell of 14 bays this scale and no more.
        let (scale, ..) = laid(9, 14, A4);
        let quarters = (A4.width / 2.0 - 104.0) / (14.0 * 1.2);
        assert!(scale > 1.5 * quarters, "{scale} against {quarters}");
    }

    #[test]
    fn a_shell_much_longer_than_wide_has_its_elevations_over_each_other() {
        let (_, cells, _) = laid(8, 40, A4);
        assert!(cells[END].y > cells[SIDE].y && cells[PLAN].width > 1100.0, "{cells:?}");
        let (_, cells, _) = laid(8, 5, A4);
        assert!((cells[END].y - cells[SIDE].y).abs() < 1e-9 && cells[END].x > cells[SIDE].x, "{cells:?}");
    }

    #[test]
    fn a_sheet_is_as_high_as_its_views_ask_for() {
        let height = |bays| {
            let shell = vault(8, bays);
            let scene = Scene::new(&shell);
            Board::new(&scene, &Layers::shape(&scene)).height(760.0, [420.0, 720.0])
        };
        assert!(height(3) > height(6) + 50.0, "{} {}", height(3), height(6));
        assert!((420.0..=720.0).contains(&height(6)));
    }
}
