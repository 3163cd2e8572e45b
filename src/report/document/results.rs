//! What the models say: the range, buckling, feet, fixings, sag, reserves.

use super::{Block, Builder, COMBINATION, Cell, LONGEST, Table};
use crate::assess::results::{ModelResult, ReserveStanding, WorstItem};
use crate::assess::rows_of_feet::TWO_ROWS;
use crate::assess::stability::TELLING;
use crate::report::alike;
use crate::report::draw::{Shown, View};
use crate::report::misfit;
use crate::report::show::{self, figures, sentences, tame};
use crate::report::study::load_reserves_picture;

/// Lengths of seams whose fixings are listed.
const MOST_SEAMS: usize = 40;
/// Feet listed one by one.
pub(super) const MOST_FEET: usize = 120;

impl Builder<'_> {
    pub(super) fn models(&mut self) {
        let a = self.assessment;
        self.heading("Joint models and their range");
        self.say(format!(
            "Frames bolted edge to edge are neither hinged nor rigid, so the answer is a range. Pinned: no stiffness \
             in the seams. Seam: the fold of every seam turns against a spring. Rigid: every joint passes moment. The models \
             beside that of the verdict are other models and no bounds: a joint as made may do worse than all of them. {}",
            super::others::difference(a)
        ));
        let mut table = Table::new(
            "What each model says",
            &[
                "Model",
                "Stiffness",
                "Verdict",
                "#Worst timber",
                "#Worst fixing",
                "#Buckling factor",
                "#Sag",
                "Counts",
            ],
        );
        for model in &a.models {
            let verdict = if model.mechanisms > 0 {
                let s = if model.mechanisms == 1 { "" } else { "s" };
                format!("{} ({} mechanism{s})", show::verdict(model.verdict), model.mechanisms)
            } else {
                show::verdict(model.verdict).to_owned()
            };
            let factor = model.buckling.as_ref().and_then(|b| b.factor);
            table.row([
                Cell::plain(model.name.clone()),
                Cell::plain(sentences(&self.show.sentence(&model.stiffness), LONGEST)),
                Cell::plain(verdict),
                Cell::maybe(model.worst.as_ref().map(|w| w.utilisation)),
                Cell::maybe(model.worst_fixing.as_ref().map(|w| w.utilisation)),
                Cell::plain(factor.map_or_else(|| "–".to_owned(), show::buckling_factor)),
                Cell::plain(
                    model
                        .sag
                        .as_ref()
                        .map_or_else(|| "–".to_owned(), |s| self.show.linear_movement(s.sag, a.size.span)),
                ),
                Cell::plain(if model.governs { "towards the verdict" } else { "as another model" }),
            ]);
        }
        self.table(table, "No joint model was asked for.");
        self.say(
            "Fixings do not slip here, and the corners of the panels keep together. Where corners do not touch, and the \
             fixings alone carry, movement can be many times this.",
        );
        if a.models.iter().any(|model| means_nothing(model, a.size.span)) {
            self.say(show::BEYOND_LINEAR);
        }
        self.say_of_stiffer_factors();
        for model in a.models.iter().filter(|model| model.mechanisms > 0) {
            self.subheading(&format!(
                "The {} model moves without resistance: {} {}",
                model.name,
                model.mechanisms,
                if model.mechanisms == 1 { "mechanism" } else { "mechanisms" }
            ));
            self.blocks.push(Block::List(
                model
                    .mechanism_shapes
                    .iter()
                    .map(|m| {
                        format!(
                            "{} What would stop it: {}.",
                            sentences(&m.words, LONGEST),
                            tame(&m.remedy, LONGEST)
                        )
                    })
                    .collect(),
            ));
            self.say(format!(
                "Count of freedoms: 3 × joints − bars − holds = {} (mechanisms less states of self-stress; its sign \
                 alone proves nothing). A foot counts as a joint with three holds; a timber from foot to foot, as along the ground, \
                 restrains nothing that is not held, and is not among the bars.",
                model.maxwell_count
            ));
            self.drawing(
                View::Isometric,
                Shown::Mechanism,
                Some(model.name.clone()),
                [760.0, 470.0],
                "The first mechanism, over the shell as built. Its size has no meaning; its shape has.",
            );
        }
    }

    /// Why a stiffer model may have the lower buckling factor, where one has.
    fn say_of_stiffer_factors(&mut self) {
        let a = self.assessment;
        let factor = |model: &ModelResult| model.buckling.as_ref().and_then(|buckling| buckling.factor);
        let pinned = a.models.iter().find(|model| model.name == "pinned").and_then(factor);
        let lower: Vec<&str> = a
            .models
            .iter()
            .filter(|model| model.name == "rigid" || model.name == "semi-rigid")
            .filter(|model| {
                factor(model).zip(pinned).is_some_and(|(stiff, soft)| stiff < soft && stiff < TELLING)
            })
            .map(|model| model.name.as_str())
            .collect();
        if !lower.is_empty() {
            self.say(format!(
                "The {} model's buckling factor is below the pinned one's, though its joints are stiffer: in it single \
                 timbers can bow and turn between their joints, and that may come first; in the pinned model only the \
                 joints move, and the bowing of each timber is left to its own check.",
                lower.join(" and the ")
            ));
        }
    }

    pub(super) fn stability(&mut self) {
        let a = self.assessment;
        self.heading("Buckling of the whole shell");
        self.say(
            "The linear factor assumes a perfect shell that keeps its shape until it buckles, and flatters shallow \
             shells several times over. Never read it alone: read it beside the limit of the nonlinear path, where \
             one was followed, and keep a wide margin. The path does not see timbers bow between their joints: the lower \
             of the two counts.",
        );
        let mut table = Table::new(
            "Buckling factors, times the combination's load",
            &["Model", "#Linear", "#Next", "#Nonlinear limit", "Under"],
        );
        for model in &a.models {
            let Some(b) = &model.buckling else { continue };
            let two = |f: Option<f64>| f.map_or_else(|| "–".to_owned(), show::buckling_factor);
            let other = b.limit_combination.as_ref().filter(|name| **name != b.combination);
            let under = tame(&b.combination, COMBINATION)
                + &other.map_or_else(String::new, |name| {
                    format!("; the limit under {}", tame(name, COMBINATION))
                });
            let limit = match b.limit_factor {
                Some(factor) if !b.limit_reached => format!("none to {}", show::buckling_factor(factor)),
                other => two(other),
            };
            table.row([
                Cell::plain(model.name.clone()),
                Cell::plain(two(b.factor)),
                Cell::plain(two(b.factors.get(1).copied())),
                Cell::plain(limit),
                Cell::plain(under),
            ]);
        }
        self.table(
            table,
            "No model could be looked at for buckling (each is a mechanism, or none was compressed).",
        );
        for model in a.models.iter().filter(|model| model.governs) {
            if let Some(buckling) = &model.buckling {
                let name = show::capital(&model.name);
                self.say(format!("{name} model: {}", sentences(&buckling.reading, LONGEST)));
            }
        }
        self.snap();
        self.drawing(
            View::Isometric,
            Shown::Buckling,
            None,
            [760.0, 470.0],
            "The lowest buckling shape, over the shell as built.",
        );
    }

    pub(super) fn feet(&mut self) {
        let (a, show) = (self.assessment, self.show);
        self.heading("Feet and holding down");
        let friction = a.inputs.iter().any(|input| input.key == "feet.friction" && input.origin == "entered");
        self.say(format!(
            "Design values, the greatest of each over the combinations and the models that count. {}: while the wind lifts \
             there is none.",
            if friction {
                "The friction that was entered helps only a foot that presses"
            } else {
                "Friction is not relied on"
            }
        ));
        if let Some(ranges) = &a.ranges {
            self.say(format!(
                "These are of the point {} of the ranges alone, which is the worst on the whole; another point may ask more of \
                 one foot: the spread of lift and slide stands with the ranges, and the anchor schedule below is of all points.",
                tame(&ranges.worst, 20)
            ));
        }
        let unit = show.force_unit();
        // Feet that turn freely hold no moment, and want no columns for it.
        let turned = a.feet.iter().any(|foot| foot.moment > 0.0);
        let moment_head = format!("#Moment, {}", show.moment_unit());
        let mut heads = vec!["Foot", "#Lift", "#Push down", "#Slide", "#Outward", "#Inward"];
        heads.extend(turned.then_some(moment_head.as_str()));
        heads.extend(["#Anchor in lift", "#Anchor sideways"]);
        heads.extend(turned.then_some("#Anchor in moment"));
        // A pad, a tie, the ground or both pulls at once may be worse than an anchor in lift or sideways alone.
        let checked = a.feet.iter().any(|foot| foot.worst.is_some());
        heads.extend(checked.then_some(["#Worst of all", "Which is"]).into_iter().flatten());
        heads.push("Lift under");
        let mut table = Table::new(&format!("Feet, the greatest lift first, in {unit}"), &heads);
        for foot in a.feet.iter().take(MOST_FEET) {
            let mut row = vec![
                Cell::plain(tame(&foot.joint, 20)),
                Cell::plain(show.force_bare(foot.uplift)),
                Cell::plain(show.force_bare(foot.down)),
                Cell::plain(show.force_bare(foot.slide)),
                Cell::plain(show.force_bare(foot.outward)),
                Cell::plain(show.force_bare(foot.inward)),
            ];
            row.extend(turned.then(|| Cell::plain(show.moment_bare(foot.moment))));
            row.extend([Cell::maybe(foot.uplift_utilisation), Cell::maybe(foot.slide_utilisation)]);
            row.extend(turned.then(|| Cell::maybe(foot.moment_utilisation)));
            if checked {
                let worst = foot.worst.as_ref();
                row.push(Cell::maybe(worst.map(|worst| worst.utilisation)));
                row.push(Cell::plain(worst.map_or_else(|| "–".to_owned(), |worst| worst.rule.clone())));
            }
            let under =
                foot.combination.get("uplift").map_or_else(|| "–".to_owned(), |c| tame(c, COMBINATION));
            row.push(Cell::plain(under));
            table.row(row);
        }
        self.table(table, "No reactions could be worked out.");
        // What was warned of the feet stands with them as well.
        let rows: Vec<String> =
            a.warnings.iter().filter(|w| w.starts_with(TWO_ROWS)).map(|w| sentences(w, 1000)).collect();
        if !rows.is_empty() {
            self.notice("Two rows of feet", rows);
        }
        self.drawing(
            View::Plan,
            Shown::Reactions,
            None,
            [760.0, 560.0],
            "What the feet of the finished shell are to hold in the models of the verdict, from above. Anchors are bought by the schedule \
             below, which looks at more.",
        );
        self.whole_on_its_feet();
        self.anchor_schedule(turned);
        self.places_of_feet();
        self.stages();
    }

    pub(super) fn fixings(&mut self) {
        let a = self.assessment;
        self.heading("Fastenings along the seams");
        self.fixing_places();
        let mut table = Table::new(
            "The seams whose fixings are worked hardest, those alike together",
            &["#Of its limit", "What", "Where", "Check", "Under", "Model"],
        );
        let fixings: Vec<WorstItem> =
            a.worst_list.iter().filter(|item| item.what == "fixing").cloned().collect();
        for group in alike::together(&fixings).iter().take(10) {
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
        self.table(
            table,
            "No fixings were given, so they were not checked. Shells of this kind fail at their joints sooner than \
             in their timbers: enter the fixings.",
        );
    }

    fn fixing_places(&mut self) {
        let (a, show) = (self.assessment, self.show);
        let mut table = Table::new(
            "Where they stand, seam by seam (lengths between joints)",
            &[
                "#Seam",
                "#Sharpest corner",
                "#Such seams",
                "#Fixings in each",
                "#First from either joint",
                "#Apart",
                "#Together",
                "Which",
            ],
        );
        for kind in a.seam_fixings.iter().take(MOST_SEAMS) {
            let apart = kind.places.windows(2).next().map(|pair| pair[1] - pair[0]);
            table.row([
                Cell::plain(show.length(kind.length)),
                Cell::plain(format!("{}°", figures(kind.corner_deg, 3, 1))),
                Cell::plain(kind.seams.to_string()),
                Cell::plain(kind.places.len().to_string()),
                Cell::plain(kind.places.first().map_or_else(|| "–".to_owned(), |at| show.place(*at))),
                Cell::plain(apart.map_or_else(|| "–".to_owned(), |apart| show.place(apart))),
                Cell::plain((kind.seams * kind.places.len()).to_string()),
                Cell::plain(tame(&alike::in_runs(&kind.members), 240)),
            ]);
        }
        if !a.seam_fixings.is_empty() {
            self.table(table, "");
            let all: usize = a.seam_fixings.iter().map(|kind| kind.seams * kind.places.len()).sum();
            let cut = a.seam_fixings.len() > MOST_SEAMS;
            let more = if cut { "The longest seams are shown; \"check --csv\" writes all. " } else { "" };
            let entered =
                a.inputs.iter().any(|input| input.key == "fixings.end" && input.origin == "entered");
            let further = if entered {
                " Where a corner is sharper than 60° its mitre takes wood away, and the first fixing stands as much further from \
                 the joint than was entered."
            } else {
                ""
            };
            self.say(format!("{more}{all} fixings in all seams together.{further}"));
        }
    }

    pub(super) fn sag(&mut self) {
        let (a, show) = (self.assessment, self.show);
        self.heading("Sag and sway");
        let mut table = Table::new(
            "Movement under service load, to two figures",
            &["Model", "#Sag at once", "#With creep", "Joint", "Sag under", "#Sway", "Sway under"],
        );
        for model in &a.models {
            let Some(sag) = &model.sag else { continue };
            table.row([
                Cell::plain(model.name.clone()),
                Cell::plain(show.linear_movement(sag.sag, a.size.span)),
                Cell::plain(
                    sag.sag_final.map_or_else(|| "–".to_owned(), |f| show.linear_movement(f, a.size.span)),
                ),
                Cell::plain(tame(&sag.joint, 20)),
                Cell::plain(tame(&sag.combination, COMBINATION)),
                Cell::plain(show.linear_movement(sag.sway, a.size.span)),
                Cell::plain(tame(&sag.sway_combination, COMBINATION)),
            ]);
        }
        self.table(table, "No model could be solved.");
        if a.models.iter().any(|model| means_nothing(model, a.size.span)) {
            self.say(show::BEYOND_LINEAR);
        }
        self.drawing(
            View::Isometric,
            Shown::Sag,
            None,
            [760.0, 470.0],
            "The shape under service load, enlarged.",
        );
    }

    pub(super) fn reserves(&mut self) {
        let a = self.assessment;
        self.heading("Reserves");
        if let Some(picture) = load_reserves_picture(&a.project, &a.units, &a.reserves) {
            self.figure(
                picture,
                "How much more of each load alone until the first limit, all else as entered.",
            );
        }
        let mut table = Table::new(
            "How much of each load until the first limit, all else as entered",
            &["Load", "#Times the entered value", "What gives first"],
        );
        for reserve in &a.reserves {
            table.row([
                Cell::plain(tame(&reserve.load, 60)),
                Cell::plain(reserve.factor.map_or_else(
                    // Over with or without this load: there is no reserve; else no limit was found.
                    || {
                        if reserve.standing == ReserveStanding::OverWithoutIt { "none" } else { "none found" }
                            .to_owned()
                    },
                    |f| {
                        let of = if reserve.entered_speed.is_some() { " (of the pressure)" } else { "" };
                        format!("{}{of}", figures(show::down(f, 2, 2), 2, 2))
                    },
                )),
                Cell::plain(sentences(&reserve.limit, LONGEST)),
            ]);
        }
        self.table(table, "Not worked out in this run; the command \"reserve\" does it.");
    }
}

/// Whether a model moves so much that its linear figures mean nothing.
fn means_nothing(model: &ModelResult, span: f64) -> bool {
    let moves = model.sag.as_ref().map_or([0.0; 3], |s| [s.sag, s.sag_final.unwrap_or(0.0), s.sway]);
    moves.into_iter().any(|movement| show::beyond_linear(movement, span))
}
