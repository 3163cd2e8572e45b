//! Quantities as a reader sees them.

use super::*;

#[test]
fn a_typed_unit_is_raised_in_a_sentence() {
    let said = Printer::new("metric").sentence("0.6 kN/m2 on 9 kg/m2, 420 kg/m3");
    assert_eq!(said, "0.6 kN/m² on 9 kg/m², 420 kg/m³");
}

#[test]
fn a_utilisation_never_rounds_down_to_its_limit() {
    assert_eq!(utilisation(1.001), "1.01");
    assert_eq!(utilisation(1.0), "1.00");
    assert_eq!(utilisation(0.8501), "0.86");
    assert_eq!(utilisation(0.842), "0.84");
    assert_eq!(utilisation(1e9), "beyond");
    assert_eq!(utilisation(f64::NAN), "beyond");
}

#[test]
fn quantities_read_as_a_person_writes_them() {
    let metric = Printer::new("metric");
    assert_eq!(metric.length(2.1), "2.1 m");
    assert_eq!(metric.size(0.047), "47 mm");
    assert_eq!(figures(2907.0, 2, 2), "2900");
    assert_eq!(figures(97.3, 2, 2), "97");
    assert_eq!(metric.movement(3.6e-5), "under 0.1 mm");
    let imperial = Printer::new("imperial");
    assert_eq!(
        [0.0022, 0.003, 0.0004].map(|inches| imperial.movement(inches * INCH)),
        ["0.002 in", "0.003 in", "under 0.001 in"]
    );
    assert_eq!(metric.force(-1234.0), "−1.23 kN");
    assert_eq!(metric.force_bare(1.8), "0");
    assert_eq!(metric.linear_movement(0.026, 4.0), "26 mm");
    assert_eq!(metric.linear_movement(1.7, 4.0), "1700 mm (means nothing)");
    assert_eq!(
        true_minus("outside -0.50, half-shell, 7-16 (-1.2)"),
        "outside −0.50, half-shell, 7-16 (−1.2)"
    );
    let imperial = Printer::new("imperial");
    assert_eq!(imperial.length(2.286), "7 ft 6.0 in");
    // Of fixings 4.75 in from the joint, in a seam of 4 ft 3.9 in.
    assert_eq!(imperial.place(4.75 * INCH), "4.75 in");
    assert_eq!(imperial.place(20.953 * INCH), "20.95 in");
    assert_eq!(metric.place(0.12065), "120.6 mm");
    // 0.6 kN/m² is 12.53 psf: 600 / 47.880.
    assert_eq!(imperial.pressure(600.0), "12.5 psf");
    assert_eq!(
        (imperial.size(11.25 * INCH), imperial.size(1.5 * INCH)),
        ("11.25 in".into(), "1.5 in".into())
    );
}

/// 1.2678 times is not 1.27 times, at which something is over already.
#[test]
fn what_still_holds_is_not_rounded_up() {
    let said = |value| figures(down(value, 3, 2), 3, 2);
    for (value, told) in
        [(1.2678, "1.26"), (0.7199, "0.71"), (1.5, "1.5"), (25.0, "25"), (14.27, "14.2"), (0.0, "0")]
    {
        assert_eq!(said(value), told);
    }
    assert_eq!(said(0.1 + 0.2), "0.3");
}

#[test]
fn long_words_end_with_a_sentence() {
    let words = "Corners are pulled apart by 1.03 kN. No test was entered, so nothing was compared with it. Ask an engineer.";
    assert_eq!(sentences(words, 200), words);
    assert_eq!(sentences(words, 105), words.trim_end_matches(" Ask an engineer."));
    assert_eq!(sentences(words, 60), "Corners are pulled apart by 1.03 kN.");
    assert_eq!(sentences(&"x".repeat(30), 10), "xxxxxxxxxx…");
}

#[test]
fn what_no_number_tells_reads_as_a_sentence() {
    let mut check = crate::report::sample::sample().workings.remove(0).checks.remove(0);
    check.utilisation = INFINITE;
    check.standing = crate::rules::Standing::Over;
    assert_eq!(outcome(&check), "beyond any limit, over");
    check.compares = crate::rules::Compares::Room;
    assert_eq!(outcome(&check), "it does not fit: there is no room for it");
    // 80/0, as the working prints it.
    assert_eq!(working_value(INFINITE), "∞");
    assert_eq!(working_value(1.5e9), "1.500e9");
    assert_eq!(of_its(INFINITE, "limit"), "beyond any limit");
    assert_eq!(of_its(0.77, "limit"), "0.77 of its limit");
}

#[test]
fn hostile_names_are_tamed() {
    assert_eq!(tame("a\u{202e}b\u{0007}c", 10), "abc");
    assert_eq!(tame(&"x".repeat(10_000), 5), "xxxxx…");
    assert_eq!(tame("\u{202e}", 5), "(no name)");
}
