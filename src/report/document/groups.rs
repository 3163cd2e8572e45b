//! Timbers by group: the governing check of each, and every timber.

use std::collections::BTreeMap;

use super::{Builder, COMBINATION, Cell, Table};
use crate::assess::results::{MemberResult, WorstAt};
use crate::report::draw::{Shown, View, height_laid_flat};
use crate::report::show::tame;

/// Members listed one by one.
const MOST_MEMBERS: usize = 240;
/// Members whose names want no page of their own.
const FEW_NAMES: usize = 60;

impl Builder<'_> {
    pub(super) fn groups(&mut self) {
        let (a, show) = (self.assessment, self.show);
        self.heading("Timbers by group");
        let mut groups: BTreeMap<(String, usize, String), Vec<&MemberResult>> = BTreeMap::new();
        for member in &a.members {
            let section = format!("{} × {}", show.size(member.breadth), show.size(member.depth));
            groups.entry((member.role.clone(), member.strips, section)).or_default().push(member);
        }
        let mut table = Table::new(
            "The governing check of each group",
            &["Group", "Strips", "#Members", "#Of its limit", "Worst", "Check", "Under", "Model"],
        );
        for ((role, strips, section), members) in &groups {
            let of = |m: &MemberResult| m.worst.as_ref().map_or(f64::NEG_INFINITY, |w| w.utilisation);
            let Some(worst) = members.iter().copied().max_by(|x, y| of(x).total_cmp(&of(y))) else {
                continue;
            };
            let w = worst.worst.as_ref();
            let words =
                |f: fn(&WorstAt) -> &String| w.map_or_else(|| "–".to_owned(), |w| tame(f(w), COMBINATION));
            table.row([
                Cell::plain(tame(role, 30)),
                Cell::plain(format!("{strips} of {section}")),
                Cell::plain(members.len().to_string()),
                Cell::maybe(w.map(|w| w.utilisation)),
                Cell::plain(tame(&worst.id, 20)),
                Cell::plain(
                    w.map_or_else(|| "not checked".to_owned(), |w| format!("{} ({})", w.rule, w.clause)),
                ),
                Cell::plain(words(|w| &w.combination)),
                Cell::plain(words(|w| &w.model)),
            ]);
        }
        self.table(table, "There are no members.");
        self.drawing(
            View::Isometric,
            Shown::Axial,
            None,
            [760.0, 470.0],
            "Greatest axial force of each member. Solid brown is pushed, dashed teal is pulled.",
        );
        self.drawing(
            View::Isometric,
            Shown::Moment,
            None,
            [760.0, 470.0],
            "Greatest bending out of the surface.",
        );
        if a.members.len() <= MOST_MEMBERS {
            self.subheading("Every timber");
            // Names are to be read on paper: where there are many the drawing has a page of its own.
            let most = if a.members.len() > FEW_NAMES { 1020.0 } else { 620.0 };
            let tall = height_laid_flat(a, 760.0, [470.0, most]);
            self.drawing(
                View::Unrolled,
                Shown::Ids,
                None,
                [760.0, tall],
                if a.members.iter().any(|member| member.kind == "bar") {
                    "Names of joints and members, laid flat. A framed end is drawn beside the surface as it is seen from \
                     outside, with its arch once more."
                } else {
                    "Names of joints and members, laid flat."
                },
            );
            let mut all = Table::new(
                "Every member (forces of one strip at its worst place; axial: pulled positive, pushed negative; bending out of the surface and in it)",
                &[
                    "Member",
                    "Between",
                    "#Length",
                    "#Of its limit",
                    &format!("#Axial, {}", show.force_unit()),
                    &format!("#Bending out, {}", show.moment_unit()),
                    &format!("#Bending in, {}", show.moment_unit()),
                    "Check",
                ],
            );
            for m in &a.members {
                let f = m.forces.as_ref();
                all.row([
                    Cell::plain(tame(&m.id, 20)),
                    Cell::plain(format!("{}, {}", tame(&m.joints[0], 16), tame(&m.joints[1], 16))),
                    Cell::plain(show.length(m.length)),
                    Cell::maybe(m.worst.as_ref().map(|w| w.utilisation)),
                    Cell::plain(f.map_or_else(|| "–".to_owned(), |f| show.fine_force_bare(f.n))),
                    Cell::plain(f.map_or_else(|| "–".to_owned(), |f| show.moment_bare(f.my))),
                    Cell::plain(f.map_or_else(|| "–".to_owned(), |f| show.moment_bare(f.mz))),
                    Cell::plain(
                        m.worst.as_ref().map_or_else(|| "not checked".to_owned(), |w| w.rule.clone()),
                    ),
                ]);
            }
            self.table(all, "");
        } else {
            self.say(format!(
                "All {} members are in the tables that \"check --csv\" writes.",
                a.members.len()
            ));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Block, notes};
    use crate::report::sample::sample;

    /// Members of one role and one section may be of one strip or of two, which are not the same timber to cut.
    #[test]
    fn members_with_more_strips_are_a_group_of_their_own() {
        let assessment = sample();
        let rows = notes(&assessment).blocks.into_iter().find_map(|block| match block {
            Block::Table(table) if table.caption.starts_with("The governing check") => Some(table.rows),
            _ => None,
        });
        let rows: Vec<(String, String, usize)> = rows
            .unwrap()
            .iter()
            .map(|row| (row[0].text.clone(), row[1].text.clone(), row[2].text.parse().unwrap()))
            .collect();
        for (role, strips, count) in &rows {
            let of = |m: &&crate::assess::results::MemberResult| {
                m.role == *role && strips.starts_with(&format!("{} of ", m.strips))
            };
            assert_eq!(assessment.members.iter().filter(of).count(), *count, "{role} {strips}");
        }
        assert!(rows.iter().any(|row| row.1.starts_with("1 of")), "{rows:?}");
        assert!(rows.iter().any(|row| row.1.starts_with("2 of")), "{rows:?}");
        assert_eq!(rows.iter().map(|row| row.2).sum::<usize>(), assessment.members.len());
    }
}
