//! The notes as one HTML file: no network, no outside fonts or scripts, readable without scripts.

use maud::{DOCTYPE, Markup, PreEscaped, html};
use rayon::prelude::{IntoParallelRefIterator, ParallelIterator};
use sha2::{Digest, Sha256};

use crate::assess::results::Assessment;
use crate::report::base64::base64;
use crate::report::document::{Block, Cell, Document, Table, Tone, notes};
use crate::report::picture::svg::inline_svg;
use crate::report::picture::tint::Tint;
use crate::report::view_data::view_data;
use crate::rules::Standing;

const STYLE: &str = include_str!("page/style.css");
const SCRIPT: &str = include_str!("page/view.js");

/// The notes of an assessment as one HTML file.
#[must_use]
pub fn to_html(assessment: &Assessment) -> String {
    let (document, data) = rayon::join(|| notes(assessment), || view_data(assessment));
    page(&document, &data).into_string()
}

fn page(document: &Document, data: &str) -> Markup {
    let blocks: Vec<Markup> = document.blocks.par_iter().map(write).collect();
    let digest = base64(&Sha256::digest(SCRIPT.as_bytes()));
    let policy = format!(
        "default-src 'none'; style-src 'unsafe-inline'; img-src data:; script-src 'sha256-{digest}'; base-uri 'none'; \
         form-action 'none'"
    );
    let paper = if document.imperial { "@page{size:letter}" } else { "@page{size:a4}" };
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta http-equiv="Content-Security-Policy" content=(policy);
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                meta name="generator" content="strutwise";
                title { "Notes: " (document.title) }
                style { (PreEscaped(palette())) (PreEscaped(STYLE)) (PreEscaped(paper)) }
            }
            body {
                a.skip href="#notes" { "To the notes" }
                header {
                    p.kind { "Notes of a preliminary load check" }
                    h1 { bdi { (document.title) } }
                }
                nav aria-label="Contents" {
                    details open { summary { "Contents" } ol { (contents(document)) } }
                }
                main id="notes" { @for block in &blocks { (block) } }
                footer { p { bdi { (document.running) } } }
                script type="application/json" id="view-data" { (PreEscaped(data)) }
                script { (PreEscaped(SCRIPT)) }
            }
        }
    }
}

/// The tints as variables, for light and dark.
fn palette() -> String {
    let list = |of: fn(Tint) -> [u8; 3]| {
        Tint::all().into_iter().fold(String::new(), |mut list, tint| {
            let [r, g, b] = of(tint);
            list.push_str(&format!("--{}:#{r:02x}{g:02x}{b:02x};", tint.variable()));
            list
        })
    };
    let (light, dark) = (list(Tint::light), list(Tint::dark));
    format!(
        ":root{{{light}}}@media screen and (prefers-color-scheme:dark){{:root:not([data-ground=light]){{{dark}}}}}\
         @media screen{{:root[data-ground=dark]{{{dark}}}}}"
    )
}

fn contents(document: &Document) -> Markup {
    html! {
        @for block in &document.blocks {
            @if let Block::Heading { level: 1, text, id } = block {
                li { a href=(format!("#{id}")) { (text) } }
            }
        }
    }
}

fn write(block: &Block) -> Markup {
    match block {
        Block::Heading { level, text, id } => match level {
            1 => html! { h2 id=(id) { (text) } },
            2 => html! { h3 id=(id) { (text) } },
            _ => html! { h4 id=(id) { (text) } },
        },
        Block::Paragraph(text) => html! { p { (text) } },
        Block::Callout { tone, title, lines } => {
            let class = match tone {
                Tone::Verdict(standing) => format!("callout verdict {}", standing_word(*standing)),
                Tone::Caution => "callout caution".to_owned(),
                Tone::Notice => "callout notice".to_owned(),
            };
            html! {
                section class=(class) aria-label=(title) {
                    p.callout-title { (title) }
                    @for line in lines { p { (line) } }
                }
            }
        }
        Block::List(lines) => html! { ul { @for line in lines { li { (line) } } } },
        Block::Facts(pairs) => html! {
            dl { @for (name, value) in pairs { div { dt { (name) } dd { (value) } } } }
        },
        Block::Table(table) => write_table(table),
        Block::Figure { id, picture, caption } => html! {
            figure id=(id) class=[(picture.height > picture.width).then_some("tall")] {
                div.sheet tabindex="0" role="region" aria-label=(caption) { (PreEscaped(inline_svg(picture, id))) }
                figcaption { (caption) }
            }
        },
        Block::Gallery { id, pictures, caption } => html! {
            figure.gallery id=(id) {
                div.sheet tabindex="0" role="region" aria-label=(caption) {
                    @for (n, picture) in pictures.iter().enumerate() {
                        (PreEscaped(inline_svg(picture, &format!("{id}-{n}"))))
                    }
                }
                figcaption { (caption) }
            }
        },
        Block::Code { title, text } => html! {
            p { (title) }
            pre tabindex="0" { code { (text) } }
        },
        Block::Turning => html! { div id="turning" hidden {} },
        Block::NewPage => html! { div.new-page {} },
    }
}

fn write_table(table: &Table) -> Markup {
    html! {
        div.scroll tabindex="0" role="region" aria-label=(table.caption) {
            table {
                caption { (table.caption) }
                thead {
                    tr { @for head in &table.heads { th scope="col" class=[head.numeric.then_some("number")] { (head.text) } } }
                }
                tbody {
                    @for row in &table.rows {
                        tr { @for (cell, head) in row.iter().zip(&table.heads) { (write_cell(cell, head.numeric)) } }
                    }
                }
            }
        }
    }
}

fn write_cell(cell: &Cell, numeric: bool) -> Markup {
    let short = cell.is_short();
    let class = if numeric { Some("number") } else { short.then_some("short") };
    match cell.standing {
        Some(standing) => html! {
            td.number {
                span class=(format!("mark {}", standing_word(standing))) { (cell.text) }
                @if standing != Standing::Within { span.word { " " (standing_word(standing)) } }
            }
        },
        None if short => html! { td class=[class] { bdi { (cell.text) } } },
        None => html! { td class=[class] { bdi { (breakable(&cell.text)) } } },
    }
}

/// A long text that may break after each sign of a product: a formula has no spaces there, and one that cannot
/// break makes its table wider than the paper.
pub(crate) fn breakable(text: &str) -> Markup {
    html! {
        @for (n, factor) in text.split('·').enumerate() {
            @if n > 0 { "·" wbr; }
            (factor)
        }
    }
}

/// Where a utilisation stands, in a word.
pub(crate) fn standing_word(standing: Standing) -> &'static str {
    match standing {
        Standing::Within => "within",
        Standing::Near => "near",
        Standing::Over => "over",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::sample::{sample, vault};

    fn look(name: &str, text: &str) {
        if let Ok(folder) = std::env::var("STRUTWISE_LOOK") {
            std::fs::write(format!("{folder}/{name}"), text).unwrap();
        }
    }

    #[test]
    fn the_page_holds_everything_and_asks_for_nothing() {
        let page = to_html(&sample());
        look("notes.html", &page);
        for wanted in [
            "Over its indicative limit",
            "Indicative only",
            "lang=\"en\"",
            "<caption>",
            "scope=\"col\"",
            // What is short keeps to one line, and a formula may break.
            "<td class=\"short\"><bdi>s5</bdi>",
            "·<wbr>",
        ] {
            assert!(page.contains(wanted), "{wanted}");
        }
        // Nothing to fetch: no address but the SVG name space and data.
        for bad in ["src=\"http", "href=\"http", "@import", "url(http"] {
            assert!(!page.contains(bad), "{bad}");
        }
    }

    #[test]
    fn a_hostile_project_stays_inert() {
        let mut assessment = sample();
        let hostile = "</script><script>alert(1)</script><img src=x onerror=alert(1)>\u{202e}gnp";
        assessment.project = format!("{hostile}{}", "y".repeat(10_000));
        assessment.input_text = hostile.to_owned();
        assessment.members[0].id = hostile.to_owned();
        assessment.worst_list[0].id = hostile.to_owned();
        assessment.cases[2].name = hostile.to_owned();
        let page = to_html(&assessment);
        look("hostile.html", &page);
        assert_eq!(page.matches("<script").count(), 2, "only the page's own data and script");
        assert!(!page.contains("<img"));
    }

    #[test]
    fn seven_thousand_members_stay_under_five_megabytes() {
        let assessment = vault(40, 58);
        assert!(assessment.members.len() > 6_900);
        let start = std::time::Instant::now();
        let page = to_html(&assessment);
        look("large.html", &page);
        println!("{} bytes in {:?}", page.len(), start.elapsed());
        assert!(page.len() < 5_000_000, "{} bytes", page.len());
    }
}
