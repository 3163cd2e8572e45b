//! Inputs that are ranges: what was tried, and between which ends each result lies.

use super::{Block, Builder, Cell, Table};
use crate::report::ranges::{ends, remarks, results};
use crate::report::show::{self, tame};

/// Corners listed one by one.
const MOST_CORNERS: usize = 64;

impl Builder<'_> {
    pub(super) fn ranges(&mut self) {
        let (a, show) = (self.assessment, self.show);
        let Some(ranges) = &a.ranges else { return };
        self.subheading("Over the ranges of the inputs");
        self.say(
            "Some inputs were entered as ranges. Each corner of them, every such input at its low or its high end, \
             was checked on its own, and points within. Everything else in these notes is of the worst of them.",
        );
        let mut table = Table::new("Inputs entered as ranges", &["Key", "Range", "At the worst point"]);
        for input in &ranges.inputs {
            table.row([
                Cell::plain(tame(&input.key, 60)),
                Cell::plain(tame(&input.words, 100)),
                Cell::plain(input.worst_end.clone()),
            ]);
        }
        self.table(table, "");
        let mut table = Table::new(
            "Results over the ranges, with the points of the least and the greatest",
            &["What", "From to"],
        );
        for (name, words) in results(ranges, show) {
            table.row([Cell::plain(name), Cell::plain(words)]);
        }
        self.table(table, "");
        let caption = format!("Points tried; {} is the one that these notes are about", ranges.worst);
        let mut table = Table::new(
            &caption,
            &[
                "Point",
                "Inputs",
                "Verdict",
                "#Of its limit",
                "What governs",
                "#Gives way",
                "#Sag",
                "#Uplift",
                "#Slide",
            ],
        );
        let listed: Vec<_> = ranges
            .corners
            .iter()
            .enumerate()
            .filter(|(number, corner)| *number < MOST_CORNERS || corner.id == ranges.worst)
            .map(|(_, corner)| corner)
            .collect();
        let left = ranges.corners.len() - listed.len();
        for point in listed.into_iter().chain(&ranges.within) {
            let maybe = |value: Option<f64>, words: &dyn Fn(f64) -> String| {
                Cell::plain(value.map_or_else(|| "–".to_owned(), words))
            };
            table.row([
                Cell::plain(point.id.clone()),
                Cell::plain(ends(ranges, point)),
                Cell::plain(show::verdict(point.verdict)),
                Cell::maybe(point.utilisation),
                Cell::plain(tame(&point.governs, 120)),
                maybe(point.gives_way, &show::gives_way),
                maybe(point.sag, &|v| show.movement(v)),
                maybe(point.uplift, &|v| show.force(v)),
                maybe(point.slide, &|v| show.force(v)),
            ]);
        }
        self.table(table, "");
        if left > 0 {
            self.say(format!("{left} further corners are in ranges.csv and in --json."));
        }
        self.blocks.push(Block::List(remarks(ranges, show)));
    }
}
