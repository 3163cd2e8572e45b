//! What the columns of the sheets of a plain frame are, for the reference.

use super::{bars, joints, loads, springs};
use crate::project::csv::Column;
use crate::project::key::Key;
use crate::project::schema_shell;

/// A sheet: the key that names it, its columns, and what each of them is.
pub(crate) struct Told {
    /// Key of `[shell]`.
    pub(crate) key: &'static Key,
    /// As read.
    pub(crate) columns: &'static [Column],
    /// A sentence on its rows.
    pub(crate) about: &'static str,
    /// Columns, one or several, and what they are.
    pub(crate) words: &'static [(&'static [&'static str], &'static str)],
}

/// Every sheet, in the order in which a frame is written down.
pub(crate) const SHEETS: &[Told] = &[
    Told {
        key: &schema_shell::JOINTS,
        columns: joints::COLUMNS,
        about: "A joint a row.",
        words: &[
            (&["joint"], "its name"),
            (&["x", "y", "z"], "where it is (m; or with a unit); z is up"),
            (&["held"], "the freedoms held, with spaces between: x y z rx ry rz; empty: free"),
            (&["kx", "ky", "kz"], "springs to the ground along x, y, z (N/m); empty: none"),
            (
                &["krx", "kry", "krz"],
                "springs to the ground against turning about x, y, z (N·m/rad); empty: none",
            ),
            (&["mass"], "mass lumped there (kg), for frequencies"),
        ],
    },
    Told {
        key: &schema_shell::BARS,
        columns: bars::COLUMNS,
        about: "A bar a row. Local x runs from its first joint to its second.",
        words: &[
            (&["bar"], "its name"),
            (&["from", "to"], "the joints at its ends"),
            (&["section"], "NAME of its [section.NAME]"),
            (&["hinges"], "which ends turn freely: from, to or both; empty: neither"),
            (
                &["up_x", "up_y", "up_z"],
                "a direction whose part square to the bar is local z; empty: straight up, or x for an upright bar",
            ),
            (
                &["from_krx", "from_kry", "from_krz", "to_krx", "to_kry", "to_krz"],
                "springs at its ends against turning about its local x, y, z (N·m/rad); of an end with any, an empty one \
                 is rigid",
            ),
        ],
    },
    Told {
        key: &schema_shell::LOADS,
        columns: loads::COLUMNS,
        about: "A load on a joint a row; rows of one case add up.",
        words: &[
            (&["case"], "name of the load case"),
            (&["joint"], "the joint loaded, or moved"),
            (&["fx", "fy", "fz"], "force along x, y, z (N); downward is negative fz"),
            (&["mx", "my", "mz"], "moment about x, y, z (N·m)"),
            (
                &["ux", "uy", "uz"],
                "movement forced on a held joint along x, y, z (m); the freedom must be held",
            ),
            (&["rx", "ry", "rz"], "turn forced on a held joint about x, y, z (rad)"),
        ],
    },
    Told {
        key: &schema_shell::BAR_LOADS,
        columns: loads::LINE_COLUMNS,
        about: "A line load on a bar a row; rows of one case, in either sheet of loads, add up.",
        words: &[
            (&["case"], "name of the load case"),
            (&["bar"], "the bar loaded"),
            (
                &["start", "end"],
                "where it begins and ends, along the bar from its first joint (m); empty: the bar's ends",
            ),
            (&["wx", "wy", "wz"], "load per length of bar where it begins, along x, y, z of the frame (N/m)"),
            (
                &["wx_end", "wy_end", "wz_end"],
                "the same where it ends, straight between; empty: as where it begins",
            ),
        ],
    },
    Told {
        key: &schema_shell::SPRINGS,
        columns: springs::COLUMNS,
        about: "A spring between two joints a row. The joints may be at one place: a joint of the frame that gives.",
        words: &[
            (&["spring"], "its name"),
            (&["from", "to"], "the two joints"),
            (&["kx", "ky", "kz"], "stiffness along x, y, z of the frame (N/m); empty: none"),
            (
                &["krx", "kry", "krz"],
                "stiffness against turning about x, y, z of the frame (N·m/rad); empty: none",
            ),
        ],
    },
    Told {
        key: &schema_shell::FOLDS,
        columns: springs::FOLD_COLUMNS,
        about: "A turning spring on the fold between two triangles a row: it holds the angle between them.",
        words: &[
            (&["fold"], "its name"),
            (&["from", "to"], "the joints at the ends of the line that both triangles share"),
            (
                &["left", "right"],
                "the far corner of either triangle, left and right of from → to seen from outside",
            ),
            (&["stiffness"], "moment per turn of the whole fold (N·m/rad), not per metre; empty: none"),
        ],
    },
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_column_that_is_read_is_told_once() {
        for sheet in SHEETS {
            let told: Vec<&str> = sheet.words.iter().flat_map(|(names, _)| names.iter().copied()).collect();
            let read: Vec<&str> = sheet.columns.iter().map(|column| column.name).collect();
            assert_eq!(told, read, "{}", sheet.key.name);
            // Columns told together are all required, or none of them is.
            for (names, _) in sheet.words {
                let required = |name: &&str| sheet.columns.iter().any(|c| c.name == *name && c.required);
                assert!(names.iter().all(required) || !names.iter().any(required), "{names:?}");
            }
        }
    }

    #[test]
    fn the_reference_has_the_sheets_that_only_a_frame_has() {
        let text = crate::project::reference::markdown();
        for columns in ["`wx_end`, `wy_end`, `wz_end`", "`left`, `right`", "`krx`, `kry`, `krz`"] {
            assert!(text.contains(columns), "{columns}");
        }
    }
}
