//! What the turning view in the page needs: whole numbers, and words ready to show.

use std::collections::BTreeMap;

use serde_json::{Value, json};

use crate::assess::results::{Assessment, MemberResult};
use crate::report::show::{Printer, buckling_factor, sentences, tame, utilisation, verdict_models};
use crate::report::undrawn::undrawn;
use crate::vector::Vec3;

/// JSON that can stand inside a script element (no `<` in it).
pub(crate) fn view_data(assessment: &Assessment) -> String {
    let show = Printer::new(&assessment.units);
    let data = json!({
        "joints": joints(assessment),
        "members": members(assessment, show),
        "panels": panels(assessment),
        "cases": cases(assessment, show),
        "shapes": shapes(assessment, show),
        "notes": notes(assessment, show),
    });
    data.to_string().replace('<', "\\u003c").replace('\u{2028}', "\\u2028").replace('\u{2029}', "\\u2029")
}

/// A value in so many parts of one, as a whole number; nothing where it is not finite.
#[allow(clippy::cast_possible_truncation, reason = "clamped first")]
fn parts(value: f64, of_one: f64) -> i64 {
    if value.is_finite() { (value * of_one).clamp(-1e12, 1e12).round() as i64 } else { 0 }
}

fn joints(a: &Assessment) -> Value {
    let at: Vec<i64> = a.joints.iter().flat_map(|j| j.at.map(|v| parts(v, 1000.0))).collect();
    let ids: Vec<String> = a.joints.iter().map(|j| tame(&j.id, 20)).collect();
    let feet: Vec<usize> = a.joints.iter().enumerate().filter(|(_, j)| j.foot).map(|(n, _)| n).collect();
    json!({ "at_mm": at, "ids": ids, "feet": feet })
}

/// What stands under the pictures of all timbers: what they show, and what they cannot.
fn notes(a: &Assessment, show: Printer) -> Value {
    let worked = format!(
        "Worst check of each timber by {}; 1.00 is the limit.{}",
        verdict_models(&a.verdict_model),
        undrawn(a, None)
    );
    let most =
        a.members.iter().filter_map(|m| axial_range(a, m)).map(|(_, [low, high])| low.abs().max(high.abs()));
    let axial = a.members.iter().find_map(|m| axial_range(a, m)).map_or_else(
        || "No axial force was worked out.".to_owned(),
        |(model, _)| {
            format!(
                "Of each timber (all its strips) the greater of its push and its pull over the strength combinations, not \
                 all at once; {} model. The widest is {}.",
                tame(model, 30),
                show.force(most.fold(0.0, f64::max))
            )
        },
    );
    json!({ "worked": worked, "axial": axial })
}

/// The range of a member's axial force, and of which joint model: the verdict's, else the first.
fn axial_range<'a>(a: &'a Assessment, member: &'a MemberResult) -> Option<(&'a str, [f64; 2])> {
    let of = member.axial.get_key_value(&a.verdict_model).or_else(|| member.axial.iter().next());
    of.map(|(model, range)| (model.as_str(), *range))
}

/// Words that many members share, each once.
#[derive(Default)]
struct Words {
    list: Vec<String>,
    index: BTreeMap<String, usize>,
}

impl Words {
    fn of(&mut self, text: &str) -> usize {
        if let Some(&n) = self.index.get(text) {
            return n;
        }
        let n = self.list.len();
        self.list.push(text.to_owned());
        self.index.insert(text.to_owned(), n);
        n
    }
}

fn members(a: &Assessment, show: Printer) -> Value {
    let index: BTreeMap<&str, usize> = a.joints.iter().enumerate().map(|(n, j)| (j.id.as_str(), n)).collect();
    let mut words = Words::default();
    let mut ids = Vec::new();
    let mut ends = Vec::new();
    let mut worked = Vec::new();
    let mut worked_words = Vec::new();
    let mut axial = Vec::new();
    let mut axial_words = Vec::new();
    let mut kinds = Vec::new();
    let mut about = Vec::new();
    let mut checks = Vec::new();
    for m in &a.members {
        let (Some(&from), Some(&to)) = (index.get(m.joints[0].as_str()), index.get(m.joints[1].as_str()))
        else {
            continue;
        };
        ids.push(tame(&m.id, 20));
        ends.extend([from, to]);
        let worst = m.worst.as_ref();
        // Anything that is not a number is drawn as far over; -1 is not checked.
        worked.push(worst.map_or(-1, |w| {
            if w.utilisation.is_finite() { parts(w.utilisation.min(99.0), 1000.0) } else { 99_000 }
        }));
        worked_words.push(worst.map_or_else(|| "not checked".to_owned(), |w| utilisation(w.utilisation)));
        let range = axial_range(a, m).map(|(_, range)| range);
        axial
            .push(range.map_or(0, |[low, high]| parts(if low.abs() > high.abs() { low } else { high }, 1.0)));
        axial_words.push(range.map_or_else(
            || "not worked out".to_owned(),
            |[low, high]| format!("{} to {}", show.force_bare(low), show.force(high)),
        ));
        kinds.push(match m.kind.as_str() {
            "seam" if m.fold_deg < -0.5 => 1,
            "seam" => 0,
            _ => 2,
        });
        about.push(words.of(&format!(
            "{}, {} × {} by {}, {} long",
            role(m),
            m.strips,
            show.size(m.breadth),
            show.size(m.depth),
            show.length(m.length)
        )));
        checks.push(worst.map_or(-1, |w| {
            let text =
                format!("{} ({}), under {}, {} model", w.rule, w.clause, tame(&w.combination, 300), w.model);
            i64::try_from(words.of(&text)).unwrap_or(-1)
        }));
    }
    json!({
        "ids": ids, "ends": ends, "worked_milli": worked, "worked": worked_words, "axial_n": axial,
        "axial": axial_words, "kinds": kinds, "about": about, "checks": checks, "words": words.list,
    })
}

/// What a member is, in words: its role names its kind or is followed by it.
fn role(m: &MemberResult) -> String {
    let (role, kind) = (tame(&m.role, 20), tame(&m.kind, 10));
    if role.split(' ').next_back() == Some(kind.as_str()) { role } else { format!("{role} {kind}") }
}

fn panels(a: &Assessment) -> Value {
    let index: BTreeMap<&str, usize> = a.joints.iter().enumerate().map(|(n, j)| (j.id.as_str(), n)).collect();
    let corners: Vec<Vec<usize>> = a
        .panels
        .iter()
        .map(|p| p.joints.iter().filter_map(|id| index.get(id.as_str()).copied()).collect())
        .collect();
    json!(corners)
}

fn cases(a: &Assessment, show: Printer) -> Value {
    let list: Vec<Value> = a
        .cases
        .iter()
        .filter(|case| case.panel_traction.iter().flatten().any(|&v| v != 0.0))
        .map(|case| {
            let loads: Vec<i64> = case.panel_traction.iter().flat_map(|t| t.map(|v| parts(v, 1.0))).collect();
            let most = case.panel_traction.iter().map(|t| Vec3::from(*t).norm()).fold(0.0, f64::max);
            json!({
                "name": tame(&case.name, 80),
                "note": format!("Resultant {}, up to {} of true surface, before any factor.{}",
                    show.force(Vec3::from(case.applied).norm()), show.pressure(most), directions(&case.name)),
                "panels": loads,
            })
        })
        .collect();
    json!(list)
}

/// What the angle in a case's name counts from, where it has one.
fn directions(name: &str) -> &'static str {
    if name.contains('°') { " 0° is towards x, 90° towards y." } else { "" }
}

/// Movements in thousandths of the largest.
fn shape(by: &[[f64; 3]]) -> (Vec<i64>, f64) {
    let most = by.iter().map(|v| Vec3::from(*v).norm()).fold(0.0, f64::max);
    let unit = if most > 0.0 { 1000.0 / most } else { 0.0 };
    (by.iter().flat_map(|v| v.map(|x| parts(x, unit))).collect(), most)
}

fn shapes(a: &Assessment, show: Printer) -> Value {
    let mut list = Vec::new();
    for model in &a.models {
        if let Some(sag) = &model.sag {
            let (by, most) = shape(&sag.shape);
            let note = format!(
                "{}. Greatest movement {}; drawn enlarged.",
                tame(&sag.combination, 300),
                show.movement(most)
            );
            list.push(json!({ "name": format!("bent shape, {}", model.name), "note": note, "by": by, "largest_m": most }));
        }
        if let Some(buckling) = &model.buckling
            && !buckling.shape.is_empty()
        {
            let factor = buckling.factor.map_or_else(|| "none".to_owned(), buckling_factor);
            let note = format!(
                "{}. Linear factor {factor}, which flatters. How far the drawn shape moves has no meaning.",
                tame(&buckling.combination, 300)
            );
            list.push(json!({ "name": format!("buckling, {}", model.name), "note": note, "by": shape(&buckling.shape).0 }));
        }
        for (n, mechanism) in model.mechanism_shapes.iter().enumerate() {
            let name = format!("mechanism {}, {}", n + 1, model.name);
            let note = format!(
                "{} How far the drawn shape moves has no meaning.",
                sentences(&mechanism.words, 2000)
            );
            list.push(json!({ "name": name, "note": note, "by": shape(&mechanism.shape).0 }));
        }
    }
    json!(list)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::sample::sample;

    #[test]
    fn a_role_is_not_followed_by_its_own_kind() {
        let mut member = sample().members[0].clone();
        for (role, kind, said) in [
            ("diagonal seam", "seam", "diagonal seam"),
            ("seam", "seam", "seam"),
            ("base rim", "rim", "base rim"),
            ("purlin", "seam", "purlin seam"),
        ] {
            member.role = role.to_owned();
            member.kind = kind.to_owned();
            assert_eq!(super::role(&member), said);
        }
    }

    /// The view and the tables say the same of a factor, and the view owns up to what it cannot draw.
    #[test]
    fn the_view_says_what_the_tables_say() {
        let mut assessment = sample();
        let model = assessment.models.iter_mut().find(|model| model.buckling.is_some()).unwrap();
        model.buckling.as_mut().unwrap().factor = Some(17_000.0);
        model.governs = true;
        model.mechanisms = 1;
        let data = view_data(&assessment);
        assert!(data.contains("Linear factor over 100") && !data.contains("17000"));
        let notes: Value = serde_json::from_str(&data).unwrap();
        assert!(notes["notes"]["worked"].as_str().unwrap().contains("unstable, a mechanism"));
        assert!(notes["notes"]["axial"].as_str().unwrap().contains("The widest is "));
    }

    #[test]
    fn an_angle_of_a_case_says_what_it_counts_from() {
        assert_eq!(directions("wind from 90°, door open"), " 0° is towards x, 90° towards y.");
        assert_eq!(directions("snow undrifted"), "");
    }
}
