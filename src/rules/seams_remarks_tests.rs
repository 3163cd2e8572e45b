//! Seams: what is told of what was assumed or not checked.

use super::*;
use crate::rules::fasteners::nds::Format;
use crate::rules::seams::tests::{nds_seam, seam};
use crate::units::{INCH, System};

/// A project in inches reads inches.
#[test]
fn remarks_speak_the_units_of_the_project() {
    let input = nds_seam(FixingKind::CoachScrew, 0.75 * INCH, Format::Asd { duration: 1.6 });
    for said in remarks(&input, System::Imperial) {
        assert!(!said.contains(" mm") && !said.contains("N/mm²"), "{said}");
    }
    assert!(remarks(&input, System::Imperial)[0].contains("0.75 in coach screw"));
}

/// What is assumed or not checked is said where that is so, and nowhere else.
#[test]
fn each_remark_is_said_of_what_it_is_true_of() {
    let (asd, flat) = (Format::Asd { duration: 1.0 }, |input: SeamInput| Strip { fold: 0.0, ..input.strip });
    let says = |input: &SeamInput, words: &str| {
        remarks(input, System::Metric).iter().any(|said| said.contains(words))
    };
    let with = |input: SeamInput, change: &dyn Fn(&mut FixingsAsk)| {
        let mut changed = input;
        change(&mut changed.fixings);
        changed
    };
    let bolt = seam(FixingKind::Bolt, 0.008);
    // Holes off mid-depth of a strip that is cut at an angle.
    assert!(!says(&bolt, "off mid-depth"));
    let off = with(bolt, &|f| f.lever = 0.050);
    assert!(says(&off, "mark them 39 mm from"), "{:?}", remarks(&off, System::Metric));
    assert!(says(
        &SeamInput { strip: Strip { fold: -off.strip.fold, ..off.strip }, ..off },
        "mark them 39 mm from"
    ));
    assert!(!says(&SeamInput { strip: flat(off), ..off }, "off mid-depth"));
    assert!(!says(&SeamInput { strip: Strip { bevelled: false, ..off.strip }, ..off }, "off mid-depth"));
    // Washers: screws have none.
    assert!(says(&bolt, "no washer was given: 24 mm assumed"));
    assert!(!says(&with(bolt, &|f| f.washer = Some(0.024)), "washer"));
    assert!(says(&seam(FixingKind::CoachScrew, 0.010), "no washer was given: 30 mm"));
    let screw = seam(FixingKind::Screw, 0.006);
    assert!(!says(&screw, "washer"));
    // What a maker's value answers for.
    let maker = |f: &mut FixingsAsk| f.withdrawal = Some(11e6);
    let drilled = |f: &mut FixingsAsk| (f.withdrawal, f.predrilled) = (Some(11e6), true);
    assert!(says(&with(screw, &maker), "maker's assessment says"));
    assert!(
        !says(&screw, "maker's assessment says") && !says(&with(screw, &drilled), "maker's assessment says")
    );
    assert!(!says(&with(seam(FixingKind::CoachScrew, 0.010), &maker), "maker's assessment says"));
    // Of exactly twelve diameters a strip is thick enough for Table 8.6 (a power of two, so that it is exact).
    let d = 0.5_f64.powi(8);
    for (thickness, said) in [(11.9 * d, true), (12.0 * d, false), (12.1 * d, false)] {
        let strip = Strip { breadth: thickness, ..flat(screw) };
        let thin = SeamInput { strip, fixings: FixingsAsk { diameter: d, ..screw.fixings }, ..screw };
        assert_eq!(says(&thin, "thinner than 12 diameters"), said, "{thickness}");
    }
    // Heads: the Eurocode asks for a declared value, NDS for a diameter; bolts and coach screws have washers.
    let us = nds_seam(FixingKind::Screw, 0.190 * INCH, asd);
    assert!(says(&screw, "no rope effect") && says(&us, "no head diameter"));
    assert!(!says(&us, "no rope effect") && !says(&screw, "no head diameter"));
    // The declared value is of a head's size: alone it is compared with nothing, and neither is a head alone.
    assert!(!says(&with(screw, &|f| (f.head_pull, f.head) = (Some(9e6), Some(0.012))), "heads"));
    assert!(says(&with(screw, &|f| (f.head_pull, f.head) = (Some(9e6), None)), "heads"));
    assert!(says(&with(screw, &|f| (f.head_pull, f.head) = (None, Some(0.012))), "heads"));
    assert!(!says(&with(us, &|f| f.head = Some(0.009)), "heads"));
    for other in
        [seam(FixingKind::CoachScrew, 0.010), nds_seam(FixingKind::CoachScrew, 0.25 * INCH, asd), bolt]
    {
        assert!(!says(&other, "heads"));
    }
    // Nothing is said of what was given.
    let told = with(screw, &|f| {
        (f.length, f.thread, f.root) = (Some(0.07), Some(0.04), Some(0.0042));
        (f.steel, f.end, f.corner_pull) = (Some(5e8), Some(0.2), Some(500.0));
    });
    for words in
        ["length of the screws", "length of thread", "root diameter", "the steel", "spread evenly", "corner"]
    {
        assert!(says(&screw, words) && !says(&told, words), "{words}");
    }
}
