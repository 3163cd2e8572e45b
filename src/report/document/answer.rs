//! The first page: the answer, the weakest thing named, and what this is and is not.

use super::{Block, Builder, COMBINATION, Cell, Table, Tone};
use crate::assess::results::Verdict;
use crate::assess::verdict::rests_words;
use crate::report::draw::{Shown, View};
use crate::report::misfit;
use crate::report::ranges::opening;
use crate::report::show::{self, tame};
use crate::rules::Standing;

/// Characters of the headline, in which all that keeps a verdict at near is told.
const LONGEST_HEADLINE: usize = 3000;
/// Characters of what was left out; where the user's reason is longer, the list of inputs has it.
const LONGEST_REASON: usize = 400;

impl Builder<'_> {
    pub(super) fn answer(&mut self) {
        let a = self.assessment;
        let standing = match a.verdict {
            Verdict::Within => Standing::Within,
            Verdict::Near => Standing::Near,
            Verdict::Over | Verdict::Unstable => Standing::Over,
        };
        let mut lines = vec![show::sentences(&show::capital(&a.headline_parts.why), LONGEST_HEADLINE)];
        lines.extend(a.stages_told().iter().map(|words| show::sentences(&self.show.sentence(words), 1000)));
        if a.rests_on_seams {
            lines
                .push(format!("{} Test a seam, or add a rib, a tie or an end wall.", rests_words(&a.models)));
        }
        // What the headline says of it already is not said again.
        let left_out = a.not_in_it.iter().filter(|words| !lines[0].contains(words.as_str()));
        let left_out: Vec<String> = left_out.map(|words| show::sentences(words, LONGEST_REASON)).collect();
        lines.extend(left_out);
        lines.extend(a.ranges.as_ref().map(opening));
        lines.push(format!("The verdict is taken from {}.", show::verdict_models(&a.verdict_model)));
        lines.extend(super::others::line(a));
        lines.extend(to_be_looked_at(&a.warnings));
        self.blocks.push(Block::Callout { tone: Tone::Verdict(standing), title: show::first_line(a), lines });
        self.blocks.push(Block::Callout {
            tone: Tone::Caution,
            title: "Caution".to_owned(),
            lines: vec![a.indicative.clone()],
        });

        let mut table = Table::new(
            "Worked hardest: kinds of timber, and of everything else one of each check; 1.00 is the limit",
            &["#Of its limit", "What", "Where", "Check", "Under", "Model"],
        );
        for group in crate::report::alike::telling(&a.worst_list, 4) {
            let item = group.first;
            table.row([
                Cell::utilisation(item.utilisation),
                Cell::plain(group.name()),
                Cell::plain(group.place()),
                Cell::plain(format!("{} ({})", item.rule, item.clause)),
                Cell::plain(misfit::load(item, COMBINATION)),
                Cell::plain(item.model.clone()),
            ]);
        }
        self.table(table, "Nothing could be checked: no model could be solved.");

        self.blocks.push(Block::Turning);
        let drawn = self.drawing(
            View::Isometric,
            Shown::Utilisation,
            None,
            [760.0, 500.0],
            "How hard each timber is worked. The line grows wider with utilisation, is dashed when near its limit \
             and cross-tied when over it.",
        );
        if !drawn {
            self.drawing(View::Isometric, Shown::Shape, None, [760.0, 500.0], "The shell.");
        }

        self.heading("What this is and is not");
        self.say(
            "These notes are a preliminary load check made with a calculation aid, for the builder to take to the \
             building authority or an engineer. They are not an engineer's statement, and nobody has signed them \
             off. Every load, strength and stiffness below is either the user's own value, a stated default, or \
             taken from the document named beside it; none has been verified for this site.",
        );
        self.say(format!(
            "A result below {1:.2} says only that this check, with these inputs, did not find a failure. Words used: \
             within (up to {0:.2}), near (up to {1:.2}), over (above {1:.2}), unstable (the model moves without \
             resistance, or buckles below its load). The joints are treated as section 6 tells; how stiff and strong \
             the real ones are depends on workmanship, moisture and tightness.",
            Standing::WITHIN,
            Standing::NEAR
        ));
        self.say(
            "Being exempt from permission does not remove the duty that a building stands up. Have an engineer look \
             before building anything that people will gather in, that stands near a boundary or a public path, that \
             is larger than what has stood before, or where any figure here is not within.",
        );
        if !a.not_covered.is_empty() {
            // The subject of each line; its detail is in the list near the end.
            let subject = |line: &String| {
                let line = line.trim_end_matches('.');
                let line = line.split_once(':').map_or(line, |(subject, _)| subject);
                let short = |line: &str| line.chars().count() <= 60;
                let line = if short(line) { line } else { line.split(" (").next().unwrap_or(line) };
                let line = if short(line) { line } else { line.split(',').next().unwrap_or(line) };
                // In the middle of a sentence; a name of initials keeps them.
                let small = line.chars().nth(1).is_none_or(char::is_lowercase);
                let first = line.chars().next().filter(|_| small);
                let line = first.map_or_else(
                    || line.to_owned(),
                    |c| format!("{}{}", c.to_lowercase(), &line[c.len_utf8()..]),
                );
                tame(&line, 90)
            };
            let first: Vec<String> = a.not_covered.iter().take(12).map(subject).collect();
            self.say(format!("Not looked at: {}. Section 16 has the whole list.", first.join("; ")));
        }
        if !a.warnings.is_empty() {
            self.notice(
                "To be looked at first",
                a.warnings.iter().map(|line| show::sentences(line, 1000)).collect(),
            );
        }
    }
}

/// How much stands at the end of section 1 that is to be looked at before anything is made of the verdict.
fn to_be_looked_at(warnings: &[String]) -> Option<String> {
    let provisional = warnings.iter().filter(|warning| warning.starts_with("Provisional")).count();
    let counted = |count: usize, one: &str, more: &str| match count {
        0 => None,
        1 => Some(format!("1 {one}")),
        count => Some(format!("{count} {more}")),
    };
    let told: Vec<String> = [
        counted(warnings.len() - provisional, "warning", "warnings"),
        counted(provisional, "kind of figure that is provisional", "kinds of figure that are provisional"),
    ]
    .into_iter()
    .flatten()
    .collect();
    (!told.is_empty())
        .then(|| format!("To be looked at first, at the end of section 1: {}.", told.join(" and ")))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::document::notes;
    use crate::report::sample::sample;

    fn verdict_lines(assessment: &crate::assess::results::Assessment) -> Vec<String> {
        match notes(assessment).blocks.into_iter().next() {
            Some(Block::Callout { tone: Tone::Verdict(_), lines, .. }) => lines,
            other => panic!("{other:?}"),
        }
    }

    /// What the project leaves out stands with the verdict, and what the headline says already is not said again.
    #[test]
    fn what_is_left_out_stands_beside_the_verdict() {
        let mut assessment = sample();
        let wind = verdict_lines(&assessment);
        assert_eq!(
            wind.iter().filter(|line| line.starts_with("The wind is left out")).count(),
            1,
            "{wind:?}"
        );
        let fixings = "The fixings were not entered, and nothing is said of them.";
        assessment.not_in_it.push(fixings.to_owned());
        let said = |lines: &[String]| lines.iter().filter(|line| line.contains(fixings)).count();
        assert_eq!(said(&verdict_lines(&assessment)), 1);
        assessment.headline_parts.why = format!("{} {fixings}", assessment.headline_parts.why);
        assert_eq!(said(&verdict_lines(&assessment)), 1);
    }

    /// The first page says how much is to be looked at, and where it stands.
    #[test]
    fn the_first_page_counts_what_is_to_be_looked_at() {
        let mut assessment = sample();
        assessment.warnings =
            vec!["One.".to_owned(), "Provisional: two".to_owned(), "Provisional: three".to_owned()];
        let told = "To be looked at first, at the end of section 1: 1 warning and 2 kinds of figure that are provisional.";
        assert!(verdict_lines(&assessment).iter().any(|line| line == told));
        assessment.warnings.clear();
        assert!(verdict_lines(&assessment).iter().all(|line| !line.starts_with("To be looked at")));
    }
}
