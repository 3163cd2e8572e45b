//! What stands on a page already: lines and labels, found quickly by where they are.

/// A straight line on the page.
pub(super) type Segment = [[f64; 2]; 2];

/// A rectangle on the page, upright.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Area {
    pub(super) left: f64,
    pub(super) top: f64,
    pub(super) right: f64,
    pub(super) bottom: f64,
}

impl Area {
    /// The rectangle about a middle.
    pub(super) fn about(middle: [f64; 2], wide: f64, tall: f64) -> Self {
        Self {
            left: middle[0] - wide / 2.0,
            top: middle[1] - tall / 2.0,
            right: middle[0] + wide / 2.0,
            bottom: middle[1] + tall / 2.0,
        }
    }

    fn meets(&self, other: &Self) -> bool {
        self.left < other.right
            && other.left < self.right
            && self.top < other.bottom
            && other.top < self.bottom
    }

    fn holds(&self, other: &Self) -> bool {
        // To a hair: what was moved to the edge is within.
        self.left <= other.left + 1e-6
            && self.top <= other.top + 1e-6
            && self.right >= other.right - 1e-6
            && self.bottom >= other.bottom - 1e-6
    }

    /// Shares of a line, from 0 at its start to 1 at its end, between which it is inside.
    fn inside(&self, [a, b]: Segment) -> Option<[f64; 2]> {
        let (mut from, mut to) = (0.0_f64, 1.0_f64);
        let by = [b[0] - a[0], b[1] - a[1]];
        for (start, by, low, high) in
            [(a[0], by[0], self.left, self.right), (a[1], by[1], self.top, self.bottom)]
        {
            if by.abs() < 1e-9 {
                if start < low || start > high {
                    return None;
                }
                continue;
            }
            let (one, other) = ((low - start) / by, (high - start) / by);
            from = from.max(one.min(other));
            to = to.min(one.max(other));
        }
        (from < to).then_some([from, to])
    }

    /// The place of the rectangle that is nearest to a point.
    pub(super) fn nearest(&self, point: [f64; 2]) -> [f64; 2] {
        [point[0].max(self.left).min(self.right), point[1].max(self.top).min(self.bottom)]
    }
}

/// A line of the drawing.
struct Line {
    segment: Segment,
    /// How much it matters that nothing stands on it.
    weight: f64,
    /// Whose it is.
    member: usize,
}

/// Side of a cell of [`Cells`].
const CELL: f64 = 40.0;

/// The page in squares, each with the numbers of what is in it.
struct Cells {
    columns: usize,
    rows: usize,
    lists: Vec<Vec<usize>>,
}

impl Cells {
    fn new(width: f64, height: f64) -> Self {
        let (columns, rows) = (cell(width) + 1, cell(height) + 1);
        Self { columns, rows, lists: vec![Vec::new(); columns * rows] }
    }

    /// The cells that a rectangle touches; what is off the page counts to the cells at its edge.
    fn under(&self, area: &Area) -> impl Iterator<Item = usize> + use<> {
        let (columns, rows) = (self.columns, self.rows);
        let (left, right) = (cell(area.left).min(columns - 1), cell(area.right).min(columns - 1));
        let (top, bottom) = (cell(area.top).min(rows - 1), cell(area.bottom).min(rows - 1));
        (top..=bottom).flat_map(move |row| (left..=right).map(move |column| row * columns + column))
    }

    fn put(&mut self, area: &Area, number: usize) {
        for at in self.under(area) {
            self.lists[at].push(number);
        }
    }

    /// Numbers of all that may be in a rectangle, each once.
    fn near(&self, area: &Area) -> Vec<usize> {
        let mut found: Vec<usize> = self.under(area).flat_map(|at| self.lists[at].iter().copied()).collect();
        found.sort_unstable();
        found.dedup();
        found
    }
}

/// The column or row of a distance from the edge.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a page has a few hundred cells")]
fn cell(at: f64) -> usize {
    (at / CELL).clamp(0.0, 400.0) as usize
}

/// Lines and labels on a page.
pub(super) struct Crowd {
    lines: Vec<Line>,
    lines_at: Cells,
    areas: Vec<Area>,
    areas_at: Cells,
    /// Where labels may stand.
    room: Area,
}

impl Crowd {
    pub(super) fn new(width: f64, height: f64, room: Area) -> Self {
        Self {
            lines: Vec::new(),
            lines_at: Cells::new(width, height),
            areas: Vec::new(),
            areas_at: Cells::new(width, height),
            room,
        }
    }

    /// A line that labels should keep off.
    pub(super) fn line(&mut self, segment: Segment, weight: f64, member: usize) {
        self.lines_at.put(&around(segment), self.lines.len());
        self.lines.push(Line { segment, weight, member });
    }

    /// A place that is taken by a label.
    pub(super) fn take(&mut self, area: Area) {
        self.areas_at.put(&area, self.areas.len());
        self.areas.push(area);
    }

    /// Whether a label here would stand on no other and within the room.
    pub(super) fn is_free(&self, area: &Area) -> bool {
        self.room.holds(area) && !self.areas_at.near(area).iter().any(|&n| self.areas[n].meets(area))
    }

    /// The nearest middle at which a label of a width and a height is within the room.
    pub(super) fn moved_into_room(&self, middle: [f64; 2], [wide, tall]: [f64; 2]) -> [f64; 2] {
        let room = &self.room;
        [
            middle[0].min(room.right - wide / 2.0).max(room.left + wide / 2.0),
            middle[1].min(room.bottom - tall / 2.0).max(room.top + tall / 2.0),
        ]
    }

    /// Weight of the lines across a rectangle, but for those of some members.
    pub(super) fn crossed(&self, area: &Area, mine: impl Fn(usize) -> bool) -> f64 {
        let lines = self.lines_at.near(area).into_iter().map(|n| &self.lines[n]);
        lines.filter(|l| !mine(l.member) && area.inside(l.segment).is_some()).map(|l| l.weight).sum()
    }

    /// How many labels a line would run through.
    pub(super) fn struck(&self, segment: Segment) -> usize {
        let near = self.areas_at.near(&around(segment));
        near.iter().filter(|&&n| self.areas[n].inside(segment).is_some()).count()
    }

    /// Weight of the lines that a line crosses on its way, its end left out.
    pub(super) fn met(&self, [a, b]: Segment) -> f64 {
        let b = [a[0] + (b[0] - a[0]) * 0.93, a[1] + (b[1] - a[1]) * 0.93];
        let turn = |o: [f64; 2], p: [f64; 2], q: [f64; 2]| {
            (p[0] - o[0]) * (q[1] - o[1]) - (p[1] - o[1]) * (q[0] - o[0])
        };
        let crosses =
            |[c, d]: Segment| turn(a, b, c) * turn(a, b, d) < 0.0 && turn(c, d, a) * turn(c, d, b) < 0.0;
        let lines = self.lines_at.near(&around([a, b])).into_iter().map(|n| &self.lines[n]);
        lines.filter(|line| crosses(line.segment)).map(|line| line.weight).sum()
    }

    /// What is left of a line where it may not run through a label.
    pub(super) fn cut(&self, segment: Segment) -> Vec<Segment> {
        if self.areas.is_empty() {
            return vec![segment];
        }
        let mut gaps: Vec<[f64; 2]> = self
            .areas_at
            .near(&around(segment))
            .into_iter()
            .filter_map(|n| self.areas[n].inside(segment))
            .collect();
        gaps.sort_by(|a, b| a[0].total_cmp(&b[0]));
        let [a, b] = segment;
        let at = |share: f64| [a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share];
        let mut pieces = Vec::new();
        let mut from = 0.0;
        for [start, end] in gaps {
            if start > from {
                pieces.push([at(from), at(start)]);
            }
            from = end.max(from);
        }
        if from < 1.0 {
            pieces.push([at(from), b]);
        }
        pieces
    }
}

/// The rectangle round a line.
fn around([a, b]: Segment) -> Area {
    Area { left: a[0].min(b[0]), top: a[1].min(b[1]), right: a[0].max(b[0]), bottom: a[1].max(b[1]) }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn crowd() -> Crowd {
        Crowd::new(200.0, 100.0, Area { left: 0.0, top: 0.0, right: 200.0, bottom: 100.0 })
    }

    #[test]
    fn a_line_stops_at_a_label_and_goes_on_behind_it() {
        let mut crowd = crowd();
        let line = [[0.0, 50.0], [200.0, 50.0]];
        assert_eq!(crowd.cut(line), [line]);
        crowd.take(Area::about([50.0, 50.0], 20.0, 10.0));
        crowd.take(Area::about([55.0, 50.0], 20.0, 10.0));
        assert_eq!(crowd.cut(line), [[[0.0, 50.0], [40.0, 50.0]], [[65.0, 50.0], [200.0, 50.0]]]);
        // Past it, and wholly under it.
        assert_eq!(crowd.cut([[0.0, 60.0], [200.0, 60.0]]).len(), 1);
        assert!(crowd.cut([[45.0, 49.0], [55.0, 51.0]]).is_empty());
    }

    #[test]
    fn lines_count_where_they_cross_but_for_ones_own() {
        let mut crowd = crowd();
        crowd.line([[0.0, 0.0], [200.0, 100.0]], 1.0, 3);
        crowd.line([[50.0, 0.0], [50.0, 100.0]], 0.5, 4);
        let on_both = Area::about([50.0, 25.0], 10.0, 10.0);
        assert!((crowd.crossed(&on_both, |_| false) - 1.5).abs() < 1e-12);
        assert!((crowd.crossed(&on_both, |member| member == 3) - 0.5).abs() < 1e-12);
        // Between the two, inside both their boxes.
        assert!(crowd.crossed(&Area::about([100.0, 80.0], 10.0, 10.0), |_| false).abs() < 1e-12);
    }

    #[test]
    fn what_is_off_the_page_or_no_number_does_no_harm() {
        let mut crowd = crowd();
        crowd.line([[f64::NAN, 0.0], [1e9, f64::INFINITY]], 1.0, 0);
        crowd.take(Area::about([-1e9, f64::NAN], 5.0, 5.0));
        assert!(!crowd.is_free(&Area::about([199.0, 50.0], 10.0, 10.0)));
        assert!(crowd.is_free(&Area::about([100.0, 50.0], 10.0, 10.0)));
        crowd.cut([[0.0, 0.0], [f64::NAN, 1.0]]);
    }
}
