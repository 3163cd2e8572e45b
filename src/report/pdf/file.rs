//! Pages, typefaces and bookmarks as the objects of a PDF file.

use std::collections::BTreeMap;

use miniz_oxide::deflate::compress_to_vec_zlib;
use pdf_writer::{
    Filter, Finish, Name, Pdf, Rect, Ref, Settings, Str, TextStr,
    types::{CidFontType, FontFlags, SystemInfo, UnicodeCmap},
};

use super::sheet::{SIDE, Sheets};
use crate::report::document::Document;
use crate::report::font;
use crate::report::picture::tint::Tint;
use crate::report::picture::{BOLD, OPACITIES, REGULAR, single};

/// Numbers objects as they are asked for.
struct Numbers(i32);

impl Numbers {
    fn next(&mut self) -> Ref {
        self.0 += 1;
        Ref::new(self.0)
    }
}

/// The whole file.
pub(super) fn assemble(mut sheets: Sheets, document: &Document) -> Vec<u8> {
    sheets.unmark();
    foot(&mut sheets, document);
    let mut numbers = Numbers(0);
    // Close writing: the tree of tags is most of the file.
    let mut pdf = Pdf::with_settings(Settings { pretty: false });
    let (catalog, tree, resources, outline) =
        (numbers.next(), numbers.next(), numbers.next(), numbers.next());
    let page_refs: Vec<Ref> = sheets.pages.iter().map(|_| numbers.next()).collect();

    let regular = typeface(&mut pdf, &mut numbers, false);
    let bold = typeface(&mut pdf, &mut numbers, true);
    let opacities: Vec<Ref> = OPACITIES.iter().map(|_| numbers.next()).collect();
    for (tenth, id) in (0_u8..).zip(&opacities) {
        let alpha = f32::from(tenth) / 10.0;
        pdf.ext_graphics(*id).stroking_alpha(alpha).non_stroking_alpha(alpha);
    }
    {
        let mut dictionary = pdf.indirect(resources).start::<pdf_writer::writers::Resources<'_>>();
        dictionary.fonts().pair(REGULAR, regular).pair(BOLD, bold);
        let mut states = dictionary.ext_g_states();
        for (name, id) in OPACITIES.iter().zip(&opacities) {
            states.pair(*name, id);
        }
    }

    let [wide, tall] = sheets.paper.map(single);
    for ((content, &id), key) in std::mem::take(&mut sheets.pages).into_iter().zip(&page_refs).zip(0_i32..) {
        let stream = numbers.next();
        let mut page = pdf.page(id);
        page.parent(tree).media_box(Rect::new(0.0, 0.0, wide, tall)).contents(stream);
        page.struct_parents(key);
        page.pair(Name(b"Resources"), resources);
        page.finish();
        let packed = compress_to_vec_zlib(content.finish().as_slice(), 6);
        pdf.stream(stream, &packed).filter(Filter::FlateDecode);
    }
    let count = i32::try_from(page_refs.len()).unwrap_or(i32::MAX);
    pdf.pages(tree).kids(page_refs.iter().copied()).count(count);
    bookmarks(&mut pdf, &mut numbers, outline, &sheets, &page_refs);
    let structure = sheets.tags.write(&mut pdf, || numbers.next(), &page_refs);

    let mut root = pdf.catalog(catalog);
    root.pages(tree);
    root.outlines(outline);
    root.lang(TextStr("en"));
    root.pair(Name(b"StructTreeRoot"), structure);
    root.mark_info().marked(true);
    root.viewer_preferences().display_doc_title(true);
    root.finish();
    let info = numbers.next();
    let title = format!("{}: notes of a preliminary load check", document.title);
    pdf.document_info(info).title(TextStr(&title)).producer(TextStr("strutwise"));
    pdf.finish()
}

/// The running line and the page's number at the foot of every page.
fn foot(sheets: &mut Sheets, document: &Document) {
    let [wide, tall] = sheets.paper;
    let pages = std::mem::take(&mut sheets.pages);
    let count = pages.len();
    let size = 7.5;
    for (n, page) in pages.into_iter().enumerate() {
        sheets.pages.push(page);
        sheets.aside(|sheets| {
            sheets.line_at(&document.running, size, false, Tint::Soft, [SIDE, tall - 30.0]);
            let number = format!("{} / {count}", n + 1);
            let x = wide - SIDE - font::width(&number, size, false);
            sheets.line_at(&number, size, false, Tint::Soft, [x, tall - 30.0]);
        });
        sheets.unmark();
    }
}

fn bookmarks(pdf: &mut Pdf, numbers: &mut Numbers, outline: Ref, sheets: &Sheets, pages: &[Ref]) {
    let refs: Vec<Ref> = sheets.bookmarks.iter().map(|_| numbers.next()).collect();
    let mut list = pdf.outline(outline);
    if let (Some(first), Some(last)) = (refs.first(), refs.last()) {
        list.first(*first).last(*last).count(i32::try_from(refs.len()).unwrap_or(i32::MAX));
    }
    list.finish();
    for (n, (mark, id)) in sheets.bookmarks.iter().zip(&refs).enumerate() {
        let mut item = pdf.outline_item(*id);
        item.title(TextStr(&mark.text)).parent(outline);
        if n > 0 {
            item.prev(refs[n - 1]);
        }
        if let Some(next) = refs.get(n + 1) {
            item.next(*next);
        }
        if let Some(page) = pages.get(mark.page) {
            item.dest().page(*page).xyz(0.0, single(mark.y), None);
        }
    }
}

/// An embedded face with two-byte glyph numbers and the way back to characters.
fn typeface(pdf: &mut Pdf, numbers: &mut Numbers, bold: bool) -> Ref {
    let (whole, cid, descriptor, cmap, data) =
        (numbers.next(), numbers.next(), numbers.next(), numbers.next(), numbers.next());
    let name = Name(if bold { b"STRUTW+DejaVuSans-Bold" } else { b"STRUTW+DejaVuSans" });
    let system = SystemInfo { registry: Str(b"Adobe"), ordering: Str(b"Identity"), supplement: 0 };
    pdf.type0_font(whole)
        .base_font(name)
        .encoding_predefined(Name(b"Identity-H"))
        .descendant_font(cid)
        .to_unicode(cmap);
    let Some(face) = font::face(bold) else { return whole };
    let per_em = 1000.0 / f64::from(face.units_per_em());
    let count = face.number_of_glyphs();
    {
        let mut entry = pdf.cid_font(cid);
        entry.subtype(CidFontType::Type2).base_font(name).system_info(system).font_descriptor(descriptor);
        entry.default_width(600.0).cid_to_gid_map_predefined(Name(b"Identity"));
        let widths = (0..count).map(|id| single(font::advance(bold, ttf_parser::GlyphId(id)) * 1000.0));
        entry.widths().consecutive(0, widths);
    }
    let bbox = face.global_bounding_box();
    let scaled = |v: i16| single(f64::from(v) * per_em);
    pdf.font_descriptor(descriptor)
        .name(name)
        .flags(FontFlags::NON_SYMBOLIC)
        .bbox(Rect::new(scaled(bbox.x_min), scaled(bbox.y_min), scaled(bbox.x_max), scaled(bbox.y_max)))
        .italic_angle(0.0)
        .ascent(scaled(face.ascender()))
        .descent(scaled(face.descender()))
        .cap_height(scaled(face.capital_height().unwrap_or(1493)))
        .stem_v(if bold { 140.0 } else { 80.0 })
        .font_file2(data);
    // One character for each glyph, the lowest where several share it.
    let mut characters: BTreeMap<u16, char> = BTreeMap::new();
    for subtable in face.tables().cmap.iter().flat_map(|cmap| cmap.subtables) {
        subtable.codepoints(|code| {
            if let (Some(c), Some(id)) = (char::from_u32(code), subtable.glyph_index(code)) {
                characters.entry(id.0).and_modify(|old| *old = (*old).min(c)).or_insert(c);
            }
        });
    }
    let mut way_back = UnicodeCmap::new(Name(b"strutwise"), system);
    for (id, c) in characters {
        way_back.pair(id, c);
    }
    pdf.cmap(cmap, way_back.finish().as_slice());
    let bytes = if bold { font::BOLD } else { font::REGULAR };
    let packed = compress_to_vec_zlib(bytes, 6);
    let length = i32::try_from(bytes.len()).unwrap_or(i32::MAX);
    let mut stream = pdf.stream(data, &packed);
    stream.filter(Filter::FlateDecode);
    stream.pair(Name(b"Length1"), length);
    stream.finish();
    whole
}
