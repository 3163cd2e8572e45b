//! The tables after the shell's own: anchors, lists, workings, studies, kinds, words, full movements.

use super::{Table, count, maybe, number, text};
use crate::assess::ranged::{Ranges, Spread};
use crate::assess::results::{Assessment, PanelSide};

pub(super) fn anchors(a: &Assessment) -> String {
    let mut table = Table::new(&[
        "joint",
        "state",
        "up_N",
        "down_N",
        "out_N",
        "inward_N",
        "along_N",
        "level_N",
        "moment_Nm",
    ]);
    for l in &a.anchors {
        table.row(&[
            text(&l.joint),
            text(&l.state),
            number(l.up),
            number(l.down),
            number(l.out),
            number(l.inward),
            number(l.along),
            number(l.level),
            number(l.moment),
        ]);
    }
    table.done()
}

pub(super) fn worst_list(a: &Assessment) -> String {
    let mut table =
        Table::new(&["what", "id", "place", "utilisation", "rule", "clause", "combination", "model"]);
    for w in &a.worst_list {
        table.row(&[
            text(&w.what),
            text(&w.id),
            text(&w.place),
            number(w.utilisation),
            text(&w.rule),
            text(&w.clause),
            text(&w.combination),
            text(&w.model),
        ]);
    }
    table.done()
}

pub(super) fn workings(a: &Assessment) -> String {
    let mut table = Table::new(&[
        "what",
        "id",
        "model",
        "combination",
        "rule",
        "step",
        "symbol",
        "formula",
        "numbers",
        "value",
        "unit",
        "clause",
    ]);
    for w in &a.workings {
        for c in &w.checks {
            for s in &c.steps {
                table.row(&[
                    text(&w.what),
                    text(&w.id),
                    text(&w.model),
                    text(&w.combination),
                    text(&c.rule),
                    text(&s.words),
                    text(&s.symbol),
                    text(&s.formula),
                    text(&s.numbers),
                    number(s.value),
                    text(&s.unit),
                    text(&s.clause),
                ]);
            }
        }
    }
    table.done()
}

pub(super) fn seam_curve(a: &Assessment) -> String {
    let mut table = Table::new(&[
        "times",
        "stiffness_Nm_per_rad_per_m",
        "utilisation",
        "buckling_factor",
        "gives_way",
        "sag_m",
    ]);
    for p in &a.seam_curve {
        table.row(&[
            number(p.times),
            number(p.stiffness),
            maybe(p.utilisation),
            maybe(p.buckling),
            maybe(p.gives_way),
            maybe(p.sag),
        ]);
    }
    table.done()
}

pub(super) fn reserves(a: &Assessment) -> String {
    let mut table = Table::new(&["load", "factor", "limit"]);
    for r in &a.reserves {
        table.row(&[text(&r.load), maybe(r.factor), text(&r.limit)]);
    }
    table.done()
}

pub(super) fn timbers(a: &Assessment) -> String {
    let mut table = Table::new(&[
        "timber",
        "length_m",
        "breadth_m",
        "depth_m",
        "bevel_deg",
        "first_end_cut_deg",
        "second_end_cut_deg",
        "hand",
        "count",
        "mass_kg",
        "note",
        "long_point_m",
        "trim_inside_m",
    ]);
    for t in &a.timbers {
        table.row(&[
            text(&t.id),
            number(t.length),
            number(t.section[0]),
            number(t.section[1]),
            number(t.bevel_deg),
            number(t.end_cuts_deg[0]),
            number(t.end_cuts_deg[1]),
            text(&t.hand),
            count(t.count),
            number(t.mass),
            text(&t.note),
            number(t.long_point),
            number(t.trim_inside),
        ]);
    }
    table.done()
}

pub(super) fn seam_fixings(a: &Assessment) -> String {
    let mut table =
        Table::new(&["length_m", "seams", "fixings_each", "places_m", "sharpest_corner_deg", "members"]);
    for kind in &a.seam_fixings {
        let places: Vec<String> = kind.places.iter().map(|&at| number(at)).collect();
        table.row(&[
            number(kind.length),
            count(kind.seams),
            count(kind.places.len()),
            places.join(" "),
            number(kind.corner_deg),
            text(&kind.members.join(" ")),
        ]);
    }
    table.done()
}

pub(super) fn panel_kinds(a: &Assessment) -> String {
    let mut table = Table::new(&[
        "panel",
        "sides_m",
        "hand",
        "count",
        "mass_kg",
        "note",
        "strips",
        "bevels_deg",
        "corners_deg",
    ]);
    for p in &a.panel_kinds {
        let sides: Vec<String> = p.sides.iter().map(|&s| number(s)).collect();
        let list = |of: &dyn Fn(&PanelSide) -> String| p.around.iter().map(of).collect::<Vec<_>>().join(" ");
        table.row(&[
            text(&p.id),
            sides.join(" "),
            text(&p.hand),
            count(p.count),
            number(p.mass),
            text(&p.note),
            // Side by side as the lengths are; the strips of one side from the edge inward.
            text(&list(&|side| side.strips.join("+"))),
            list(&|side| number(side.bevel_deg)),
            list(&|side| number(side.corner_deg)),
        ]);
    }
    table.done()
}

pub(super) fn inputs(a: &Assessment) -> String {
    let mut table = Table::new(&["key", "value", "origin", "note"]);
    for i in &a.inputs {
        table.row(&[text(&i.key), text(&i.value), text(&i.origin), text(&i.note)]);
    }
    table.done()
}

/// Every point tried of the ranges, with the value of each input there.
pub(super) fn ranges(r: &Ranges) -> String {
    let mut heads: Vec<String> = vec!["point".to_owned()];
    // "N m/rad per m" as in every other heading: "Nm_per_rad_per_m".
    let unit = |unit: &str| match unit {
        "" => String::new(),
        unit => format!("_{}", unit.replace("N m", "Nm").replace('/', "_per_").replace(' ', "_")),
    };
    heads.extend(r.inputs.iter().map(|input| format!("{}{}", input.key, unit(&input.unit))));
    let fixed = [
        "verdict",
        "rests_on_seams",
        "utilisation",
        "governs",
        "combination",
        "buckling_factor",
        "gives_way",
        "sag_m",
        "uplift_N",
        "slide_N",
        "foot_moment_Nm",
    ];
    heads.extend(fixed.map(str::to_owned));
    let names = r.corners.iter().chain(&r.within).next().map_or(&[][..], |point| &point.models[..]);
    heads.extend(names.iter().map(|model| format!("{}_utilisation", model.name)));
    let mut table = Table::new(&heads.iter().map(String::as_str).collect::<Vec<_>>());
    for p in r.corners.iter().chain(&r.within) {
        let mut row = vec![text(&p.id)];
        row.extend(p.values.iter().map(|&value| number(value)));
        row.extend([
            crate::report::show::verdict(p.verdict).to_owned(),
            p.rests_on_seams.to_string(),
            maybe(p.utilisation),
            text(&p.governs),
            text(&p.combination),
            maybe(p.buckling),
            maybe(p.gives_way),
            maybe(p.sag),
            maybe(p.uplift),
            maybe(p.slide),
            maybe(p.foot_moment),
        ]);
        row.extend(p.models.iter().map(|model| maybe(model.utilisation)));
        table.row(&row);
    }
    table.done()
}

/// Least and greatest of each result over the ranges.
pub(super) fn range_results(r: &Ranges) -> String {
    let mut table =
        Table::new(&["result", "unit", "least", "least_at", "greatest", "greatest_at", "points_without"]);
    let mut put = |name: &str, unit: &str, s: &Spread| {
        table.row(&[
            text(name),
            unit.to_owned(),
            maybe(s.least),
            text(&s.least_at),
            maybe(s.greatest),
            text(&s.greatest_at),
            count(s.without),
        ]);
    };
    let all = &r.results;
    put("utilisation", "", &all.utilisation);
    put("buckling factor", "", &all.buckling);
    put("gives way", "", &all.gives_way);
    put("sag", "m", &all.sag);
    put("uplift", "N", &all.uplift);
    put("slide", "N", &all.slide);
    put("foot moment", "N m", &all.foot_moment);
    for model in &all.models {
        put(&format!("utilisation, {} model", model.name), "", &model.utilisation);
        put(&format!("utilisation of timbers, {} model", model.name), "", &model.timber);
    }
    table.done()
}

pub(super) fn hand_checks(a: &Assessment) -> String {
    let mut table = Table::new(&["what", "working", "by_hand", "by_solver", "unit", "remark"]);
    for h in &a.hand_checks {
        table.row(&[
            text(&h.what),
            text(&h.working),
            number(h.hand),
            number(h.solver),
            text(&h.unit),
            text(&h.remark),
        ]);
    }
    table.done()
}

pub(super) fn words(a: &Assessment) -> String {
    let mut table = Table::new(&["what", "words"]);
    let mut put = |what: &str, value: &str| table.row(&[text(what), text(value)]);
    put("caution", &a.indicative);
    put("project", &a.project);
    put("basis", &a.basis);
    put("verdict", crate::report::show::verdict(a.verdict));
    put("verdict of the finished shell", crate::report::show::verdict(a.finished_verdict));
    put("verdict model", &a.verdict_model);
    put("headline", &a.headline);
    put("rests on seams", if a.rests_on_seams { "yes" } else { "no" });
    put("rests on feet", if a.rests_on_feet { "yes" } else { "no" });
    put("version", &a.strutwise);
    put("input checksum", &a.input_sha256);
    for file in &a.further_files {
        put("checksum of a further file", &format!("{} {}", file.sha256, file.name));
    }
    for (what, lines) in [
        ("no better than near", &a.doubts),
        ("warning", &a.warnings),
        ("assumption", &a.assumptions),
        ("not covered", &a.not_covered),
        ("question", &a.questions),
        ("source", &a.sources),
    ] {
        for line in lines {
            put(what, line);
        }
    }
    table.done()
}

pub(super) fn displacements(a: &Assessment) -> String {
    let mut table =
        Table::new(&["model", "case", "joint", "ux_m", "uy_m", "uz_m", "rx_rad", "ry_rad", "rz_rad"]);
    for m in &a.models {
        for (case, by_joint) in m.displacements.iter().flatten() {
            for (joint, u) in by_joint {
                let mut row = vec![text(&m.name), text(case), text(joint)];
                row.extend(u.iter().map(|&v| number(v)));
                table.row(&row);
            }
        }
    }
    table.done()
}

pub(super) fn bar_forces(a: &Assessment) -> String {
    let mut table =
        Table::new(&["model", "case", "member", "end", "n_N", "vy_N", "vz_N", "t_Nm", "my_Nm", "mz_Nm"]);
    for m in &a.models {
        for (case, by_member) in m.bar_forces.iter().flatten() {
            for (member, f) in by_member {
                for (end, values) in [("from", f.from), ("to", f.to)] {
                    let mut row = vec![text(&m.name), text(case), text(member), end.to_owned()];
                    row.extend(values.iter().map(|&v| number(v)));
                    table.row(&row);
                }
            }
        }
    }
    table.done()
}
