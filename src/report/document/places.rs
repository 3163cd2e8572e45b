//! Where things are, in figures and names: the feet, the joints, and the panels of each kind.

use super::results::MOST_FEET;
use super::{Builder, Cell, Table};
use crate::assess::results::JointResult;
use crate::report::alike::in_runs;
use crate::report::show::{Printer, figures, tame};

/// Joints up to which all are listed.
const MOST_JOINTS: usize = 120;
/// Panels up to which each is told by its corners.
const MOST_PANELS: usize = 150;

/// A coordinate \[m\]; what rounding leaves of none is none.
fn coordinate(show: Printer, metres: f64) -> String {
    if metres.abs() < 0.0005 {
        return show.length(0.0);
    }
    let size = show.length(metres.abs());
    if metres < 0.0 { format!("−{size}") } else { size }
}

fn place_of(show: Printer, joint: &JointResult) -> [Cell; 3] {
    joint.at.map(|x| Cell::plain(coordinate(show, x)))
}

impl Builder<'_> {
    /// The feet, for setting out.
    pub(super) fn places_of_feet(&mut self) {
        let (a, show) = (self.assessment, self.show);
        let feet: Vec<&JointResult> = a.joints.iter().filter(|joint| joint.foot).collect();
        if feet.is_empty() {
            return;
        }
        let mut table = Table::new("Where the feet stand", &["Foot", "#x", "#y", "#z (up)", "#Outward, °"]);
        for joint in feet.into_iter().take(MOST_FEET) {
            let outward = a.feet.iter().find(|foot| foot.joint == joint.id).map(|foot| foot.outward_deg);
            let [x, y, z] = place_of(show, joint);
            let outward =
                outward.map_or_else(|| "–".to_owned(), |degrees| figures(whole_turn(degrees), 3, 0));
            table.row([Cell::plain(tame(&joint.id, 20)), x, y, z, Cell::plain(outward)]);
        }
        self.table(table, "");
        self.say(
            "Of the joints, on the lines between which the timbers are drawn; x and y as the axes at the drawings show them. Outward: which \
             way that is at the foot, in plan from x towards y.",
        );
    }

    /// All joints, where they are few.
    pub(super) fn places_of_joints(&mut self) {
        let (a, show) = (self.assessment, self.show);
        if a.joints.is_empty() {
            return;
        }
        self.heading("Where the joints are");
        if a.joints.len() > MOST_JOINTS {
            self.say(format!(
                "The {} joints are in joints.csv of \"check --csv\"; the feet are listed in section 10.",
                a.joints.len()
            ));
            return;
        }
        let mut table = Table::new("Joints", &["Joint", "#x", "#y", "#z (up)"]);
        for joint in &a.joints {
            let [x, y, z] = place_of(show, joint);
            table.row([Cell::plain(tame(&joint.id, 20)), x, y, z]);
        }
        self.table(table, "");
    }

    /// Where each kind of panel goes.
    pub(super) fn panels_by_kind(&mut self) {
        let a = self.assessment;
        let each = a.panels.len() <= MOST_PANELS;
        let mut table = Table::new("Which panels are of each kind", &["Kind", "Panels"]);
        for kind in a.panel_kinds.iter().take(super::shell::MOST_KINDS) {
            let panels = a.panels.iter().filter(|panel| panel.kind == kind.id);
            let told = if each {
                let one = |panel: &crate::assess::results::PanelResult| {
                    let corners: Vec<String> = panel.joints.iter().map(|joint| tame(joint, 16)).collect();
                    format!("{} ({})", tame(&panel.id, 16), corners.join(" "))
                };
                panels.map(one).collect::<Vec<_>>().join(", ")
            } else {
                in_runs(&panels.map(|panel| tame(&panel.id, 16)).collect::<Vec<_>>())
            };
            table.row([Cell::plain(tame(&kind.id, 16)), Cell::plain(told)]);
        }
        if table.rows.is_empty() {
            return;
        }
        self.table(table, "");
        if each {
            self.say(
                "Each panel with the joints at its corners, anticlockwise seen from outside; the drawing of section 7 has the names of joints.",
            );
        }
    }
}

/// An angle from 0 up to a whole turn \[°\].
fn whole_turn(degrees: f64) -> f64 {
    let turned = degrees.rem_euclid(360.0);
    if turned > 359.5 { 0.0 } else { turned }
}

#[cfg(test)]
mod tests {
    use crate::report::document::{Block, notes};
    use crate::report::sample::sample;

    fn table(a: &crate::assess::results::Assessment, caption: &str) -> Vec<Vec<String>> {
        let rows = notes(a).blocks.into_iter().find_map(|block| match block {
            Block::Table(table) if table.caption == caption => Some(table.rows),
            _ => None,
        });
        rows.unwrap_or_default()
            .iter()
            .map(|row| row.iter().map(|cell| cell.text.clone()).collect())
            .collect()
    }

    #[test]
    fn joints_feet_and_panels_are_told_where_they_are() {
        let mut a = sample();
        a.joints[0].at = [-0.1, 1.25, 1e-9];
        let joints = table(&a, "Joints");
        assert_eq!(joints.len(), a.joints.len());
        assert_eq!(joints[0][1..], ["−0.1 m", "1.25 m", "0 m"]);
        assert_eq!(
            table(&a, "Where the feet stand").len(),
            a.joints.iter().filter(|joint| joint.foot).count()
        );
        let panels = table(&a, "Which panels are of each kind");
        let told = panels.iter().map(|row| row[1].matches('(').count()).sum::<usize>();
        assert_eq!(
            told,
            a.panels.iter().filter(|panel| a.panel_kinds.iter().any(|kind| kind.id == panel.kind)).count()
        );
        a.units = "imperial".to_owned();
        assert_eq!(table(&a, "Joints")[0][1], "−3.9 in");
    }
}
