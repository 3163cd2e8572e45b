//! The seam-stiffness curve: how much the answer rests on a figure that nobody knows well.

use plotters::{
    chart::{ChartBuilder, LabelAreaPosition},
    drawing::IntoDrawingArea,
    element::Circle,
    prelude::IntoLogRange,
    series::LineSeries,
    style::{Color, IntoFont, ShapeStyle, TextStyle},
};

use super::{Builder, Cell, Table};
use crate::report::picture::chart::{Canvas, FINE, colour, head};
use crate::report::picture::{Picture, tint::Tint};
use crate::report::show::{figures, gives_way, tame};

impl Builder<'_> {
    pub(super) fn seam_curve(&mut self) {
        let (a, show) = (self.assessment, self.show);
        self.heading("How much rests on the seams");
        if a.seam_curve.is_empty() {
            if a.models.iter().any(|model| model.name == "seam") {
                self.say("Not worked out in this run; the command \"seams\" does it.");
                return;
            }
            self.say(
                "The stiffness of the seams is not known, so no curve could be drawn between the pinned and the rigid \
                 model. Enter it, measure it on a bench (two panels, a weight and a ruler), or enter the fixings.",
            );
            return;
        }
        self.say(
            "The same shell with seams from a tenth to ten times as stiff. Where the line is flat the worst of the timbers \
             does not depend on them; where it is steep, test a seam before believing it. Fixings and feet are not in the \
             line.",
        );
        if let Some(picture) = self.chart() {
            self.figure(
                picture,
                "Worst utilisation of the timbers against the stiffness of the seams. The dashed line is the limit.",
            );
        }
        let mut table = Table::new(
            "The curve in figures, two figures each",
            &["#Times", "#Seam stiffness", "#Worst timber", "#Gives way", "#Sag"],
        );
        for point in &a.seam_curve {
            table.row([
                Cell::plain(figures(point.times, 2, 2)),
                Cell::plain(show.seam_stiffness(point.stiffness)),
                point.utilisation.map_or_else(|| Cell::plain("unstable"), Cell::utilisation),
                Cell::plain(point.gives_way.map_or_else(|| "–".to_owned(), gives_way)),
                Cell::plain(
                    point.sag.map_or_else(|| "–".to_owned(), |s| show.linear_movement(s, a.size.span)),
                ),
            ]);
        }
        self.table(table, "");
        self.say(
            "Gives way: at so many times the loads, the lower of the linear buckling factor and the nonlinear path, which is \
             followed up to 10 times.",
        );
    }

    fn chart(&self) -> Option<Picture> {
        let points: Vec<(f64, f64)> = self
            .assessment
            .seam_curve
            .iter()
            .filter_map(|p| p.utilisation.map(|u| (p.times, u)))
            .filter(|(t, u)| *t > 0.0 && t.is_finite() && u.is_finite() && *u < 1e6)
            .collect();
        let low = points.first()?.0;
        let high = points.last()?.0;
        if high <= low {
            return None;
        }
        let top = points.iter().map(|p| p.1).fold(1.2, f64::max) * 1.08;
        let title = "Worst timber against the stiffness of the seams";
        let mut picture = Picture::new(820.0, 402.0, title);
        let above = head(&mut picture, title, &tame(&self.assessment.project, 60), &[]);
        picture.description = points
            .iter()
            .map(|(times, u)| {
                format!("{} times: {}", figures(*times, 2, 2), crate::report::show::utilisation(*u))
            })
            .collect::<Vec<_>>()
            .join("; ");
        // A drawing that fails part of the way leaves the table to tell it.
        plot(&mut picture, above, &points, [low, high], top).ok()?;
        picture.caution([806.0, 394.0], "");
        Some(picture)
    }
}

#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "sizes in a small picture")]
fn plot(
    picture: &mut Picture,
    above: f64,
    points: &[(f64, f64)],
    range: [f64; 2],
    top: f64,
) -> Result<(), Box<dyn std::error::Error>> {
    let fine = |units: f64| (units * FINE) as u32;
    let area = Canvas::new(picture).into_drawing_area();
    let text = |units: f64, tint: Tint| -> TextStyle<'static> {
        ("sans-serif", units * FINE).into_font().color(&colour(tint))
    };
    let line = |tint: Tint, units: f64| ShapeStyle::from(colour(tint)).stroke_width(fine(units));
    let mut chart = ChartBuilder::on(&area)
        .margin(fine(12.0))
        // Under the axis stands the caution.
        .margin_bottom(fine(24.0))
        .margin_top(fine(above))
        .set_label_area_size(LabelAreaPosition::Left, fine(52.0))
        .set_label_area_size(LabelAreaPosition::Bottom, fine(46.0))
        // A little beyond either end, so that the axis has its figures there too.
        .build_cartesian_2d((range[0] * 0.93..range[1] * 1.07).log_scale(), 0.0..top)?;
    chart
        .configure_mesh()
        .bold_line_style(line(Tint::Faint, 0.6))
        .light_line_style(line(Tint::Faint, 0.01).color.mix(0.0))
        .axis_style(line(Tint::Soft, 1.0))
        .label_style(text(11.0, Tint::Soft))
        .axis_desc_style(text(12.0, Tint::Ink))
        .x_desc("times the seam stiffness of the verdict")
        .y_desc("of its limit")
        .x_label_formatter(&|x| figures(*x, 2, 2))
        .y_label_formatter(&|y| format!("{y:.1}"))
        .draw()?;
    // The limit, in dashes of a twentieth of the width.
    let span = (range[1] / range[0]).ln();
    let at = |share: f64| range[0] * (span * share).exp();
    for n in 0..20 {
        let from = f64::from(n) / 20.0;
        chart.draw_series(LineSeries::new(
            [(at(from), 1.0), (at(from + 0.03), 1.0)],
            line(Tint::Worked(5), 1.6),
        ))?;
    }
    chart.draw_series(LineSeries::new(points.iter().copied(), line(Tint::Worked(3), 2.4)))?;
    let dots: Vec<_> = points
        .iter()
        .map(|&p| Circle::new(p, fine(3.6), colour(Tint::of_utilisation(p.1)).filled()))
        .collect();
    chart.draw_series(dots)?;
    area.present()?;
    Ok(())
}
