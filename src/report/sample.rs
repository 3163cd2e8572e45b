//! A made-up results value for the tests of the reports: a plain vault with made-up utilisations.

use std::collections::BTreeMap;

use crate::assess::results::{
    AnchorLine, Assessment, BucklingResult, CaseResult, CombinationResult, Counts, FootResult, ForceResult,
    HandCheck, Headline, InputLine, JointResult, MechanismResult, MemberResult, ModelResult, PanelKind,
    PanelResult, PanelSide, Reserve, ReserveStanding, SagResult, SeamFixings, SeamPoint, Size, TimberKind,
    Verdict, Working, WorkingPart, WorstAt, WorstItem,
};
use crate::rules::{Check, Standing, Step};
use crate::vector::Vec3;

const WORST: &str = "The arch seam s5 at the quarter point is worked to 1.12 of its indicative limit under snow drifted east.";

/// A small vault: 8 segments, 5 bays.
pub(crate) fn sample() -> Assessment {
    vault(8, 5)
}

fn worst(utilisation: f64, model: &str, member: &str) -> WorstAt {
    WorstAt {
        utilisation,
        rule: "bending with compression, buckling out of the surface".to_owned(),
        clause: "EN 1995-1-1 6.3.2 (6.23)".to_owned(),
        combination: "1.35 weight + 1.5 snow drifted east".to_owned(),
        model: model.to_owned(),
        member: Some(member.to_owned()),
        at: Some(0.6),
    }
}

/// A vault of any fineness, so that speed and size can be tried as well.
#[allow(clippy::cast_precision_loss, reason = "small counts")]
pub(crate) fn vault(segments: usize, bays: usize) -> Assessment {
    let radius = 2.1;
    let at = |i: usize, j: usize| {
        let angle = std::f64::consts::PI * j as f64 / segments as f64;
        Vec3::new(1.2 * i as f64, -radius * angle.cos(), radius * angle.sin())
    };
    let index = |i: usize, j: usize| i * (segments + 1) + j;
    let mut places = Vec::new();
    let mut joints = Vec::new();
    for i in 0..=bays {
        for j in 0..=segments {
            let p = at(i, j);
            let foot = j == 0 || j == segments;
            places.push(p);
            joints.push(JointResult {
                id: format!("j{}", places.len()),
                at: [p.x, p.y, if foot { 0.0 } else { p.z }],
                foot,
            });
        }
    }
    let mut corner_lists = Vec::new();
    for i in 0..bays {
        for j in 0..segments {
            let (a, b, c, d) = (index(i, j), index(i + 1, j), index(i + 1, j + 1), index(i, j + 1));
            corner_lists.push([a, b, c]);
            corner_lists.push([a, c, d]);
        }
    }
    let mut edges: BTreeMap<(usize, usize), usize> = BTreeMap::new();
    let mut panels = Vec::new();
    for (n, corners) in corner_lists.iter().enumerate() {
        for k in 0..3 {
            let (p, q) = (corners[k], corners[(k + 1) % 3]);
            *edges.entry((p.min(q), p.max(q))).or_default() += 1;
        }
        let normal =
            (places[corners[1]] - places[corners[0]]).cross(&(places[corners[2]] - places[corners[0]]));
        panels.push(PanelResult {
            id: format!("p{}", n + 1),
            joints: corners.iter().map(|&c| joints[c].id.clone()).collect(),
            area: normal.norm() / 2.0,
            slope_deg: (normal.z / normal.norm()).acos().to_degrees(),
            kind: format!("P{}", n % 2 + 1),
        });
    }
    let mut members = Vec::new();
    for (n, (&(p, q), &sides)) in edges.iter().enumerate() {
        let seam = sides == 2;
        let id = if seam { format!("s{}", n + 1) } else { format!("r{}", n + 1) };
        let middle = (places[p] + places[q]) / 2.0;
        let u = 0.15 + 1.1 * (middle.y / radius + 0.2).abs().powi(2) * (0.6 + 0.4 * (middle.x * 0.9).sin());
        let arch = (places[p].x - places[q].x).abs() < 1e-9;
        members.push(MemberResult {
            id: id.clone(),
            joints: [joints[p].id.clone(), joints[q].id.clone()],
            kind: if seam { "seam" } else { "rim" }.to_owned(),
            role: if arch { "arch" } else { "diagonal" }.to_owned(),
            length: (places[p] - places[q]).norm(),
            fold_deg: if seam { if arch { -9.0 } else { 17.5 } } else { 0.0 },
            timber: format!("T{}", n % 3 + 1),
            strips: sides,
            breadth: 0.047,
            depth: 0.075,
            area: 0.047 * 0.075 * sides as f64,
            worst: Some(worst(u, "seam", &id)),
            by_model: [
                ("seam".to_owned(), worst(u, "seam", &id)),
                ("rigid".to_owned(), worst(u * 0.7, "rigid", &id)),
            ]
            .into(),
            axial: [("seam".to_owned(), [-2400.0 * u, 900.0 * (middle.y / radius)])].into(),
            moment: [("seam".to_owned(), 61.0 * u)].into(),
            forces: Some(ForceResult { n: -1100.0 * u, vy: 3.0, vz: 55.0, t: 0.4, my: 61.0 * u, mz: 4.5 }),
            fixings: seam.then(|| worst(u * 0.9, "seam", &id)),
        });
    }
    let shape = |scale: f64| -> Vec<[f64; 3]> {
        places
            .iter()
            .map(|p| {
                let s = (p.y / radius * std::f64::consts::PI).sin() * p.z / radius * scale;
                [0.05 * scale * p.z / radius, s, -s * p.y / radius - 0.3 * scale * p.z / radius]
            })
            .collect()
    };
    let panel_count = panels.len();
    let case = |name: &str, kind: &str, z: f64, traction: [f64; 3]| CaseResult {
        name: name.to_owned(),
        kind: kind.to_owned(),
        asked: [0.0, 0.0, z],
        applied: [0.0, 0.0, z],
        reactions: [("seam".to_owned(), [1e-10, 0.0, -z]), ("rigid".to_owned(), [0.0, 0.0, -z])].into(),
        residual: [("seam".to_owned(), 3.1e-13), ("rigid".to_owned(), 8.0e-13)].into(),
        intensity: [0.0, -traction[2]],
        area: 30.0,
        panel_traction: (0..panel_count)
            .map(|n| if name.contains("east") && n % (2 * segments) < segments { [0.0; 3] } else { traction })
            .collect(),
        remarks: vec!["shape coefficient 0.8 (EN 1991-1-3 table 5.2), of the drifted arrangement".to_owned()],
        provisional: if kind == "wind" {
            vec!["cpe read from a figure from memory".to_owned()]
        } else {
            Vec::new()
        },
    };
    let ids: Vec<String> = members.iter().map(|m| m.id.clone()).collect();
    let combination = "1.35 weight + 1.5 snow drifted east".to_owned();
    let buckling = |factor: f64| {
        Some(BucklingResult {
            factor: Some(factor),
            combination: combination.clone(),
            factors: vec![factor, factor * 1.2],
            limit_factor: Some(factor * 0.4),
            limit_combination: Some("1.35 weight + 1.5 snow undrifted".into()),
            paths_followed: 3,
            limit_reached: true,
            limit_met: true,
            reading: "The linear factor flatters; read it together with the limit of the nonlinear path."
                .to_owned(),
            shape: shape(1.0),
        })
    };
    let sag = |times: f64| {
        Some(SagResult {
            sag: 0.0064 * times,
            sag_final: Some(0.0141 * times),
            sway: 0.0031 * times,
            joint: "j23".to_owned(),
            combination: "1.0 weight + 1.0 snow drifted east".to_owned(),
            sway_combination: "1.0 weight + 1.0 wind from 90°".to_owned(),
            shape: shape(0.0064 * times),
        })
    };
    let model = |name: &str, governs: bool, u: f64| ModelResult {
        name: name.to_owned(),
        stiffness: "3 kN·m/rad per m, entered".to_owned(),
        governs,
        mechanisms: 0,
        mechanism_shapes: Vec::new(),
        maxwell_count: -3,
        unknowns: places.len() * 3,
        buckling: buckling(4.2 / u),
        second_order: governs,
        doubts: Vec::new(),
        sag: sag(u),
        worst: Some(worst(u, name, &ids[4])),
        worst_fixing: Some(worst(u * 0.9, name, &ids[4])),
        verdict: if u > 1.0 { Verdict::Over } else { Verdict::Within },
        displacements: None,
        bar_forces: None,
    };
    let mut pinned = model("pinned", false, 1.0);
    pinned.mechanisms = 2;
    pinned.buckling = None;
    pinned.sag = None;
    pinned.worst = None;
    pinned.worst_fixing = None;
    pinned.verdict = Verdict::Unstable;
    pinned.mechanism_shapes = vec![MechanismResult {
        words: "The crown drops while the quarter points go out; j23 and j32 move most.".to_owned(),
        remedy: "stiffer seams, a framed gable, or a rib".to_owned(),
        shape: shape(1.0),
    }];
    let feet: Vec<FootResult> = joints
        .iter()
        .filter(|j| j.foot)
        .enumerate()
        .map(|(n, j)| FootResult {
            joint: j.id.clone(),
            uplift: 2500.0 - 90.0 * n as f64,
            down: 3200.0,
            slide: 1100.0,
            outward: 900.0,
            inward: 400.0,
            outward_deg: if j.at[1] < 0.0 { -90.0 } else { 90.0 },
            along: 300.0,
            moment: 0.0,
            combination: [("uplift".to_owned(), "0.9 weight + 1.5 wind from 90°".to_owned())].into(),
            model: [("uplift".to_owned(), "seam".to_owned())].into(),
            uplift_utilisation: Some(0.62),
            slide_utilisation: None,
            moment_utilisation: None,
            worst: None,
            by_model: BTreeMap::new(),
        })
        .collect();
    let anchors = feet
        .iter()
        .flat_map(|f| {
            ["door shut", "door open"].map(|state| AnchorLine {
                joint: f.joint.clone(),
                state: state.to_owned(),
                up: f.uplift * if state == "door open" { 1.4 } else { 1.0 },
                down: f.down,
                out: f.outward,
                inward: f.inward,
                along: f.along,
                moment: f.moment,
                level: f.slide,
            })
        })
        .collect();
    let item = |what: &str, id: &str, place: &str, utilisation: f64| WorstItem {
        what: what.to_owned(),
        id: id.to_owned(),
        place: place.to_owned(),
        utilisation,
        rule: "bending with compression, buckling out of the surface".to_owned(),
        clause: "EN 1995-1-1 6.3.2 (6.23)".to_owned(),
        combination: combination.clone(),
        model: "seam".to_owned(),
    };
    let step =
        |words: &str, symbol: &str, formula: &str, numbers: &str, value: f64, unit: &str, clause: &str| {
            Step {
                words: words.to_owned(),
                symbol: symbol.to_owned(),
                formula: formula.to_owned(),
                numbers: numbers.to_owned(),
                value,
                unit: unit.to_owned(),
                clause: clause.to_owned(),
            }
        };
    let working = |id: &str, utilisation: f64| Working {
        what: "timber".to_owned(),
        id: id.to_owned(),
        place: "arch seam at the quarter point".to_owned(),
        model: "seam".to_owned(),
        combination: combination.clone(),
        parts: vec![WorkingPart {
            case: "snow drifted east".to_owned(),
            factor: 1.5,
            forces: ForceResult { n: -900.0, vz: 20.0, my: 40.0, ..ForceResult::default() },
        }],
        note: String::new(),
        checks: vec![Check {
            rule: "bending with compression, buckling out of the surface".to_owned(),
            clause: "EN 1995-1-1 6.3.2 (6.23)".to_owned(),
            steps: vec![
                step("compression stress", "σ_c,0,d", "N / A", "1 650 / 3 290", 0.5015, "N/mm²", ""),
                step(
                    "slenderness out of the surface",
                    "λ_y",
                    "L / i_y",
                    "1 220 / 21.4",
                    57.0,
                    "–",
                    "6.3.2 (6.21)",
                ),
                step(
                    "utilisation",
                    "u",
                    "σ_c,0,d / (k_c,y f_c,0,d) + σ_m,y,d / f_m,y,d",
                    "0.50 / (0.71 × 11.3) + 10.1 / 12.9",
                    utilisation,
                    "–",
                    "6.3.2 (6.23)",
                ),
            ],
            utilisation,
            standing: Standing::of(utilisation),
            compares: crate::rules::Compares::Load,
        }],
    };
    let input = |key: &str, value: &str, origin: &str, note: &str| InputLine {
        key: key.to_owned(),
        value: value.to_owned(),
        origin: origin.to_owned(),
        note: note.to_owned(),
    };
    let seams = members.iter().filter(|m| m.kind == "seam").count();
    Assessment {
        balance: crate::assess::results::Balance::default(),
        snap: None,
        stages: Vec::new(),
        strutwise: "0.1.0".to_owned(),
        project: "Larkfold apple store".to_owned(),
        basis: "eurocode".to_owned(),
        units: "metric".to_owned(),
        indicative:
            "Indicative only: a preliminary check from values that nobody has verified. Local codes, the \
                     building authority and a licensed engineer decide."
                .to_owned(),
        verdict: Verdict::Over,
        finished_verdict: Verdict::Over,
        verdict_model: "seam".to_owned(),
        headline: WORST.to_owned(),
        headline_parts: Headline { opening: "Over:".to_owned(), why: WORST.to_owned(), names_worst: false },
        rests_on_seams: true,
        rests_on_feet: false,
        doubts: Vec::new(),
        ranges: None,
        counts: Counts {
            joints: joints.len(),
            members: members.len(),
            panels: panels.len(),
            seams,
            rims: members.len() - seams,
            feet: feet.len(),
            ridge_seams: seams / 2,
            valley_seams: seams - seams / 2,
        },
        size: Size {
            span: 4.2,
            rise: 2.1,
            length: 1.2 * bays as f64,
            span_of_curve: None,
            rise_of_curve: None,
            length_of_curve: None,
            surface: 39.6,
            floor: 25.2,
            volume: 41.6,
            timber_mass: 310.0,
            timber_length: 210.0,
        },
        joints,
        panels,
        members,
        cases: vec![
            case("weight of the timber", "self", -3040.0, [0.0; 3]),
            case("weight of the cover", "cover", -3500.0, [0.0, 0.0, -88.0]),
            case("snow drifted east", "snow", -9200.0, [0.0, 0.0, -480.0]),
            case("wind from 90°, suction inside", "wind", 12_300.0, [0.0, -250.0, 310.0]),
        ],
        combinations: vec![CombinationResult {
            name: combination.clone(),
            state: "strength".to_owned(),
            factors: [("weight of the timber".to_owned(), 1.35), ("snow drifted east".to_owned(), 1.5)]
                .into(),
            duration: "short-term".to_owned(),
            clause: "EN 1990 6.4.3.2 (6.10)".to_owned(),
        }],
        models: vec![pinned, model("seam", true, 1.12), model("rigid", false, 0.74)],
        feet,
        worst_list: vec![
            item("timber", "s5", "arch seam at the quarter point", 1.12),
            item("fixing", "s5", "arch seam at the quarter point", 1.01),
            item("timber", "s12", "diagonal seam above the door", 0.93),
            item("foot", "j1", "corner foot", 0.62),
            item("shell", "whole", "the whole shell", 0.58),
            item("timber", "r3", "base rim", 0.41),
        ],
        workings: vec![working("s5", 1.12), working("s12", 0.93), working("r3", 0.41)],
        seam_curve: [0.1, 0.3, 1.0, 3.0, 10.0]
            .map(|times: f64| SeamPoint {
                times,
                stiffness: 3000.0 * times,
                utilisation: Some(0.7 + 0.42 / times.sqrt()),
                buckling: Some(4.0 * times.powf(0.6)),
                gives_way: Some((3.5 * times.powf(0.6)).min(10.0)),
                sag: Some(0.007 / times.powf(0.7)),
            })
            .to_vec(),
        reserves: vec![
            Reserve {
                load: "snow".to_owned(),
                entered: Some(600.0),
                entered_speed: None,
                standing: ReserveStanding::Below,
                factor: Some(0.89),
                tried: 1.0,
                limit: "over as entered: bending of the arch seam s5".to_owned(),
                gives: "bending of the arch seam s5; seam model; 1.35 weight + 1.5 snow".to_owned(),
            },
            Reserve {
                load: "wind".to_owned(),
                entered: Some(500.0),
                entered_speed: None,
                standing: ReserveStanding::NoneFound,
                factor: None,
                tried: 10.0,
                limit: "none found up to 10 times".to_owned(),
                gives: String::new(),
            },
        ],
        anchors,
        timbers: vec![TimberKind {
            id: "T1".to_owned(),
            length: 1.22,
            section: [0.047, 0.075],
            bevel_deg: 8.75,
            end_cuts_deg: [30.0, 30.0],
            hand: "left".to_owned(),
            count: 24,
            mass: 1.7,
            long_point: 1.22,
            trim_inside: 0.0123,
            note: "trim on the inside where it runs past its neighbour".to_owned(),
        }],
        panel_kinds: vec![PanelKind {
            id: "P1".to_owned(),
            sides: vec![1.2, 0.82, 1.45],
            hand: "left".to_owned(),
            count: 40,
            mass: 9.5,
            around: [(1.2, 8.75), (0.82, 0.0), (1.45, -4.5)]
                .map(|(length, bevel_deg)| PanelSide {
                    strips: vec!["T1".to_owned()],
                    length,
                    bevel_deg,
                    corner_deg: 60.0,
                })
                .to_vec(),
            note: String::new(),
        }],
        seam_fixings: vec![SeamFixings {
            length: 1.2,
            seams: 40,
            places: vec![0.1, 0.6, 1.1],
            corner_deg: 60.0,
            members: vec!["s1".into()],
        }],
        openings: vec![
            "asked for 0.8 m wide and 1.2 m high: takes 5 panels (4 m²), a hole of up to 2.1 m wide and 1.9 m high".to_owned(),
        ],
        not_in_it: vec![
            "The wind is left out, and nothing is said of it. Reason given: sheltered yard, to be asked."
                .to_owned(),
        ],
        inputs: vec![
            input("timber.grade", "C24", "entered", ""),
            input("timber.breadth", "47 mm", "entered", ""),
            input("timber.depth", "75 mm", "entered", ""),
            input("timber.service_class", "3", "entered", ""),
            input("cover.weight", "9 kg/m²", "entered", "supplier's sheet"),
            input("snow.ground", "0.6 kN/m²", "entered", ""),
            input("wind.left_out", "sheltered yard, to be asked", "entered", ""),
            input("timber.fixings_allowance", "0.05", "default", "common practice, no source"),
        ],
        assumptions: vec!["Feet do not move sideways.".to_owned()],
        hand_checks: vec![HandCheck {
            what: "Thrust of the arch under snow".to_owned(),
            working: "w L² / (8 h) = 0.48 × 4.2² / (8 × 2.1)".to_owned(),
            hand: 0.504,
            solver: 0.53,
            unit: "kN/m".to_owned(),
            remark: "a three-hinged arch; the shell also carries load along its length".to_owned(),
        }],
        not_covered: vec!["Fire.".to_owned(), "Ground under the anchors.".to_owned()],
        questions: vec!["Is the seam stiffness entered believable for bolts that dry out?".to_owned()],
        sources: vec!["EN 1995-1-1:2004 + A1:2008 (from memory)".to_owned()],
        warnings: vec!["The ground snow has no source.".to_owned()],
        input_sha256: "9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f00a08".to_owned(),
        further_files: Vec::new(),
        input_text: "[project]\nname = \"Larkfold apple store\"\n".to_owned(),
    }
}
